"""Define the [panel] table: its outline, and the datum that distances are measured from.

The module does without `from __future__ import annotations`, as all do that tables are in.
"""

from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import Annotated, Any, ClassVar

from pydantic import Field, PlainValidator, WithJsonSchema

from legend.description.reading.files import names_a_file
from legend.description.shapes.edge import Edge
from legend.description.shapes.hole_shapes import corners_too_round
from legend.description.shapes.polygon import Corners, amiss, facing, polygon
from legend.description.shapes.shape import Saying
from legend.description.table import Clash, Table, words_for
from legend.description.tables.hole import Measuring, ways_from
from legend.description.values.check_codes import Codes
from legend.description.values.form import Form
from legend.description.values.length_values import (
    Datum,
    Distance,
    PanelSide,
    PanelSize,
    Point,
    Width,
)
from legend.description.values.text_values import Words
from legend.length_words import WithLengths
from legend.limits import LARGEST_PANEL

#: The least and the greatest width and height of a panel, mm.
_LEAST_SIDE, _GREATEST_SIDE = 1.0, 10_000.0


def _drawing(value: Any) -> Edge | str:
    if not isinstance(value, Edge) and not names_a_file(value):
        raise ValueError("cannot be the name of a file")
    return value


class PanelOutline(Table):
    """The outline of a panel that is no rectangle: of one kind, and never two."""

    diameter: PanelSide | None = None
    """The diameter of a round panel."""
    polygon: Corners | None = None
    """The corners of a panel with straight sides, one after the other, as [x, y] from the datum, or
    [x, y, radius]."""
    drawing: Annotated[
        Edge | str | None,
        Form(
            'the name of a DXF drawing, such as "panel.dxf"',
            (PlainValidator(_drawing), WithJsonSchema({"type": "string", "pattern": r"\S"})),
        ),
    ] = None
    """The name of a DXF drawing with the outline: its largest closed line. The drawing's origin is
    the datum."""
    layer: Words = ""
    """The layer of the drawing that the outline is on, where it is not the largest of all."""

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """No outline, or more than one; a layer without its drawing."""
        kinds = [key for key in ("diameter", "polygon", "drawing") if key in given]
        if len(kinds) != 1:
            yield (
                kinds[1] if kinds else "",
                f"has {' and '.join(kinds) or 'nothing of an outline'}; it takes one of diameter, "
                "polygon (a list of corners [x, y]) and drawing (the name of a DXF drawing)",
            )
        if "layer" in given and "drawing" not in given:
            yield "layer", "has a layer, which only a drawing has"

    def unsound(self) -> Iterator[Clash]:
        """A polygon that encloses nothing, or crosses itself."""
        for what in amiss(self.polygon) if self.polygon else ():
            yield "polygon", what.after("has a polygon with ")


