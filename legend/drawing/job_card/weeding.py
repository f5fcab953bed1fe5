"""Tell what is weeded from a piece, word by word."""

from __future__ import annotations

import unicodedata
from collections import Counter
from collections.abc import Iterator, Sequence

from legend.drawing.spoken import spoken
from legend.length_words import Lengths
from legend.standards import WANTS_CARE
from legend.stencil.weeding_list import Island, Kind

#: A space at which no line is broken.
_NO_BREAK = "\u00a0"

#: The marks of a letter that are dots; all others are accents.
_DOTS = frozenset("\u0307\u0308")
#: What small signs are called, and the loose parts of others, where that is not their own name.
_SIGNS = {
    ".": "point",
    "-": "hyphen",
    "’": "apostrophe",
    "!": "dot of !",
    "?": "dot of ?",
    "%": "part of %",
    "=": "part of =",
    "÷": "dot of ÷",
}


def by_word(small: Sequence[Island]) -> Iterator[str]:
    """Each word with those of its letters that have counters or dots, and how many these are."""
    words: dict[str, Counter[str]] = {}
    for island in small:
        letter = "" if island.letter == island.word else spoken(_called(island))
        words.setdefault(island.word, Counter())[letter] += 1
    for word, letters in words.items():
        told = [letter + _times(count) for letter, count in letters.items() if letter]
        yield spoken(word) + _times(letters[""]) + (": " + ", ".join(told) if told else "")


def _times(count: int) -> str:
    return f" ({count})" if count > 1 else ""


def _called(island: Island) -> str:
    if island.kind is Kind.COUNTER:
        return island.letter
    if island.letter.startswith("symbol:"):
        return f"part of the {spoken(island.letter)}"
    if not island.letter.isalnum():
        own = unicodedata.name(island.letter, "dot") if len(island.letter) == 1 else "dot"
        return _SIGNS.get(island.letter, own.lower())
    accents = set(unicodedata.normalize("NFD", island.letter)[1:]) - _DOTS
    return f"{'accent' if accents else 'dot'} of {island.letter}"


def with_care(small: Sequence[Island], lengths: Lengths) -> Iterator[str]:
    """The letters whose smallest part wants care, and how wide that is."""
    least: dict[str, float] = {}
    for island in filter(lambda each: each.wants_care, small):
        called = spoken(_called(island) or island.word)
        least[called] = min(island.across, least.get(called, island.across))
    for called, across in sorted(least.items(), key=lambda each: each[1]):
        yield f"{called} ({_narrow(across, lengths)})".replace(" ", _NO_BREAK)


def _narrow(across: float, lengths: Lengths) -> str:
    """How wide a part is that wants care: never as wide as what it is said to be under."""
    said = lengths.short(across)
    if said == lengths.short(WANTS_CARE):
        return lengths.at_most(across).removesuffix(f" {lengths.unit}")
    return said
