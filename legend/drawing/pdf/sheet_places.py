"""Find places on a sheet for its bars, its notes and its heading.

Where the sheet has strips for them along its edges, they stand there. Where the drawing takes
up the sheet, they go where there is room: beside the drawing, or on bare parts of the panel.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.drawing.pdf.ground import Taken
from legend.drawing.pdf.label_places import Room
from legend.drawing.pdf.paper import BOTTOM_STRIP, EDGE, LEAST_EDGE, LEFT_STRIP, Tile
from legend.lettering.outlines.outline import Box
from legend.standards import INCH

Point = tuple[float, float]

#: What a bar takes up: from its beginning back and on, and to either side, mm.
_BAR = (0.2, 111.0, 3.4)
#: How far apart the places are that are tried, mm.
_STEP = 2.5
#: Kept clear round each, mm.
_CLEAR = 0.8
#: How bad it is to stand within the panel, and a mm off the lower left corner of the sheet.
_WITHIN, _OFF = 0.5, 0.001


@dataclass(frozen=True, slots=True)
class Places:
    """Where things stand on the sheet, mm: the beginnings of the bars across and up, the upper
    left corner of the notes, and the box of the heading.

    `reserved` are the boxes of all that stands within the drawing, where that is.
    """

    across: Point
    up: Point
    notes: Point
    heading: Box
    reserved: tuple[Box, ...] = ()


def in_strips(size: Point) -> Places:
    """The places on a sheet of this size, in mm as measured on it, that has strips."""
    left, bottom = EDGE + LEFT_STRIP, EDGE + BOTTOM_STRIP
    return Places(
        (left, bottom - 7.0),
        (left - 6.0, bottom),
        (left + 4 * INCH + 16, bottom - 1.6),
        (left, EDGE, size[0] - EDGE, size[1] - EDGE),
    )


def where_there_is_room(
    size: Point, tile: Tile, panel: Box, taken: Taken, notes: Point, heading: Point
) -> Places:
    """The places on a sheet that the drawing takes up.

    `panel` is the box round the panel in the drawing; `notes` and `heading` are the widths and
    heights of these.
    """
    dx, dy = tile.view[0] - tile.at[0], tile.view[1] - tile.at[1]  # from sheet to drawing
    x0, y0, x1, y1 = panel
    sheet = (
        LEAST_EDGE + dx,
        LEAST_EDGE + dy,
        size[0] - LEAST_EDGE + dx,
        size[1] - LEAST_EDGE + dy,
    )
    room = Room(*taken, sheet)
    back, on, half = _BAR
    long, broad = back + on, 2 * half
    found = []
    for width, height in ((long, broad), (broad, long), notes, heading):
        boxes = _grid(sheet, width + 2 * _CLEAR, height + 2 * _CLEAR)
        within = (boxes[:, :2] < (x1, y1)).all(axis=1) & (boxes[:, 2:] > (x0, y0)).all(axis=1)
        off = (boxes[:, :2] - sheet[:2]).sum(axis=1)
        a, b, c, d = room.best(boxes, _WITHIN * within + _OFF * off)
        found.append((a + _CLEAR, b + _CLEAR, c - _CLEAR, d - _CLEAR))
    across, up, words, title = ((a - dx, b - dy, c - dx, d - dy) for a, b, c, d in found)
    return Places(
        (across[0] + back, across[1] + half),
        (up[0] + half, up[1] + back),
        (words[0], words[3]),
        title,
        tuple(found),
    )


def _grid(sheet: Box, width: float, height: float) -> NDArray[np.float64]:
    """Boxes of this size all over a sheet, some at each of its edges."""
    x0, y0, x1, y1 = sheet
    lefts = _steps(x0, x1 - width)
    bottoms = _steps(y0, y1 - height)
    left, bottom = (each.ravel() for each in np.meshgrid(lefts, bottoms))
    return np.column_stack([left, bottom, left + width, bottom + height])


def _steps(low: float, high: float) -> NDArray[np.float64]:
    return np.append(np.arange(low, high, _STEP), max(low, high))
