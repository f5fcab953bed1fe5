"""Parse durations as a builder writes them into minutes."""

from __future__ import annotations

import math
import re
from typing import Final

from legend.limits import LONGEST_TIME

#: Minutes in each unit, by the first letter of its name.
_MINUTES: Final = {"s": 1 / 60, "m": 1.0, "h": 60.0, "d": 24 * 60.0}


#: Texts that may be times, as a pattern of JSON Schema.
WRITTEN: Final = (
    r"^\s*([0-9]{1,6}([.,][0-9]{0,6})?|[.,][0-9]{1,6})\s*"
    r"([sS]([eE][cC]([oO][nN][dD][sS]?)?)?|[mM]([iI][nN]([uU][tT][eE][sS]?)?)?"
    r"|[hH]([oO][uU][rR][sS]?)?|[dD]([aA][yY][sS]?)?)?\s*$"
)

_DURATION = re.compile(
    r"\s*(\d{1,6}(?:[.,]\d{0,6})?|[.,]\d{1,6})"
    r"\s*(s|sec|seconds?|m|min|minutes?|h|hours?|d|days?)?\s*",
    re.IGNORECASE,
)


def parse_duration(text: str | float) -> float:
    """A time in minutes; a bare number is in hours, a text carries its own unit.

    Error: ValueError where it cannot be read, with what is wrong in words that go on from
    "which ...".

    >>> parse_duration("45 min"), parse_duration(1.5), parse_duration("2 days")
    (45.0, 90.0, 2880.0)
    >>> parse_duration("12 s")
    0.2
    """
    if isinstance(text, bool) or not isinstance(text, (str, int, float)):
        raise ValueError("is neither a number nor a text")
    if isinstance(text, str):
        found = _DURATION.fullmatch(text)
        if not found:
            raise ValueError("is not a time")
        minutes = float(found[1].replace(",", ".")) * _MINUTES[(found[2] or "h")[0].lower()]
    else:
        if isinstance(text, float) and not math.isfinite(text):
            raise ValueError("is not a finite number")
        if text < 0:
            raise ValueError("is less than 0")
        minutes = 60.0 * min(text, 2 * LONGEST_TIME)  # no float holds every whole number
    if minutes > LONGEST_TIME:
        raise ValueError(f"is more than {LONGEST_TIME / _MINUTES['d']:g} days")
    return round(minutes, 6)
