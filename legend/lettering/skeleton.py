"""Skeletons: the line down the middle of every stroke of a letter, as lines, arcs and cubics.

Circular arcs are kept as arcs, so that their strokes have exact edges. An affine map keeps
them where it keeps circles, and turns them into cubics where it does not.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import NamedTuple

#: A point or a direction: x, y.
Point = tuple[float, float]
#: An affine map as (a, b, c, d, e, f): x' = a x + c y + e, y' = b x + d y + f.
Affine = tuple[float, float, float, float, float, float]

_QUARTER = math.pi / 2


class Straight(NamedTuple):
    """A straight piece."""

    start: Point
    end: Point

    @property
    def tangents(self) -> tuple[Point, Point]:
        """Unit directions at the start and at the end."""
        direction = _unit(self.start, self.end)
        return direction, direction

    def backwards(self) -> Straight:
        """The same piece run the other way."""
        return Straight(self.end, self.start)


class Arc(NamedTuple):
    """An arc of a circle; angles in radians, counter-clockwise from the x axis."""

    start: Point
    end: Point
    centre: Point
    radius: float
    begin: float
    sweep: float

    @classmethod
    def about(cls, centre: Point, radius: float, begin: float, sweep: float) -> Arc:
        """The arc of a circle that begins at an angle and sweeps on from there."""
        x, y = centre
        last = begin + sweep
        return cls(
            (x + radius * math.cos(begin), y + radius * math.sin(begin)),
            (x + radius * math.cos(last), y + radius * math.sin(last)),
            centre,
            radius,
            begin,
            sweep,
        )

    @property
    def tangents(self) -> tuple[Point, Point]:
        """Unit directions at the start and at the end."""
        turn = math.copysign(1.0, self.sweep)
        last = self.begin + self.sweep
        return (
            (-math.sin(self.begin) * turn, math.cos(self.begin) * turn),
            (-math.sin(last) * turn, math.cos(last) * turn),
        )

    def backwards(self) -> Arc:
        """The same piece run the other way."""
        last = self.begin + self.sweep
        return Arc(self.end, self.start, self.centre, self.radius, last, -self.sweep)


class Bend(NamedTuple):
    """A cubic Bezier curve."""

    start: Point
    control1: Point
    control2: Point
    end: Point

    @property
    def tangents(self) -> tuple[Point, Point]:
        """Unit directions at the start and at the end."""
        first = next((p for p in self[1:] if math.dist(p, self.start) > 1e-9), self.end)
        last = next((p for p in self[2::-1] if math.dist(p, self.end) > 1e-9), self.start)
        return _unit(self.start, first), _unit(last, self.end)

    def backwards(self) -> Bend:
        """The same piece run the other way."""
        return Bend(self.end, self.control2, self.control1, self.start)


Segment = Straight | Arc | Bend


class Run(NamedTuple):
    """Pieces drawn without lifting the pen; with none it is a dot at `start`."""

    start: Point
    segments: tuple[Segment, ...]
    closed: bool = False

    def backwards(self) -> Run:
        """The same run drawn the other way."""
        segments = tuple(segment.backwards() for segment in reversed(self.segments))
        return Run(segments[0].start if segments else self.start, segments, self.closed)


Skeleton = tuple[Run, ...]


def transformed(skeleton: Iterable[Run], affine: Affine) -> Skeleton:
    """The skeleton under an affine map; arcs stay arcs where circles stay circles."""
    a, b, c, d, _, _ = affine
    keeps_circles = abs(a - d) < 1e-12 and abs(b + c) < 1e-12
    turned = math.atan2(b, a)
    scale = math.hypot(a, b)

    def mapped(segment: Segment) -> Iterable[Segment]:
        if isinstance(segment, Arc):
            if not keeps_circles:
                return (_bend(affine, bend) for bend in as_bends(segment, 2))
            start, end, centre, radius, begin, sweep = segment
            ends = (apply(affine, start), apply(affine, end), apply(affine, centre))
            return (Arc(*ends, radius * scale, begin + turned, sweep),)
        if isinstance(segment, Bend):
            return (_bend(affine, segment),)
        return (Straight(apply(affine, segment.start), apply(affine, segment.end)),)

    return tuple(
        Run(
            apply(affine, run.start),
            tuple(piece for segment in run.segments for piece in mapped(segment)),
            run.closed,
        )
        for run in skeleton
    )


def as_bends(arc: Arc, in_quarter: int) -> list[Bend]:
    """An arc as the fewest equal cubics of which at least `in_quarter` make a quarter circle."""
    count = max(1, math.ceil(abs(arc.sweep) / _QUARTER * in_quarter - 1e-7))
    step = arc.sweep / count
    handle = 4 / 3 * math.tan(step / 4) * arc.radius
    x, y = arc.centre
    bends = []
    cos, sin = math.cos(arc.begin), math.sin(arc.begin)
    start = arc.start
    for i in range(1, count + 1):
        control1 = (start[0] - handle * sin, start[1] + handle * cos)
        angle = arc.begin + i * step
        cos, sin = math.cos(angle), math.sin(angle)
        end = arc.end if i == count else (x + arc.radius * cos, y + arc.radius * sin)
        bends.append(Bend(start, control1, (end[0] + handle * sin, end[1] - handle * cos), end))
        start = end
    return bends


def apply(affine: Affine, point: Point) -> Point:
    """Where an affine map takes a point."""
    a, b, c, d, e, f = affine
    x, y = point
    return a * x + c * y + e, b * x + d * y + f


def bend_at(bend: Bend, t: float) -> Point:
    """The point of a cubic at t, from 0 to 1."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = bend
    s = 1 - t
    a, b, c, d = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
    return a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3


def _bend(affine: Affine, bend: Bend) -> Bend:
    start, control1, control2, end = bend
    return Bend(
        apply(affine, start), apply(affine, control1), apply(affine, control2), apply(affine, end)
    )


def _unit(start: Point, end: Point) -> Point:
    length = math.dist(start, end) or 1.0
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length
