"""Say which way a pointer stands: as the hour hand of a clock, and in degrees."""

from __future__ import annotations

#: An hour hand turns so far in an hour, and in a quarter of one, degrees.
_HOUR, _QUARTER = 30.0, 7.5
#: A pointer this near to where the hour hand stands then stands there, degrees.
_AT = 1.0
_AS_MINUTES = ("{} o’clock", "a quarter past {}", "half past {}", "a quarter to {}")


def pointing(degrees: float) -> str:
    """Where a pointer stands, by degrees clockwise from the top.

    >>> pointing(-150), pointing(0)
    ('at 7 o’clock, 150° left of upright', 'upright, at 12 o’clock')
    >>> pointing(-132)
    'at about half past 7, 132° left of upright'
    """
    left = (-degrees + 180) % 360 - 180
    hand = _hour_hand(degrees)
    if abs(left) < _AT / 2:
        return f"upright, at {hand}"
    if abs(abs(left) - 180) < _AT / 2:
        return f"straight down, at {hand}"
    return f"at {hand}, {turned_by(left)} {'left' if left > 0 else 'right'} of upright"


def turned_by(degrees: float) -> str:
    """An angle without its sign, to half a degree."""
    return f"{round(abs(degrees) * 2) / 2:g}°"


def _hour_hand(degrees: float) -> str:
    """The time at which the hour hand stands so, to a quarter of an hour."""
    quarters = round(degrees % 360 / _QUARTER)
    about = "" if abs(degrees % 360 - quarters * _QUARTER) < _AT else "about "
    hour, quarter = divmod(quarters, round(_HOUR / _QUARTER))
    named = hour + (1 if quarter == len(_AS_MINUTES) - 1 else 0)
    return about + _AS_MINUTES[quarter].format((named - 1) % 12 + 1)
