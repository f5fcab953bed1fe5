"""Compute points along Bezier curves and arcs, and how often a ring runs round a point."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

#: An array of points, one a row: x, y in mm.
Points = NDArray[np.float64]

#: How far a circle drawn as cubics may lie from the true one, mm.
ROUNDNESS = 0.0005


def steps_along(
    cubics: NDArray[np.float64], straight: NDArray[np.bool_], flatness: float
) -> NDArray[np.intp]:
    """In how many equal steps each cubic is drawn as straight pieces within `flatness` of it."""
    p0, p1, p2, p3 = cubics.transpose(1, 0, 2)
    # The chords of a cubic of n equal steps lie within |second difference| * 3 / (4 n²) of it.
    bend = np.maximum(np.hypot(*(p0 - 2 * p1 + p2).T), np.hypot(*(p1 - 2 * p2 + p3).T))
    # A hair less, so that a whole number of steps stays whole wherever the curve lies.
    fewest = np.ceil(np.sqrt(0.75 * bend / flatness) - 1e-6)
    steps: NDArray[np.intp] = np.maximum(1, fewest).astype(np.intp)
    steps[straight] = 1
    return steps


def along(cubics: NDArray[np.float64], part: NDArray[np.float64]) -> NDArray[np.float64]:
    """The point at a part, 0 to 1, of each cubic; at 1 its very end. Shape (n, 2)."""
    points: NDArray[np.float64] = bezier(cubics.transpose(1, 0, 2), part[:, None])
    return points


def bezier(points: Iterable[Any], t: Any) -> Any:
    """The point of a cubic at t, from 0 to 1, by Bernstein's polynomials.

    Its four points may be numbers, or arrays of them.
    """
    p0, p1, p2, p3 = points
    w0, w1, w2, w3 = weights(t)
    return (w0 * p0 + w1 * p1) + (w2 * p2 + w3 * p3)


def weights(t: Any) -> tuple[Any, Any, Any, Any]:
    """How much each of the four points of a cubic counts at t."""
    s = 1 - t
    return s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t


def divided(points: Points, part: float) -> tuple[Points, Points]:
    """A line, a quadratic or a cubic as two of its kind that meet at this part, 0 to 1."""
    firsts, lasts = [points[0]], [points[-1]]
    while len(points) > 1:
        points = points[:-1] * (1 - part) + points[1:] * part
        firsts.append(points[0])
        lasts.append(points[-1])
    return np.array(firsts), np.array(lasts[::-1])


def winding(ring: Points, points: Points) -> NDArray[np.intp]:
    """How many times a ring runs round each of some points, counter-clockwise positive.

    By the nonzero rule (SVG 1.1, 11.3): counted is how often edges pass right of the point on
    their way up, less how often on their way down.
    """
    (x0, y0), (x1, y1) = ring.T, np.roll(ring, -1, axis=0).T
    px, py = points[:, :1], points[:, 1:]
    side = (x1 - x0) * (py - y0) - (px - x0) * (y1 - y0)
    up = (y0 <= py) & (y1 > py) & (side > 0)
    down = (y0 > py) & (y1 <= py) & (side < 0)
    return np.asarray(up.sum(axis=1) - down.sum(axis=1))


def arc_points(centre: Sequence[float], radius: float, begin: float, end: float) -> Points:
    """The points of an arc as cubics: from `begin` to `end` degrees clockwise from the top.

    Returns shape (1 + 3 n, 2) for the fewest n equal cubics that keep within `ROUNDNESS`
    of the circle; a quarter circle takes a whole number of them, so that a full circle
    has nodes at its extremes.
    """
    sweep = math.radians(end - begin)
    n = max(1, math.ceil(abs(sweep) / (math.pi / 2) * cubics_in_quarter(radius) - 1e-9))
    angles = math.radians(begin) + np.arange(n + 1) * (sweep / n)
    on = np.column_stack([np.sin(angles), np.cos(angles)])
    along = np.column_stack([np.cos(angles), -np.sin(angles)]) * (4 / 3 * math.tan(sweep / n / 4))
    points = np.empty((3 * n + 1, 2))
    points[::3] = on
    points[1::3] = on[:-1] + along[:-1]
    points[2::3] = on[1:] - along[1:]
    points *= radius
    points += np.asarray(centre, dtype=float)
    return points


def cubics_in_quarter(radius: float) -> int:
    """The fewest equal cubics that draw a quarter circle within `ROUNDNESS`; `radius` in mm."""
    count = 1
    while _arc_error(radius, math.pi / 2 / count) > ROUNDNESS:
        count += 1
    return count


def _arc_error(radius: float, sweep: float) -> float:
    """How far the usual cubic for an arc strays outside it, in the unit of `radius`."""
    quarter = sweep / 4
    return radius * 4 / 27 * math.sin(quarter) ** 6 / math.cos(quarter) ** 2
