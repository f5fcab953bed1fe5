"""Draw the curves of a cut as straight stretches and arcs, for files that know no others."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from legend.drawing.cut_files.cut_sheet import CutLine
from legend.lettering.outlines.curve_points import Points, along, steps_along
from legend.lettering.outlines.outline import cubics_of

#: How far straight stretches may lie from their curve, mm.
WITHIN = 0.005
#: How far a curve may lie from the arc that it is taken for, mm.
_ROUND_WITHIN = 0.001
#: At which parts of a curve it is looked whether it is one. The distance of a cubic from a circle
#: is a polynomial of the sixth degree, which so many places settle.
_LOOKED_AT = np.arange(1, 8) / 8
#: Points that are no further apart are one, mm.
_SAME = 1e-9

Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Polyline:
    """A line of straight stretches and arcs through points.

    For every point, `bulges` tells how the stretch that begins there is bent: the tangent of a
    quarter of the angle of its arc, counter-clockwise positive, and 0 where it is straight. Of a
    line that is not closed the last one is 0. A closed one goes home from its last point.
    """

    points: Points
    bulges: Numbers
    closed: bool

    def circle(self) -> tuple[tuple[float, float], float] | None:
        """Its middle and radius where all of it is one circle, gone round once; else None."""
        if not self.closed or not self.bulges.all():
            return None
        ahead = np.roll(self.points, -1, axis=0)
        chord = ahead - self.points
        half = np.hypot(*chord.T) / 2
        radii = half * (1 + self.bulges**2) / (2 * np.abs(self.bulges))
        left = np.column_stack([-chord[:, 1], chord[:, 0]])
        off = (1 - self.bulges**2) / (4 * self.bulges)
        middles = (self.points + ahead) / 2 + left * off[:, None]
        middle, radius = middles.mean(axis=0), float(radii.mean())
        is_round = (
            abs(abs(np.arctan(self.bulges).sum() * 4) - 2 * math.pi) < 1e-3
            and np.hypot(*(middles - middle).T).max() < 2 * _ROUND_WITHIN
            and np.abs(radii - radius).max() < 2 * _ROUND_WITHIN
        )
        return ((float(middle[0]), float(middle[1])), radius) if is_round else None


def polylines(lines: Sequence[CutLine], with_arcs: bool) -> list[Polyline]:
    """Each line as straight stretches that lie within `WITHIN` of it; as arcs what is one, if so
    asked."""
    if not lines:
        return []
    contours = [line.contour.closed() if line.closed else line.contour for line in lines]
    cubics, straight, of = cubics_of(contours)
    bulges = np.zeros(len(cubics))
    if with_arcs:
        bulges[~straight] = _bulges(cubics[~straight])
    steps = steps_along(cubics, straight | (bulges != 0), WITHIN)
    which = np.repeat(np.arange(len(steps)), steps)
    ends = np.cumsum(steps)
    points = along(
        cubics[which], (np.arange(len(which)) - (ends - steps)[which] + 1) / steps[which]
    )
    bent = bulges[which]
    last = ends[np.flatnonzero(np.diff(of, append=len(contours)))].tolist()
    return [
        _polyline(line.contour.points[:1], points[begin:end], bent[begin:end], line.closed)
        for line, (begin, end) in zip(lines, pairwise([0, *last]), strict=True)
    ]


def _polyline(start: Points, points: Points, bulges: Numbers, closed: bool) -> Polyline:
    """From where each stretch ends to where it begins, without those of no length."""
    begins = np.vstack([start, points[:-1]])
    goes = np.hypot(*(points - begins).T) > _SAME
    begins, bulges, points = begins[goes], bulges[goes], points[goes]
    if closed:
        return Polyline(begins, bulges, True)
    end = points[-1:] if len(points) else start
    return Polyline(np.vstack([begins, end]), np.append(bulges, 0.0), False)


def _bulges(cubics: Numbers) -> Numbers:
    """How each cubic is bent where it is an arc, and 0 where it is none."""
    first, last = cubics[:, 0], cubics[:, 3]
    seen = np.stack([along(cubics, np.full(len(cubics), part)) for part in _LOOKED_AT], axis=1)
    middle = seen[:, len(_LOOKED_AT) // 2]
    to_middle, to_last = middle - first, last - first
    cross = to_middle[:, 0] * to_last[:, 1] - to_middle[:, 1] * to_last[:, 0]
    chord = np.hypot(*to_last.T)
    bends = (np.abs(cross) > _SAME) & (chord > _SAME)
    # The circle through three points, from the first of them.
    double = np.where(bends, 2 * cross, 1.0)
    squares = (to_middle**2).sum(axis=1), (to_last**2).sum(axis=1)
    x = (to_last[:, 1] * squares[0] - to_middle[:, 1] * squares[1]) / double
    y = (to_middle[:, 0] * squares[1] - to_last[:, 0] * squares[0]) / double
    radius = np.hypot(x, y)
    centre = first + np.column_stack([x, y])
    off = np.abs(np.hypot(*(seen - centre[:, None]).transpose(2, 0, 1)) - radius[:, None])
    fits = bends & (off.max(axis=1) < _ROUND_WITHIN)
    # The angle at the rim over the chord is half of that at the centre.
    from_middle = last - middle
    inner = (to_middle * from_middle).sum(axis=1)
    turn = to_middle[:, 0] * from_middle[:, 1] - to_middle[:, 1] * from_middle[:, 0]
    quarter = np.arctan2(turn, inner) / 2
    bulges: Numbers = np.where(fits, np.tan(quarter), 0.0)
    return bulges
