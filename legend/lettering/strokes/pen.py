"""Trace the edge of the ink along a skeleton, on its right.

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
from legend.lettering.strokes.skeleton import Arc, Run, Segment, Straight
from legend.vector import Vector

#: How a pen ends a stroke.
Ends = Literal["round", "square"]

#: Directions that differ by less than this many radians run on without a corner.
_SMOOTH = 0.004
#: Ends steeper than this (sine of the angle to the level) are cut level: straight ones, which
#: stand on a line, and curved ones, of which those less steep end in the open, as a C does.
_STEEP, _STEEP_CURVED = 0.64, 0.9


def dot(box: Box, half: float, ends: Ends) -> list[Segment]:
    """A disc of the pen's width, or a rectangle half a pen larger all round than a box."""
    left, bottom, right, top = box
    if ends == "round":
        middle = Vector((left + right) / 2, (bottom + top) / 2)
        return [Arc.about(middle, half, math.pi / 2, math.tau)]
    left, bottom, right, top = left - half, bottom - half, right + half, top + half
    sides = (left, bottom), (right, bottom), (right, top), (left, top)
    corners = [Vector(*corner) for corner in sides]
    return [Straight(corners[i - 1], corners[i]) for i in range(4)]


class Trail:
    """The right edge of a pen as it goes along."""

    def __init__(self, half: float, ends: Ends, fit: float) -> None:
        self._half = half
        self._ends = ends
        self._fit = fit
        self._edges: list[Segment] = []
        self._first: Vector | None = None
        self._at = Vector(0.0, 0.0)

    def follow(self, run: Run) -> None:
        """Go along the right side of a run, round its corners."""
        segments = run.segments
        following = [*segments[1:], segments[0] if run.closed else None]
        turns = [
            None if after is None else before.tangents[1].turn_to(after.tangents[0])
            for before, after in zip(segments, following, strict=True)
        ]
        runs_on = [turn is not None and abs(turn) < _SMOOTH for turn in turns]
        for index, segment in enumerate(segments):
            self._along(segment)
            turn, after = turns[index], following[index]
            if turn is not None and after is not None and not runs_on[index]:
                self._corner(segment, after, turn)

    def turn_round(self, segment: Segment) -> None:
        """Go round the end of a run, from its right side to its left."""
        half, end, way = self._half, segment.end, segment.tangents[1]
        if self._ends == "round":
            self._arc(end, half, way.right.angle, math.pi)
            return
        right = left = half
        if abs(way.y) > (_STEEP if isinstance(segment, Straight) else _STEEP_CURVED):
            level, aside = half / abs(way.y), half * way.x / way.y
            right, left = level + aside, level - aside
        self._line_to(end + half * way.right + right * way)
        self._line_to(end + half * way.left + left * way)
        self._line_to(end + half * way.left)

    def stop(self, segment: Segment) -> None:
        """Cut off the end of a run square, where it lies within another stroke."""
        self._line_to(segment.end + self._half * segment.tangents[1].left)

    def _line_to(self, point: Vector) -> None:
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

    def _is_near(self, point: Vector) -> bool:
        """Whether the last edge may run straight on from here."""
        return math.dist(self._at, point) <= _SMOOTH * self._half

    def _arc(self, centre: Vector, radius: float, begin: float, sweep: float) -> None:
        arc = Arc.about(centre, radius, begin, sweep)
        if self._first is None or not self._is_near(arc.start):
            self._line_to(arc.start)
        self._edges.append(arc._replace(start=self._at))
        self._at = arc.end

    def _along(self, segment: Segment) -> None:
        """Go along one piece."""
        leaves, arrives = segment.tangents
        begin, end = (
            segment.start + self._half * leaves.right,
            segment.end + self._half * arrives.right,
        )
        if self._first is None or not self._is_near(begin):
            self._line_to(begin)
        if isinstance(segment, Straight):
            self._line_to(end)
        elif isinstance(segment, Arc):
            self._along_arc(segment)
        else:
            for edge in beside(segment, self._half, self._fit):
                self._edges.append(edge._replace(start=self._at))
                self._at = edge.end

    def _along_arc(self, arc: Arc) -> None:
        radius = arc.radius + math.copysign(self._half, arc.sweep)
        if radius > 1e-6:
            self._arc(arc.centre, radius, arc.begin, arc.sweep)
            return
        # Tighter than the pen: its middle is covered, if not by all else then by its ends' rounds.
        if abs(arc.sweep) > math.pi:
            self._line_to(arc.end + self._half * arc.tangents[1].right)
            return
        # The pen's round about the start, as far as it meets that about the end, and then that
        # one. No other disc need lie there, which would run along these edges.
        past = abs(arc.sweep) / 2
        past -= math.asin(arc.radius * math.sin(past) / self._half)
        for place, way, begun in ((arc.start, 0, 0.0), (arc.end, 1, past)):
            self._arc(place, self._half, arc.tangents[way].right.angle - begun, past)

    def _corner(self, before: Segment, after: Segment, turn: float) -> None:
        """Go round the corner between two pieces: outside along the join, inside by way of
        the corner itself, so that what is covered stays counter-clockwise."""
        half, corner = self._half, before.end
        arriving, leaving = before.tangents[1], after.tangents[0]
        if abs(turn) > math.pi - _SMOOTH:  # the pen comes back: its end is outside on both sides
            turn = abs(turn)
        end = corner + half * leaving.right
        if turn < 0:
            self._line_to(corner)
        elif self._ends == "round":
            self._arc(corner, half, arriving.right.angle, turn)
        else:
            for point in _mitre(corner, arriving, leaving, half):
                self._line_to(point)
        self._line_to(end)


def _mitre(corner: Vector, arriving: Vector, leaving: Vector, half: float) -> list[Vector]:
    """The outer corner of two edges, kept within the upright square round the corner."""
    begin, end = corner + half * arriving.right, corner + half * leaving.right
    cross = arriving.cross(leaving)
    reach = 3 * half
    if abs(cross) > 1e-6:
        reach = min(reach, (end - begin).cross(leaving) / cross)
    tip = [begin, begin + reach * arriving, end - reach * leaving, end]
    for axis in (0, 1):
        for side in (1.0, -1.0):
            tip = _cut_off(tip, axis, side, side * corner[axis] + half)
    return tip


def _cut_off(points: Sequence[Vector], axis: int, side: float, limit: float) -> list[Vector]:
    """A polyline without what lies beyond a limit on one side; its ends lie within."""
    kept: list[Vector] = []
    before = points[0]
    for point in points:
        beyond, was_beyond = side * point[axis] - limit, side * before[axis] - limit
        if (beyond > 1e-9) != (was_beyond > 1e-9):
            part = was_beyond / (was_beyond - beyond)
            kept.append(before + part * (point - before))
        if beyond <= 1e-9:
            kept.append(point)
        before = point
    return kept
