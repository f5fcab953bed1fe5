"""Say what each piece of a stencil leaves on the panel: its letters, where they are wanted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.drawing.proofs.coverage import Edges, Grid
from legend.lettering.outlines.outline import Box, Outline, box_round
from legend.stencil.sheet import Cut, Piece


@dataclass(frozen=True, slots=True, eq=False)
class Wanted:
    """The letters of a piece as cut, where they are wanted; the box round them, mm."""

    piece: Piece
    marks: tuple[Outline, ...]
    box: Box

    @property
    def middle(self) -> tuple[float, float]:
        """The middle of the box, which its place is told by."""
        left, bottom, right, top = self.box
        return (left + right) / 2, (bottom + top) / 2

    @property
    def reach(self) -> float:
        """How far its furthest corner is from the middle, mm."""
        left, bottom, right, top = self.box
        return float(np.hypot(right - left, top - bottom) / 2)


def wanted_of(pieces: Iterable[Piece]) -> list[Wanted]:
    """What is laid of the pieces; those without letters, as bare discs are, are left out."""
    found = []
    for piece in pieces:
        marks = tuple(path.outline for path in piece.paths if path.cut is Cut.MARK)
        if marks:
            found.append(Wanted(piece, marks, box_round([mark.bounds for mark in marks])))
    return found


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
