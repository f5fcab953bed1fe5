"""Look up paper sizes, and tile a drawing that is larger over several sheets.

A drawing that fits the paper is on one sheet, and the bars go where there is room. A larger one
is shared out over several sheets that overlap; lanes run along the middles of the overlaps, to
cut one of two sheets by, and join marks stand on them, on both at the same place of the drawing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from legend.drawing.pdf.cut_lanes import OVERLAP, InTheWay, lanes, sheets_needed
from legend.length_words import WithLengths
from legend.lettering.outlines.outline import Box
from legend.standards import INCH, LARGEST_PAGE

#: Sizes of paper by their names, mm, upright. ISO 216; ANSI Y14.1.
PAPER: Mapping[str, tuple[float, float]] = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "letter": (8.5 * INCH, 11 * INCH),
}
#: A width and a height, mm.
Size = tuple[float, float]
#: The name of a paper, or its width and height in mm.
Paper = str | tuple[float, float]

#: Kept free at the edges of the paper, mm: more than most printers need; and the least, for a
#: panel that would be cut in two otherwise, about what they all need. Common practice, no source.
EDGE, LEAST_EDGE = 9.0, 5.0
#: Room on each sheet beside the drawing for the bars, the notes and the title, mm.
LEFT_STRIP, BOTTOM_STRIP, TOP_STRIP = 13.0, 15.0, 11.0
#: How much further a drawing without strips may reach to a side, mm, where it leaves so much for
#: bars and notes.
_ROUND, _FOR_BARS = 11.0, 24.0
#: How far it reaches to the right and up at least, mm, where the paper has that: so much of the
#: mark at the corner that is measured from stands out of it.
_FOR_DATUM = 1.8
#: The least room for the drawing that a paper must have both ways, mm: the bars need it.
_LEAST_ROOM = 104.0
#: From the ends of the drawing to the outermost join marks, mm.
_JOIN_INSET = 4.5


@dataclass(frozen=True, slots=True)
class Join:
    """A join mark: its place in the drawing, and the letter that it bears on each sheet."""

    at: tuple[float, float]
    letter: str


class PaperError(ValueError):
    """A paper that will not do; the message says why, and what would.

    `said_by` says it in the units of a panel.
    """


@dataclass(frozen=True, slots=True)
class Tile:
    """One sheet of a drawing: its row and its column, both from 0 at the top left.

    `view` is the part of the drawing that it shows, and `at` where the lower left corner of
    that stands on the sheet.
    """

    row: int
    column: int
    view: Box
    at: tuple[float, float] = (EDGE + LEFT_STRIP, EDGE + BOTTOM_STRIP)

    @property
    def name(self) -> str:
        """What the sheet is called; not A1 and the like, which are sizes of paper."""
        return f"row {self.row + 1}, column {self.column + 1}"


@dataclass(frozen=True, slots=True)
class Tiling:
    """A drawing shared out over sheets of paper of one `size`, mm.

    `extent` is how far it reaches. `lanes` are where it is cut, across and up the drawing.
    `has_strips` tells that the bars and the heading have strips of their own along the edges of
    the sheet. `legends_cut` is how many legends are whole on no sheet.
    """

    size: Size
    extent: Box
    columns: int
    rows: int
    tiles: tuple[Tile, ...]
    joins: tuple[Join, ...] = ()
    lanes: tuple[tuple[float, ...], tuple[float, ...]] = ((), ())
    has_strips: bool = True
    legends_cut: int = 0


def paper_size(paper: Paper) -> tuple[float, float]:
    """Width and height in mm, upright. Error: PaperError where no page can be such a paper."""
    if isinstance(paper, str):
        for name, size in PAPER.items():
            if name.lower() == paper.lower():
                return size
        raise PaperError(f"There is no paper {paper!r}; papers are {', '.join(PAPER)}.")
    width, height = sorted(paper)
    if not 0 < width <= height <= LARGEST_PAGE:  # nor where one is no number
        raise PaperError(
            WithLengths.of(
                "Paper of {} × {} {unit} is no page: a PDF has none longer than {} {unit}.",
                width,
                height,
                LARGEST_PAGE,
            )
        )
    return width, height


def tiled(
    extent: Box,
    paper: Paper,
    correction: tuple[float, float] = (0.0, 0.0),
    things: Sequence[InTheWay] = (),
) -> Tiling:
    """Share out a drawing, on upright or on landscape sheets, whichever needs fewer.

    `correction` is what the printer is stretched by across and up the sheet, per cent, so
    that the sheet holds less of the drawing where it is more than 0. The lanes keep off
    `things` where they can.
    Error: PaperError where the paper is unknown or too small for the bars.
    """
    short, long = paper_size(paper)
    wide = extent[2] - extent[0] > extent[3] - extent[1]
    sizes = [(long, short), (short, long)] if wide else [(short, long), (long, short)]
    rooms = [(size, _measured(size, correction)) for size in sizes]
    rooms = [(size, room) for size, room in rooms if min(_between_strips(room)) >= _LEAST_ROOM]
    if not rooms:
        raise PaperError(
            WithLengths.of(
                "Paper of {} × {} {unit} is too small for the drawing and its bars, which need "
                "{} {unit} across and {} {unit} up.",
                short,
                long,
                _LEAST_ROOM + LEFT_STRIP + 2 * EDGE,
                _LEAST_ROOM + BOTTOM_STRIP + TOP_STRIP + 2 * EDGE,
            )
        )
    for size, room in rooms:
        if _sheets(extent, _between_strips(room)) == (1, 1):
            return _on_one(size, extent, _between_strips(room))
    for size, room in rooms:
        if _sheets(extent, _inset(room, LEAST_EDGE)) == (1, 1):
            return _without_strips(size, extent, room)
    many = [_on_many(size, extent, _between_strips(room), things) for size, room in rooms]
    return min(many, key=_badness)


def of_fewest_sheets(
    extents: Sequence[Box],
    paper: Paper,
    correction: tuple[float, float] = (0.0, 0.0),
    things: Callable[[], Sequence[InTheWay]] = tuple,
) -> Tiling:
    """The drawing in the first of several extents of it that no other does better than.

    Better are fewer sheets, then strips on these for the bars, then fewer legends cut. The last
    extent, which is the least, is only taken if all of it is on one sheet; where that leaves no
    strips, it is given what room there is beside it.
    Error: PaperError as that of `tiled`.
    """
    *others, least = extents
    for extent in extents:
        tiling = tiled(extent, paper, correction)
        if len(tiling.tiles) == 1 and tiling.has_strips:
            return tiling
    on_one = tiled(least, paper, correction)
    if len(on_one.tiles) == 1:
        return on_one
    found = things()
    return min((tiled(each, paper, correction, found) for each in others), key=_badness)


def check_paper(paper: Paper, correction: tuple[float, float] = (0.0, 0.0)) -> None:
    """Error: PaperError, as that of `tiled`, where nothing can be drawn on a paper."""
    tiled((0.0, 0.0, 1.0, 1.0), paper, correction)


def _badness(tiling: Tiling) -> tuple[int, int]:
    return len(tiling.tiles), tiling.legends_cut


def _measured(size: Size, correction: tuple[float, float]) -> Size:
    """The sides of a sheet in the mm that will be measured on it."""
    return size[0] / (1 + correction[0] / 100), size[1] / (1 + correction[1] / 100)


def _inset(room: Size, edge: float) -> Size:
    return room[0] - 2 * edge, room[1] - 2 * edge


def _between_strips(room: Size) -> Size:
    across, up = _inset(room, EDGE)
    return across - LEFT_STRIP, up - BOTTOM_STRIP - TOP_STRIP


def _sheets(extent: Box, room: Size) -> tuple[int, int]:
    """How many sheets with this much room a drawing needs, across and up."""
    x0, y0, x1, y1 = extent
    return sheets_needed(x1 - x0, room[0]), sheets_needed(y1 - y0, room[1])


def _on_one(size: Size, extent: Box, room: Size) -> Tiling:
    """The drawing in the middle of one sheet."""
    x0, y0, x1, y1 = extent
    x, y = (x0 + x1 - room[0]) / 2, (y0 + y1 - room[1]) / 2
    return Tiling(size, extent, 1, 1, (Tile(0, 0, (x, y, x + room[0], y + room[1])),))


def _without_strips(size: Size, extent: Box, room: Size) -> Tiling:
    """The drawing on one sheet that has no room for strips: as far right and up as it can be.

    So what is left of the sheet is left at the left and below, where bars look for room. The
    drawing may reach into it, for the datum; and a little to the right and up, or where there is
    plenty more.
    """
    x0, y0, x1, y1 = extent
    width, height = _inset(room, LEAST_EDGE)
    free = (width - (x1 - x0), height - (y1 - y0))
    least = [min(each / 2, _FOR_DATUM) for each in free]
    before = [min(each - less, _ROUND) for each, less in zip(free, least, strict=True)]
    after = [
        max(less, min((each - more - _FOR_BARS) / 2, _ROUND))
        for each, more, less in zip(free, before, least, strict=True)
    ]
    view = (x0 - before[0], y0 - before[1], x1 + after[0], y1 + after[1])
    at_x, at_y = (
        LEAST_EDGE + each - more - other
        for each, more, other in zip(free, before, after, strict=True)
    )
    return Tiling(size, view, 1, 1, (Tile(0, 0, view, (at_x, at_y)),), has_strips=False)


def _on_many(size: Size, extent: Box, room: Size, things: Sequence[InTheWay]) -> Tiling:
    """The drawing on several sheets, cut along lanes."""
    x0, y0, x1, y1 = extent
    xs = lanes(x0, x1, room[0], things, axis=0)
    ys = lanes(y0, y1, room[1], things, axis=1)[::-1]
    lefts, rights = (x0, *(x - OVERLAP / 2 for x in xs)), (*(x + OVERLAP / 2 for x in xs), x1)
    tops, bottoms = (y1, *(y + OVERLAP / 2 for y in ys)), (*(y - OVERLAP / 2 for y in ys), y0)
    tiles = tuple(
        Tile(j, i, (left, bottom, right, top))
        for j, (bottom, top) in enumerate(zip(bottoms, tops, strict=True))
        for i, (left, right) in enumerate(zip(lefts, rights, strict=True))
    )
    return Tiling(
        size, extent, len(lefts), len(tops), tiles, _joins(extent, xs, ys), (xs, ys),
        legends_cut=_cut(tiles, things),
    )  # fmt: skip


def _joins(extent: Box, xs: Sequence[float], ys: Sequence[float]) -> tuple[Join, ...]:
    """A mark wherever two lanes cross, and near the ends of each."""
    x0, y0, x1, y1 = extent
    across = sorted({x0 + _JOIN_INSET, *xs, x1 - _JOIN_INSET})
    up = sorted({y0 + _JOIN_INSET, *ys, y1 - _JOIN_INSET}, reverse=True)
    places = [(x, y) for y in up for x in across if x in xs or y in ys]
    return tuple(Join(place, _letters(k)) for k, place in enumerate(places))


def _cut(tiles: Sequence[Tile], things: Sequence[InTheWay]) -> int:
    """How many legends are whole on none of the sheets."""
    boxes = np.array([thing.box for thing in things if thing.legend]).reshape(-1, 4)
    whole = np.zeros(len(boxes), dtype=bool)
    for tile in tiles:
        x0, y0, x1, y1 = tile.view
        whole |= (boxes[:, :2] >= (x0, y0)).all(axis=1) & (boxes[:, 2:] <= (x1, y1)).all(axis=1)
    return int((~whole).sum())


def _letters(index: int) -> str:
    """a, b, ... z, aa, ab, ..."""
    text = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        text = chr(ord("a") + rest) + text
    return text
