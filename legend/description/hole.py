"""A hole as a description gives it, and the places that holes are measured from."""

from collections.abc import Iterator, Mapping
from typing import Any, Literal

from legend.description.table import Clash, Table
from legend.description.values import Angle, Length, Point, Size, SlotSize, Width, Words

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


def corners_too_round(radius: float, size: tuple[float, float]) -> Iterator[Clash]:
    """Corners that would meet."""
    if radius > min(size) / 2:
        yield (
            "corner_radius",
            f"has a corner_radius of {radius:g} mm, more than half of its shorter side; "
            f"it must be at most {min(size) / 2:g} mm",
        )


class Hole(Table):
    """A hole as drilled, or a cut-out or a slot as filed: one of the three, never two."""

    at: Point
    """Its middle, measured from the datum."""
    drill: Length | None = None
    """The diameter of a drilled hole."""
    cutout: Size | None = None
    """The width and height of a cut-out."""
    slot: SlotSize | None = None
    """The length and width of a slot with round ends, which lies level."""
    corner_radius: Width = 0.0
    """The radius of the corners of a cut-out."""
    angle: Angle = 0.0
    """How far a cut-out or a slot is turned clockwise."""
    note: Words = ""
    """What is to be known of it, for the table of holes on the job card; `legend new` guesses by it
    what is fitted."""

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """No shape, or more than one; corners where there are none."""
        shapes = [key for key in ("drill", "cutout", "slot") if key in given]
        if len(shapes) != 1:
            yield (
                shapes[1] if shapes else "",
                f"has {' and '.join(shapes) or 'no shape'}; it takes one of drill (a diameter), "
                "cutout ([width, height]) and slot ([length, width])",
            )
        elif "corner_radius" in given and shapes and "cutout" not in given:
            yield "corner_radius", f"has a corner_radius, which a {shapes[0]} does not take"

    def unsound(self) -> Iterator[Clash]:
        """Corners that would meet; a slot wider than it is long."""
        if self.cutout:
            yield from corners_too_round(self.corner_radius, self.cutout)
        if self.slot and self.slot[0] < self.slot[1]:
            yield (
                "slot",
                "has a slot that is wider than it is long; write slot = [length, width] and turn "
                "it with angle = 90",
            )