class Panel(Table):
    """The panel: its size and corners, where it is measured from, how far off it is read."""

    also_called: ClassVar[Mapping[str, str]] = words_for(
        {
            "size": "width height length dimensions",
            "corner_radius": "radius corners rounding",
            "datum": "origin zero",
            "viewing_distance": "distance read_from",
            "outline": "shape diameter polygon drawing",
        }
    )

    size_: PanelSize | None = Field(default=None, alias="size")
    """Its width and height. Left out, those of its outline."""
    corner_radius: Width = 0.0
    """The radius of its corners, or of those of a polygon that have none of their own."""
    outline: PanelOutline | None = None
    """Its outline, where that is no rectangle: round, a polygon, or from a drawing."""
    datum: Datum = "lower left"
    """Where holes, texts and lines are measured from, as you face the panel: from a corner into
    the panel, from the centre to the right and upwards. A polygon, or a drawing, is measured from
    it too; of other panels it is a corner, or the centre, of the rectangle round them."""
    viewing_distance: Distance = 600.0
    """How far off it is read. Heights that are left out are chosen by it, and all are checked
    against it."""
    meant: Codes = ()
    """What the checks find anywhere on the panel and is meant to be so: their codes."""

    @property
    def size(self) -> tuple[float, float]:
        """Its width and height, or those of the rectangle round it."""
        return self.size_ or self._drawn.size

    @property
    def edge(self) -> Edge:
        """Its edge, in panel coordinates."""
        x0, y0, _, _ = self._drawn.box
        return self._drawn.moved(-x0, -y0)

    @property
    def measuring(self) -> Measuring:
        """How its holes, texts and lines are measured."""
        return self.measuring_from(self.datum)

    def measuring_from(self, datum: Datum) -> Measuring:
        """How places are measured from a datum: its own, or one of the rectangle round it."""
        if datum == self.datum and self.outline and not self.outline.diameter:
            x0, y0, _, _ = self._drawn.box
            return Measuring((-x0, -y0), ways_from(datum))
        (width, height), (right, up) = self.size, ways_from(datum)
        if datum == "centre":
            return Measuring((width / 2, height / 2), (right, up))
        return Measuring((width if right < 0 else 0.0, height if up < 0 else 0.0), (right, up))

    def from_datum(self, point: Point) -> Point:
        """A point measured from the datum, in panel coordinates.

        From a corner, distances run into the panel; from the centre, right and upwards.
        """
        return self.measuring.on_panel(point)

    def words(self, said: Saying) -> str:
        """Its size as a drawing says it: 220 × 90, or Ø 160."""
        if self.outline and self.outline.diameter:
            return f"Ø {said(self.outline.diameter)}"
        return " × ".join(map(said, self.size))

    @cached_property
    def _drawn(self) -> Edge:
        """Its edge where it is drawn: about the middle, or as it is measured from its datum.

        Error: ValueError, where it is in a drawing that was not read.
        """
        outline = self.outline
        if outline is None:
            assert self.size_ is not None  # the clashes see to it
            return Edge.rectangle(*self.size_, self.corner_radius)
        if outline.diameter:
            return Edge.circle(outline.diameter)
        if outline.polygon:
            return polygon(facing(outline.polygon, ways_from(self.datum)), self.corner_radius)
        if isinstance(outline.drawing, Edge):
            return outline.drawing
        raise ValueError(f"the drawing {outline.drawing} was not read")

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """No size and no outline, or both; corners of what has none."""
        outline = given.get("outline")
        if "size" in given and "outline" in given:
            yield "outline", "has both size and outline; a panel with an outline has its size by it"
        elif "size" not in given and "outline" not in given:
            yield (
                "size",
                "lacks size, which must be [width, height], or an outline where it is no rectangle",
            )
        cornered = not isinstance(outline, Mapping) or "polygon" in outline
        if given.get("corner_radius") and not cornered:
            yield "corner_radius", "has a corner_radius, which only a rectangle or a polygon takes"

    def unsound(self) -> Iterator[Clash]:
        """Corners that would meet; less panel than can be seen, or more than there is metal for."""
        outline = self.outline
        key = "outline" if outline else "size"
        unread = outline is not None and isinstance(outline.drawing, str)
        if unread or not (outline or self.size_):
            return  # that has been told
        if outline and outline.polygon:
            for what in amiss(outline.polygon, self.corner_radius):
                yield "outline", what.after("has an outline with ")
                return
        elif self.size_:
            yield from corners_too_round(self.corner_radius, self.size_)
        size = self.size
        if not all(_LEAST_SIDE <= side <= _GREATEST_SIDE for side in size):
            yield (
                key,
                WithLengths.of(
                    "has an outline of {} × {} {unit}; a panel is {} to {} {unit} wide and high",
                    *size,
                    _LEAST_SIDE,
                    _GREATEST_SIDE,
                ),
            )
        area = size[0] * size[1] / 1e6
        if area > LARGEST_PANEL:
            yield key, f"has a size of {area:.3g} m²; a panel has at most {LARGEST_PANEL:g} m²"
