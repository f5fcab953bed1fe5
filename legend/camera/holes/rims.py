"""Model the rim of a hole by a few numbers: where it is, how it is turned, how large it is.

A model gives points along the rim with their ways outwards; that how they move with each number
is known, by differences, is all that a fit needs, whatever the shape.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, Protocol, Self

import numpy as np

from legend.camera.holes.light import Floats
from legend.camera.view import Points
from legend.description.shapes.edge import Arc, Line
from legend.description.shapes.shape import Shape

#: How far hand and drill make a round hole oval, mm of its radius, one standard deviation.
#: Common practice, no source.
_OVAL = 0.06
#: Differences are taken over this, in mm and in degrees.
_BIT = 1e-3
#: Points of the rim no nearer to a sharp corner than this, mm, and to a part of its side, since a
#: corner is round in a picture.
_CLEAR_OF_CORNERS = 0.5
#: The least radius that corners are taken to have, mm, so that it may grow in a fit.
_LEAST_CORNER = 0.1


class Rim(Protocol):
    """A rim with its numbers, in panel coordinates and mm; angles in degrees, clockwise."""

    @property
    def numbers(self) -> Floats:
        """What a fit may change."""
        ...

    @property
    def usual(self) -> Floats:
        """How far each number may be from 0, as one over its variance: 0 where by anything."""
        ...

    def with_numbers(self, numbers: Floats) -> Self:
        """The same rim with other numbers, those that cannot be brought to what can."""
        ...

    def shared_out(self, count: int) -> tuple[int, ...]:
        """About so many points as shared out among the sides of the rim."""
        ...

    def points(self, counts: Sequence[int]) -> tuple[Points, Points]:
        """So many points along each side of the rim, and the unit ways outwards there.

        Those of a rim with other numbers are where they move to.
        """
        ...


@dataclass(frozen=True, slots=True)
class RoundRim:
    """A circle, or what is nearly one: of radius r + c cos 2φ + s sin 2φ, φ from x to y."""

    at: tuple[float, float]
    radius: float
    oval: tuple[float, float] | None = None

    @property
    def numbers(self) -> Floats:
        return np.array([*self.at, self.radius, *(self.oval or ())])

    @property
    def usual(self) -> Floats:
        return np.array([0.0, 0.0, 0.0, *([1 / _OVAL**2] * 2 if self.oval else ())])

    def with_numbers(self, numbers: Floats) -> RoundRim:
        x, y, radius, *oval = numbers.tolist()
        radius = max(radius, 0.05)
        return RoundRim((x, y), radius, (oval[0], oval[1]) if oval else None)

    def shared_out(self, count: int) -> tuple[int, ...]:
        return (count,)

    def points(self, counts: Sequence[int]) -> tuple[Points, Points]:
        (count,) = counts
        phi = np.arange(count) * 2 * np.pi / count
        way = np.column_stack([np.cos(phi), np.sin(phi)])
        radius = np.full(count, self.radius)
        if self.oval:
            radius += self.oval[0] * np.cos(2 * phi) + self.oval[1] * np.sin(2 * phi)
        # The way is that from the middle, which what is nearly round may have.
        return np.array(self.at) + way * radius[:, None], way

    def columns(self, ways: Points) -> Floats:
        """How far out points with these ways from the middle move with each number."""
        c, s = ways.T
        oval = [c * c - s * s, 2 * c * s] if self.oval else []
        return np.column_stack([ways, np.ones(len(ways)), *oval])

    @property
    def out_of_round(self) -> float:
        """By how much its greatest diameter is more than its least, mm."""
        return 4 * math.hypot(*self.oval) if self.oval else 0.0


@dataclass(frozen=True, slots=True)
class ShapedRim:
    """The rim of a hole of any shape that a description knows.

    Its numbers are its place, its angle, and the lengths of the shape; or where these are none, or
    many as those of a polygon, by how much it is larger all round.
    """

    at: tuple[float, float]
    angle: float
    shape: Shape
    larger: float = 0.0

    @property
    def numbers(self) -> Floats:
        sizes = [value for _, _, value in _lengths(self.shape)] or [self.larger]
        return np.array([*self.at, self.angle, *sizes])

    @property
    def usual(self) -> Floats:
        return np.zeros(len(self.numbers))

    def with_numbers(self, numbers: Floats) -> ShapedRim:
        x, y, angle, *sizes = numbers.tolist()
        if not list(_lengths(self.shape)):
            return replace(self, at=(x, y), angle=angle, larger=sizes[0])
        return replace(self, at=(x, y), angle=angle, shape=_resized(self.shape, sizes))

    def shared_out(self, count: int) -> tuple[int, ...]:
        lengths = [_length(side) for side in self.shape.edge.sides]
        return tuple(max(2, round(count * length / sum(lengths))) for length in lengths)

    def points(self, counts: Sequence[int]) -> tuple[Points, Points]:
        sides = self.shape.edge.sides
        along = [_along(side, count) for side, count in zip(sides, counts, strict=True)]
        places, ways = zip(*along, strict=True)
        place, way = np.concatenate(places), np.concatenate(ways)
        turn = math.radians(self.angle)
        turned = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
        return (place + self.larger * way) @ turned + np.array(self.at), way @ turned


def fit_columns(rim: Rim, count: int) -> tuple[Points, Points, Floats]:
    """About so many points of a rim, the ways outwards, and how far out each moves with each
    number."""
    counts = rim.shared_out(count)
    points, ways = rim.points(counts)
    if isinstance(rim, RoundRim):
        return points, ways, rim.columns(ways)
    numbers = rim.numbers
    columns = np.empty((len(points), len(numbers)))
    columns[:, :2] = ways
    for k in range(2, len(numbers)):
        bit = np.zeros(len(numbers))
        bit[k] = _BIT
        ahead, behind = (rim.with_numbers(numbers + each).points(counts)[0] for each in (bit, -bit))
        columns[:, k] = ((ahead - behind) * ways).sum(axis=1) / (2 * _BIT)
    return points, ways, columns


def some_points(rim: Rim, count: int) -> tuple[Points, Points]:
    """About so many points along a rim, and the ways outwards there."""
    return rim.points(rim.shared_out(count))


# --- The lengths of a shape ---


def _lengths(shape: Shape) -> Iterator[tuple[str, int | None, float]]:
    """The lengths of a shape: its key, the place in its list, and the length, mm.

    None of a shape that has a list of corners, or a number that is no length.
    """
    for field in fields(shape):  # type: ignore[arg-type]
        value = getattr(shape, field.name)
        if isinstance(value, float):
            yield field.name, None, value
        elif isinstance(value, tuple) and all(isinstance(each, (int, float)) for each in value):
            yield from ((field.name, k, float(each)) for k, each in enumerate(value))
        elif isinstance(value, tuple):
            return


def _resized(shape: Shape, sizes: Sequence[float]) -> Shape:
    """The shape with other lengths, brought to what can be."""
    values: dict[str, Any] = {}
    for (key, place, _), size in zip(_lengths(shape), sizes, strict=True):
        size = max(size, 0.05)
        if place is None:
            values[key] = size
        else:
            values[key] = (*values.get(key, ()), size)
    if "cutout" in values:
        most = min(values["cutout"]) / 2 - 0.01
        values["corner_radius"] = min(max(values["corner_radius"], _LEAST_CORNER), most)
    if "slot" in values:
        length, width = values["slot"]
        values["slot"] = (max(length, width + 0.02), width)
    if "single_d" in values:
        diameter, across = values["single_d"]
        values["single_d"] = (diameter, min(max(across, diameter / 2 + 0.02), diameter - 0.02))
    if "double_d" in values:
        diameter, across = values["double_d"]
        values["double_d"] = (diameter, min(across, diameter - 0.02))
    if "keyed" in values:
        diameter, width, depth = values["keyed"]
        values["keyed"] = (diameter, min(width, diameter - 0.02), depth)
    return replace(shape, **values)  # type: ignore[type-var]


def begun(shape: Shape) -> Shape:
    """The shape as a fit begins with it: what may grow from nothing is there."""
    sizes = [size for _, _, size in _lengths(shape)]
    return _resized(shape, sizes) if sizes else shape


# --- Along an edge ---


def _length(side: Line | Arc) -> float:
    if isinstance(side, Line):
        return side.length
    return abs(math.radians(side.sweep)) * side.radius


def _along(side: Line | Arc, count: int) -> tuple[Floats, Floats]:
    """Points along a side, evenly and not at its ends, and the ways outwards there."""
    part = (np.arange(count) + 0.5) / count
    if isinstance(side, Line):
        length = side.length
        clear = min(_CLEAR_OF_CORNERS, length / 4)
        first, last = np.array(side.first), np.array(side.last)
        way = (last - first) / length
        points = first + way * (clear + part * (length - 2 * clear))[:, None]
        return points, np.repeat([[way[1], -way[0]]], count, axis=0)
    degrees = np.radians(side.begin + part * side.sweep)
    out = np.column_stack([np.sin(degrees), np.cos(degrees)])
    # An arc that turns clockwise, in an edge that runs anticlockwise, is a bay.
    return np.array(side.centre) + side.radius * out, out if side.sweep < 0 else -out
