"""Draw one piece where it goes: its letters, its box, its hole, and its two distances.

The piece is drawn to a scale of its own, and beside it, or through it, the two lines that it is
set off from. The ways from these are shortened, and broken where they are. Figures stand upright.
"""

from __future__ import annotations

from dataclasses import dataclass

import shapely

from legend.drawing.placing.piece_places import Distance, PiecePlace
from legend.drawing.placing.sketch import (
    CHARACTER,
    FAINT,
    INK,
    MEASURED,
    PAPER,
    Anchor,
    Point,
    Sketch,
)
from legend.drawing.segments import SVG, path_texts
from legend.layout.artwork import Artwork, Opening
from legend.lettering.outlines.outline import Box
from legend.stencil.sheet import Cut

#: How holes are filled, and what keeps metal bare.
_HOLE, _DISC = "#e4e4e0", "#c9d3dc"
#: Lengths that differ by less are the same, mm.
_SAME = 1e-6
#: A way that is shorter has its arrows outside, in heights of the figures.
_ROOM_FOR_ARROWS = 1.4
#: How far centre lines, and lines that are measured from, reach beyond, in heights of the figures.
_BEYOND = 0.7
#: A piece is drawn smaller so many times, until it fits with what stands beside it: arrows go
#: outside a way that gets too short for them.
_ROUNDS = 4
#: The height of small words, in heights of the figures.
_SMALL = 0.72


