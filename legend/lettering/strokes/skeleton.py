"""Skeletons: the line down the middle of every stroke of a letter, as lines, arcs and cubics.

Circular arcs are kept as arcs, so that their strokes have exact edges. An affine map keeps
them where it keeps circles, and turns them into cubics where it does not.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from legend.lettering.outlines.outline import Affine, bezier, mapped, steps_along

#: A point or a direction: x, y.
Point = tuple[float, float]

_QUARTER = math.pi / 2

#: Points at which a quarter circle is looked at; a cubic, which may turn by half, at twice as many.
_SAMPLES = 6


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


@dataclass(frozen=True, slots=True)
class Run:
    """Pieces drawn without lifting the pen; with none it is a dot at `start`."""

    start: Point
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

    def pieces_of(segment: Segment) -> Iterable[Segment]:
        if isinstance(segment, Arc):
            if not keeps_circles:
                return (_bend(affine, bend) for bend in as_bends(segment, 1))
            start, end, centre, radius, begin, sweep = segment
            ends = (mapped(affine, start), mapped(affine, end), mapped(affine, centre))
            return (Arc(*ends, radius * scale, begin + turned, sweep),)
        if isinstance(segment, Bend):
            return (_bend(affine, segment),)
        return (Straight(mapped(affine, segment.start), mapped(affine, segment.end)),)

    return tuple(
        Run(
            mapped(affine, run.start),
            tuple(piece for segment in run.segments for piece in pieces_of(segment)),
            run.closed,
        )
        for run in skeleton
    )


def connected(skeleton: Iterable[Run], near: float) -> Skeleton:
    """The skeleton with runs that meet end to end, just two ends in a place, made one.

    Ends no further than `near` apart meet. A run whose own ends meet is closed.
    """
    done = [run for run in skeleton if not run.segments or run.closed]
    open_runs = [run.segments for run in skeleton if run.segments and not run.closed]
    ends = [end for segments in open_runs for end in (segments[0].start, segments[-1].end)]

    def meets_one(end: Point) -> bool:
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


def _taken(runs: list[tuple[Segment, ...]], end: Point, near: float) -> tuple[Segment, ...] | None:
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


def sampled(run: Run) -> list[Point]:
    """Points of a run, the turns of its curves included, from which its extent is told."""
    points, count = [run.start], 2 * _SAMPLES
    for segment in run.segments:
        if isinstance(segment, Arc):
            points.extend(bend.end for bend in as_bends(segment, _SAMPLES))
        elif isinstance(segment, Bend):
            points.extend(bend_at(segment, i / count) for i in range(1, count))
        points.append(segment.end)
    return points


def flattened(segment: Segment, fit: float) -> list[Point]:
    """A piece as the ends of straight lines within `fit` of it."""
    if isinstance(segment, Straight):
        return [segment.start, segment.end]
    if isinstance(segment, Arc):
        bends = as_bends(segment, 2)
        return [segment.start, *(p for bend in bends for p in flattened(bend, fit)[1:])]
    (steps,) = steps_along(np.array([segment]), np.zeros(1, dtype=bool), fit).tolist()
    return [segment.start, *(bend_at(segment, i / steps) for i in range(1, steps)), segment.end]


def bend_at(bend: Bend, t: float) -> Point:
    """The point of a cubic at t, from 0 to 1."""
    xs, ys = zip(*bend, strict=True)
    return bezier(xs, t), bezier(ys, t)


def slope_at(bend: Bend, t: float) -> Point:
    """How fast the point of a cubic moves at t: its derivative."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = bend
    s = 1 - t
    a, b, c = 3 * s * s, 6 * s * t, 3 * t * t
    return (
        a * (x1 - x0) + b * (x2 - x1) + c * (x3 - x2),
        a * (y1 - y0) + b * (y2 - y1) + c * (y3 - y2),
    )


def angle_between(arriving: Point, leaving: Point) -> float:
    """The angle from one direction to another, counter-clockwise positive, radians."""
    (ax, ay), (lx, ly) = arriving, leaving
    return math.atan2(ax * ly - ay * lx, ax * lx + ay * ly)


def part_of(bend: Bend, begin: float, end: float) -> Bend:
    """The part of a cubic from one parameter to another, as a cubic."""
    start, stop = bend_at(bend, begin), bend_at(bend, end)
    third = (end - begin) / 3
    (dx, dy), (ex, ey) = slope_at(bend, begin), slope_at(bend, end)
    return Bend(
        bend.start if begin == 0.0 else start,
        (start[0] + third * dx, start[1] + third * dy),
        (stop[0] - third * ex, stop[1] - third * ey),
        bend.end if end == 1.0 else stop,
    )


def _bend(affine: Affine, bend: Bend) -> Bend:
    start, control1, control2, end = bend
    return Bend(
        mapped(affine, start),
        mapped(affine, control1),
        mapped(affine, control2),
        mapped(affine, end),
    )


def _unit(start: Point, end: Point) -> Point:
    length = math.dist(start, end) or 1.0
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length
