"""Strokes: a skeleton and a pen's width in, the edges of the ink out.

The edge of a stroke along a straight line is a straight line, along an arc an arc; along
any other curve it is a cubic fitted to within `FIT`. Ends are round or squared off, and
joins are round or mitred to match. What overlaps is joined: lines and arcs exactly, by
trimming; other curves by the engine behind `curves`.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from typing import Literal, NamedTuple

import numpy as np

from legend.lettering.curves import cleaned
from legend.lettering.offsets import beside
from legend.lettering.outline import ROUNDNESS, Contour, Outline
from legend.lettering.skeleton import (
    Arc,
    Bend,
    Point,
    Run,
    Segment,
    Skeleton,
    Straight,
    as_bends,
    bend_at,
)
from legend.lettering.trimming import Edge, UntrimmableError, trimmed

Ends = Literal["round", "square"]

#: How far the edge of a stroke along a general curve may lie from its true place, mm.
FIT = 0.001

#: Directions that differ by less than this many radians run on without a corner.
_SMOOTH = 0.004
#: An end this near to the middle of another stroke, in pen widths, stops in it.
_STOPS_IN = 1e-3
#: With more edges than this, trimming one by one is slower than the engine.
_MANY_EDGES = 150
#: Straight ends steeper than this (sine of the angle to the level) are cut level.
_STEEP = 0.64


class Ink(NamedTuple):
    """The edges of strokes: closed loops with the ink on their left, joined and clean.

    `flattened` is True where the loops had to be made of straight lines.
    """

    loops: tuple[tuple[Segment, ...], ...]
    flattened: bool = False

    def outline(self, scale: float = 1.0) -> Outline:
        """The ink `scale` times as large, in mm, its arcs as the fewest cubics."""
        return Outline(tuple(_contour(loop, scale) for loop in self.loops))


def inked(skeleton: Skeleton, width: float, ends: Ends, unit: float) -> Ink:
    """The ink of a skeleton drawn with a pen of `width`.

    The skeleton's size is about 1, and `unit` is the size in mm at which it will be used,
    or the largest: general curves are fitted for that.
    """
    contours = _raw_contours(skeleton, width / 2, ends, FIT / unit)
    exact = [[edge for edge in contour if not isinstance(edge, Bend)] for contour in contours]
    edges = sum(len(contour) for contour in contours)
    if edges == sum(len(contour) for contour in exact) <= _MANY_EDGES:
        try:
            return Ink(tuple(tuple(loop) for loop in trimmed(exact)))
        except UntrimmableError:
            pass
    outline, flattened = cleaned([_contour(contour, unit) for contour in contours])
    return Ink(tuple(_loop(contour, unit) for contour in outline.contours), flattened)


# --- Contours of single strokes ---


def _raw_contours(skeleton: Skeleton, half: float, ends: Ends, fit: float) -> list[list[Segment]]:
    """Closed contours that together cover the ink, counter-clockwise, overlapping."""
    contours: list[list[Segment]] = []
    for number, run in enumerate(skeleton):
        box = _box(run)
        size = max(box[2] - box[0], box[3] - box[1])
        is_loop = run.closed and size > 0
        if not run.segments or (is_loop and size <= half and ends == "square"):
            contours.append(_dot(box, half, ends))
        elif is_loop:
            ways = [run, run.backwards()]
            if size < 2.001 * half:  # nothing is left of the inside
                ways = [way for way in ways if _turns_left(way)]
            for way in ways:
                trail = _Trail(half, ends, fit)
                trail.follow(way)
                contours.append(trail.closed())
        else:
            stops = _stops(skeleton, number, half)
            trail = _Trail(half, ends, fit)
            for way, stop in ((run, stops[1]), (run.backwards(), stops[0])):
                trail.follow(way)
                if stop:
                    trail.line_to(_left_of(way.segments[-1], half))
                else:
                    trail.turn_round(way.segments[-1])
            contours.append(trail.closed())
        contours.extend(
            _dot((*point, *point), half, "round")
            for segment in run.segments
            if isinstance(segment, Arc) and segment.radius < half and not is_loop
            for point in (segment.start, segment.end)
        )
    return contours


def _box(run: Run) -> tuple[float, float, float, float]:
    """Left, bottom, right, top of a run."""
    points = [run.start]
    for segment in run.segments:
        if isinstance(segment, Arc):
            points.extend(bend.end for bend in as_bends(segment, 4))
        elif isinstance(segment, Bend):
            points.extend(bend_at(segment, i / 8) for i in range(1, 8))
        points.append(segment.end)
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def _turns_left(run: Run) -> bool:
    """Whether a closed run goes counter-clockwise."""
    points = [point for segment in run.segments for point in _halves(segment)]
    pairs = zip(points, points[1:] + points[:1], strict=True)
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs) > 0


def _halves(segment: Segment) -> tuple[Point, ...]:
    if isinstance(segment, Arc):
        return tuple(bend.start for bend in as_bends(segment, 1))
    if isinstance(segment, Bend):
        return segment.start, bend_at(segment, 0.5)
    return (segment.start,)


def _dot(box: tuple[float, float, float, float], half: float, ends: Ends) -> list[Segment]:
    """A disc of the pen's width, or a rectangle half a pen larger all round than a box."""
    left, bottom, right, top = box
    if ends == "round":
        return [Arc.about(((left + right) / 2, (bottom + top) / 2), half, math.pi / 2, math.tau)]
    left, bottom, right, top = left - half, bottom - half, right + half, top + half
    corners = [(left, bottom), (right, bottom), (right, top), (left, top)]
    return [Straight(corners[i - 1], corners[i]) for i in range(4)]


