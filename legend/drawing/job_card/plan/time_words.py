"""Say times at the bench in words and by the clock."""

from __future__ import annotations

import math
from datetime import datetime, timedelta

#: In English whatever the locale, by which `strftime` would go.
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]


def elapsed(minutes: float) -> str:
    """How long after the beginning something is: 25 h 05."""
    hours, rest = divmod(round(minutes), 60)
    return f"{hours} h {rest:02}"


def on_the_clock(minutes: float, start: datetime | None) -> str:
    """When something is so long after the beginning: by the clock, or in hours from nought."""
    if start is None:
        return elapsed(minutes)
    at = start + timedelta(minutes=minutes)
    return f"{_DAYS[at.weekday()]} {at.day} {_MONTHS[at.month - 1]}, {at:%H:%M}"


def span(minutes: float) -> str:
    """A time as it was given: 90 minutes, 36 hours, 2 days, 15 seconds."""
    units = [("day", 24 * 60.0), ("hour", 60.0), ("minute", 1.0), ("second", 1 / 60)]
    unit, length = next((u for u in units[:2] if minutes >= 2 * u[1]), units[2])
    if 0 < minutes < 1:
        unit, length = units[3]
    count = round(minutes / length, 2)
    return f"{count:g} {unit}{'' if count == 1 else 's'}"


def whole(minutes: float) -> int:
    """A time that was reckoned, rounded up to a minute, so that times that are told add up."""
    return math.ceil(round(minutes, 6))


def about(minutes: float) -> str:
    """A time that was reckoned, in whole minutes.

    >>> about(7.2), about(52.5), about(200)
    ('8 minutes', '53 minutes', '3 h 20')
    """
    rounded = whole(minutes)
    if rounded >= 2 * 60:
        return elapsed(rounded)
    return f"{rounded} minute{'' if rounded == 1 else 's'}"
