"""Print a drawing at true scale on sheets of paper, as a PDF file.

The drawing is shared out over as many sheets as it needs. Every sheet has bars of 100 mm
and 4 in both ways, to prove what the printer did.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

from legend.drawing.pdf.drafting_pen import Line, Pen, Point, pdf
from legend.drawing.pdf.ground import Taken
from legend.drawing.pdf.paper import TOP_STRIP, Join, Tile, Tiling
from legend.drawing.pdf.sheet_places import Places, in_strips, where_there_is_room
from legend.lettering.faces.face import Face
from legend.lettering.outlines.outline import Box
from legend.standards import INCH, PDF_POINT

#: Capital heights on the sheet, mm. ISO 3098-0.
_TITLE, _PRINT, _SMALL_PRINT = 3.5, 2.5, 1.8
#: From words to what stands beside them, mm.
_APART = 3.0
#: The width and height of a sheet on the map of all sheets, and the most of the map, mm.
_MAP_CELL = (4.5, 3.5)
_MOST_MAP = (60.0, TOP_STRIP - 0.4)
#: From one line of the notes to the next, and their capital height, mm.
NOTE_PITCH, NOTE_PRINT = 3.0, 2.0
#: The most that a heading takes up across a panel, and what it takes up upwards, mm.
_HEADING = (80.0, 9.2)
#: What the whole drawing is kept under, to be stamped on each sheet.
_NAME = "drawing"


@dataclass(frozen=True, slots=True)
class Drawing:
    """What is to be printed: its title and what it is, and how to draw it.

    `face` is for words that the standard typefaces of PDF lack. `panel` is the box round the
    panel. `taken` tells what of the drawing
    print should not stand on, and `draw` draws it within an extent, and prints nothing in boxes
    that are reserved. `notes` are lines that stand beneath those about printing.
    """

    title: str
    what: str
    face: Face
    panel: Box
    taken: Callable[[], Taken]
    draw: Callable[[Pen, Box, Sequence[Box]], None]
    notes: tuple[str, ...] = ()


def printed(
    drawing: Drawing,
    tiling: Tiling,
    correction: tuple[float, float],
    mirrored: bool = False,
) -> bytes:
    """The sheets of a drawing that is shared out, as the bytes of a PDF file.

    `correction` is what is to be added across and up, per cent: a bar that came out 99.5 mm
    long needs 0.5. `mirrored` is for film that is printed on its underside.
    """
    with pdf(tiling.size, drawing.title, drawing.what, drawing.face) as (pen, data):
        places = _places(pen, drawing, tiling, correction)
        with pen.kept(_NAME, *tiling.extent):
            drawing.draw(pen, tiling.extent, places.reserved)
        for tile in tiling.tiles:
            with _paper(pen, tiling, correction, mirrored):
                _draw_view(pen, tiling, tile)
                _draw_heading(pen, drawing, tiling, tile, places.heading)
                _draw_bars(pen, places)
                _draw_notes(pen, [*_notes(tiling, correction), *drawing.notes], places.notes)
            pen.next_sheet()
    return data.getvalue()


def print_beside(drawing: Drawing, tiling: Tiling) -> Sequence[Box]:
    """Where bars, notes and heading would stand within a drawing that takes up its sheet."""
    with pdf(tiling.size, drawing.title, drawing.what, drawing.face) as (pen, _):
        return _places(pen, drawing, tiling, (0.0, 0.0)).reserved


def _places(pen: Pen, drawing: Drawing, tiling: Tiling, correction: tuple[float, float]) -> Places:
    """Where all but the drawing itself stands on each sheet."""
    width, height = (side / (1 + c / 100) for side, c in zip(tiling.size, correction, strict=True))
    if tiling.has_strips:
        return in_strips((width, height))
    lines = [*_notes(tiling, correction), *drawing.notes]
    notes = max(pen.width_of(line, NOTE_PRINT) for line in lines), NOTE_PITCH * len(lines)
    wanted = max(pen.width_of(drawing.title, _TITLE, bold=True), pen.width_of(drawing.what, _PRINT))
    heading = min(wanted, _HEADING[0]), _HEADING[1]
    (tile,) = tiling.tiles
    return where_there_is_room(
        (width, height), tile, drawing.panel, drawing.taken(), notes, heading
    )


@contextmanager
def _paper(
    pen: Pen, tiling: Tiling, correction: tuple[float, float], mirrored: bool
) -> Iterator[None]:
    """The sheet in mm as they will be measured on it."""
    stretch_x, stretch_y = (1 + c / 100 for c in correction)
    flip, shift = (-1, tiling.size[0]) if mirrored else (1, 0)
    with pen.placed(
        flip * stretch_x / PDF_POINT, 0, 0, stretch_y / PDF_POINT, shift / PDF_POINT, 0
    ):
        yield


def _draw_view(pen: Pen, tiling: Tiling, tile: Tile) -> None:
    """The part of the drawing that this sheet shows, with the lanes and join marks in it."""
    (left, bottom), (x0, y0, x1, y1) = tile.at, tile.view
    with (
        pen.clipped(left, bottom, left + x1 - x0, bottom + y1 - y0),
        pen.placed(1, 0, 0, 1, left - x0, bottom - y0),
    ):
        pen.stamp(_NAME)
        for x in tiling.lanes[0]:
            pen.line(Line.LANE, (x, y0), (x, y1))
        for y in tiling.lanes[1]:
            pen.line(Line.LANE, (x0, y), (x1, y))
        for join in tiling.joins:
            if x0 < join.at[0] < x1 and y0 < join.at[1] < y1:
                _draw_join(pen, join)
    if len(tiling.tiles) > 1:
        pen.box(Line.GUIDE, left, bottom, left + x1 - x0, bottom + y1 - y0)


def _draw_join(pen: Pen, join: Join) -> None:
    (x, y), reach, r = join.at, 4.0, 1.5
    pen.line(Line.THIN, (x - reach, y), (x + reach, y))
    pen.line(Line.THIN, (x, y - reach), (x, y + reach))
    pen.circle(Line.THIN, (x, y), r)
    pen.text(join.letter, (x + r + 0.2, y + r - 0.4), _SMALL_PRINT)


def _draw_heading(pen: Pen, drawing: Drawing, tiling: Tiling, tile: Tile, box: Box) -> None:
    """What the drawing is, and which of the sheets this one is, at the top of a box."""
    left, _, right, top = box
    upper, lower = top - _TITLE, top - _TITLE - 4.6
    title_room = what_room = right - left
    if len(tiling.tiles) > 1:
        map_left = _draw_map(pen, tiling, tile, right, top)
        of = f"sheet {tiling.tiles.index(tile) + 1} of {len(tiling.tiles)}"
        pen.text(tile.name, (map_left - _APART, upper), _TITLE, "right", bold=True)
        pen.text(of, (map_left - _APART, lower), _PRINT, "right")
        room = map_left - left - 2 * _APART
        title_room = room - pen.width_of(tile.name, _TITLE, bold=True)
        what_room = room - pen.width_of(of, _PRINT)
    _draw_within(pen, drawing.title, (left, upper), _TITLE, title_room, bold=True)
    _draw_within(pen, drawing.what, (left, lower), _PRINT, what_room)


def _draw_map(pen: Pen, tiling: Tiling, tile: Tile, right: float, top: float) -> float:
    """All sheets as they lie beside each other, this one black; gives the left edge of the map."""
    wanted = _MAP_CELL[0] * tiling.columns, _MAP_CELL[1] * tiling.rows
    scale = min(1.0, _MOST_MAP[0] / wanted[0], _MOST_MAP[1] / wanted[1])
    cell_w, cell_h = (side * scale for side in _MAP_CELL)
    left = right - cell_w * tiling.columns
    for other in tiling.tiles:
        x, y = left + other.column * cell_w, top - (other.row + 1) * cell_h
        pen.box(Line.THIN, x, y, x + cell_w, y + cell_h)
        if other is tile:
            pen.solid((x, y), (x + cell_w, y), (x + cell_w, y + cell_h), (x, y + cell_h))
    return left


def _draw_within(
    pen: Pen, words: str, at: Point, height: float, room: float, bold: bool = False
) -> None:
    """Words that are set smaller where the room is short, and cut where it is shorter still."""
    height = max(min(height, height * room / pen.width_of(words, height, bold)), _SMALL_PRINT)
    shown = words
    while len(words) > 1 and pen.width_of(shown, height, bold) > room + 1e-6:
        words = words[:-1].rstrip()
        shown = f"{words}…"
    pen.text(shown, at, height, bold=bold)


def _notes(tiling: Tiling, correction: tuple[float, float]) -> list[str]:
    """What to do with a sheet before anything else."""
    lines = ["Print at actual size (100 %),", "then measure the bars."]
    if any(correction):
        lines.append("Corrected {:+.2f} % across, {:+.2f} % up.".format(*correction))
    if len(tiling.tiles) > 1:
        lines.append("Cut one sheet along the dashes, and lay it on")
        lines.append("the next so that the marks meet; tape it.")
    return lines


def _draw_notes(pen: Pen, lines: Sequence[str], at: Point) -> None:
    """Notes below each other from their upper left corner."""
    for k, line in enumerate(lines):
        pen.text(line, (at[0], at[1] - NOTE_PRINT - k * NOTE_PITCH), NOTE_PRINT)


def _draw_bars(pen: Pen, places: Places) -> None:
    """Bars of 100 mm and 4 in, across and up."""
    with pen.placed(1, 0, 0, 1, *places.across):
        _draw_bar(pen)
    with pen.placed(0, 1, -1, 0, *places.up):
        _draw_bar(pen)


def _draw_bar(pen: Pen) -> None:
    """A bar from (0, 0) to the right: centimetres above the line, inches below it."""
    long, short = 3.2, 1.8
    pen.line(Line.THIN, (0, 0), (100, 0))
    pen.line(Line.THIN, (100, 0), (4 * INCH, 0))
    for k in range(11):
        pen.line(Line.THIN, (10 * k, 0), (10 * k, short if k % 5 else long))
    for k in range(5):
        pen.line(Line.THIN, (INCH * k, 0), (INCH * k, -short if k % 4 else -long))
    pen.text("100 mm", (101.2, 1.2), _SMALL_PRINT)
    pen.text("4 in", (4 * INCH + 1.2, -1.2 - _SMALL_PRINT), _SMALL_PRINT)