def _left_of(segment: Segment, half: float) -> Point:
    """The point of the left edge beside the end of a piece."""
    (x, y), (tx, ty) = segment.end, segment.tangents[1]
    return x - half * ty, y + half * tx


class _Trail:
    """The right edge of a pen as it goes along."""

    def __init__(self, half: float, ends: Ends, fit: float) -> None:
        self._half = half
        self._ends = ends
        self._fit = fit
        self._edges: list[Segment] = []
        self._first: Point | None = None
        self._at: Point = (0.0, 0.0)

    def follow(self, run: Run) -> None:
        """Go along the right side of a run, round its corners."""
        segments = run.segments
        for index, segment in enumerate(segments):
            self._along(segment)
            if index + 1 < len(segments):
                self._corner(segment, segments[index + 1])
            elif run.closed:
                self._corner(segment, segments[0])

    def turn_round(self, segment: Segment) -> None:
        """Go round the end of a run, from its right side to its left."""
        half = self._half
        (x, y), (tx, ty) = segment.end, segment.tangents[1]
        if self._ends == "round":
            self._arc((x, y), half, math.atan2(-tx, ty), math.pi)
            return
        right = left = half
        if isinstance(segment, Straight) and abs(ty) > _STEEP:
            right, left = half / abs(ty) + half * tx / ty, half / abs(ty) - half * tx / ty
        self.line_to((x + half * ty + right * tx, y - half * tx + right * ty))
        self.line_to((x - half * ty + left * tx, y + half * tx + left * ty))
        self.line_to((x - half * ty, y + half * tx))

    def line_to(self, point: Point) -> None:
        if self._first is None:
            self._first = point
        elif math.dist(self._at, point) > 1e-9:
            self._edges.append(Straight(self._at, point))
        else:
            return
        self._at = point

    def closed(self) -> list[Segment]:
        """The contour gone along, closed."""
        if self._edges and self._first is not None:
            if self._is_near(self._first):
                self._edges[-1] = self._edges[-1]._replace(end=self._first)
            else:
                self.line_to(self._first)
        return self._edges

    def _is_near(self, point: Point) -> bool:
        """Whether the last edge may run straight on from here."""
        return math.dist(self._at, point) <= _SMOOTH * self._half

    def _arc(self, centre: Point, radius: float, begin: float, sweep: float) -> None:
        arc = Arc.about(centre, radius, begin, sweep)
        if self._first is None or not self._is_near(arc.start):
            self.line_to(arc.start)
        self._edges.append(arc._replace(start=self._at))
        self._at = arc.end

    def _along(self, segment: Segment) -> None:
        half = self._half
        (x0, y0), (x1, y1) = segment.start, segment.end
        (tx, ty), (ux, uy) = segment.tangents
        begin, end = (x0 + half * ty, y0 - half * tx), (x1 + half * uy, y1 - half * ux)
        if self._first is None or not self._is_near(begin):
            self.line_to(begin)
        if isinstance(segment, Straight):
            self.line_to(end)
        elif isinstance(segment, Arc):
            radius = segment.radius + math.copysign(half, segment.sweep)
            if radius > 1e-6:
                self._arc(segment.centre, radius, segment.begin, segment.sweep)
            else:
                self.line_to(segment.centre)
                self.line_to(end)
        elif _is_tight(segment, half):
            pieces = _as_lines(segment, self._fit)
            for piece, following in itertools.pairwise(pieces):
                self._along(piece)
                self._corner(piece, following)
            self._along(pieces[-1])
        else:
            for bend in beside(segment, half, self._fit):
                self._edges.append(bend._replace(start=self._at))
                self._at = bend.end

    def _corner(self, before: Segment, after: Segment) -> None:
        """Go round the corner between two pieces: outside along the join, inside by way of
        the corner itself, so that what is covered stays counter-clockwise."""
        half = self._half
        (ax, ay), (lx, ly) = before.tangents[1], after.tangents[0]
        turn = math.atan2(ax * ly - ay * lx, ax * lx + ay * ly)
        if abs(turn) < _SMOOTH:
            return
        x, y = corner = before.end
        begin, end = (x + half * ay, y - half * ax), (x + half * ly, y - half * lx)
        if turn < 0:
            self.line_to(corner)
        elif self._ends == "round":
            self._arc(corner, half, math.atan2(-ax, ay), turn)
        else:
            for point in _mitre(corner, begin, (ax, ay), end, (lx, ly), half):
                self.line_to(point)
        self.line_to(end)


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
    for axis in (0, 1):
        for side in (1.0, -1.0):
            tip = _cut_off(tip, axis, side, side * corner[axis] + half)
    return tip


