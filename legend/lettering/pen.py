"""The edge of a pen: pieces of a skeleton in, the edge of the ink on their right out.

The edge along a straight line is a straight line, along an arc an arc; along a cubic it is
fitted. Ends are round or squared off, and corners are round or mitred to match.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import Literal

from legend.lettering.offsets import beside
from legend.lettering.skeleton import (
    Arc,
    Bend,
    Point,
    Run,
    Segment,
    Straight,
    bend_at,
    part_of,
    slope_at,
)

Ends = Literal["round", "square"]

#: Directions that differ by less than this many radians run on without a corner.
_SMOOTH = 0.004
#: Straight ends steeper than this (sine of the angle to the level) are cut level.
_STEEP = 0.72
#: A cubic whose control points turn by less than this in all bends evenly, radians.
_PLAIN_TURN = 1.8
#: A cubic that turns by more than this in a thirty-second of its course is sharp, radians.
_SUDDEN = 0.5
#: A tight cubic is halved at most so often before it counts as a point to turn on.
_MOST_HALVINGS = 6


def dot(box: tuple[float, float, float, float], half: float, ends: Ends) -> list[Segment]:
    """A disc of the pen's width, or a rectangle half a pen larger all round than a box."""
    left, bottom, right, top = box
    if ends == "round":
        return [Arc.about(((left + right) / 2, (bottom + top) / 2), half, math.pi / 2, math.tau)]
    left, bottom, right, top = left - half, bottom - half, right + half, top + half
    corners = [(left, bottom), (right, bottom), (right, top), (left, top)]
    return [Straight(corners[i - 1], corners[i]) for i in range(4)]


def without_sharp_turns(run: Run, fit: float) -> Run:
    """The run with arcs within `fit` in place of cubics that turn too suddenly to be followed."""
    if not any(isinstance(segment, Bend) and _is_sharp(segment) for segment in run.segments):
        return run
    segments: list[Segment] = []
    for segment in run.segments:
        if isinstance(segment, Bend) and _is_sharp(segment):
            segments.extend(_as_arcs(segment, fit, _MOST_HALVINGS * 2))
        else:
            segments.append(segment)
    return run._replace(segments=tuple(segments))


class Trail:
    """The right edge of a pen as it goes along."""

    def __init__(self, half: float, ends: Ends, fit: float) -> None:
        self._half = half
        self._ends = ends
        self._fit = fit
        self._edges: list[Segment] = []
        #: Discs that fill what the edge leaves open on the inside of a tight bend.
        self.discs: list[list[Segment]] = []
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
        self._line_to((x + half * ty + right * tx, y - half * tx + right * ty))
        self._line_to((x - half * ty + left * tx, y + half * tx + left * ty))
        self._line_to((x - half * ty, y + half * tx))

    def stop(self, segment: Segment) -> None:
        """Cut off the end of a run square, where it lies within another stroke."""
        (x, y), (tx, ty) = segment.end, segment.tangents[1]
        self._line_to((x - self._half * ty, y + self._half * tx))

    def _line_to(self, point: Point) -> None:
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
                self._line_to(self._first)
        return self._edges

    def _is_near(self, point: Point) -> bool:
        """Whether the last edge may run straight on from here."""
        return math.dist(self._at, point) <= _SMOOTH * self._half

    def _arc(self, centre: Point, radius: float, begin: float, sweep: float) -> None:
        arc = Arc.about(centre, radius, begin, sweep)
        if self._first is None or not self._is_near(arc.start):
            self._line_to(arc.start)
        self._edges.append(arc._replace(start=self._at))
        self._at = arc.end

    def _along(self, segment: Segment) -> None:
        half = self._half
        (x0, y0), (x1, y1) = segment.start, segment.end
        (tx, ty), (ux, uy) = segment.tangents
        begin, end = (x0 + half * ty, y0 - half * tx), (x1 + half * uy, y1 - half * ux)
        if self._first is None or not self._is_near(begin):
            self._line_to(begin)
        if isinstance(segment, Straight):
            self._line_to(end)
        elif isinstance(segment, Arc):
            self._along_arc(segment, end)
        else:
            self._along_bend(segment, _MOST_HALVINGS)

    def _along_arc(self, arc: Arc, end: Point) -> None:
        radius = arc.radius + math.copysign(self._half, arc.sweep)
        if radius > 1e-6:
            self._arc(arc.centre, radius, arc.begin, arc.sweep)
            return
        # Tighter than the pen: a sector of the circle, and the pen's round at both its ends,
        # a hair smaller so that it does not run along the edges that it touches.
        self._line_to(arc.centre)
        self._line_to(end)
        for x, y in (arc.start, arc.end):
            self.discs.append(dot((x, y, x, y), self._half - 1.5 * self._fit, "round"))

    def _along_bend(self, bend: Bend, halvings: int) -> None:
        if not _is_tight(bend, self._half):
            for edge in beside(bend, self._half, self._fit):
                self._edges.append(edge._replace(start=self._at))
                self._at = edge.end
            return
        arc = _as_arc(bend, self._fit)
        if arc is None and halvings:
            self._along_bend(part_of(bend, 0.0, 0.5), halvings - 1)
            self._along_bend(part_of(bend, 0.5, 1.0), halvings - 1)
            return
        (x, y), (tx, ty) = bend.end, bend.tangents[1]
        end = (x + self._half * ty, y - self._half * tx)
        if arc is None:
            self._line_to(end)
        else:
            self._along_arc(arc, end)

    def _corner(self, before: Segment, after: Segment) -> None:
        """Go round the corner between two pieces: outside along the join, inside by way of
        the corner itself, so that what is covered stays counter-clockwise."""
        half = self._half
        (ax, ay), (lx, ly) = before.tangents[1], after.tangents[0]
        turn = math.atan2(ax * ly - ay * lx, ax * lx + ay * ly)
        if abs(turn) < _SMOOTH:
            return
        if abs(turn) > math.pi - _SMOOTH:  # the pen comes back: its end is outside on both sides
            turn = abs(turn)
        x, y = corner = before.end
        begin, end = (x + half * ay, y - half * ax), (x + half * ly, y - half * lx)
        if turn < 0:
            self._line_to(corner)
        elif self._ends == "round":
            self._arc(corner, half, math.atan2(-ax, ay), turn)
        else:
            for point in _mitre(corner, begin, (ax, ay), end, (lx, ly), half):
                self._line_to(point)
        self._line_to(end)


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


