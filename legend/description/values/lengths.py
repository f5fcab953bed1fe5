"""Parse lengths as a builder writes them into millimetres."""

from __future__ import annotations

import math
import re
from typing import Final, Literal

from legend.length_words import WithLengths
from legend.limits import LONGEST_CELL, LONGEST_LENGTH
from legend.standards import INCH

#: The units a length may be written in.
Unit = Literal["mm", "cm", "in"]

#: Millimetres in each unit.
MILLIMETRES: Final[dict[str, float]] = {"mm": 1.0, "cm": 10.0, "in": INCH}


_LENGTH = re.compile(
    r"""\s*(?P<sign>[-−+]?)\s*
        (?:(?P<whole>[0-9]{1,12}(?:[.,][0-9]{0,15})?|[.,][0-9]{1,15})(?![0-9]|\s*/))?
        (?:[\s-]*(?P<over>[0-9]{1,6})\s*/\s*(?P<under>[0-9]{1,6}))?
        \s*(?P<unit>mm|cm|in|inch|inches|"|″)?\s*""",
    re.VERBOSE | re.IGNORECASE,
)
#: Texts that may be lengths, as a pattern of JSON Schema: what is no length after all, such as
#: one with both a decimal and a fraction, is found when it is parsed.
WRITTEN: Final = (
    r"^\s*[-−+]?[\s-]*[0-9.,½¼¾⅛⅜⅝⅞][0-9.,/⁄\s½¼¾⅛⅜⅝⅞-]*"
    r'([mM][mM]|[cC][mM]|[iI][nN]([cC][hH]([eE][sS])?)?|"|″)?\s*$'
)
_TOO_LONG = WithLengths.of("is more than {} {unit}", LONGEST_LENGTH)
_UNIT_WORDS = {"inch": "in", "inches": "in", '"': "in", "″": "in"}
#: The single characters that a keyboard or a spreadsheet may put for a fraction.
_FRACTIONS = {
    "½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8",
    "⁄": "/",
}  # fmt: skip


def parse_length(text: str | float, units: str) -> float:
    """A length in mm.

    A bare number is in `units`; a text carries its own unit, or is a number in `units`:
    `"9.5 mm"`, `"3/8 in"`, `"1 3/8 in"`, `"1-3/8 in"`, `"1.375 in"`.
    Error: ValueError, where it cannot be read, with what is wrong in words that go on from
    "which ...".

    >>> parse_length("1 3/8 in", "mm")
    34.925
    """
    if isinstance(text, bool) or not isinstance(text, (str, int, float)):
        raise ValueError("is neither a number nor a text")
    value = _in_words(text, units) if isinstance(text, str) else _scaled(text, units)
    if abs(value) > LONGEST_LENGTH:
        raise ValueError(_TOO_LONG)
    return round(value, 9)  # 3/8 in is 9.525 mm, not 9.524999999999999


def _scaled(number: float, units: str) -> float:
    if isinstance(number, float) and not math.isfinite(number):
        raise ValueError("is not a finite number")
    if abs(number) > LONGEST_LENGTH:  # also keeps whole numbers out that no float can hold
        raise ValueError(_TOO_LONG)
    return float(number) * MILLIMETRES[units]


def _in_words(text: str, units: str) -> float:
    if len(text) > LONGEST_CELL:
        raise ValueError("is not a length")
    for character, plain in _FRACTIONS.items():
        text = text.replace(character, plain)
    found = _LENGTH.fullmatch(text)
    if not found or not (found["whole"] or found["over"]):
        raise ValueError("is not a length")
    value = float(found["whole"].replace(",", ".")) if found["whole"] else 0.0
    if found["over"]:
        if int(found["under"]) == 0:
            raise ValueError("divides by nothing")
        if found["whole"] and not value.is_integer():
            raise ValueError("has both a decimal and a fraction")
        value += int(found["over"]) / int(found["under"])
    if found["sign"] in ("-", "−"):
        value = -value
    unit = (found["unit"] or units).lower()
    return value * MILLIMETRES[_UNIT_WORDS.get(unit, unit)]


def has_unit(text: str) -> bool:
    """Whether a length, written as text, says its own unit."""
    return text.rstrip().lower().endswith(("mm", "cm", "in", "inch", "inches", '"', "″"))
