"""Define the table of a hole, and how the places of holes are measured."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from legend.description.shapes.hole_shapes import SHAPES
from legend.description.shapes.shape import Shape, shapes_given, shapes_with, with_keys_of_shapes
from legend.description.table import Clash, Table, words_for
from legend.description.values.length_values import Datum, Point
from legend.description.values.number_values import Angle
from legend.description.values.text_values import Words
from legend.sentences import listed


@dataclass(frozen=True, slots=True)
class Measuring:
    """How places are measured: from where on the panel, and which way distances run from there.

    `ways` are 1 for distances to the right and upwards, -1 for those to the left and down.
    """

    origin: tuple[float, float]
    ways: tuple[float, float] = (1.0, 1.0)

    def on_panel(self, point: tuple[float, float]) -> tuple[float, float]:
        """A point as it is measured, in panel coordinates."""
        (x0, y0), (right, up) = self.origin, self.ways
        return x0 + right * point[0], y0 + up * point[1]

    def measured(self, point: tuple[float, float]) -> tuple[float, float]:
        """A point in panel coordinates, as it is measured."""
        (x0, y0), (right, up) = self.origin, self.ways
        return right * (point[0] - x0), up * (point[1] - y0)


def ways_from(datum: Datum) -> tuple[float, float]:
    """Which way distances run from a datum: from a corner into the panel; from the centre, right
    and upwards."""
    return -1.0 if "right" in datum else 1.0, -1.0 if "upper" in datum else 1.0


@with_keys_of_shapes
class _Opening(Table):
    """A hole of some shape about a point."""

    at: Point
    """Its middle, measured from the datum."""


class Hole(_Opening):
    """A hole as drilled or filed: it has one shape, and never two."""

    also_called: ClassVar[Mapping[str, str]] = words_for(
        {
            "at": "x y position place pos centre center",
            "drill": "diameter dia drilled d radius",
            "cutout": "width height size rectangle square",
            "slot": "length",
            "angle": "rotation rotate turn turned",
            "note": "remark comment part for",
        }
    )

    angle: Angle = 0.0
    """How far it is turned clockwise, with what is fitted in it."""
    note: Words = ""
    """What is to be known of it, for the table of holes on the job card; `legend new` guesses by it
    what is fitted."""

    @property
    def shape(self) -> Shape:
        """What it looks like."""
        (shape,) = shapes_given(self.__dict__)
        return shape

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """No shape, or more than one; keys that its shape does not take."""
        shapes = [key for key in SHAPES if key in given]
        if len(shapes) != 1:
            known = listed(f"{key} ({cls.holds})" for key, cls in SHAPES.items())
            yield (
                shapes[1] if shapes else "",
                f"has {' and '.join(shapes) or 'no shape'}; it takes one of {known}",
            )
            return
        for key in given:
            takers = shapes_with(key)
            if takers and shapes[0] not in takers:
                yield key, f"has a {key}, which a {shapes[0]} does not take"

    def unsound(self) -> Iterator[Clash]:
        """Sizes of its shape that do not suit each other."""
        for shape in shapes_given(self.__dict__):
            yield from shape.unsound()
