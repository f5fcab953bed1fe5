"""Define the shapes that holes can have, one class each.

To add one, add a class here with `@shape`. Its fields are the keys that a hole of that shape
has in the description, the first of them the one that makes a hole that shape, and under
each stands what it means: the checks, the words of faults, the JSON Schema and the reference
in the README follow. What covers a hole, what drops into it and how it is drawn follow from
its edge, where the shape does not say otherwise.

The module does without `from __future__ import annotations`: the types of keys are read from it.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, ClassVar

from pydantic import AfterValidator, Strict, WithJsonSchema
from pydantic.json_schema import JsonSchemaValue

from legend.description.shapes.edge import Arc, Edge
from legend.description.shapes.polygon import Corners, amiss, encloses, polygon
from legend.description.shapes.shape import SHAPES as SHAPES
from legend.description.shapes.shape import Saying, Shape, shape
from legend.description.table import Clash
from legend.description.values.form import Form
from legend.description.values.length_values import Length, Size, SlotSize, Width
from legend.description.values.number_values import Flag
from legend.length_words import WithLengths
from legend.sentences import listed
from legend.standards import D_CONNECTORS, D_CORNER_RADII, D_SLANT
from legend.vector import Vector

# --- Round holes, and nearly round ones ---


class _Round(Shape):
    """A hole that is drilled before it gets whatever makes it less than round."""

    @property
    def punched(self) -> tuple[Vector, ...]:
        return (Vector(0.0, 0.0),)


@shape
@dataclass(frozen=True, slots=True)
class Drilled(_Round):
    """A drilled hole."""

    drill: Length
    """The diameter of a drilled hole."""

    holds: ClassVar[str] = "a diameter"

    @property
    def edge(self) -> Edge:
        return Edge.circle(self.drill)

    @property
    def diameter(self) -> float:
        return self.drill

    def words(self, said: Saying) -> str:
        return f"Ø {said(self.drill)}"


_Flats = Annotated[
    tuple[Length, Length],
    Form("[diameter, across the flat], two lengths of 0.01 to 2000 mm", unit="mm"),
]


@shape
@dataclass(frozen=True, slots=True)
class SingleD(_Round):
    """A round hole with one flat."""

    single_d: _Flats
    """The diameter of a round hole with one flat, and its height from there to the other side. The
    flat is at the top."""

    holds: ClassVar[str] = "[diameter, across the flat]"

    @property
    def edge(self) -> Edge:
        radius = self.single_d[0] / 2
        turn = _half_angle(self.single_d[1] - radius, radius)
        return Edge((Arc(Vector(0.0, 0.0), radius, -turn, turn - 360),))

    @property
    def diameter(self) -> float:
        return self.single_d[0]

    def words(self, said: Saying) -> str:
        diameter, across = self.single_d
        return f"Ø {said(diameter)}, {said(across)} across the flat"

    def unsound(self) -> Iterator[Clash]:
        diameter, across = self.single_d
        if not diameter / 2 < across < diameter:
            yield (
                "single_d",
                WithLengths.of(
                    "has a flat {} {unit} from the other side of a hole of {} {unit}; it "
                    "must be more than half of that, and less than all: between {} and {} {unit}",
                    across,
                    diameter,
                    diameter / 2,
                    diameter,
                ),
            )


@shape
@dataclass(frozen=True, slots=True)
class DoubleD(_Round):
    """A round hole with two flats."""

    double_d: Annotated[
        tuple[Length, Length],
        Form("[diameter, across the flats], two lengths of 0.01 to 2000 mm", unit="mm"),
    ]
    """The diameter of a round hole with two flats, and the distance between these, which lie level,
    at the top and at the bottom."""

    holds: ClassVar[str] = "[diameter, across the flats]"

    @property
    def edge(self) -> Edge:
        radius = self.double_d[0] / 2
        turn = _half_angle(self.double_d[1] / 2, radius)
        left = Arc(Vector(0.0, 0.0), radius, -turn, turn - 180)
        return Edge((left, Arc(Vector(0.0, 0.0), radius, 180 - turn, turn)))

    @property
    def diameter(self) -> float:
        return self.double_d[0]

    def words(self, said: Saying) -> str:
        diameter, across = self.double_d
        return f"Ø {said(diameter)}, {said(across)} across flats"

    def unsound(self) -> Iterator[Clash]:
        diameter, across = self.double_d
        if across >= diameter:
            yield (
                "double_d",
                WithLengths.of(
                    "has flats {} {unit} apart in a hole of {} {unit}; they must be nearer "
                    "to each other than that",
                    across,
                    diameter,
                ),
            )


def _half_angle(height: float, radius: float) -> float:
    """How far to either side of the top a circle is cut by a flat at this height, degrees."""
    return math.degrees(math.acos(height / radius))


@shape
@dataclass(frozen=True, slots=True)
class Keyed(_Round):
    """A round hole with a notch for the locating key of what is fitted."""

    keyed: Annotated[
        tuple[Length, Length, Length],
        Form(
            "[diameter, width and depth of the notch], three lengths of 0.01 to 2000 mm",
            unit="mm",
        ),
    ]
    """The diameter of a round hole with a notch for a locating key, and the width and the depth of
    the notch. It is at the top."""

    holds: ClassVar[str] = "[diameter, width and depth of the notch]"

    @property
    def edge(self) -> Edge:
        diameter, width, depth = self.keyed
        radius = diameter / 2
        turn = math.degrees(math.asin(width / diameter))
        top = radius + depth
        return Edge(
            (
                Arc(Vector(0.0, 0.0), radius, -turn, turn - 360),
                Arc(Vector(width / 2, top)),
                Arc(Vector(-width / 2, top)),
            )
        )

    @property
    def diameter(self) -> float:
        return self.keyed[0]

    def words(self, said: Saying) -> str:
        diameter, width, depth = map(said, self.keyed)
        return f"Ø {diameter}, notch {width} × {depth}"

    def plug(self, least: float) -> Edge:
        return self.edge if self.keyed[1] >= least else Edge.circle(self.keyed[0])

    def unsound(self) -> Iterator[Clash]:
        diameter, width, _ = self.keyed
        if width >= diameter:
            yield (
                "keyed",
                WithLengths.of(
                    "has a notch {} {unit} wide in a hole of {} {unit}; it must be "
                    "narrower than the hole",
                    width,
                    diameter,
                ),
            )


@shape
@dataclass(frozen=True, slots=True)
class Hexagon(_Round):
    """A hexagonal hole."""

    hexagon: Length
    """The distance across the flats of a hexagonal hole. Two of them lie level, at the top and at
    the bottom."""

    holds: ClassVar[str] = "across the flats"

    @property
    def edge(self) -> Edge:
        corner = Arc(Vector(0.0, 0.0), self.diameter / 2)
        return Edge(tuple(Arc(corner.at(30 - 60 * k)) for k in range(6)))

    @property
    def diameter(self) -> float:
        return self.hexagon * 2 / math.sqrt(3)

    def words(self, said: Saying) -> str:
        return f"hexagon, {said(self.hexagon)} across flats"


# --- Holes with sides ---


def corners_too_round(radius: float, size: tuple[float, float]) -> Iterator[Clash]:
    """Corners that would meet."""
    if radius > min(size) / 2:
        yield (
            "corner_radius",
            WithLengths.of(
                "has a corner_radius of {} {unit}, more than half of its shorter side; it "
                "must be at most {} {unit}",
                radius,
                min(size) / 2,
            ),
        )


@shape
@dataclass(frozen=True, slots=True)
class CutOut(Shape):
    """A rectangular cut-out."""

    cutout: Size
    """The width and height of a cut-out."""
    corner_radius: Width = 0.0
    """The radius of the corners of a cut-out, or of those of a polygon that have none of their
    own."""

    holds: ClassVar[str] = "[width, height]"

    @property
    def edge(self) -> Edge:
        return Edge.rectangle(*self.cutout, self.corner_radius)

    def cover(self, factor: float, extra: float) -> Edge:
        width, height = self.cutout
        return Edge.rectangle(width + extra, height + extra, self.corner_radius)

    def unsound(self) -> Iterator[Clash]:
        return corners_too_round(self.corner_radius, self.cutout)


@shape
@dataclass(frozen=True, slots=True)
class Slot(Shape):
    """A slot with round ends."""

    slot: SlotSize
    """The length and width of a slot with round ends, which lies level."""

    holds: ClassVar[str] = "[length, width]"
    usual: ClassVar[str] = "slide"

    @property
    def edge(self) -> Edge:
        length, width = self.slot
        reach, radius = (length - width) / 2, width / 2
        right = Arc(Vector(reach, 0.0), radius, 180.0, 0.0)
        return Edge((right, Arc(Vector(-reach, 0.0), radius, 0.0, -180.0)))

    def unsound(self) -> Iterator[Clash]:
        if self.slot[0] < self.slot[1]:
            yield (
                "slot",
                "has a slot that is wider than it is long; write slot = [length, width] and turn "
                "it with angle = 90",
            )


_WAYS: JsonSchemaValue = {"enum": list(D_CONNECTORS), "type": "integer"}


def _known(ways: int) -> int:
    if ways not in D_CONNECTORS:
        raise ValueError("is no number of ways")
    return ways


@shape
@dataclass(frozen=True, slots=True)
class DConnector(Shape):
    """The cut-out for a D-connector, its wide side up."""

    d_connector: Annotated[
        int,
        Form(
            f"the number of its ways: {listed(map(str, D_CONNECTORS), 'or')}",
            (Strict(), AfterValidator(_known), WithJsonSchema(_WAYS)),
        ),
    ]
    """The number of ways of a D-connector, for its cut-out alone, the wide side up; if yours was
    filed otherwise, give it as a polygon."""
    front_mounted: Flag = False
    """Whether a D-connector is fitted from the front, through a larger cut-out than from behind."""

    holds: ClassVar[str] = "the number of its ways"
    usual: ClassVar[str] = "connector"

    @property
    def edge(self) -> Edge:
        way = "front" if self.front_mounted else "behind"
        (width, height), radius = D_CONNECTORS[self.d_connector][way], D_CORNER_RADII[way]
        x, y = width / 2 - radius, height / 2 - radius
        narrow = x - 2 * y * math.tan(math.radians(D_SLANT))
        return Edge(
            (
                Arc(Vector(x, y), radius, 90 + D_SLANT, 0.0),
                Arc(Vector(-x, y), radius, 0.0, -90 - D_SLANT),
                Arc(Vector(-narrow, -y), radius, -90 - D_SLANT, -180.0),
                Arc(Vector(narrow, -y), radius, 180.0, 90 + D_SLANT),
            )
        )

    def words(self, said: Saying) -> str:
        return f"D-connector, {self.d_connector} ways"

    def cover(self, factor: float, extra: float) -> Edge:
        return Edge.rectangle(*D_CONNECTORS[self.d_connector]["flange"])


@shape
@dataclass(frozen=True, slots=True)
class Polygon(Shape):
    """A cut-out with straight sides of any number."""

    polygon: Corners
    """The corners of a cut-out with straight sides, one after the other, as [x, y] from `at`, right
    and upwards, or [x, y, radius]. It lies round `at`, where its legends are centred."""
    corner_radius: Width = 0.0
    """The radius of the corners of a cut-out, or of those of a polygon that have none of their
    own."""

    holds: ClassVar[str] = "a list of corners [x, y]"

    @property
    def edge(self) -> Edge:
        return polygon(self.polygon, self.corner_radius)

    @property
    def punched(self) -> tuple[Vector, ...]:
        return tuple(corner.centre for corner in self.edge.corners)

    def words(self, said: Saying) -> str:
        return f"polygon, {super(Polygon, self).words(said)}"

    def cover(self, factor: float, extra: float) -> Edge:
        return super(Polygon, self).cover(factor, extra) if extra else self.edge

    def unsound(self) -> Iterator[Clash]:
        wrong = False
        for what in amiss(self.polygon, self.corner_radius):
            wrong = True
            yield "polygon", what.after("has a polygon with ")
        if not wrong and not encloses(self.edge, Vector(0.0, 0.0)):
            yield (
                "polygon",
                "has a polygon that does not lie round its `at`; give its corners as they lie from "
                "there, x to the right and y upwards",
            )
