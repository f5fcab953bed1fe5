"""Edges along general curves: a cubic and a distance in, the cubics beside it out.

The exact edge of a stroke along a cubic is no cubic. It is fitted by pieces that keep the
end tangents and pass through the middle, halved until none strays.
"""

from __future__ import annotations

import math

from legend.lettering.strokes.skeleton import Bend, Point, bend_at, slope_at

#: A curve is halved at most so often.
_MOST_HALVINGS = 6


def beside(bend: Bend, distance: float, fit: float) -> list[Bend]:
    """The curve `distance` to the right of a cubic, as cubics that stray less than `fit`."""
    return _fitted(bend, distance, fit, 0.0, 1.0, _MOST_HALVINGS)


def _fitted(
    bend: Bend, distance: float, fit: float, begin: float, end: float, halvings: int
) -> list[Bend]:
    p, (sx, sy) = _point_beside(bend, begin, distance)
    q, (ex, ey) = _point_beside(bend, end, distance)
    halfway = (begin + end) / 2
    middle, _ = _point_beside(bend, halfway, distance)
    # Handles a and b along the tangents, so long that the curve passes through the middle:
    # (p + q) / 2 + 3/8 (a s - b e) = middle.
    mx = (middle[0] - (p[0] + q[0]) / 2) * 8 / 3
    my = (middle[1] - (p[1] + q[1]) / 2) * 8 / 3
    cross = ex * sy - ey * sx
    chord = math.dist(p, q)
    if abs(cross) > 0.02:
        a, b = (ex * my - ey * mx) / cross, (sx * my - sy * mx) / cross
    else:
        a = b = chord / 3
    fitted = Bend(p, (p[0] + a * sx, p[1] + a * sy), (q[0] - b * ex, q[1] - b * ey), q)
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
        x, y = bend_at(fitted, u)
        t = begin + (end - begin) * u
        for _ in range(3):
            cx, cy = bend_at(bend, t)
            dx, dy = slope_at(bend, t)
            t += ((x - cx) * dx + (y - cy) * dy) / (dx * dx + dy * dy or 1.0)
        foot = bend_at(bend, min(max(t, 0.0), 1.0))
        most = max(most, abs(math.dist((x, y), foot) - distance))
    return most


def _point_beside(bend: Bend, t: float, distance: float) -> tuple[Point, Point]:
    """The point on the right of t, and the unit direction there."""
    if t in (0.0, 1.0):
        dx, dy = bend.tangents[int(t)]
    else:
        dx, dy = slope_at(bend, t)
        length = math.hypot(dx, dy) or 1.0
        dx, dy = dx / length, dy / length
    x, y = bend_at(bend, t)
    return (x + distance * dy, y - distance * dx), (dx, dy)
