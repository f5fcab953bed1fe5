"""Find where a stroke of a letter ends against another, so that a bridge there severs neither.

A stroke that is cut where it meets another stays whole, and so does the other: the bar of an "A"
beside its leg, the bar of an "e" beside its bowl, the bowl of a "6" beside its back.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from legend.stencil.bridging.scan_lines import Floats, Spans, Strip

#: At a joint the other stroke runs on past both edges of the one that ends there, by this part of
#: its breadth at least, and begins no further from its end than that many times it.
_PAST, _NEAR = 0.4, 1.0
#: A bridge at a joint stands no further from it than this part of the stroke's breadth, and is no
#: longer than so many times that: a round end that widens is no place for it.
_FLUSH, _LONGEST = 0.6, 1.6
#: A stroke goes on beyond another where within so many breadths there is ink again that is no
#: broader than so many times it.
_FAR, _AS_BROAD = 2.5, 1.3


def joint_places(
    strip: Strip,
    found: Spans,
    width: float,
    x: Floats,
    low: Floats,
    high: Floats,
    xs: Floats,
    is_level: bool,
) -> Iterator[tuple[int, int]]:
    """Which of the bridges across a strip stand where it ends against another stroke, and on which
    side of them that is: -1 on their left, 1 on their right.

    `x`, `low` and `high` are the bridges, `width` wide; `xs` are where the lines were drawn that
    the strip and all spans were found on. Where they are level, the stroke is upright, and a main
    one, which ends at no other that it crosses.

    1. The edges of the strip are carried on straight beyond its end, and the lines there are
       followed: where the ink that it ends in rises above the one and falls below the other,
       another stroke runs past.
    2. Beyond that, a level bridge must find no more of its own stroke.
    3. Of the bridges near that end, the one nearest to it is at the joint.
    """
    if not len(x):
        return
    breadth = float((strip.high - strip.low).min())
    last = strip.first + len(strip.low) - 1
    step = float(xs[1] - xs[0])
    near = math.ceil(_NEAR * breadth / step)
    for at, end, way in ((0, strip.first, -1), (-1, last, 1)):
        low_end, high_end = float(strip.low[at]), float(strip.high[at])
        beyond = way * (found.line - end)
        ends_in = (beyond > 0) & (beyond <= near) & (found.low < high_end) & (found.high > low_end)
        if not ends_in.any():
            continue
        inwards = at - way * min(math.ceil(near / 2), len(strip.low) - 1)
        steps = max(1, abs(inwards - at))
        low_on, high_on = (
            edge[at] + beyond[ends_in] * (edge[at] - edge[inwards]) / steps
            for edge in (strip.low, strip.high)
        )
        rises = (found.high[ends_in] - high_on).max() > _PAST * breadth
        falls = (low_on - found.low[ends_in]).max() > _PAST * breadth
        off = way * (xs[end] - x) - width / 2
        good = (off < _FLUSH * breadth) & (high - low < _LONGEST * breadth)
        goes_on = is_level and _goes_on(strip, found, at, end, way, near)
        if rises and falls and not goes_on and good.any():
            yield int(np.where(good, off, np.inf).argmin()), way


def _goes_on(strip: Strip, found: Spans, at: int, end: int, way: int, near: int) -> bool:
    """Whether a stroke is found again beyond another that it runs into."""
    breadth = strip.high[at] - strip.low[at]
    beyond = way * (found.line - end)
    on = (beyond > 0) & (beyond <= _FAR * near)
    on &= (found.low < strip.high[at]) & (found.high > strip.low[at])
    first = beyond[on & (found.high - found.low > _AS_BROAD * breadth)]
    again = beyond[on & (found.high - found.low <= _AS_BROAD * breadth)]
    return bool(len(first) and (again > first.min()).any())
