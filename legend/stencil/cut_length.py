"""Measure how far the knife goes along the cuts of a sheet, and reckon how long that takes."""

from __future__ import annotations

import numpy as np

from legend.layout.artwork import Artwork
from legend.lettering.outlines.curve_points import Points
from legend.standards import CUT_SLOWLY, CUTTING_SPEEDS
from legend.stencil.sheet import Cut, Path, Sheet


def cut_length(sheet: Sheet) -> float:
    """The length of all cuts of a sheet, what they run on by included, mm; no ways between them."""
    length = _along(sheet.test_squares, sheet.overrun)
    for placed in sheet.placed:
        paths = placed.piece.paths  # as long as where they lie, and measured once for all spares
        if placed.sides is None:
            length += _along(paths, sheet.overrun)
            continue
        length += _along([path for path in paths if path.cut is not Cut.WEEDING], sheet.overrun)
        length += sum(_length(row) + 2 * placed.sides.past for row in placed.sides.rows)
    return length


def speed_of(artwork: Artwork) -> str:
    """How fast the knife should go, in a word: one of `CUTTING_SPEEDS`."""
    low = any(0 < mark.height < CUT_SLOWLY for mark in artwork.marks)
    return "slow" if low or artwork.description.stencil.stock == "sheet" else "medium"


def cutting_minutes(artwork: Artwork, length: float) -> float:
    """How long the knife takes for so many mm: at the speed of the description's [bench], or else
    as fast as it should go.
    """
    a_second = artwork.description.bench.cutting_speed or CUTTING_SPEEDS[speed_of(artwork)]
    return length / a_second / 60


def _along(paths: tuple[Path, ...] | list[Path], overrun: float) -> float:
    contours = [contour for path in paths for contour in path.outline.contours]
    return sum(_length(contour.flat) + overrun for contour in contours)


def _length(points: Points) -> float:
    return float(np.hypot(*np.diff(points, axis=0).T).sum())