def _is_sharp(bend: Bend) -> bool:
    """Whether a cubic turns so suddenly somewhere that no fitted edge follows it."""
    if _is_plain(bend):
        return False
    slopes = [slope_at(bend, i / 32) for i in range(33)]
    headings = [math.atan2(dy, dx) for dx, dy in slopes if dx or dy]
    return any(abs(_turned(a, b)) > _SUDDEN for a, b in itertools.pairwise(headings))


def _is_plain(bend: Bend) -> bool:
    """Whether the control points of a cubic turn so little that it bends evenly."""
    legs = [(p, q) for p, q in itertools.pairwise(bend) if math.dist(p, q) > 1e-9]
    headings = [math.atan2(y1 - y0, x1 - x0) for (x0, y0), (x1, y1) in legs]
    turns = [abs(_turned(a, b)) for a, b in itertools.pairwise(headings)]
    return sum(turns) < _PLAIN_TURN


def _turned(first: float, second: float) -> float:
    """From one heading to another, the short way round."""
    return (second - first + math.pi) % math.tau - math.pi


def _is_tight(bend: Bend, half: float) -> bool:
    """Whether a cubic bends to the right more tightly than the pen's right side can follow."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = bend
    count = 8 if _is_plain(bend) else 48
    for i in range(count + 1):
        t = i / count
        s = 1 - t
        dx, dy = slope_at(bend, t)
        ex = 6 * (s * (x2 - 2 * x1 + x0) + t * (x3 - 2 * x2 + x1))
        ey = 6 * (s * (y2 - 2 * y1 + y0) + t * (y3 - 2 * y2 + y1))
        if (dy * ex - dx * ey) * half > (dx * dx + dy * dy) ** 1.5:
            return True
    return False


def _as_arcs(bend: Bend, fit: float, halvings: int) -> list[Straight | Arc]:
    """A cubic as arcs and straight lines within `fit` of it."""
    if max(math.dist(bend.start, point) for point in bend[1:]) < fit or not halvings:
        return [Straight(bend.start, bend.end)] if bend.start != bend.end else []
    arc = _as_arc(bend, fit)
    if arc is not None:
        return [arc]
    first, second = part_of(bend, 0.0, 0.5), part_of(bend, 0.5, 1.0)
    return _as_arcs(first, fit, halvings - 1) + _as_arcs(second, fit, halvings - 1)


def _as_arc(bend: Bend, fit: float) -> Arc | None:
    """The arc through the ends and the middle of a cubic; None where it strays from it."""
    (x0, y0), (x1, y1), (x2, y2) = bend.start, bend_at(bend, 0.5), bend.end
    ax, ay, bx, by = x1 - x0, y1 - y0, x2 - x0, y2 - y0
    cross = 2 * (ax * by - ay * bx)
    if abs(cross) < 1e-12:
        return None
    aa, bb = ax * ax + ay * ay, bx * bx + by * by
    cx, cy = (by * aa - ay * bb) / cross, (ax * bb - bx * aa) / cross
    centre, radius = (x0 + cx, y0 + cy), math.hypot(cx, cy)
    if any(
        abs(math.dist(bend_at(bend, t), centre) - radius) > fit / 2 for t in (0.15, 0.3, 0.7, 0.85)
    ):
        return None
    begin = math.atan2(-cy, -cx)
    sweep = math.atan2(by - cy, bx - cx) - begin
    sweep = sweep % math.tau if cross > 0 else sweep % math.tau - math.tau
    return Arc(bend.start, bend.end, centre, radius, begin, sweep)
