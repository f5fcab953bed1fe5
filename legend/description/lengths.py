"""Lengths as a builder writes them: text or number in, millimetres out."""

from __future__ import annotations

import math
import re
from typing import Literal

from legend.standards import INCH

#: The units a length may be written in.
Unit = Literal["mm", "cm", "in"]

#: Millimetres in each unit.
MILLIMETRES: dict[str, float] = {"mm": 1.0, "cm": 10.0, "in": INCH}

_LENGTH = re.compile(
    r"""\s*(?P<sign>[-−+]?)\s*
        (?:(?P<whole>\d+(?:[.,]\d*)?|[.,]\d+)(?!\s*/))?
        (?:[\s-]*(?P<over>\d+)\s*/\s*(?P<under>\d+))?
        \s*(?P<unit>mm|cm|in|inch|inches|"|″)?\s*""",
    re.VERBOSE,
)
_UNIT_WORDS = {"inch": "in", "inches": "in", '"': "in", "″": "in"}


def parse_length(text: str | float, units: str) -> float:
    """A length in mm.

    A bare number is in `units`; a text carries its own unit, or is a number in `units`:
    `"9.5 mm"`, `"3/8 in"`, `"1 3/8 in"`, `"1-3/8 in"`, `"1.375 in"`.
    Error: ValueError, a whole sentence, where it cannot be read.

    >>> parse_length("1 3/8 in", "mm")
    34.925
    """
    if isinstance(text, bool) or not isinstance(text, (str, int, float)):
        raise ValueError('a length is a number, or a text such as "9.5 mm" or "3/8 in"')
    if not isinstance(text, str):
        value = float(text) * MILLIMETRES[units]
    else:
        found = _LENGTH.fullmatch(text)
        if not found or not (found["whole"] or found["over"]):
            raise ValueError(
                f"{text!r} is not a length; write a number, or a text such as "
                '"9.5 mm", "3/8 in" or "1 3/8 in"'
            )
        if found["under"] and int(found["under"]) == 0:
            raise ValueError(f"{text!r} divides by nothing")
        value = float(found["whole"].replace(",", ".")) if found["whole"] else 0.0
        if found["over"]:
            if found["whole"] and not value.is_integer():
                raise ValueError(f"{text!r} has both a decimal and a fraction; use one of them")
            value += int(found["over"]) / int(found["under"])
        if found["sign"] in ("-", "−"):
            value = -value
        unit = found["unit"] or units
        value *= MILLIMETRES[_UNIT_WORDS.get(unit, unit)]
    if not math.isfinite(value):
        raise ValueError("a length must be a finite number")
    return value
