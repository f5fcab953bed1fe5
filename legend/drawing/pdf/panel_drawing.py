"""Draw the panel as a workshop drawing: edge, centre lines, legends, weeding boxes.

Artwork and pieces in; lines drawn with a `Pen`, in panel coordinates, out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from legend.drawing.length_words import disc_in_words, hole_in_words
from legend.drawing.pdf.drafting_pen import Align, Line, Pen, Point
from legend.drawing.pdf.ground import PUNCH, Taken, half_axes, taken
from legend.drawing.pdf.label_places import CLOSE_BY, Room, grown, places_around
from legend.layout.artwork import Artwork, Opening
from legend.length_words import Lengths
from legend.lettering.outlines.outline import Box, Outline, box_round
from legend.stencil.sheet import Piece

#: Room round the panel for the centre lines, the datum and the small print, mm: as much of it
#: as needs no more sheets of paper than the least, which holds the line of the edge.
_SURROUNDS = (12.0, 11.0, 10.0, 9.0, 8.0, 7.0, 6.0, 5.0, 4.0, 3.0, 2.0, 1.0)
#: The most of it that is given to what stands off the panel, mm.
MOST_SURROUND = 36.0
#: How far the arrows of the datum stand off the panel; or on it, where there is no room, mm.
_DATUM_OFF, _DATUM_ON = 5.0, 3.0
#: What the arrows and their letters take up on either side of them, mm.
_DATUM_HALF = 1.2
#: Holes smaller than this have plain centre lines, mm: dashes would not show.
_SMALL = 8.0
#: Capital height of the small print, mm. ISO 3098-0.
_SMALL_PRINT = 1.8
_LINE_PITCH = 1.5
#: Grey of the legends' inside, 0 black, 1 white: no film that is laid over it looks so, white
#: film least of all. Round it is a rim, darker than grey film and lighter than black, all of it
#: outside the true edge: it shows evenly all round a letter of film that is laid right.
_TINT = 0.8
_BALLOON = 2.4
#: How long the arrows of the datum are, mm: the first that has room among the legends.
_DATUM_ARROWS = (14.0, 11.0, 8.0, 5.0)
#: Kept clear round small print, mm.
_CLEAR = 0.5


def draw_overlay(
    pen: Pen,
    artwork: Artwork,
    pieces: Sequence[Piece],
    extent: Box,
    reserved: Sequence[Box] = (),
    outlines: bool = False,
) -> None:
    """Draw the panel to place stencils by: lines, small print that breaks them, then legends.

    Nothing is drawn beyond `extent`, one of `extents_of`, and no small print in what is
    `reserved`. With `outlines` the legends are fine lines, and paper within.
    """
    room = _room(taken(artwork, pieces), extent, reserved)
    lengths = Lengths(artwork.description.units)
    for piece in pieces:
        pen.shapes(Line.BOX, [piece.edge])
        pen.shapes(Line.FINE, piece.corner_marks)
    _draw_metal(pen, artwork)
    _draw_datum(pen, artwork, room, extent)
    for piece in pieces:
        _number_piece(pen, piece, room)
    for opening in artwork.openings:
        _label(
            pen,
            opening.outline,
            [opening.id, hole_in_words(opening, lengths)],
            room,
            opening,
        )
    for disc in artwork.bare_discs:
        round_ = "Ø " if disc.what == "disc" else ""
        _label(pen, disc.outline, [f"bare {round_}{disc_in_words(disc, lengths)}"], room)
    legends = [mark.outline for mark in artwork.marks]
    if outlines:
        pen.shapes(Line.FINE, legends)
    else:
        pen.rimmed(Line.RIM, legends, _TINT)


def draw_template(pen: Pen, artwork: Artwork, extent: Box, reserved: Sequence[Box] = ()) -> None:
    """Draw a panel without legends to drill it by, with points to punch, and distances.

    `extent` and `reserved` are those of `draw_overlay`.
    """
    points = [point for opening in artwork.openings for point in opening.punched]
    room = _room(taken(artwork, (), points), extent, reserved)
    _draw_metal(pen, artwork)
    _draw_datum(pen, artwork, room, extent)
    lengths = Lengths(artwork.description.units)
    for opening in artwork.openings:
        at = ", ".join(map(lengths.exact, opening.hole.at))
        words = [opening.id, hole_in_words(opening, lengths), at]
        _label(pen, opening.outline, words, room, opening)
    for point in points:
        pen.circle(Line.FINE, point, PUNCH, fill=0)


def _room(taken: Taken, extent: Box, reserved: Sequence[Box]) -> Room:
    room = Room(*taken, extent)
    for box in reserved:
        room.take(box)
    return room


def _draw_metal(pen: Pen, artwork: Artwork) -> None:
    """The panel's edge, its bare discs, and its holes with their centre lines."""
    for disc in artwork.bare_discs:
        pen.shapes(Line.COVER, [disc.outline])
    pen.shapes(Line.EDGE, [artwork.panel])
    pen.shapes(Line.THIN, [opening.outline for opening in artwork.openings])
    for opening in artwork.openings:
        for begin, end in half_axes(opening):
            long = Line.CENTRE.value[1][0]
            fine = min(opening.hole.shape.size) < _SMALL
            pen.line(Line.FINE if fine else Line.CENTRE, begin, end, phase=0 if fine else long / 2)


