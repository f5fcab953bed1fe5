"""Say in inches as well what the handbook says in mm: ranges of values, and single lengths."""

from __future__ import annotations

import re

from legend.description.values.length_values import range_in_words
from legend.length_words import Lengths

_RANGE = re.compile(r"([\d.]+) to ([\d.]+) mm")
_MOST = re.compile(r"at most ([\d.]+) mm")
_EXAMPLE = re.compile(r"(such as [\d.]+)(?=[,;]|$)")
_LENGTH = re.compile(r"([\d.]+) mm")


def values_in_both(words: str) -> str:
    """What a key may hold, its ranges in mm and in inches, its examples in mm.

    >>> values_in_both("a length of 0.01 to 20 mm, such as 0.5")
    'a length of 0.01 to 20 mm, 0.0004 to 0.787 in, such as 0.5 mm'
    """
    words = _EXAMPLE.sub(r"\1 mm", words)
    words = _RANGE.sub(
        lambda found: f"{found[0]}, {range_in_words(float(found[1]), float(found[2]), 'in')}", words
    )
    return _MOST.sub(
        lambda found: f"{found[0]}, {range_in_words(0, float(found[1]), 'in').split()[2]} in", words
    )


def lengths_in_both(words: str) -> str:
    """Running words with every length in mm, and in inches in brackets after it.

    >>> lengths_in_both("at least 1 mm of metal")
    'at least 1 mm (0.039 in) of metal'
    """
    return _LENGTH.sub(lambda found: f"{found[0]} ({_in_inches(float(found[1]))})", words)


def in_both(mm: float) -> str:
    """A length in mm and in inches.

    >>> in_both(0.2)
    '0.2 mm, 0.008 in'
    """
    return f"{mm:g} mm, {_in_inches(mm)}"


def _in_inches(mm: float) -> str:
    return Lengths("in").given(mm)
