"""Define the edge of a hole or of the panel: straight lines and arcs of circles.

Plain numbers, without a drawing library: the layout makes curves of an edge, which are then
an `Outline` like all others. Points are in mm, y upwards; angles in degrees, 0 at the top
and clockwise.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

Point = tuple[float, float]
#: Left, bottom, right, top, mm.
Box = tuple[float, float, float, float]

#: Points nearer to each other than this are one, mm.
SAME = 1e-9

#: An arc that turns by less than twice this is a corner that is rounded, degrees.
_STILL_A_CORNER = 80.0

#: Sine and cosine of 0, 90, 180 and 270 degrees.
_QUARTERS = ((0.0, 1.0), (1.0, 0.0), (0.0, -1.0), (-1.0, 0.0))


@dataclass(frozen=True, slots=True)
class Arc:
    """An arc from `begin` to `end`, anticlockwise where that is less; a corner has no radius."""

    centre: Point
    radius: float = 0.0
    begin: float = 0.0
    end: float = 0.0

    def at(self, degrees: float) -> Point:
        """The point of its circle in this direction from the centre."""
        (x, y), (s, c) = self.centre, _sine_and_cosine(degrees)
        return x + self.radius * s, y + self.radius * c

    @property
    def first(self) -> Point:
        """Where it begins."""
        return self.at(self.begin)

    @property
    def last(self) -> Point:
        """Where it ends."""
        return self.at(self.end)

    @property
    def sweep(self) -> float:
        """How far it turns: more than 0 clockwise."""
        return self.end - self.begin

    def distance(self, point: Point) -> float:
        """How far off a point is, mm."""
        (x, y), (px, py) = self.centre, point
        way = math.degrees(math.atan2(px - x, py - y))
        low, high = sorted((self.begin, self.end))
        if low <= way + 360 * math.ceil((low - way) / 360) <= high:
            return abs(math.dist(self.centre, point) - self.radius)
        return min(math.dist(self.first, point), math.dist(self.last, point))

    @property
    def extremes(self) -> Iterator[Point]:
        """Its ends, and where it reaches furthest to the sides, up and down."""
        yield self.first
        low, high = sorted((self.begin, self.end))
        for quarter in range(math.ceil(low / 90), math.floor(high / 90) + 1):
            yield self.at(90 * quarter)
        yield self.last


@dataclass(frozen=True, slots=True)
class Line:
    """A straight part of an edge."""

    first: Point
    last: Point

    @property
    def length(self) -> float:
        """How long it is, mm."""
        return math.dist(self.first, self.last)

    def distance(self, point: Point) -> float:
        """How far off a point is, mm."""
        (x0, y0), (x1, y1), (px, py) = self.first, self.last, point
        dx, dy = x1 - x0, y1 - y0
        part = ((px - x0) * dx + (py - y0) * dy) / self.length**2
        part = min(max(part, 0.0), 1.0)
        return math.dist(point, (x0 + part * dx, y0 + part * dy))


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
        return cls((Arc((0.0, 0.0), diameter / 2, 90.0, -270.0),))

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
    def polygon(cls, points: Sequence[Point], radii: Sequence[float] = ()) -> Edge:
        """The edge with these corners, anticlockwise, each rounded by its radius if it has one."""
        radii = radii or [0.0] * len(points)
        around = zip([*points[-1:], *points], points, [*points[1:], points[0]], radii, strict=False)
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
            (x0, y0), (x1, y1), (x2, y2) = before.last, arc.centre, after.first
            turn = (x1 - x0) * (y2 - y1) - (y1 - y0) * (x2 - x1)
            if arc.sweep < 0 or (not arc.radius and turn > 0):
                yield arc

    @property
    def tips(self) -> Iterator[Point]:
        """The points to find it by: its corners as if they were sharp; where it is round, those
        that are furthest out."""
        for arc in self.corners:
            half = abs(arc.sweep) / 2
            if half < _STILL_A_CORNER:
                sharp = replace(arc, radius=arc.radius / math.cos(math.radians(half)))
                yield sharp.at((arc.begin + arc.end) / 2)
            else:
                yield from list(arc.extremes)[1:-1]

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

    def points(self, parts: int) -> list[Point]:
        """Points along it, each arc divided into so many parts; none follows on itself."""
        along = [
            arc.at(arc.begin + arc.sweep * k / parts)
            for arc in self.arcs
            for k in range(parts + 1 if arc.radius else 1)
        ]
        around = zip([along[-1], *along], along, strict=False)
        return [point for before, point in around if math.dist(before, point) > SAME]

    def distance(self, point: Point) -> float:
        """How far off a point is, mm."""
        return min(side.distance(point) for side in self.sides)

    def moved(self, dx: float, dy: float) -> Edge:
        """The edge moved to the right and upwards."""
        return Edge(
            tuple(
                replace(arc, centre=(arc.centre[0] + dx, arc.centre[1] + dy)) for arc in self.arcs
            )
        )

    def turned(self, degrees: float) -> Edge:
        """The edge turned clockwise about the origin."""
        return Edge(
            tuple(
                Arc(turned(arc.centre, degrees), arc.radius, arc.begin + degrees, arc.end + degrees)
                for arc in self.arcs
            )
        )


def turned(point: Point, degrees: float) -> Point:
    """A point turned clockwise about the origin."""
    (x, y), (s, c) = point, _sine_and_cosine(degrees)
    return c * x + s * y, c * y - s * x


def _sine_and_cosine(degrees: float) -> tuple[float, float]:
    """Without an error at right angles."""
    if degrees % 90 == 0:
        return _QUARTERS[int(degrees // 90) % 4]
    return math.sin(math.radians(degrees)), math.cos(math.radians(degrees))


def _rounded(before: Point, corner: Point, after: Point, radius: float) -> Arc:
    """The arc by which a corner between two others is rounded."""
    ux, uy = _direction(corner, before)
    vx, vy = _direction(corner, after)
    sine = ux * vy - uy * vx  # less than 0 where the edge turns left, as at most corners
    if not radius or abs(sine) < SAME:
        return Arc(corner)
    reach = radius / abs(sine)
    centre = corner[0] + (ux + vx) * reach, corner[1] + (uy + vy) * reach
    way = 1 if sine < 0 else -1
    begin = math.degrees(math.atan2(way * -uy, way * ux))
    end = math.degrees(math.atan2(way * vy, way * -vx))
    return Arc(centre, radius, begin, begin - way * (way * (begin - end) % 360))


def _direction(begin: Point, end: Point) -> Point:
    length = math.dist(begin, end)
    return (end[0] - begin[0]) / length, (end[1] - begin[1]) / length