def extents_of(artwork: Artwork, pieces: Sequence[Piece] = ()) -> list[Box]:
    """How much may be drawn: the panel, what stands a little way off it, and room round both.

    The one with the most room comes first, for paper that holds it; the panel alone last. What
    stands further off is a slip in the description, and is told as one; it does not make the
    drawing larger.
    """
    boxes = [mark.outline.bounds for mark in artwork.marks if mark.outline]
    boxes += [opening.outline.bounds for opening in artwork.openings]
    boxes += [piece.box for piece in pieces]
    panel = artwork.panel.bounds
    left, bottom, right, top = grown(panel, MOST_SURROUND)
    found = []
    for surround in _SURROUNDS:
        around = (grown(box, min(surround, 2)) for box in boxes)
        x0, y0, x1, y1 = box_round([grown(panel, surround), *around])
        found.append((max(x0, left), max(y0, bottom), min(x1, right), min(y1, top)))
    return [*found, grown(panel, _SURROUNDS[-1])]


def _label(
    pen: Pen, outline: Outline, lines: Sequence[str], room: Room, opening: Opening | None = None
) -> None:
    """Small print about a shape: within a cut-out where there is room, else beside it.

    Where it belongs to an opening, the first of its lines is the name, in bold.
    """
    bold = [opening is not None and k == 0 for k in range(len(lines))]
    width = (
        max(pen.width_of(line, _SMALL_PRINT, b) for line, b in zip(lines, bold, strict=True))
        + 2 * _CLEAR
    )
    height = (1 + _LINE_PITCH * (len(lines) - 1)) * _SMALL_PRINT + 2 * _CLEAR
    quarters = _corners_within(opening, width, height) if opening else ()
    within = np.array(list(quarters)).reshape(-1, 4)
    around, dislike = places_around(outline, width, height, opening.hole.angle if opening else 0.0)
    dislike = np.concatenate([np.zeros(len(within)), dislike])
    left, bottom, right, top = outline.bounds
    centre = (left + right) / 2, (bottom + top) / 2
    box = room.best(np.concatenate([within, around]), dislike, centre)
    x0, y0, x1, y1 = box
    beside = (x0 + x1) / 2 - centre[0]
    align: Align = "left" if beside > 0.1 else "right" if beside < -0.1 else "centre"
    if (within == box).all(axis=1).any():
        align = "left"
    x = {"left": x0 + _CLEAR, "centre": (x0 + x1) / 2, "right": x1 - _CLEAR}[align]
    pen.blank(*grown(box, -_CLEAR / 2))
    for k, line in enumerate(lines):
        baseline = y1 - _CLEAR - _SMALL_PRINT * (1 + _LINE_PITCH * k)
        pen.text(line, (x, baseline), _SMALL_PRINT, align, bold[k])
    _lead(pen, box, outline)


