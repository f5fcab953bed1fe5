"""Define plane vectors, which add, subtract and turn: x to the right, y upwards.

Two ways of counting angles are in use. Controls and holes are read as a knob is: degrees,
clockwise from the top; that is a `bearing`. Letters are drawn by the usual angle of geometry:
radians, counter-clockwise from the x axis; that is an `angle`.
"""

from __future__ import annotations

import math
from typing import NamedTuple

#: Sine and cosine of 0, 90, 180 and 270 degrees.
_QUARTERS = ((0.0, 1.0), (1.0, 0.0), (0.0, -1.0), (-1.0, 0.0))


class Vector(NamedTuple):
    """A point or a direction.

    >>> Vector(3, 4) - Vector(1, 1) * 2
    Vector(x=1, y=2)
    >>> Vector(3, 4).length
    5.0
    """

    x: float
    y: float

    @classmethod
    def towards(cls, angle: float) -> Vector:
        """The unit direction at an angle, radians counter-clockwise from the x axis."""
        return cls(math.cos(angle), math.sin(angle))

    @classmethod
    def bearing(cls, degrees: float) -> Vector:
        """The unit direction at so many degrees clockwise from the top, as a knob is read.

        Without an error at right angles.
        """
        if degrees % 90 == 0:
            return cls(*_QUARTERS[int(degrees // 90) % 4])
        return cls(math.sin(math.radians(degrees)), math.cos(math.radians(degrees)))

    def __add__(self, other: tuple[float, float]) -> Vector:  # type: ignore[override]
        x, y = other
        return Vector(self.x + x, self.y + y)

    def __sub__(self, other: tuple[float, float]) -> Vector:
        x, y = other
        return Vector(self.x - x, self.y - y)

    def __radd__(self, other: tuple[float, float]) -> Vector:
        """Or a plain pair would be lengthened by the two numbers of the vector."""
        return self + other

    def __neg__(self) -> Vector:
        return Vector(-self.x, -self.y)

    def __mul__(self, factor: float) -> Vector:  # type: ignore[override]
        return Vector(self.x * factor, self.y * factor)

    def __rmul__(self, factor: float) -> Vector:  # type: ignore[override]
        return self * factor

    def __truediv__(self, divisor: float) -> Vector:
        return Vector(self.x / divisor, self.y / divisor)

    def dot(self, other: tuple[float, float]) -> float:
        """The scalar product: 0 for directions that are square to each other."""
        return self.x * other[0] + self.y * other[1]

    def cross(self, other: tuple[float, float]) -> float:
        """The vector product: positive where the other lies to the left, 0 where along this."""
        return self.x * other[1] - self.y * other[0]

    @property
    def length(self) -> float:
        """How long it is, or how far from the origin."""
        return math.hypot(self.x, self.y)

    @property
    def angle(self) -> float:
        """Where it points, radians counter-clockwise from the x axis."""
        return math.atan2(self.y, self.x)

    @property
    def degrees(self) -> float:
        """Where it points, degrees clockwise from the top, from -180 to 180."""
        return math.degrees(math.atan2(self.x, self.y))

    @property
    def unit(self) -> Vector:
        """The same direction, 1 long; nothing where it is nothing."""
        return self / (self.length or 1.0)

    @property
    def left(self) -> Vector:
        """Turned by a quarter, counter-clockwise."""
        return Vector(-self.y, self.x)

    @property
    def right(self) -> Vector:
        """Turned by a quarter, clockwise."""
        return Vector(self.y, -self.x)

    def turned(self, degrees: float) -> Vector:
        """Turned clockwise about the origin; without an error at right angles."""
        s, c = Vector.bearing(degrees)
        return Vector(c * self.x + s * self.y, c * self.y - s * self.x)

    def distance(self, other: tuple[float, float]) -> float:
        """How far off another point is."""
        return math.dist(self, other)

    def turn_to(self, other: Vector) -> float:
        """The angle from this direction to another, counter-clockwise positive, radians."""
        return math.atan2(self.cross(other), self.dot(other))
