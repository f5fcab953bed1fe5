"""Offset a cubic curve by a distance.

The exact edge of a stroke along a cubic is no cubic. It is fitted by pieces that keep the
end tangents and pass through the middle, halved until none strays.
"""

from __future__ import annotations

import math

from legend.lettering.strokes.skeleton import Bend, bend_at, slope_at
from legend.vector import Vector

#: A curve is halved at most so often.
_MOST_HALVINGS = 6


def beside(bend: Bend, distance: float, fit: float) -> list[Bend]:
    """The curve `distance` to the right of a cubic, as cubics that stray less than `fit`."""
    return _fitted(bend, distance, fit, 0.0, 1.0, _MOST_HALVINGS)


def _fitted(
    bend: Bend, distance: float, fit: float, begin: float, end: float, halvings: int
) -> list[Bend]:
    p, leaves = _point_beside(bend, begin, distance)
    q, arrives = _point_beside(bend, end, distance)
    halfway = (begin + end) / 2
    middle, _ = _point_beside(bend, halfway, distance)
    # Handles a and b along the tangents, so long that the curve passes through the middle:
    # (p + q) / 2 + 3/8 (a leaves - b arrives) = middle.
    short = (middle - (p + q) / 2) * 8 / 3
    cross = arrives.cross(leaves)
    chord = math.dist(p, q)
    if abs(cross) > 0.02:
        a, b = arrives.cross(short) / cross, leaves.cross(short) / cross
    else:
        a = b = chord / 3
    fitted = Bend(p, p + a * leaves, q - b * arrives, q)
    is_sound = 0 < a < 2 * chord and 0 < b < 2 * chord
    if halvings == 0 or (is_sound and _strays(fitted, bend, distance, begin, end) < fit):
        return [fitted]
    return _fitted(bend, distance, fit, begin, halfway, halvings - 1) + _fitted(
        bend, distance, fit, halfway, end, halvings - 1
    )


def _strays(fitted: Bend, bend: Bend, distance: float, begin: float, end: float) -> float:
    """How far a fitted edge strays from `distance` beside its curve."""
    most = 0.0
    for u in (0.18, 0.35, 0.65, 0.82):
        point = bend_at(fitted, u)
        t = begin + (end - begin) * u
        for _ in range(3):  # to the foot of the point on the curve, by Newton's method
            slope = slope_at(bend, t)
            t += (point - bend_at(bend, t)).dot(slope) / (slope.dot(slope) or 1.0)
        foot = bend_at(bend, min(max(t, 0.0), 1.0))
        most = max(most, abs(math.dist(point, foot) - distance))
    return most


def _point_beside(bend: Bend, t: float, distance: float) -> tuple[Vector, Vector]:
    """The point on the right of t, and the unit direction there."""
    way = bend.tangents[int(t)] if t in (0.0, 1.0) else slope_at(bend, t).unit
    return bend_at(bend, t) + distance * way.right, way
