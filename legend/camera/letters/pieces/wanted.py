"""Say what each piece of a stencil leaves on the panel: its letters, where they are wanted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

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
    def size(self) -> NDArray[np.float64]:
        """Width and height of the box, mm."""
        left, bottom, right, top = self.box
        return np.array([right - left, top - bottom])

    @property
    def area(self) -> float:
        """The area of its letters, mm²."""
        return sum(mark.area for mark in self.marks)

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
