"""The edge of a pen: pieces of a skeleton in, the edge of the ink on their right out.

The edge along a straight line is a straight line, along an arc an arc; along a cubic, which
must not turn too tightly, it is fitted. Ends are round or squared off, and corners are round
or mitred to match.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from legend.lettering.outlines.outline import Box
from legend.lettering.strokes.offsets import beside
from legend.lettering.strokes.skeleton import Arc, Point, Run, Segment, Straight, angle_between

#: How a pen ends a stroke.
Ends = Literal["round", "square"]

#: Directions that differ by less than this many radians run on without a corner.
_SMOOTH = 0.004
#: Straight ends steeper than this (sine of the angle to the level) are cut level.
_STEEP = 0.64


def dot(box: Box, half: float, ends: Ends) -> list[Segment]:
    """A disc of the pen's width, or a rectangle half a pen larger all round than a box."""
    left, bottom, right, top = box
    if ends == "round":
        return [Arc.about(((left + right) / 2, (bottom + top) / 2), half, math.pi / 2, math.tau)]
    left, bottom, right, top = left - half, bottom - half, right + half, top + half
    corners = [(left, bottom), (right, bottom), (right, top), (left, top)]
    return [Straight(corners[i - 1], corners[i]) for i in range(4)]


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
        following = [*segments[1:], segments[0] if run.closed else None]
        turns = [
            None if after is None else angle_between(before.tangents[1], after.tangents[0])
            for before, after in zip(segments, following, strict=True)
        ]
        runs_on = [turn is not None and abs(turn) < _SMOOTH for turn in turns]
        for index, segment in enumerate(segments):
            self._along(segment, runs_on[index - 1], runs_on[index])
            turn, after = turns[index], following[index]
            if turn is not None and after is not None and not runs_on[index]:
                self._corner(segment, after, turn)

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

    def _along(self, segment: Segment, runs_in: bool, runs_on: bool) -> None:
        """Go along one piece; it runs in or on where its neighbour there goes the same way."""
        half = self._half
        (x0, y0), (x1, y1) = segment.start, segment.end
        (tx, ty), (ux, uy) = segment.tangents
        begin, end = (x0 + half * ty, y0 - half * tx), (x1 + half * uy, y1 - half * ux)
        if self._first is None or not self._is_near(begin):
            self._line_to(begin)
        if isinstance(segment, Straight):
            self._line_to(end)
        elif isinstance(segment, Arc):
            self._along_arc(segment, end, runs_in, runs_on)
        else:
            for edge in beside(segment, half, self._fit):
                self._edges.append(edge._replace(start=self._at))
                self._at = edge.end

    def _along_arc(self, arc: Arc, end: Point, runs_in: bool, runs_on: bool) -> None:
        radius = arc.radius + math.copysign(self._half, arc.sweep)
        if radius > 1e-6:
            self._arc(arc.centre, radius, arc.begin, arc.sweep)
            return
        # Tighter than the pen: a sector of the circle, and the pen's round at both ends of
        # it. Where the stroke runs on, a lesser disc does, which touches no other edge.
        self._line_to(arc.centre)
        self._line_to(end)
        for (x, y), lesser in ((arc.start, runs_in), (arc.end, runs_on)):
            self.discs.append(dot((x, y, x, y), self._half * (0.9 if lesser else 1.0), "round"))

    def _corner(self, before: Segment, after: Segment, turn: float) -> None:
        """Go round the corner between two pieces: outside along the join, inside by way of
        the corner itself, so that what is covered stays counter-clockwise."""
        half = self._half
        (ax, ay), (lx, ly) = before.tangents[1], after.tangents[0]
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
