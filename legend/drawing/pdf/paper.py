"""Look up paper sizes, and tile a drawing that is larger over several sheets.

A drawing that is larger than the paper is shared out over several sheets that overlap;
join marks stand in the overlaps, on both sheets at the same place of the drawing.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from legend.lettering.outlines.outline import Box
from legend.standards import INCH, LARGEST_PAGE

#: Sizes of paper by their names, mm, upright. ISO 216; ANSI Y14.1.
PAPER: Mapping[str, tuple[float, float]] = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "letter": (8.5 * INCH, 11 * INCH),
}
#: The name of a paper, or its width and height in mm.
Paper = str | tuple[float, float]

#: What sheets of one drawing have in common, at the least, mm.
OVERLAP = 12.0
#: Kept free at the edges of the paper, mm: more than most printers need.
EDGE = 9.0
#: Room on each sheet beside the drawing for the bars, the notes and the title, mm.
LEFT_STRIP, BOTTOM_STRIP, TOP_STRIP = 13.0, 15.0, 11.0
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
    """A paper that will not do; the message says why, and what would."""


@dataclass(frozen=True, slots=True)
class Tile:
    """One sheet of a drawing: its row and its column, both from 0 at the top left.

    `view` is the part of the drawing that it shows.
    """

    row: int
    column: int
    view: Box

    @property
    def name(self) -> str:
        """What the sheet is called; not A1 and the like, which are sizes of paper."""
        return f"row {self.row + 1}, column {self.column + 1}"


@dataclass(frozen=True, slots=True)
class Tiling:
    """A drawing shared out over sheets of paper of one `size`, mm."""

    size: tuple[float, float]
    columns: int
    rows: int
    tiles: tuple[Tile, ...]
    joins: tuple[Join, ...]


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
            f"Paper of {width:g} × {height:g} mm is no page: a PDF has none longer than "
            f"{LARGEST_PAGE:g} mm."
        )
    return width, height


def tiled(extent: Box, paper: Paper, correction: tuple[float, float] = (0.0, 0.0)) -> Tiling:
    """Share out a drawing, on upright or on landscape sheets, whichever needs fewer.

    `correction` is what the printer is stretched by across and up the sheet, per cent, so
    that the sheet holds less of the drawing where it is more than 0.
    Error: PaperError where the paper is unknown or too small for the bars.
    """
    short, long = paper_size(paper)
    wide = extent[2] - extent[0] > extent[3] - extent[1]
    shapes = [(long, short), (short, long)] if wide else [(short, long), (long, short)]
    able = [t for t in (_tiled(extent, shape, correction) for shape in shapes) if t]
    if not able:
        raise PaperError(
            f"Paper of {short:g} × {long:g} mm is too small for the overlay: its 100 mm bars "
            f"need {_LEAST_ROOM + LEFT_STRIP + 2 * EDGE:g} mm across and "
            f"{_LEAST_ROOM + BOTTOM_STRIP + TOP_STRIP + 2 * EDGE:g} mm up."
        )
    return min(able, key=lambda tiling: len(tiling.tiles))


def of_fewest_sheets(
    extents: Sequence[Box], paper: Paper, correction: tuple[float, float] = (0.0, 0.0)
) -> Box:
    """The first of several extents of a drawing that no other needs fewer sheets than.

    The last of them, which is the least, is only taken if all of it is on one sheet.
    Error: PaperError as that of `tiled`.
    """
    *others, least = extents
    if len(tiled(least, paper, correction).tiles) == 1:
        others.append(least)
    return min(others, key=lambda extent: len(tiled(extent, paper, correction).tiles))


def check_paper(paper: Paper, correction: tuple[float, float] = (0.0, 0.0)) -> None:
    """Error: PaperError, as that of `tiled`, where nothing can be drawn on a paper."""
    tiled((0.0, 0.0, 1.0, 1.0), paper, correction)


def _tiled(
    extent: Box, size: tuple[float, float], correction: tuple[float, float]
) -> Tiling | None:
    """The drawing on sheets this way up, or None where they have no room for the bars."""
    x0, y0, x1, y1 = extent
    across, up = (side / (1 + c / 100) for side, c in zip(size, correction, strict=True))
    room = across - LEFT_STRIP - 2 * EDGE, up - BOTTOM_STRIP - TOP_STRIP - 2 * EDGE
    if min(room) < _LEAST_ROOM:
        return None
    lefts, bottoms = _starts(x0, x1, room[0]), _starts(y0, y1, room[1])[::-1]
    tiles = tuple(
        Tile(j, i, (x, y, x + room[0], y + room[1]))
        for j, y in enumerate(bottoms)
        for i, x in enumerate(lefts)
    )
    middles_x = [(a + b + room[0]) / 2 for a, b in itertools.pairwise(lefts)]
    middles_y = [(a + b + room[1]) / 2 for a, b in itertools.pairwise(bottoms)]
    xs = sorted({x0 + _JOIN_INSET, *middles_x, x1 - _JOIN_INSET})
    ys = sorted({y0 + _JOIN_INSET, *middles_y, y1 - _JOIN_INSET}, reverse=True)
    places = [(x, y) for y in ys for x in xs if x in middles_x or y in middles_y]
    joins = tuple(Join(place, _letters(k)) for k, place in enumerate(places))
    return Tiling(size, len(lefts), len(bottoms), tiles, joins)


def _starts(low: float, high: float, room: float) -> list[float]:
    """Where sheets with this much room begin along one axis: evenly spread, the least number."""
    if high - low <= room:
        return [(low + high - room) / 2]
    count = math.ceil((high - low - OVERLAP) / (room - OVERLAP) - 1e-9)
    step = (high - low - room) / (count - 1)
    return [low + i * step for i in range(count)]


def _letters(index: int) -> str:
    """a, b, ... z, aa, ab, ..."""
    text = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        text = chr(ord("a") + rest) + text
    return text
