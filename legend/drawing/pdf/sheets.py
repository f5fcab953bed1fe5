"""Print a drawing at true scale on sheets of paper, as a PDF file.

The drawing is shared out over as many sheets as it needs. Every sheet has bars of 100 mm
and 4 in both ways, to prove what the printer did.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from legend.drawing.pdf.drafting_pen import Line, Pen, Point, pdf
from legend.drawing.pdf.paper import (
    BOTTOM_STRIP,
    EDGE,
    LEFT_STRIP,
    TOP_STRIP,
    Join,
    Paper,
    Tile,
    Tiling,
    tiled,
)
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
#: What to do with a sheet before anything else.
_NOTES = ("Print at actual size (100 %),", "then measure the bars.")
#: What the whole drawing is kept under, to be stamped on each sheet.
_NAME = "drawing"


@dataclass(frozen=True, slots=True)
class Drawing:
    """What is to be printed: its title and what it is, how far it reaches, and how to draw it.

    `face` is for words that the standard typefaces of PDF lack.
    """

    title: str
    what: str
    extent: Box
    face: Face
    draw: Callable[[Pen], None]


def printed(
    drawing: Drawing,
    paper: Paper,
    correction: tuple[float, float],
    mirrored: bool = False,
) -> bytes:
    """The sheets of a drawing, as the bytes of a PDF file.

    `paper` is the name of a size, or a width and a height in mm. `correction` is what is to
    be added across and up, per cent: a bar that came out 99.5 mm long needs 0.5. `mirrored`
    is for film that is printed on its underside.
    Error: PaperError for a paper that will not do.
    """
    tiling = tiled(drawing.extent, paper, correction)
    with pdf(tiling.size, drawing.title, drawing.what, drawing.face) as (pen, data):
        with pen.kept(_NAME, *drawing.extent):
            drawing.draw(pen)
        for tile in tiling.tiles:
            with _paper(pen, tiling, correction, mirrored) as size:
                _draw_view(pen, tiling, tile)
                _draw_title(pen, drawing, tiling, tile, size)
                _draw_bars(pen, correction)
            pen.next_sheet()
    return data.getvalue()


@contextmanager
def _paper(
    pen: Pen, tiling: Tiling, correction: tuple[float, float], mirrored: bool
) -> Iterator[Point]:
    """The sheet in mm as they will be measured on it; gives its width and height in these."""
    stretch_x, stretch_y = (1 + c / 100 for c in correction)
    width, height = tiling.size
    flip, shift = (-1, width) if mirrored else (1, 0)
    with pen.placed(
        flip * stretch_x / PDF_POINT, 0, 0, stretch_y / PDF_POINT, shift / PDF_POINT, 0
    ):
        yield width / stretch_x, height / stretch_y


def _draw_view(pen: Pen, tiling: Tiling, tile: Tile) -> None:
    """The part of the drawing that this sheet shows, and the join marks in it."""
    x0, y0, x1, y1 = tile.view
    left, bottom = EDGE + LEFT_STRIP, EDGE + BOTTOM_STRIP
    with (
        pen.clipped(left, bottom, left + x1 - x0, bottom + y1 - y0),
        pen.placed(1, 0, 0, 1, left - x0, bottom - y0),
    ):
        pen.stamp(_NAME)
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


def _draw_title(pen: Pen, drawing: Drawing, tiling: Tiling, tile: Tile, size: Point) -> None:
    """Above the drawing: what it is, and which of the sheets this one is."""
    left, right, top = EDGE + LEFT_STRIP, size[0] - EDGE, size[1] - EDGE
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


def _draw_bars(pen: Pen, correction: tuple[float, float]) -> None:
    """Below and beside the drawing: bars of 100 mm and 4 in, and what to do with them."""
    left, bottom = EDGE + LEFT_STRIP, EDGE + BOTTOM_STRIP
    across, up = bottom - 7.0, left - 6.0
    with pen.placed(1, 0, 0, 1, left, across):
        _draw_bar(pen)
    with pen.placed(0, 1, -1, 0, up, bottom):
        _draw_bar(pen)
    lines = [*_NOTES]
    if any(correction):
        lines.append("Corrected {:+.2f} % across, {:+.2f} % up.".format(*correction))
    for k, line in enumerate(lines):
        pen.text(line, (left + 4 * INCH + 16, across + 2.2 - k * 3.6), _SMALL_PRINT + 0.2)


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