def _lead(pen: Pen, box: Box, outline: Outline) -> None:
    """A leader from small print to what it names, where the two are not close by."""
    edge = outline.shape.boundary
    words = shapely.box(*box)
    if shapely.distance(words, edge) < CLOSE_BY or outline.shape.contains(words):
        return
    begin, end = shapely.get_coordinates(shapely.shortest_line(words, edge)).tolist()
    pen.line(Line.FINE, begin, end)


def _corners_within(opening: Opening, width: float, height: float) -> Iterator[Box]:
    """The quarters of an upright cut-out, where they hold a label."""
    x0, y0, x1, y1 = opening.outline.bounds
    x, y = opening.centre
    inset = 0.6
    if opening.hole.shape.diameter is not None or opening.hole.angle % 90:
        return
    room = shapely.buffer(opening.outline.shape, inset)
    for left, across in ((x0 + inset, x - x0), (x + inset, x1 - x)):
        for bottom, up in ((y1 - inset - height, y1 - y), (y - inset - height, y - y0)):
            box = (left, bottom, left + width, bottom + height)
            if across < width + 2 * inset or up < height + 2 * inset:
                continue
            if room.contains(shapely.box(*box)):
                yield box


def _number_piece(pen: Pen, piece: Piece, room: Room) -> None:
    """The number of a piece in a circle on the line of its weeding box."""
    x0, y0, x1, y1 = piece.box
    r = _BALLOON
    corners = piece.edge.contours[0].points
    sides = list(zip(corners, np.roll(corners, -1, axis=0), strict=True))
    edge = sorted(map(tuple, corners.tolist()), key=lambda corner: (-corner[1], corner[0]))
    for along in (0.5, 0.3, 0.7, 0.15, 0.85):
        edge += [tuple((begin + along * (end - begin)).tolist()) for begin, end in sides]
    # Beyond a corner of the box it still belongs to the piece, but not where the edge has none.
    beyond = [(x0, y1, -r, r), (x1, y1, r, r), (x0, y0, -r, -r), (x1, y0, r, -r)]
    has_corner = np.isclose(corners[:, None], [each[:2] for each in beyond]).all(axis=2).any(axis=0)
    outside = [
        (x + dx, y + dy)
        for (x, y, dx, dy), is_one in zip(beyond, has_corner, strict=True)
        if is_one
    ]
    boxes = np.array([grown((x, y, x, y), r) for x, y in (*edge, *outside)])
    a, b, c, d = room.best(boxes, np.repeat([0.0, 3.0], [len(edge), len(outside)]))
    centre = ((a + c) / 2, (b + d) / 2)
    pen.circle(Line.THIN, centre, r - 0.2, fill=1)
    words = str(piece.number)
    height = _SMALL_PRINT * min(1.0, 3.2 / pen.width_of(words, _SMALL_PRINT))
    pen.text(words, (centre[0], centre[1] - height / 2), height, "centre", bold=True)


