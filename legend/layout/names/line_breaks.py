"""Find where a name may be broken into lines: between its words, but no number from its unit."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache

from legend.lettering.faces.face import TextStyle
from legend.lettering.typesetting import set_text

#: The spaces at which a line may end; U+00A0 and U+202F hold together what they stand between.
_SPACES = re.compile(r"[^\S\u00a0\u202f]+")
#: What ends in a number: 2, 0.5, ±15, 0–10, 1/4.
_NUMBER = re.compile(r".*\d[.,]?")
#: Units after a number, with a prefix or without, as they stand on panels, in small letters: those
#: of SI Brochure, 9th ed., tables 2, 4 and 8, and what the trade writes besides.
_UNIT = re.compile(
    r"([yzafpnµμumcdhkMGT]|da)?"
    r"(m|g|s|a|k|mol|cd|hz|n|pa|j|w|c|v|f|ω|Ω|ohms?|wb|t|h|lm|lx|bq|gy|sv|va|var|wh|vah|ah|ev"
    r"|bar|b|bit|byte|l|r)[²³]?"
    r"|°[cfk]?|[%‰′″'\"]|d|min|hrs?|sec|days?|db[a-z]?|np|rpm|r/min|1/min|in|ft|yd|lb|oz|psi|torr"
    r"|atm|mmhg|inhg|ppm|ppb|px|pt|vdc|vac|adc|aac|st|x|×",
    re.IGNORECASE,
)


def unbroken(text: str) -> list[str]:
    """The stretches of a text that may stand on lines of their own.

    >>> unbroken("T 2 A 250 V")
    ['T', '2 A', '250 V']
    """
    stretches: list[str] = []
    for word in filter(None, _SPACES.split(text)):
        if stretches and _NUMBER.fullmatch(stretches[-1]) and _is_unit(word):
            stretches[-1] += f" {word}"
        else:
            stretches.append(word)
    return stretches


def _is_unit(word: str) -> bool:
    """Whether it is a unit, or several as a product or a quotient."""
    word = word.rstrip(".,;)")
    factors = re.split(r"[/·]", word)
    return bool(_UNIT.fullmatch(word) or all(_UNIT.fullmatch(each) for each in factors))


def balanced(text: str, style: TextStyle, lines: int = 2) -> str:
    """The text broken into so many lines, so that the widest of them is as narrow as can be.

    In fewer, where it cannot be broken so often; as it is, where it has lines of its own.
    """
    stretches = unbroken(text)
    if "\n" in text or len(stretches) < 2:
        return text

    @cache
    def width(begin: int, end: int) -> float:
        outline = set_text(" ".join(stretches[begin:end]), style).outline
        return outline.bounds[2] - outline.bounds[0] if outline else 0.0

    @cache
    def best(begin: int, left: int) -> tuple[float, Sequence[int]]:
        """The width of the widest line from here on, and where the lines begin."""
        if left == 1:
            return width(begin, len(stretches)), (begin,)
        ways = []
        for end in range(begin + 1, len(stretches) - left + 2):
            rest, begins = best(end, left - 1)
            ways.append((max(width(begin, end), rest), (begin, *begins)))
        return min(ways, key=lambda way: way[0])

    _, begins = best(0, min(lines, len(stretches)))
    ends = (*begins[1:], len(stretches))
    return "\n".join(
        " ".join(stretches[begin:end]) for begin, end in zip(begins, ends, strict=True)
    )