def _cut_off(points: Sequence[Point], axis: int, side: float, limit: float) -> list[Point]:
    """A polyline without what lies beyond a limit on one side; its ends lie within."""
    kept: list[Point] = []
    before = points[0]
    for point in points:
        beyond, was_beyond = side * point[axis] - limit, side * before[axis] - limit
        if (beyond > 1e-9) != (was_beyond > 1e-9):
            part = was_beyond / (was_beyond - beyond)
            dx, dy = point[0] - before[0], point[1] - before[1]
            kept.append((before[0] + part * dx, before[1] + part * dy))
        if beyond <= 1e-9:
            kept.append(point)
        before = point
    return kept


def _is_tight(bend: Bend, half: float) -> bool:
    """Whether a cubic bends more tightly than the pen can follow on the inside."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = bend
    for i in range(17):
        t = i / 16
        s = 1 - t
        a, b, c = s * s, 2 * s * t, t * t
        dx = 3 * (a * (x1 - x0) + b * (x2 - x1) + c * (x3 - x2))
        dy = 3 * (a * (y1 - y0) + b * (y2 - y1) + c * (y3 - y2))
        ex = 6 * (s * (x2 - 2 * x1 + x0) + t * (x3 - 2 * x2 + x1))
        ey = 6 * (s * (y2 - 2 * y1 + y0) + t * (y3 - 2 * y2 + y1))
        if abs(dx * ey - dy * ex) * half * 1.1 > (dx * dx + dy * dy) ** 1.5:
            return True
    return False


def _as_lines(bend: Bend, fit: float) -> list[Straight]:
    """A cubic as straight pieces within `fit` of it."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = bend
    bulge = max(
        math.hypot(x0 - 2 * x1 + x2, y0 - 2 * y1 + y2),
        math.hypot(x1 - 2 * x2 + x3, y1 - 2 * y2 + y3),
    )
    count = max(1, math.ceil(math.sqrt(0.75 * bulge / fit)))
    points = [bend_at(bend, i / count) for i in range(count + 1)]
    return [Straight(p, q) for p, q in itertools.pairwise(points) if p != q]


