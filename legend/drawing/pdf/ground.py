"""Say what is taken on the drawing of a panel: what print keeps off, and what lanes do not cut."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from legend.drawing.pdf.cut_lanes import InTheWay
from legend.layout.artwork import Artwork, Mark, Opening, Role
from legend.stencil.sheet import Piece
from legend.vector import Vector

Point = tuple[float, float]
#: Shapes, and how bad it is for print to stand on each.
Taken = tuple[Sequence[BaseGeometry], Sequence[float]]

#: How far centre lines run past the hole, mm.
_PAST = 3.0
#: Radius of the dot that marks where to punch, mm.
PUNCH = 0.25
#: How bad it is for small print to stand on a thing.
_ON_LEGEND, _ON_HOLE, _ON_EDGE, _ON_BOX, _ON_CENTRE_LINE = 10.0, 6.0, 4.0, 4.0, 2.0
_IN_PIECE = 1.0
#: How far the arrows of the datum and their words reach, along and up, and to either side, mm.
_DATUM = (32.0, 20.0, 7.0)
#: How bad it is for a lane to cut a thing; a line, such as that of a frame, is told from both of
#: its parts as one, unless the lane runs along it.
_CUTS_LEGEND, _CUTS_LETTER, _CUTS_HOLE, _CUTS_PIECE = 100.0, 40.0, 30.0, 10.0
_CUTS_LINE, _RUNS_ALONG = 5.0, 50.0


def taken(artwork: Artwork, pieces: Sequence[Piece], points: Sequence[Point] = ()) -> Taken:
    """What the small print is to keep clear of, and how much it matters."""
    weighed: list[tuple[BaseGeometry, float]] = []
    weighed += [(shapely.Point(point).buffer(PUNCH), _ON_LEGEND) for point in points]
    weighed += [(mark.outline.shape, _ON_LEGEND) for mark in artwork.marks if mark.outline]
    weighed += [(opening.outline.shape.boundary, _ON_HOLE) for opening in artwork.openings]
    weighed += [(disc.outline.shape.boundary, _ON_HOLE) for disc in artwork.bare_discs]
    weighed.append((artwork.panel.shape.boundary, _ON_EDGE))
    for opening in artwork.openings:
        lines = [shapely.LineString(ends) for ends in half_axes(opening)]
        weighed += [(line, _ON_CENTRE_LINE) for line in lines]
    weighed += [(piece.edge.shape.boundary, _ON_BOX) for piece in pieces]
    weighed += [(mark.shape, _ON_LEGEND) for piece in pieces for mark in piece.corner_marks]
    return [shape for shape, _ in weighed], [weight for _, weight in weighed]


def taken_from_bars(artwork: Artwork, pieces: Sequence[Piece]) -> Taken:
    """What bars, notes and heading are to keep clear of: the datum as well."""
    shapes, weights = taken(artwork, pieces)
    inside = [piece.edge.shape for piece in pieces]  # crowded, though it may be bare
    return (
        [*shapes, shapely.union_all(_of_datum(artwork)), *inside],
        [*weights, _ON_LEGEND, *(_IN_PIECE for _ in inside)],
    )


def _of_datum(artwork: Artwork) -> list[BaseGeometry]:
    """About what the two arrows of the datum take up, with their words."""
    measuring = artwork.description.panel.measuring
    (x, y), (right, up) = measuring.origin, measuring.ways
    long, high, half = _DATUM
    return [
        shapely.box(x - half * right, y - half, x + long * right, y + half),
        shapely.box(x - half, y - half * up, x + half, y + high * up),
    ]


def half_axes(opening: Opening) -> Iterator[tuple[Point, Point]]:
    """The centre lines of a hole in four halves, each from the centre outwards."""
    x0, y0, x1, y1 = opening.hole.shape.edge.box
    for turn, half in ((0, y1), (90, x1), (180, -y0), (270, -x0)):
        way = Vector.bearing(turn + opening.hole.angle)
        yield opening.centre, opening.centre + (half + _PAST) * way


def in_the_way(artwork: Artwork, pieces: Sequence[Piece] = ()) -> list[InTheWay]:
    """What the lanes between sheets are to keep off: legends first, then holes, then pieces."""
    things = [thing for mark in artwork.marks if mark.outline for thing in _of_mark(mark)]
    holes = (opening.outline for opening in artwork.openings)
    things += [InTheWay(hole.bounds, _CUTS_HOLE) for hole in holes]
    things += [InTheWay(piece.box, _CUTS_PIECE) for piece in pieces]
    things += [InTheWay(arrow.bounds, _CUTS_PIECE) for arrow in _of_datum(artwork)]
    return things


def _of_mark(mark: Mark) -> Iterator[InTheWay]:
    """A mark as a whole; of words, where these must be cut, their letters as well; of a line, such
    as a frame, its level and plumb sides."""
    if mark.role not in (Role.FRAME, Role.RULE):
        yield InTheWay(mark.outline.bounds, _CUTS_LEGEND, legend=True)
        for letter in mark.letters:
            yield InTheWay(letter.outline.bounds, _CUTS_LETTER)
        return
    x0, y0, x1, y1 = mark.outline.bounds
    yield InTheWay((x0, y0, x1, y1), _CUTS_LINE)
    for x, y in ((x0, y0), (x1, y1)):  # which stand for the sides that meet there
        yield InTheWay((x, y, x, y), _RUNS_ALONG)
