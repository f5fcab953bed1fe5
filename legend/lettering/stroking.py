"""Strokes: a skeleton and a width in, the outline of the inked strokes out.

The edge of a stroke along a straight line is a straight line, along an arc an arc; along
any other curve it is a cubic fitted to within `FIT`. Ends are round or squared off, joins
round or mitred to match.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Literal

import numpy as np

from legend.lettering.curves import Combined, cleaned
from legend.lettering.outline import ROUNDNESS, Contour
from legend.lettering.skeleton import Arc, Bend, Point, Run, Segment, Skeleton, Straight, as_bends

Ends = Literal["round", "square"]

#: How far the edge of a stroke along a general curve may lie from its true place, mm.
FIT = 0.002

#: Directions that differ by less than this many radians run on without a corner.
_SMOOTH = 0.004
_TOUCHING = 1e-6


def stroked(skeleton: Skeleton, width: float, ends: Ends = "round") -> Combined:
    """The ink of all runs of a skeleton, drawn with a pen of `width` mm, as one outline."""
    half = width / 2
    contours: list[Contour] = []
    for index, run in enumerate(skeleton):
        contours.extend(_run_contours(run, half, ends, _covered_ends(skeleton, index)))
    if not contours:
        return Combined(cleaned(()).outline, False)
    return cleaned(contours)


def _run_contours(
    run: Run, half: float, ends: Ends, covered: tuple[bool, bool]
) -> Iterator[Contour]:
    if not run.segments:
        yield _dot(run.start, half, ends)
        return
    if run.closed and _is_dot(run, half):
        arc = run.segments[0]
        assert isinstance(arc, Arc)
        yield _dot(arc.centre, arc.radius + half, ends)
        return
    back = run.backwards()
    if run.closed:
        for way in (run, back):
            pen = _Pen()
            _side(pen, way, half, ends)
            yield pen.contour()
        return
    pen = _Pen()
    _side(pen, run, half, ends)
    _end(pen, run.segments[-1], half, ends, covered[1])
    _side(pen, back, half, ends)
    _end(pen, back.segments[-1], half, ends, covered[0])
    yield pen.contour()
    for segment in run.segments:
        if isinstance(segment, Arc) and segment.radius < half:
            yield _dot(segment.start, half, "round")
            yield _dot(segment.end, half, "round")


def _is_dot(run: Run, half: float) -> bool:
    first = run.segments[0]
    return (
        isinstance(first, Arc)
        and first.radius <= half
        and abs(
            sum(s.sweep for s in run.segments if isinstance(s, Arc) and s.centre == first.centre)
        )
        > math.tau - 1e-6
    )


def _dot(centre: Point, half: float, ends: Ends) -> Contour:
    pen = _Pen()
    x, y = centre
    if ends == "square":
        for dx, dy in ((-1, -1), (1, -1), (1, 1), (-1, 1), (-1, -1)):
            pen.line((x + dx * half, y + dy * half))
    else:
        pen.arc(Arc(centre, half, math.pi / 2, math.tau))
    return pen.contour()


class _Pen:
    """Gathers the pieces of one contour."""

    def __init__(self) -> None:
        self.codes: list[str] = []
        self.points: list[Point] = []

    def line(self, point: Point) -> None:
        if not self.points:
            self.points.append(point)
        elif math.dist(self.points[-1], point) > _TOUCHING:
            self.codes.append("L")
            self.points.append(point)

    def bends(self, bends: Sequence[Bend]) -> None:
        self.line(bends[0].start)
        for bend in bends:
            self.codes.append("C")
            self.points.extend(bend[1:])

    def arc(self, arc: Arc) -> None:
        self.bends(as_bends(arc, _in_quarter(arc.radius)))

    def contour(self) -> Contour:
        first, last = self.points[0], self.points[-1]
        if math.dist(first, last) <= _TOUCHING:
            self.points[-1] = first
        return Contour("".join(self.codes), np.array(self.points))


def _in_quarter(radius: float) -> int:
    count = 1
    while True:
        quarter = math.pi / 8 / count
        if radius * 4 / 27 * math.sin(quarter) ** 6 / math.cos(quarter) ** 2 <= ROUNDNESS:
            return count
        count += 1


def _side(pen: _Pen, run: Run, half: float, ends: Ends) -> None:
    """The edge on the right of a run, with its joins."""
    tangents = [segment.tangents for segment in run.segments]
    for index, segment in enumerate(run.segments):
        _edge(pen, segment, half)
        following = index + 1
        if following == len(run.segments):
            if not run.closed:
                return
            following = 0
        arriving, leaving = tangents[index][1], tangents[following][0]
        turn = math.atan2(
            arriving[0] * leaving[1] - arriving[1] * leaving[0],
            arriving[0] * leaving[0] + arriving[1] * leaving[1],
        )
        if abs(turn) < _SMOOTH:
            continue
        corner = segment.end
        begin = (corner[0] + half * arriving[1], corner[1] - half * arriving[0])
        end = (corner[0] + half * leaving[1], corner[1] - half * leaving[0])
        if turn < 0:
            pen.line(corner)
        elif ends == "round":
            pen.arc(Arc(corner, half, math.atan2(-arriving[0], arriving[1]), turn))
        else:
            for point in _mitre(corner, begin, arriving, end, leaving, half):
                pen.line(point)
        pen.line(end)


def _edge(pen: _Pen, segment: Segment, half: float) -> None:
    """The edge on the right of one piece."""
    (tx, ty), (ux, uy) = segment.tangents
    if isinstance(segment, Straight):
        pen.line((segment.start[0] + half * ty, segment.start[1] - half * tx))
        pen.line((segment.end[0] + half * uy, segment.end[1] - half * ux))
    elif isinstance(segment, Arc):
        radius = segment.radius + math.copysign(half, segment.sweep)
        if radius > _TOUCHING:
            pen.arc(Arc(segment.centre, radius, segment.begin, segment.sweep))
        else:
            pen.line((segment.start[0] + half * ty, segment.start[1] - half * tx))
            pen.line(segment.centre)
            pen.line((segment.end[0] + half * uy, segment.end[1] - half * ux))
    else:
        pen.bends(offset_bends(segment, half))


def _end(pen: _Pen, segment: Segment, half: float, ends: Ends, covered: bool) -> None:
    """Round the end of a run, from its right edge to its left."""
    x, y = segment.end
    tx, ty = segment.tangents[1]
    if covered:
        pen.line((x - half * ty, y + half * tx))
        return
    if ends == "round":
        pen.arc(Arc((x, y), half, math.atan2(-tx, ty), math.pi))
        return
    left, right = half, half
    if isinstance(segment, Straight) and abs(ty) > 0.63:
        # Cut level, so that heights agree.
        left, right = half / abs(ty) - half * tx / ty, half / abs(ty) + half * tx / ty
    pen.line((x + half * ty + right * tx, y - half * tx + right * ty))
    pen.line((x - half * ty + left * tx, y + half * tx + left * ty))
    pen.line((x - half * ty, y + half * tx))


def _mitre(
    corner: Point, begin: Point, arriving: Point, end: Point, leaving: Point, half: float
) -> list[Point]:
    """The outer corner of two edges, kept within the upright square round the corner."""
    cross = arriving[0] * leaving[1] - arriving[1] * leaving[0]
    reach = 3 * half
    if abs(cross) > 1e-6:
        along = ((end[0] - begin[0]) * leaving[1] - (end[1] - begin[1]) * leaving[0]) / cross
        reach = min(reach, along)
    tip = [
        begin,
        (begin[0] + reach * arriving[0], begin[1] + reach * arriving[1]),
        (end[0] - reach * leaving[0], end[1] - reach * leaving[1]),
        end,
    ]
    for axis, side in ((0, 1), (0, -1), (1, 1), (1, -1)):
        tip = _clipped(tip, axis, side, corner[axis] * side + half)
    return tip


def _clipped(points: list[Point], axis: int, side: int, limit: float) -> list[Point]:
    """An open polyline whose ends are inside, cut straight along a limit."""
    kept: list[Point] = []
    for index, point in enumerate(points):
        inside = point[axis] * side <= limit + 1e-12
        if index:
            before = points[index - 1]
            was_inside = before[axis] * side <= limit + 1e-12
            if inside != was_inside:
                part = (limit * side - before[axis]) / (point[axis] - before[axis])
                kept.append(
                    (
                        before[0] + part * (point[0] - before[0]),
                        before[1] + part * (point[1] - before[1]),
                    )
                )
        if inside:
            kept.append(point)
    return kept


def _covered_ends(skeleton: Skeleton, index: int) -> tuple[bool, bool]:
    """Whether the start and the end of a run lie on a stroke that covers their caps."""
    run = skeleton[index]
    if run.closed or not run.segments:
        return False, False

    def covered(point: Point, own: Segment, at_start: bool) -> bool:
        for other_index, other in enumerate(skeleton):
            for number, segment in enumerate(other.segments):
                if segment is own and other_index == index:
                    continue
                if not _lies_on(point, segment):
                    continue
                if other_index == index:
                    return True
                at_end = not other.closed and (
                    (number == 0 and math.dist(point, segment.start) < _TOUCHING)
                    or (
                        number == len(other.segments) - 1
                        and math.dist(point, segment.end) < _TOUCHING
                    )
                )
                if not at_end or other_index < index:
                    return True
        return False

    return (
        covered(run.segments[0].start, run.segments[0], True),
        covered(run.segments[-1].end, run.segments[-1], False),
    )


def _lies_on(point: Point, segment: Segment) -> bool:
    x, y = point
    if isinstance(segment, Straight):
        (x0, y0), (x1, y1) = segment
        length = math.dist(segment.start, segment.end)
        tx, ty = (x1 - x0) / length, (y1 - y0) / length
        along = (x - x0) * tx + (y - y0) * ty
        across = (y - y0) * tx - (x - x0) * ty
        return abs(across) < _TOUCHING and -_TOUCHING < along < length + _TOUCHING
    if isinstance(segment, Arc):
        cx, cy = segment.centre
        if abs(math.hypot(x - cx, y - cy) - segment.radius) > _TOUCHING:
            return False
        angle = (math.atan2(y - cy, x - cx) - segment.begin) * math.copysign(1, segment.sweep)
        return angle % math.tau < abs(segment.sweep) + 1e-9
    return min(math.dist(point, segment.start), math.dist(point, segment.end)) < _TOUCHING


# --- Edges along general curves ---


def offset_bends(bend: Bend, half: float) -> list[Bend]:
    """The right edge of a cubic, `half` away from it, as cubics within `FIT`."""
    return _fitted(bend, half, 0.0, 1.0, 6)


def _fitted(bend: Bend, half: float, t0: float, t1: float, depth: int) -> list[Bend]:
    p, s = _offset_at(bend, t0, half)
    q, e = _offset_at(bend, t1, half)
    middle, _ = _offset_at(bend, (t0 + t1) / 2, half)
    # Handles along the tangents, so long that the curve passes through the middle.
    mx = (middle[0] - (p[0] + q[0]) / 2) * 8 / 3
    my = (middle[1] - (p[1] + q[1]) / 2) * 8 / 3
    cross = s[0] * -e[1] - s[1] * -e[0]
    chord = math.dist(p, q)
    if abs(cross) > 0.02:
        a = (mx * -e[1] - my * -e[0]) / cross
        b = (s[0] * my - s[1] * mx) / cross
    else:
        a = b = chord / 3
    sound = 0 < a < 2 * chord and 0 < b < 2 * chord
    fit = Bend(p, (p[0] + a * s[0], p[1] + a * s[1]), (q[0] - b * e[0], q[1] - b * e[1]), q)
    if depth == 0 or (sound and _strays(fit, bend, half, t0, t1) < FIT):
        return [fit]
    halfway = (t0 + t1) / 2
    return _fitted(bend, half, t0, halfway, depth - 1) + _fitted(bend, half, halfway, t1, depth - 1)


def _strays(fit: Bend, bend: Bend, half: float, t0: float, t1: float) -> float:
    """How far the fitted edge strays from `half` away from its curve."""
    most = 0.0
    for u in (0.12, 0.27, 0.42, 0.58, 0.73, 0.88):
        x, y = _bend_at(fit, u)
        t = t0 + (t1 - t0) * u
        for _ in range(3):
            (cx, cy), (dx, dy) = _bend_at(bend, t), _slope_at(bend, t)
            t += ((x - cx) * dx + (y - cy) * dy) / (dx * dx + dy * dy or 1.0)
        t = min(max(t, 0.0), 1.0)
        most = max(most, abs(math.dist((x, y), _bend_at(bend, t)) - half))
    return most


def _bend_at(bend: Bend, t: float) -> Point:
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = bend
    s = 1 - t
    a, b, c, d = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
    return a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3


def _slope_at(bend: Bend, t: float) -> Point:
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = bend
    s = 1 - t
    a, b, c = 3 * s * s, 6 * s * t, 3 * t * t
    return (
        a * (x1 - x0) + b * (x2 - x1) + c * (x3 - x2),
        a * (y1 - y0) + b * (y2 - y1) + c * (y3 - y2),
    )


def _offset_at(bend: Bend, t: float, half: float) -> tuple[Point, Point]:
    """The point of the right edge beside t, and the unit direction there."""
    if t in (0.0, 1.0):
        dx, dy = bend.tangents[int(t)]
    else:
        dx, dy = _slope_at(bend, t)
        length = math.hypot(dx, dy) or 1.0
        dx, dy = dx / length, dy / length
    x, y = _bend_at(bend, t)
    return (x + half * dy, y - half * dx), (dx, dy)
