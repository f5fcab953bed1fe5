"""Choose the lanes along which a drawing is cut where one sheet ends and the next begins.

The sheets of a row, or of a column, are as few as can be; what room they have to spare lets
each lane move, and it goes where it cuts the least.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.lettering.outlines.outline import Box

#: What sheets of one drawing have in common, mm: the flap that is taped, half of it on either
#: side of the lane, just holds the join marks.
OVERLAP = 10.0
#: How far apart the places are that are tried, and how far lanes keep off legends, mm.
_STEP, _CLEAR = 0.5, 1.0
#: How bad it is to show a part of a thing in the flap, as part of how bad it is to cut it; and
#: to stray a mm from sheets that are all as large.
_IN_FLAP, _UNEVEN = 0.01, 0.01


@dataclass(frozen=True, slots=True)
class InTheWay:
    """A thing of the drawing that a lane should not cut: the box round it, and how bad it is.

    `legend` tells that it is a legend, which is to be whole on one sheet.
    """

    box: Box
    weight: float
    legend: bool = False


def sheets_needed(length: float, room: float) -> int:
    """How many sheets with this much room a length needs, mm."""
    if length <= room:
        return 1
    return math.ceil((length - OVERLAP) / (room - OVERLAP) - 1e-9)


def lanes(
    low: float, high: float, room: float, things: Sequence[InTheWay], axis: int
) -> tuple[float, ...]:
    """Where a drawing from `low` to `high` is cut along an axis, so that sheets of `room` hold it.

    Each lane has a window as wide as what all sheets together have to spare, and these lie
    a whole sheet less the overlap apart. So what a lane may move in its window is no more than
    the one before it has moved; the best of all such ways is found from the last lane back.
    """
    count = sheets_needed(high - low, room)
    spare = count * room - (count - 1) * OVERLAP - (high - low)
    # No sheet becomes narrower than two flaps.
    kept = max(0.0, spare - (room - 2 * OVERLAP)) / 2
    moved = np.arange(kept, spare - kept + 1e-9, _STEP)
    starts = [high - left * (room - OVERLAP) - OVERLAP / 2 for left in range(count - 1, 0, -1)]
    evenly = [spare * (1 - k / count) for k in range(1, count)]
    costs = [
        _cost(start + moved, things, axis) + _UNEVEN * np.abs(moved - even)
        for start, even in zip(starts, evenly, strict=True)
    ]
    best, choices = np.zeros(len(moved)), []
    for cost in reversed(costs):
        total = cost + best
        upto = np.minimum.accumulate(total)
        choices.append(np.maximum.accumulate(np.where(total <= upto, np.arange(len(moved)), 0)))
        best = upto
    found, most = [], len(moved) - 1
    for start, choice in zip(starts, reversed(choices), strict=True):
        most = int(choice[most])
        found.append(float(start + moved[most]))
    return tuple(found)


def _cost(
    places: NDArray[np.float64], things: Sequence[InTheWay], axis: int
) -> NDArray[np.float64]:
    """How bad a lane at each of these places is, which rise."""
    if not things:
        return np.zeros(len(places))
    lows, highs, weights = np.array(
        [(t.box[axis], t.box[axis + 2], t.weight) for t in things], dtype=float
    ).T
    across = _weighed(places, lows - _CLEAR, highs + _CLEAR, weights)
    half = OVERLAP / 2
    return across + _weighed(places, lows - half, highs + half, weights * _IN_FLAP)


def _weighed(
    places: NDArray[np.float64],
    lows: NDArray[np.float64],
    highs: NDArray[np.float64],
    weights: NDArray[np.float64],
) -> NDArray[np.float64]:
    """The weights of all spans, together, that each place lies within."""
    steps = np.zeros(len(places) + 1)
    np.add.at(steps, np.searchsorted(places, lows, side="right"), weights)
    np.add.at(steps, np.searchsorted(places, highs, side="left"), -weights)
    return np.cumsum(steps[:-1])
