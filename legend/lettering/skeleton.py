"""Skeletons: the `d` of an SVG path in, runs of straight lines, arcs and cubics out.

A skeleton is the line down the middle of every stroke of a letter. Circular arcs are kept
as arcs, so that their strokes have exact edges; quadratics and arcs of ellipses become cubics.
"""

from __future__ import annotations

import math
import re
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

    centre: Point
    radius: float
    begin: float
    sweep: float

    def at(self, angle: float) -> Point:
        """The point of the circle at an angle."""
        return (
            self.centre[0] + self.radius * math.cos(angle),
            self.centre[1] + self.radius * math.sin(angle),
        )

    @property
    def start(self) -> Point:
        """Where it begins."""
        return self.at(self.begin)

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.at(self.begin + self.sweep)

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
        return Arc(self.centre, self.radius, self.begin + self.sweep, -self.sweep)


class Bend(NamedTuple):
    """A cubic Bezier curve."""

    start: Point
    control1: Point
    control2: Point
    end: Point

    @property
    def tangents(self) -> tuple[Point, Point]:
        """Unit directions at the start and at the end."""
        points = (self.start, self.control1, self.control2, self.end)
        first = next((p for p in points[1:] if math.dist(p, self.start) > 1e-9), self.end)
        last = next((p for p in points[2::-1] if math.dist(p, self.end) > 1e-9), self.start)
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
        if isinstance(segment, Straight):
            return (Straight(_map(affine, segment.start), _map(affine, segment.end)),)
        if isinstance(segment, Bend):
            return (Bend(*(_map(affine, point) for point in segment)),)
        if keeps_circles:
            centre = _map(affine, segment.centre)
            return (Arc(centre, segment.radius * scale, segment.begin + turned, segment.sweep),)
        return (Bend(*(_map(affine, p) for p in bend)) for bend in as_bends(segment, 2))

    return tuple(
        Run(
            _map(affine, run.start),
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
    start = (x + arc.radius * cos, y + arc.radius * sin)
    for i in range(1, count + 1):
        control1 = (start[0] - handle * sin, start[1] + handle * cos)
        cos, sin = math.cos(arc.begin + i * step), math.sin(arc.begin + i * step)
        end = (x + arc.radius * cos, y + arc.radius * sin)
        bends.append(Bend(start, control1, (end[0] + handle * sin, end[1] - handle * cos), end))
        start = end
    return bends


def _map(affine: Affine, point: Point) -> Point:
    a, b, c, d, e, f = affine
    return a * point[0] + c * point[1] + e, b * point[0] + d * point[1] + f


def _unit(start: Point, end: Point) -> Point:
    length = math.dist(start, end) or 1.0
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length


# --- Reading `d` ---

_GRAMMAR = re.compile(r"[MmLlHhVvCcSsQqTtAaZz0-9eE+\-.,\s]*")


def read_path(d: str) -> Skeleton:
    """The runs of an SVG path.

    Error: ValueError where it is damaged.
    """
    from fontTools.svgLib.path.parser import parse_path

    d = " ".join(d.split())
    if not _GRAMMAR.fullmatch(d):
        strange = next(c for c in d if not _GRAMMAR.fullmatch(c))
        raise ValueError(f"{strange!r} is no part of a path")
    pen = _SkeletonPen()
    try:
        parse_path(d, pen)
    except IndexError:
        raise ValueError("a number is missing") from None
    return tuple(pen.runs)


class _SkeletonPen:
    """Takes the strokes of a path as fontTools reads them."""

    def __init__(self) -> None:
        self.runs: list[Run] = []
        self._start: Point = (0.0, 0.0)
        self._at: Point = (0.0, 0.0)
        self._segments: list[Segment] = []

    def moveTo(self, point: Point) -> None:  # noqa: N802
        self._start = self._at = point
        self._segments = []

    def lineTo(self, point: Point) -> None:  # noqa: N802
        if math.dist(self._at, point) > 1e-9:
            self._segments.append(Straight(self._at, point))
        self._at = point

    def curveTo(self, control1: Point, control2: Point, end: Point) -> None:  # noqa: N802
        bend = Bend(self._at, control1, control2, end)
        if max(math.dist(self._at, point) for point in bend[1:]) > 1e-9:
            self._segments.append(bend)
        self._at = end

    def qCurveTo(self, control: Point, end: Point) -> None:  # noqa: N802
        start = self._at
        control1 = _between(start, control, 2 / 3)
        self.curveTo(control1, _between(end, control, 2 / 3), end)

    def arcTo(  # noqa: N802
        self, rx: float, ry: float, rotation: float, large: bool, sweep: bool, end: Point
    ) -> None:
        if math.dist(self._at, end) <= 1e-9:
            return
        if rx <= 0 or ry <= 0:
            self.lineTo(end)
            return
        # In a frame in which the ellipse is a circle of radius 1.
        cos, sin = math.cos(math.radians(rotation)), math.sin(math.radians(rotation))
        x, y = self._at
        dx, dy = end[0] - x, end[1] - y
        chord = ((dx * cos + dy * sin) / rx, (dy * cos - dx * sin) / ry)
        half = math.hypot(*chord) / 2
        grown = max(1.0, half)
        height = math.sqrt(max(0.0, 1 - (half / grown) ** 2))
        side = 1.0 if large == sweep else -1.0
        ux, uy = chord[0] / (2 * half), chord[1] / (2 * half)
        # The centre, from the start, in units of the grown radius.
        cx = half / grown * ux + side * height * uy
        cy = half / grown * uy - side * height * ux
        begin = math.atan2(-cy, -cx)
        turn = math.atan2(chord[1] / grown - cy, chord[0] / grown - cx) - begin
        turn %= math.tau
        if not sweep:
            turn -= math.tau
        rx, ry = rx * grown, ry * grown
        centre = (x + cx * rx * cos - cy * ry * sin, y + cx * rx * sin + cy * ry * cos)
        if abs(rx - ry) <= 1e-9 * rx:
            self._segments.append(Arc(centre, rx, begin + math.radians(rotation), turn))
        else:
            frame = (rx * cos, rx * sin, -ry * sin, ry * cos, *centre)
            for bend in as_bends(Arc((0.0, 0.0), 1.0, begin, turn), 2):
                self._segments.append(Bend(*(_map(frame, point) for point in bend)))
        self._at = end

    def closePath(self) -> None:  # noqa: N802
        self.runs.append(Run(self._start, tuple(self._segments), bool(self._segments)))

    def endPath(self) -> None:  # noqa: N802
        self.runs.append(Run(self._start, tuple(self._segments)))


def _between(p: Point, q: Point, part: float) -> Point:
    return p[0] + (q[0] - p[0]) * part, p[1] + (q[1] - p[1]) * part
