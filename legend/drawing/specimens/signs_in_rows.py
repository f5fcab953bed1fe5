"""Stand signs side by side in even rows, by the width of their ink."""

from __future__ import annotations

import math
from collections.abc import Sequence

from legend.drawing.specimens.specimen_page import COLUMN_WIDTH
from legend.lettering.outlines.outline import Outline


def begun_at_0(outline: Outline) -> Outline:
    """An outline moved so that its ink begins at x = 0."""
    return outline.moved(-outline.bounds[0], 0) if outline else outline


def width_of_ink(outline: Outline) -> float:
    """How wide the ink of an outline is, mm: 0 for none."""
    if not outline:
        return 0.0
    left, _, right, _ = outline.bounds
    return right - left


def side_by_side(outlines: Sequence[Outline], gap: float) -> list[Outline]:
    """Outlines one after another, their ink `gap` apart, from x = 0 on."""
    placed = []
    x = 0.0
    for outline in outlines:
        placed.append(begun_at_0(outline).moved(x, 0))
        x += width_of_ink(outline) + gap
    return placed


def even_rows(signs: Sequence[Outline], gap: float) -> list[Sequence[Outline]]:
    """Signs broken into rows of the column, as few as can be, and of nearly the same width."""
    widths = [width_of_ink(sign) for sign in signs]
    rows = _broken(widths, gap, COLUMN_WIDTH)
    width = COLUMN_WIDTH - 1
    while width > max(widths, default=width) and len(_broken(widths, gap, width)) == len(rows):
        rows = _broken(widths, gap, width)
        width -= 1
    return [[signs[i] for i in row] for row in rows]


def _broken(widths: Sequence[float], gap: float, width: float) -> list[list[int]]:
    """The numbers of the widths, broken into rows that are not wider than `width`."""
    rows: list[list[int]] = []
    used = math.inf
    for number, each in enumerate(widths):
        if used + gap + each > width:
            rows.append([])
            used = -gap
        rows[-1].append(number)
        used += gap + each
    return rows
