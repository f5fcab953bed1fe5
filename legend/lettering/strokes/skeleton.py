"""Define skeletons: the centre lines of a letter's strokes, as lines, arcs and cubics.

Circular arcs are kept as arcs, so that their strokes have exact edges. An affine map keeps
them where it keeps circles, and turns them into cubics where it does not.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from legend.lettering.outlines.curve_points import steps_along, weights
from legend.lettering.outlines.outline import Affine, mapped
from legend.vector import Vector

_QUARTER = math.pi / 2

#: Points at which a quarter circle is looked at; a cubic, which may turn by half, at twice as many.
_SAMPLES = 6


class Straight(NamedTuple):
    """A straight piece."""

    start: Vector
    end: Vector

    @property
    def tangents(self) -> tuple[Vector, Vector]:
        """Unit directions at the start and at the end."""
        direction = (self.end - self.start).unit
        return direction, direction

    def backwards(self) -> Straight:
        """The same piece run the other way."""
        return Straight(self.end, self.start)


class Arc(NamedTuple):
    """An arc of a circle; angles in radians, counter-clockwise from the x axis."""

    start: Vector
    end: Vector
    centre: Vector
    radius: float
    begin: float
    sweep: float

    @classmethod
    def about(cls, centre: Vector, radius: float, begin: float, sweep: float) -> Arc:
        """The arc of a circle that begins at an angle and sweeps on from there."""
        start, end = (centre + radius * Vector.towards(a) for a in (begin, begin + sweep))
        return cls(start, end, centre, radius, begin, sweep)

    @property
    def tangents(self) -> tuple[Vector, Vector]:
        """Unit directions at the start and at the end."""
        turn = math.copysign(1.0, self.sweep)
        first, last = self.begin, self.begin + self.sweep
        return Vector.towards(first).left * turn, Vector.towards(last).left * turn

    def backwards(self) -> Arc:
        """The same piece run the other way."""
        last = self.begin + self.sweep
        return Arc(self.end, self.start, self.centre, self.radius, last, -self.sweep)


class Bend(NamedTuple):
    """A cubic Bezier curve."""

    start: Vector
    control1: Vector
    control2: Vector
    end: Vector

    @property
    def tangents(self) -> tuple[Vector, Vector]:
        """Unit directions at the start and at the end."""
        first = next((p for p in self[1:] if math.dist(p, self.start) > 1e-9), self.end)
        last = next((p for p in self[2::-1] if math.dist(p, self.end) > 1e-9), self.start)
        return (first - self.start).unit, (self.end - last).unit

    def backwards(self) -> Bend:
        """The same piece run the other way."""
        return Bend(self.end, self.control2, self.control1, self.start)


Segment = Straight | Arc | Bend


@dataclass(frozen=True, slots=True)
class Run:
    """Pieces drawn without lifting the pen; with none it is a dot at `start`."""

    start: Vector
    segments: tuple[Segment, ...]
    closed: bool = False

    def backwards(self) -> Run:
        """The same run drawn the other way."""
        segments = _backwards(self.segments)
        return Run(segments[0].start if segments else self.start, segments, self.closed)


Skeleton = tuple[Run, ...]


def transformed(skeleton: Iterable[Run], affine: Affine) -> Skeleton:
    """The skeleton under an affine map; arcs stay arcs where circles stay circles."""
    a, b, c, d, _, _ = affine
    keeps_circles = abs(a - d) < 1e-12 and abs(b + c) < 1e-12
    turned = math.atan2(b, a)
    scale = math.hypot(a, b)

    def moved(point: Vector) -> Vector:
        return Vector(*mapped(affine, point))

    def pieces_of(segment: Segment) -> Iterable[Segment]:
        if isinstance(segment, Arc):
            if not keeps_circles:
                return (Bend(*map(moved, bend)) for bend in as_bends(segment, 1))
            start, end, centre = map(moved, (segment.start, segment.end, segment.centre))
            radius, begin = segment.radius * scale, segment.begin + turned
            return (Arc(start, end, centre, radius, begin, segment.sweep),)
        return (type(segment)(*map(moved, segment)),)

    return tuple(
        Run(
            moved(run.start),
            tuple(piece for segment in run.segments for piece in pieces_of(segment)),
            run.closed,
        )
        for run in skeleton
    )


def connected(skeleton: Iterable[Run], near: float) -> Skeleton:
    """The skeleton with runs that meet end to end, just two ends in a place, made one.

    Ends no further than `near` apart meet. A run whose own ends meet is closed.

    1. From the end of a run one goes on along whichever run meets it there, and it alone.
    2. Where nothing does, the whole is turned round, and one goes on from its other end.
    3. What has come back to where it began is closed.
    """
    done = [run for run in skeleton if not run.segments or run.closed]
    open_runs = [run.segments for run in skeleton if run.segments and not run.closed]
    ends = [end for segments in open_runs for end in (segments[0].start, segments[-1].end)]

    def meets_one(end: Vector) -> bool:
        return sum(math.dist(end, other) <= near for other in ends) == 2

    while open_runs:
        segments = open_runs.pop(0)
        for _ in range(2):  # from its end, then turned round and from its start
            while meets_one(segments[-1].end):
                further = _taken(open_runs, segments[-1].end, near)
                if further is None:
                    break
                segments += further
            segments = _backwards(segments)
        start, end = segments[0].start, segments[-1].end
        done.append(Run(start, segments, math.dist(start, end) <= near and meets_one(end)))
    return tuple(done)


def _taken(runs: list[tuple[Segment, ...]], end: Vector, near: float) -> tuple[Segment, ...] | None:
    """The run with an end at a place, taken from the list, to go on from there."""
    for number, segments in enumerate(runs):
        if math.dist(segments[0].start, end) <= near:
            return runs.pop(number)
        if math.dist(segments[-1].end, end) <= near:
            return _backwards(runs.pop(number))
    return None


def _backwards(segments: tuple[Segment, ...]) -> tuple[Segment, ...]:
    return tuple(segment.backwards() for segment in reversed(segments))


def as_bends(arc: Arc, in_quarter: int) -> list[Bend]:
    """An arc as the fewest equal cubics of which at least `in_quarter` make a quarter circle.

    The handles of each are 4/3 tan(step / 4) of the radius, with which its middle lies on the
    circle as well as its ends (M. Goldapp, 1991; from memory).
    """
    count = max(1, math.ceil(abs(arc.sweep) / _QUARTER * in_quarter - 1e-7))
    step = arc.sweep / count
    handle = 4 / 3 * math.tan(step / 4) * arc.radius
    bends = []
    start, out = arc.start, Vector.towards(arc.begin)
    for i in range(1, count + 1):
        control1 = start + handle * out.left
        out = Vector.towards(arc.begin + i * step)
        end = arc.end if i == count else arc.centre + arc.radius * out
        bends.append(Bend(start, control1, end - handle * out.left, end))
        start = end
    return bends


def sampled(run: Run) -> list[Vector]:
    """Points of a run, the turns of its curves included, from which its extent is told."""
    points, count = [run.start], 2 * _SAMPLES
    for segment in run.segments:
        if isinstance(segment, Arc):
            points.extend(_points_within(segment))
        elif isinstance(segment, Bend):
            points.extend(bend_at(segment, i / count) for i in range(1, count))
        points.append(segment.end)
    return points


def _points_within(arc: Arc) -> list[Vector]:
    """Points along an arc, and those at which it is furthest out to any side."""
    count = max(1, math.ceil(abs(arc.sweep) / _QUARTER * _SAMPLES - 1e-7))
    low, high = sorted((arc.begin, arc.begin + arc.sweep))
    turns = range(math.ceil(low / _QUARTER), math.floor(high / _QUARTER) + 1)
    angles = [arc.begin + i / count * arc.sweep for i in range(1, count)]
    angles += [turn * _QUARTER for turn in turns]
    angles.sort(reverse=arc.sweep < 0)
    return [arc.centre + arc.radius * Vector.towards(angle) for angle in angles]


def flattened(segment: Segment, fit: float) -> list[Vector]:
    """A piece as the ends of straight lines within `fit` of it."""
    if isinstance(segment, Straight):
        return [segment.start, segment.end]
    if isinstance(segment, Arc):
        bends = as_bends(segment, 2)
        return [segment.start, *(p for bend in bends for p in flattened(bend, fit)[1:])]
    (steps,) = steps_along(np.array([segment]), np.zeros(1, dtype=bool), fit).tolist()
    return [segment.start, *(bend_at(segment, i / steps) for i in range(1, steps)), segment.end]


def bend_at(bend: Bend, t: float) -> Vector:
    """The point of a cubic at t, from 0 to 1."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = bend
    w0, w1, w2, w3 = weights(t)
    x: float = (w0 * x0 + w1 * x1) + (w2 * x2 + w3 * x3)
    return Vector(x, (w0 * y0 + w1 * y1) + (w2 * y2 + w3 * y3))


def slope_at(bend: Bend, t: float) -> Vector:
    """How fast the point of a cubic moves at t: its derivative."""
    p0, p1, p2, p3 = bend
    s = 1 - t
    first, second, third = 3 * s * s, 6 * s * t, 3 * t * t
    return Vector(
        first * (p1.x - p0.x) + second * (p2.x - p1.x) + third * (p3.x - p2.x),
        first * (p1.y - p0.y) + second * (p2.y - p1.y) + third * (p3.y - p2.y),
    )


def bending_at(bend: Bend, t: float) -> Vector:
    """How fast the slope of a cubic changes at t: its second derivative."""
    p0, p1, p2, p3 = bend
    return 6 * ((1 - t) * (p2 - 2 * p1 + p0) + t * (p3 - 2 * p2 + p1))


def part_of(bend: Bend, begin: float, end: float) -> Bend:
    """The part of a cubic from one parameter to another, as a cubic."""
    start, stop = bend_at(bend, begin), bend_at(bend, end)
    third = (end - begin) / 3
    return Bend(
        bend.start if begin == 0.0 else start,
        start + third * slope_at(bend, begin),
        stop - third * slope_at(bend, end),
        bend.end if end == 1.0 else stop,
    )
