"""Lay grids of pixels over the panel: where a picture has them, and outlines drawn on them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from legend.camera.opencv import resampled, to_look_at
from legend.camera.picture import Light, Picture
from legend.camera.view import View
from legend.drawing.colours import Colour
from legend.drawing.proofs.coverage import Edges, Grid
from legend.lettering.outlines.outline import Box, Outline, box_round

#: Of the pixels of a grid, one in so many each way is looked for in a picture; between, lines are
#: straight.
_EVERY = 8
#: The grey of what lies beyond a picture.
_BEYOND = 124


def grid_round(box: Box, around: float, scale: float) -> Grid:
    """The pixels over a box and so many mm round it, `scale` of them to the mm."""
    left, bottom, right, top = box
    width, height = (right - left + 2 * around) * scale, (top - bottom + 2 * around) * scale
    return Grid(int(np.ceil(width)), int(np.ceil(height)), scale, left - around, top + around)


def places_of(grid: Grid, every: int = 1) -> NDArray[np.float64]:
    """The middles of pixels, mm on the panel; shape (h, w, 2)."""
    x = grid.left + (np.arange(0, grid.width, every) + 0.5) / grid.scale
    y = grid.top - (np.arange(0, grid.height, every) + 0.5) / grid.scale
    return np.stack(np.meshgrid(x, y), axis=2)


def seen_on(view: View, grid: Grid) -> tuple[Light, Light]:
    """Where the pixels of a grid are seen, px: all x, and all y. Quick, since a view is smooth."""
    coarse = Grid(
        grid.width // _EVERY + 5,
        grid.height // _EVERY + 5,
        grid.scale / _EVERY,
        grid.left - 2 * _EVERY / grid.scale,
        grid.top + 2 * _EVERY / grid.scale,
    )
    nodes = places_of(coarse)
    seen = view.to_picture(nodes.reshape(-1, 2)).reshape(nodes.shape).astype(np.float32)
    at_x = ((np.arange(grid.width) + 0.5) / _EVERY + 1.5).astype(np.float32)
    at_y = ((np.arange(grid.height) + 0.5) / _EVERY + 1.5).astype(np.float32)
    across, down = np.meshgrid(at_x, at_y)
    x, y = (resampled(np.ascontiguousarray(seen[:, :, k]), across, down) for k in (0, 1))
    return x, y


def picture_on(picture: Picture, view: View, grid: Grid) -> Light:
    """What a picture has at the pixels of a grid, as its file has it, 0 to 255: to draw on."""
    return to_look_at(picture.rgb, *seen_on(view, grid), _BEYOND).astype(np.float32)


def cover_of(outlines: Iterable[Outline], grid: Grid) -> NDArray[np.float32]:
    """The part of each pixel that outlines cover, 0 to 1."""
    cover = np.zeros((grid.height, grid.width), np.float32)
    top = 0
    for runs, shares in Edges([list(outlines)], grid).bands():
        cover[top : top + runs.rows] = np.minimum(runs.drawn(shares[0]), 1)
        top += runs.rows
    return cover


def paint(image: Light, grid: Grid, outlines: Sequence[Outline], colour: Colour) -> None:
    """Fill outlines with a colour in a picture that is a grid's; what lies beyond it is left out.

    No more of the picture is looked at than they cover.
    """
    left, bottom, right, top = box_round([outline.bounds for outline in outlines])
    x0 = max(math.floor((left - grid.left) * grid.scale), 0)
    y0 = max(math.floor((grid.top - top) * grid.scale), 0)
    x1 = min(math.ceil((right - grid.left) * grid.scale), grid.width)
    y1 = min(math.ceil((grid.top - bottom) * grid.scale), grid.height)
    if x0 >= x1 or y0 >= y1:
        return
    corner = grid.left + x0 / grid.scale, grid.top - y0 / grid.scale
    cover = cover_of(outlines, Grid(x1 - x0, y1 - y0, grid.scale, *corner))
    part = image[y0:y1, x0:x1]
    rows, columns = np.nonzero(cover)
    shares = cover[rows, columns, None]
    part[rows, columns] += shares * (np.array(colour, np.float32) - part[rows, columns])