# --- Ends that stop in other strokes ---


def _stops(skeleton: Skeleton, number: int, half: float) -> tuple[bool, bool]:
    """Whether the start and the end of a run lie in the middle of a stroke that covers them.

    Where ends of two runs meet, the first of them goes round the place.
    """
    run = skeleton[number]

    def stops(end: Point, own: Segment) -> bool:
        for other_number, other in enumerate(skeleton):
            last = len(other.segments) - 1
            for index, segment in enumerate(other.segments):
                if segment is own or not _lies_on(end, segment, _STOPS_IN * half):
                    continue
                ends = [segment.start] * (index == 0) + [segment.end] * (index == last)
                is_end = not other.closed and any(
                    math.dist(end, point) <= _STOPS_IN * half for point in ends
                )
                if not is_end or other_number < number:
                    return True
        return False

    first, last = run.segments[0], run.segments[-1]
    return stops(first.start, first), stops(last.end, last)


def _lies_on(point: Point, segment: Segment, slack: float) -> bool:
    x, y = point
    if isinstance(segment, Straight):
        (x0, y0), (tx, ty) = segment.start, segment.tangents[0]
        along = (x - x0) * tx + (y - y0) * ty
        across = (y - y0) * tx - (x - x0) * ty
        length = math.dist(segment.start, segment.end)
        return abs(across) < slack and -slack < along < length + slack
    if isinstance(segment, Arc):
        cx, cy = segment.centre
        if abs(math.hypot(x - cx, y - cy) - segment.radius) > slack:
            return False
        angle = math.atan2(y - cy, x - cx)
        turned = angle - segment.begin if segment.sweep > 0 else segment.begin - angle
        spare = slack / segment.radius
        return (turned + spare) % math.tau < abs(segment.sweep) + 2 * spare
    pieces = _as_lines(segment, slack)
    return any(_lies_on(point, piece, 2 * slack) for piece in pieces)


# --- Loops and contours ---


def _contour(loop: Iterable[Segment], scale: float) -> Contour:
    codes: list[str] = []
    points: list[Point] = []
    for segment in loop:
        if not points:
            points.append(segment.start)
        if isinstance(segment, Straight):
            codes.append("L")
            points.append(segment.end)
        elif isinstance(segment, Arc):
            bends = as_bends(segment, _in_quarter(segment.radius * scale))
            codes.append("C" * len(bends))
            for bend in bends:
                points.extend(bend[1:])
        else:
            codes.append("C")
            points.extend(segment[1:])
    points[-1] = points[0]
    return Contour("".join(codes), np.array(points) * scale)


def _in_quarter(radius: float) -> int:
    """How many cubics make a quarter circle within `ROUNDNESS`."""
    count = 1
    while True:
        quarter = math.pi / 8 / count
        if radius * 4 / 27 * math.sin(quarter) ** 6 / math.cos(quarter) ** 2 <= ROUNDNESS:
            return count
        count += 1


def _loop(contour: Contour, unit: float) -> tuple[Segment, ...]:
    """A contour of lines and cubics, in mm, as a loop `unit` times smaller."""
    loop: list[Segment] = []
    for code, points in contour.segments():
        corners = [(x / unit, y / unit) for x, y in points.tolist()]
        if code == "L":
            loop.append(Straight(corners[0], corners[1]))
        elif code == "C":
            loop.append(Bend(*corners))
        else:
            start, control, end = corners
            loop.append(Bend(start, _third(start, control), _third(end, control), end))
    return tuple(loop)


def _third(end: Point, control: Point) -> Point:
    return end[0] + (control[0] - end[0]) * 2 / 3, end[1] + (control[1] - end[1]) * 2 / 3


__all__ = ["FIT", "Edge", "Ends", "Ink", "inked"]
