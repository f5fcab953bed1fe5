"""Define the edge of a hole or of the panel: straight lines and arcs of circles.

Plain numbers, without a drawing library: the layout makes curves of an edge, which are then
an `Outline` like all others. Points are in mm, y upwards; angles in degrees, 0 at the top
and clockwise.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from legend.vector import Vector

#: Left, bottom, right, top, mm.
Box = tuple[float, float, float, float]

#: Points nearer to each other than this are one, mm.
SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Arc:
    """An arc from `begin` to `end`, anticlockwise where that is less; a corner has no radius."""

    centre: Vector
    radius: float = 0.0
    begin: float = 0.0
    end: float = 0.0

    def at(self, degrees: float) -> Vector:
        """The point of its circle in this direction from the centre."""
        return self.centre + self.radius * Vector.bearing(degrees)

    def way(self, degrees: float) -> Vector:
        """The direction in which it runs at this point of its circle."""
        return math.copysign(1.0, self.sweep) * Vector.bearing(degrees).right

    @property
    def first(self) -> Vector:
        """Where it begins."""
        return self.at(self.begin)

    @property
    def last(self) -> Vector:
        """Where it ends."""
        return self.at(self.end)

    @property
    def sweep(self) -> float:
        """How far it turns: more than 0 clockwise."""
        return self.end - self.begin

    def distance(self, point: Vector) -> float:
        """How far off a point is, mm."""
        way = (point - self.centre).degrees
        low, high = sorted((self.begin, self.end))
        if low <= way + 360 * math.ceil((low - way) / 360) <= high:
            return abs(self.centre.distance(point) - self.radius)
        return min(self.first.distance(point), self.last.distance(point))

    @property
    def extremes(self) -> Iterator[Vector]:
        """Its ends, and where it reaches furthest to the sides, up and down."""
        yield self.first
        low, high = sorted((self.begin, self.end))
        for quarter in range(math.ceil(low / 90), math.floor(high / 90) + 1):
            yield self.at(90 * quarter)
        yield self.last


@dataclass(frozen=True, slots=True)
class Line:
    """A straight part of an edge."""

    first: Vector
    last: Vector

    @property
    def length(self) -> float:
        """How long it is, mm."""
        return self.first.distance(self.last)

    @property
    def middle(self) -> Vector:
        """The point half way along it."""
        return (self.first + self.last) / 2

    def distance(self, point: Vector) -> float:
        """How far off a point is, mm."""
        way = self.last - self.first
        part = (point - self.first).dot(way) / self.length**2
        return point.distance(self.first + way * min(max(part, 0.0), 1.0))


@dataclass(frozen=True, slots=True)
class Edge:
    """A closed edge, anticlockwise round what it encloses: its arcs and its sharp corners.

    Straight lines join each of them to the next, where the two do not meet.

    >>> Edge.rectangle(40, 18, radius=2).box
    (-20.0, -9.0, 20.0, 9.0)
    """

    arcs: tuple[Arc, ...]

    @classmethod
    def circle(cls, diameter: float) -> Edge:
        """A circle about the origin."""
        return cls((Arc(Vector(0.0, 0.0), diameter / 2, 90.0, -270.0),))

    @classmethod
    def rectangle(cls, width: float, height: float, radius: float = 0.0) -> Edge:
        """An upright rectangle about the origin, its corners rounded by `radius`.

        It begins at the lower left corner, or at the arc of the lower right one.
        """
        x, y = width / 2, height / 2
        radius = min(radius, x, y)
        corners = [(-x, -y), (x, -y), (x, y), (-x, y)]
        begin = 1 if radius else 0
        return cls.polygon([*corners[begin:], *corners[:begin]], [radius] * 4)

    @classmethod
    def polygon(cls, points: Sequence[tuple[float, float]], radii: Sequence[float] = ()) -> Edge:
        """The edge with these corners, anticlockwise, each rounded by its radius if it has one."""
        radii = radii or [0.0] * len(points)
        corners = [Vector(*point) for point in points]
        around = zip(
            [*corners[-1:], *corners], corners, [*corners[1:], corners[0]], radii, strict=False
        )
        return cls(tuple(_rounded(*each) for each in around))

    @property
    def sides(self) -> Iterator[Line | Arc]:
        """Its lines and arcs, one after the other."""
        for arc, after in zip(self.arcs, (*self.arcs[1:], self.arcs[0]), strict=True):
            if arc.radius:
                yield arc
            line = Line(arc.last, after.first)
            if line.length > SAME:
                yield line

    @property
    def lines(self) -> Iterator[Line]:
        """Its straight parts."""
        return (side for side in self.sides if isinstance(side, Line))

    @property
    def corners(self) -> Iterator[Arc]:
        """Its corners that stand out, sharp or rounded."""
        around = zip(
            (*self.arcs[-1:], *self.arcs), self.arcs, (*self.arcs[1:], self.arcs[0]), strict=False
        )
        for before, arc, after in around:
            turn = (arc.centre - before.last).cross(after.first - arc.centre)
            if arc.sweep < 0 or (not arc.radius and turn > 0):
                yield arc

    @property
    def box(self) -> Box:
        """Left, bottom, right, top of what it encloses."""
        xs, ys = zip(*(point for arc in self.arcs for point in arc.extremes), strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    @property
    def size(self) -> tuple[float, float]:
        """Its width and height."""
        x0, y0, x1, y1 = self.box
        return x1 - x0, y1 - y0

    def points(self, parts: int) -> list[Vector]:
        """Points along it, each arc divided into so many parts; none follows on itself."""
        along = [
            arc.at(arc.begin + arc.sweep * k / parts)
            for arc in self.arcs
            for k in range(parts + 1 if arc.radius else 1)
        ]
        around = zip([along[-1], *along], along, strict=False)
        return [point for before, point in around if before.distance(point) > SAME]

    def distance(self, point: tuple[float, float]) -> float:
        """How far off a point is, mm."""
        return min(side.distance(Vector(*point)) for side in self.sides)

    def moved(self, dx: float, dy: float) -> Edge:
        """The edge moved to the right and upwards."""
        return Edge(tuple(replace(arc, centre=arc.centre + Vector(dx, dy)) for arc in self.arcs))

    def turned(self, degrees: float) -> Edge:
        """The edge turned clockwise about the origin."""
        return Edge(
            tuple(
                Arc(arc.centre.turned(degrees), arc.radius, arc.begin + degrees, arc.end + degrees)
                for arc in self.arcs
            )
        )


def _rounded(before: Vector, corner: Vector, after: Vector, radius: float) -> Arc:
    """The arc by which a corner between two others is rounded."""
    u, v = (before - corner).unit, (after - corner).unit
    sine = u.cross(v)  # less than 0 where the edge turns left, as at most corners
    if not radius or abs(sine) < SAME:
        return Arc(corner)
    centre = corner + (u + v) * (radius / abs(sine))
    way = 1 if sine < 0 else -1
    begin, end = (way * u.left).degrees, (way * v.right).degrees
    return Arc(centre, radius, begin, begin - way * (way * (begin - end) % 360))