@dataclass(frozen=True, slots=True)
class PictureSize:
    """How large a picture may be, in its own unit: a millimetre on paper.

    `figures` is the height of the figures; `scale` is how many units a millimetre of the panel
    takes at the most.
    """

    width: float
    height: float
    figures: float
    scale: float


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture as an `svg` element, and its scale: units to a millimetre of the panel."""

    svg: str
    scale: float


def piece_picture(
    artwork: Artwork, place: PiecePlace, size: PictureSize, unit: str = ""
) -> Picture:
    """The picture of a piece, no larger than it must be.

    With a `unit`, such as mm, it has a width and a height in it; else it fills its place.
    """
    drawn = _Drawn(artwork, place, size.figures)
    scale = drawn.scale = size.scale
    for _ in range(_ROUNDS):  # what stands beside the piece does not grow with it
        left, top, right, bottom = drawn.sketch().bounds
        wide, high = drawn.extent
        room = size.width - (right - left) + wide, size.height - (bottom - top) + high
        fits = min(max(room[k], size.figures) / (drawn.extent[k] / scale) for k in (0, 1))
        scale = drawn.scale = min(scale, fits)
    return Picture(drawn.sketch().svg(_told(place), unit), scale)


def _told(place: PiecePlace) -> str:
    """What the picture shows, for those who do not see it."""
    ways = (f"{distance.figure} {distance.whence}" for distance in place.distances)
    return f"Piece {place.piece.number}: {', '.join(ways)}"


class _Drawn:
    """One piece to be drawn at a scale: where everything of it stands."""

    def __init__(self, artwork: Artwork, place: PiecePlace, figures: float) -> None:
        self.place, self.f, self.scale = place, figures, 1.0
        self.top = top = artwork.panel.bounds[3]
        own, box = set(place.piece.owners), shapely.box(*place.piece.box)
        self.holes = [o for o in artwork.openings if o.id in own and self._is_by(o)]
        on_it = shapely.intersects(box, [o.outline.shape for o in artwork.openings])
        near = (o for o, is_on in zip(artwork.openings, on_it.tolist(), strict=True) if is_on)
        self.others = [opening for opening in near if opening not in self.holes]
        shapes = [box, *(opening.outline.shape for opening in self.holes)]
        x0, y0, x1, y1 = shapely.total_bounds(shapes).tolist()
        self.around: Box = (x0, y0, x1, y1)
        edge, holes = [place.piece.edge], [o.outline for o in (*self.others, *self.holes)]
        cut = {
            kind: [path.outline for path in place.piece.paths if path.cut is kind] for kind in Cut
        }
        drawn = (edge, holes, cut[Cut.BARE], place.piece.corner_marks, cut[Cut.MARK])
        self.paths = ["".join(path_texts(outlines, SVG, top)) for outlines in drawn]

    def _is_by(self, opening: Opening) -> bool:
        """Whether a hole of its own is near enough to help: what was split has others' as well."""
        shape, box = opening.outline.shape, shapely.box(*self.place.piece.box)
        x0, y0, x1, y1 = shape.bounds
        return bool(shape.distance(box) <= max(x1 - x0, y1 - y0))

    @property
    def extent(self) -> Point:
        """How wide and high the piece is drawn."""
        x0, y0, x1, y1 = self.around
        return (x1 - x0) * self.scale, (y1 - y0) * self.scale

    def at(self, x: float, y: float) -> Point:
        """Where a point of the panel is drawn: the upper left of the piece at 0, 0."""
        return (x - self.around[0]) * self.scale, (self.around[3] - y) * self.scale

    def along(self, axis: int, at: float) -> float:
        """Where a place on one axis is drawn."""
        return self.at(at, at)[axis]

    # --- The lines that are measured from ---

    def is_inside(self, distance: Distance) -> bool:
        """Whether its line runs through the piece, or along its side."""
        axis, at = distance.line.axis, distance.line.at
        return self.around[axis] - _SAME < at < self.around[axis + 2] + _SAME

    def line_at(self, distance: Distance) -> float:
        """Where its line is drawn: beside the piece with room for the figure, or as it stands."""
        axis = distance.line.axis
        if self.is_inside(distance):
            return self.along(axis, distance.line.at)
        gap = (2.4 if axis else len(distance.signed) * CHARACTER + 1.6) * self.f
        comes_first = (distance.line.at < self.around[axis]) != bool(axis)
        return -gap if comes_first else self.extent[axis] + gap

    # --- All of it ---

    def sketch(self) -> Sketch:
        """Everything, at the scale it has now."""
        sketch = Sketch(self.f)
        self._piece(sketch)
        self._across(sketch)
        self._up(sketch)
        self._lines(sketch)
        self._number(sketch)
        return sketch

    def _piece(self, sketch: Sketch) -> None:
        origin, (box, holes, bare, corners, ink) = self.at(0.0, self.top), self.paths
        for text, fill, stroke in (
            (box, PAPER, "none"),
            (bare, _DISC, INK),
            (holes, _HOLE, FAINT),
            (corners, _DISC, FAINT),
        ):
            sketch.shapes(text, origin, self.scale, fill, stroke)
        for opening in self.holes:
            self._centre_lines(sketch, opening)
        sketch.shapes(ink, origin, self.scale, INK)
        sketch.shapes(box, origin, self.scale, "none", INK)
        sketch.reach((0.0, 0.0), self.extent)

    def _centre_lines(self, sketch: Sketch, opening: Opening) -> None:
        x0, y0, x1, y1 = opening.outline.bounds
        (left, top), (right, bottom) = self.at(x0, y1), self.at(x1, y0)
        x, y = self.at(*opening.centre)
        beyond = min(_BEYOND * self.f, min(right - left, bottom - top) / 2)
        sketch.line((left - beyond, y), (right + beyond, y), MEASURED, scribed=True)
        sketch.line((x, top - beyond), (x, bottom + beyond), MEASURED, scribed=True)

    def _clear_middle(self, axis: int) -> float:
        """The middle of the box on an axis, or of what its line leaves of it on one side."""
        box, distance = self.place.piece.box, self.place.distances[axis]
        low, high = sorted((self.along(axis, box[axis]), self.along(axis, box[axis + 2])))
        at = self.line_at(distance)
        if low < at < high:
            low, high = (low, at) if at - low > high - at else (at, high)
        return (low + high) / 2

    def _across(self, sketch: Sketch) -> None:
        """The way from the upright line to the box."""
        distance, f = self.place.across, self.f
        line, side = self.line_at(distance), self.along(0, distance.at)
        if self.is_inside(distance):  # there is no room before it: over the piece, or under it
            over = self.line_at(self.place.up) > 0 or self.is_inside(self.place.up)
            y = -1.1 * f if over else self.extent[1] + 1.6 * f
            corner = self.at(distance.at, self.place.piece.box[3 if over else 1])
            sketch.line((side, y + (-0.4 if over else 0.4) * f), corner, MEASURED)
        else:
            y = self._clear_middle(1)
        self._way(sketch, (line, y), (side, y), distance)
        beside = (len(distance.signed) * CHARACTER / 2 + 0.4) * f * self._inward(distance)
        x = (line + side) / 2 + beside
        sketch.words((x, y - 0.65 * f), distance.signed, MEASURED, bold=True)

    def _up(self, sketch: Sketch) -> None:
        """The way from the level line to the box."""
        distance, f = self.place.up, self.f
        line, side = self.line_at(distance), self.along(1, distance.at)
        after = True
        if self.is_inside(distance):  # beside the piece, where the other way is not
            x_line = self.line_at(self.place.across)
            after = x_line < self.extent[0] or self.is_inside(self.place.across)
            x = self.extent[0] + 1.1 * f if after else -1.1 * f
            corner = self.at(self.place.piece.box[2 if after else 0], distance.at)
            sketch.line(corner, (x + (0.4 if after else -0.4) * f, side), MEASURED)
        else:
            x = self._clear_middle(0)
        self._way(sketch, (x, line), (x, side), distance)
        y = (line + side) / 2 - 0.8 * f * self._inward(distance)
        at = (x + (0.5 if after else -0.5) * f, y)
        anchor: Anchor = "start" if after else "end"
        sketch.words(at, distance.signed, MEASURED, anchor=anchor, bold=True)

    def _inward(self, distance: Distance) -> int:
        """Which way the panel lies from an edge that the box lies on, where a figure would stand
        in the line: 1 to the right or up, -1 to the left or down; else 0.
        """
        if not distance.line.is_edge or abs(distance.mm) * self.scale > _SAME:
            return 0
        return -1 if distance.line.side in ("right", "top") else 1

    def _way(self, sketch: Sketch, begin: Point, end: Point, distance: Distance) -> None:
        """A line with arrows at its ends, and broken in its middle where it is shortened."""
        (x0, y0), (x1, y1) = begin, end
        long = abs(x1 - x0) + abs(y1 - y0)
        if long < _SAME:
            return
        ux, uy = (x1 - x0) / long, (y1 - y0) / long
        if long < _ROOM_FOR_ARROWS * self.f:  # they stand outside, and point inwards
            out = 1.1 * self.f
            sketch.line((x0 - ux * out, y0 - uy * out), (x1 + ux * out, y1 + uy * out), MEASURED)
            ux, uy = -ux, -uy
        else:
            sketch.line(begin, end, MEASURED)
        sketch.arrow(end, (ux, uy))
        sketch.arrow(begin, (-ux, -uy))
        if abs(distance.mm) * self.scale > long + _SAME:
            self._break(sketch, ((x0 + x1) / 2, (y0 + y1) / 2), (abs(ux), abs(uy)))

    def _break(self, sketch: Sketch, at: Point, way: Point) -> None:
        """Two short strokes across a way, with paper between them."""
        (x, y), (ux, uy), f = at, way, self.f
        half, apart = 0.3 * f, 0.13 * f
        sketch.line(
            (x - ux * apart, y - uy * apart), (x + ux * apart, y + uy * apart), PAPER, thick=True
        )
        for off in (-apart, apart):
            mx, my = x + ux * off, y + uy * off
            tilt = (uy * half + ux * half / 2, ux * half + uy * half / 2)
            begin, end = (mx - tilt[0], my + tilt[1]), (mx + tilt[0], my - tilt[1])
            sketch.line(begin, end, MEASURED)

    def _lines(self, sketch: Sketch) -> None:
        """The two lines, each as long as all that is drawn; two edges end in the panel's corner."""
        left, top, right, bottom = sketch.bounds
        across, up = self.place.distances
        for own, other, low, high in ((across, up, top, bottom), (up, across, left, right)):
            at, crossing, line = self.line_at(own), self.line_at(other), own.line
            low, high = (
                min(low, crossing) - _BEYOND * self.f,
                max(high, crossing) + _BEYOND * self.f,
            )
            if other.line.is_edge:  # there the panel ends
                low, high = (
                    (crossing, high) if other.line.side in ("left", "top") else (low, crossing)
                )
            begin, end = ((at, low), (at, high)) if own is across else ((low, at), (high, at))
            sketch.line(begin, end, thick=line.is_edge, scribed=not line.is_edge)
            self._line_called(sketch, own, begin, end)

    def _line_called(self, sketch: Sketch, own: Distance, begin: Point, end: Point) -> None:
        """What a line is called: outside an edge, and behind the end of a centre line."""
        line, upright = own.line, own is self.place.across
        if line.is_edge:
            out = (0.75 if line.side in ("right", "bottom") else -0.75) * self.f
            x, y = (begin[0] + end[0]) / 2, (begin[1] + end[1]) / 2
            at = (x + out, y) if upright else (x, y + out)
            sketch.words(at, line.short, FAINT, size=_SMALL, turned=upright)
            return
        half = len(line.short) * CHARACTER * _SMALL * self.f / 2
        is_under = self.line_at(self.place.up) > 0 and not self.is_inside(self.place.up)
        if upright:
            at = (begin[0], begin[1] - 0.5 * self.f if is_under else end[1] + 0.5 * self.f)
        else:  # at the end that is further from the upright line
            x = self.line_at(self.place.across)
            is_last = end[0] - x > x - begin[0]
            out = (0.6 if is_under else -0.6) * self.f
            at = (end[0] - half if is_last else begin[0] + half, end[1] + out)
        sketch.words(at, line.short, FAINT, size=_SMALL)

    def _number(self, sketch: Sketch) -> None:
        """The number in a ring, where no way and no line runs."""
        f, (wide, _) = self.f, self.extent
        x_line = self.line_at(self.place.across)
        if self.is_inside(self.place.across):
            at = (-1.5 * f, 0.9 * f)
        elif self.is_inside(self.place.up):
            at = ((wide - 0.9 * f) if x_line < 0 else 0.9 * f, -1.3 * f)
        else:
            at = ((wide + 1.5 * f) if x_line < 0 else -1.5 * f, 0.9 * f)
        number = str(self.place.piece.number)
        sketch.ring(at, max(0.9, 0.32 * len(number) + 0.35) * f)
        sketch.words(at, number, size=0.95, bold=True)
