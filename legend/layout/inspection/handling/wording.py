"""Check the words of a panel: none is said twice, and none has a stop that it does not need."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from legend.description.source import Source
from legend.description.tables.description import Control, Description
from legend.layout.artwork import Finding, Severity
from legend.layout.inspection.handling.on_off_words import folded, is_off, is_on
from legend.layout.inspection.scene import Scene, check
from legend.sentences import listed

#: A legend of more words may be a sentence, which has its stop.
_FEW_WORDS = 3
#: Abbreviations end in a consonant, most of them, and are short; a word of so many letters that
#: ends in a vowel, or of so many in any case, is whole. Common practice, no source.
_SHORT, _LONG = 4, 8
_VOWELS = "aeiouy"


@check
def headings_once(scene: Scene) -> Iterator[Finding]:
    """What a heading says is not said again by what stands under it."""
    description = scene.artwork.description
    for group in description.group:
        heading = _words(group.name)
        again = [
            control
            for hole in group.holes
            for control in description.controls_at(hole)
            if _is_heading(heading) and _holds(_words(control.name), heading)
        ]
        if again:
            names = [repr(control.name.replace("\n", " ")) for control in again]
            yield Finding(
                Severity.NOTE,
                "repeats-heading",
                f"The group {group.name!r} says already what {_few(names)} {_say(names)} again.",
                again[0].source_of("name"),
                "Leave the words of the heading out of the names under it.",
                also=(group.source, *(control.source for control in again[1:])),
            )
    for control in description.control:
        yield from _positions_again(control)


def _positions_again(control: Control) -> Iterator[Finding]:
    """Positions all of which say what their control is called, and more."""
    heading = _words(control.name)
    named = [text for text in _positions(control) if text.strip()]
    if len(named) > 1 and _is_heading(heading) and all(_holds(_words(t), heading) for t in named):
        yield Finding(
            Severity.NOTE,
            "repeats-heading",
            f"The {control.kind} on {control.hole} is called {control.name!r}, which its positions "
            f"{_few([repr(text) for text in named])} say again.",
            control.source_of("positions"),
            "Leave the words of the name out of the positions.",
        )


def _words(text: str) -> list[str]:
    return re.findall(r"\w+", folded(text))


def _is_heading(words: Sequence[str]) -> bool:
    """Whether words are more than a letter or a number, which any name may have again."""
    return any(len(word) > 1 and not word.isdigit() for word in words)


def _holds(words: Sequence[str], heading: Sequence[str]) -> bool:
    """Whether the words of the heading stand among others, one after the other."""
    count = len(heading)
    return any(words[i : i + count] == heading for i in range(len(words) - count + 1))


def _few(names: Sequence[str]) -> str:
    few = [*names[:_FEW], *([f"{len(names) - _FEW} more"] if len(names) > _FEW else [])]
    return listed(few)


#: So many legends are told by their words.
_FEW = 4


def _say(names: Sequence[str]) -> str:
    return "say" if len(names) > 1 else "says"


# --- Full stops ---


@check
def no_full_stops(scene: Scene) -> Iterator[Finding]:
    """A whole word has no full stop."""
    legends = list(_legends(scene.artwork.description))
    bare = {word for text, _ in legends for word in _words(text) if not text.endswith(".")}
    for text, source in legends:
        words = text.split()
        if len(words) > _FEW_WORDS or not text.endswith(".") or text.endswith(".."):
            continue
        last = words[-1].removesuffix(".")
        if last.isalpha() and (_is_whole(last) or folded(last) in bare):
            yield Finding(
                Severity.NOTE,
                "full-stop",
                f"The legend {' '.join(words)!r} has a full stop after a whole word.",
                source,
                "Leave it out; only what is cut short has one, and seldom needs it.",
            )


def _is_whole(word: str) -> bool:
    plain = folded(word)
    long = len(plain) >= _LONG or (len(plain) >= _SHORT and plain[-1] in _VOWELS)
    return long or (len(plain) > 1 and (is_off(word) or is_on(word)))


def _legends(description: Description) -> Iterator[tuple[str, Source]]:
    """All that is lettered, and where it is asked for."""
    for control in description.control:
        yield control.name.strip(), control.source_of("name")
        yield control.note.strip(), control.source_of("note")
        for text in _positions(control):
            yield text.strip(), control.source_of("positions")
    for group in description.group:
        yield group.name.strip(), group.source_of("name")
    for each in description.text:
        yield each.text.strip(), each.source_of("text")


def _positions(control: Control) -> Sequence[str]:
    positions = control.positions
    return tuple(positions.values()) if isinstance(positions, Mapping) else positions
