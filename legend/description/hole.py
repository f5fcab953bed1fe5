"""A hole as a description gives it, and the places that holes are measured from."""

from collections.abc import Iterator, Mapping
from typing import Any, Literal

from legend.description.shape import Shape, shapes_given, shapes_with, with_keys_of_shapes
from legend.description.shapes import SHAPES
from legend.description.table import Clash, Table
from legend.description.values import Angle, Point, Words
from legend.sentences import listed

Datum = Literal["lower left", "upper left", "lower right", "upper right", "centre"]


def from_datum(
    point: tuple[float, float], datum: Datum, size: tuple[float, float]
) -> tuple[float, float]:
    """A point measured from the datum of a panel, in panel coordinates.

    From a corner, distances run into the panel; from the centre, right and upwards.
    """
    (x, y), (width, height) = point, size
    if datum == "centre":
        return width / 2 + x, height / 2 + y
    return (
        width - x if "right" in datum else x,
        height - y if "upper" in datum else y,
    )


def to_datum(
    point: tuple[float, float], datum: Datum, size: tuple[float, float]
) -> tuple[float, float]:
    """A point in panel coordinates, as it is measured from the datum."""
    if datum == "centre":
        return point[0] - size[0] / 2, point[1] - size[1] / 2
    return from_datum(point, datum, size)  # from a corner, either way is the same


@with_keys_of_shapes
class _Opening(Table):
    """A hole of some shape about a point."""

    at: Point
    """Its middle, measured from the datum."""


class Hole(_Opening):
    """A hole as drilled or filed: it has one shape, and never two."""

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