def _draw_datum(pen: Pen, artwork: Artwork, room: Room, extent: Box) -> None:
    """The corner, or the centre, that holes are measured from, and which way."""
    panel = artwork.description.panel
    r, height = 1.6, _SMALL_PRINT
    width = pen.width_of("datum", height)
    (x, y), (right, up) = panel.measuring.origin, panel.measuring.ways
    length = _DATUM_ARROWS[0]
    if panel.datum == "centre":
        start_x, start_y = x, y
        legends = [mark.outline.shape for mark in artwork.marks]
        lines = [opening.outline.shape.boundary for opening in artwork.openings]
        lines += [shapely.LineString(half) for each in artwork.openings for half in half_axes(each)]
        length = _clear_of((x, y), legends, lines)
        words_x, words_y = _word_beside((x, y), (width, height), [*legends, *lines])
    else:
        start_x = _beside(x, right, extent[0], extent[2])
        start_y = _beside(y, up, extent[1], extent[3])
        words_x = x + right * (length + 4) - (width if right < 0 else 0)
        words_y = start_y - height / 2
    across = (x, start_y), (x + right * length, start_y)
    upwards = (start_x, y), (start_x, y + up * length)
    for tail, tip in (across, upwards):
        _arrow(pen, tail, tip)
        room.take(grown(box_round([(*tail, *tail), (*tip, *tip)]), 0.8))
    pen.circle(Line.THIN, (x, y), r)
    pen.line(Line.THIN, (x - r - 1, y), (x + r + 1, y))
    pen.line(Line.THIN, (x, y - r - 1), (x, y + r + 1))
    past = length + 1.2
    pen.text("x", (x + right * past - 0.5, start_y - height / 2), height)
    pen.text("y", (start_x - 0.5, y + up * past - (height if up < 0 else 0)), height)
    pen.text("datum", (words_x, words_y), height)
    room.take((words_x, words_y, words_x + width, words_y + height))
    room.take(grown((x, y, x, y), r + 1))


def _beside(edge: float, inwards: float, low: float, high: float) -> float:
    """Where an arrow of the datum runs: off an edge of the panel, where there is room, or on it."""
    off = edge - inwards * _DATUM_OFF
    return off if low + _DATUM_HALF <= off <= high - _DATUM_HALF else edge + inwards * _DATUM_ON


def _clear_of(
    centre: Point, legends: Sequence[BaseGeometry], lines: Sequence[BaseGeometry]
) -> float:
    """How long the arrows of a datum amid the panel can be, to end before the legends, and so that
    no edge or centre line of a hole runs through their letters.
    """
    x, y = centre
    past, half = 1.2 + _SMALL_PRINT, _SMALL_PRINT / 2
    for length in _DATUM_ARROWS[:-1]:
        tip = length + past
        across = shapely.box(x, y - half, x + tip, y + half)
        upwards = shapely.box(x - half, y, x + half, y + tip)
        letters = (
            shapely.box(x + length, y - half, x + tip, y + half),
            shapely.box(x - half, y + length, x + half, y + tip),
        )
        if (
            not shapely.intersects(shapely.union(across, upwards), legends).any()
            and not shapely.intersects(shapely.union_all(letters), lines).any()
        ):
            return length
    return _DATUM_ARROWS[-1]


def _word_beside(
    centre: Point, size: tuple[float, float], drawn: Sequence[BaseGeometry]
) -> tuple[float, float]:
    """Where the word of a datum amid the panel begins: in the first quarter in which it stands
    over no legend and no line of a hole, but not between the arrows; else in the first.
    """
    (x, y), (width, height) = centre, size
    right, left, below, above = x + 2.2, x - 2.2 - width, y - 2.2 - height, y + 2.2
    quarters = [(right, below), (left, below), (left, above)]
    for at in quarters:
        box = shapely.box(at[0], at[1], at[0] + width, at[1] + height)
        if not shapely.intersects(box, drawn).any():
            return at
    return quarters[0]


def _arrow(pen: Pen, tail: Point, tip: Point) -> None:
    """A thin arrow with a filled head."""
    length = math.dist(tail, tip)
    ux, uy = (tip[0] - tail[0]) / length, (tip[1] - tail[1]) / length
    long, half = 2.2, 0.45
    base = tip[0] - ux * long, tip[1] - uy * long
    pen.line(Line.THIN, tail, base)
    pen.solid(
        tip, (base[0] - uy * half, base[1] + ux * half), (base[0] + uy * half, base[1] - ux * half)
    )
