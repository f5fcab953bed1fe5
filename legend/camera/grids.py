"""Lay grids of pixels over the panel, and draw on them how far outlines cover each pixel."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from legend.drawing.proofs.coverage import Edges, Grid
from legend.lettering.outlines.outline import Box, Outline


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


def cover_of(outlines: Iterable[Outline], grid: Grid) -> NDArray[np.float32]:
    """The part of each pixel that outlines cover, 0 to 1."""
    cover = np.zeros((grid.height, grid.width), np.float32)
    top = 0
    for runs, shares in Edges([list(outlines)], grid).bands():
        cover[top : top + runs.rows] = np.minimum(runs.drawn(shares[0]), 1)
        top += runs.rows
    return cover
