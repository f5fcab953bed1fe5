"""The check square: a Sheet in, the same with a square of 50 mm where there is room, out.

Measured when it is cut, both ways, it tells whether the cutter cuts true.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import shapely

from legend.description.schema import Stencil
from legend.layout.artwork import Finding, Severity
from legend.lettering.outline import Contour, Outline
from legend.stencil.sheet import Cut, Path, Sheet

#: The side of the square, mm: long enough that a tenth of a millimetre is easy to read off.
SIDE = 50.0


def check_square(x: float, y: float) -> Path:
    """The square with its lower left corner here."""
    corners = np.array([(0, 0), (1, 0), (1, 1), (0, 1), (0, 0)]) * SIDE + (x, y)
    return Path(Cut.CHECK, Outline((Contour("LLLL", corners),)))


def for_the_cutter(sheet: Sheet, stencil: Stencil) -> Sheet:
    """The sheet corrected by what its cutter's check square measured, every cut running on."""
    across, along = stencil.measured
    stretch = (SIDE / across, SIDE / along)
    return replace(sheet, stretch=stretch, overrun=stencil.overrun)


def with_check_square(sheet: Sheet, stencil: Stencil, space: float) -> Sheet:
    """The sheet with a check square `space` mm clear of all pieces, or a finding instead.

    It stands where it takes the least length of stock, low and left.
    """
    boxes = [
        shapely.total_bounds([path.outline.shape for path in placed.paths[-1:]])
        for placed in sheet.placed
    ]
    taken = np.add(np.reshape(boxes, (-1, 4)), (-space, -space, space, space))
    lefts, bottoms = sorted({0.0, *taken[:, 2]}), sorted({0.0, *taken[:, 3]})
    width, used = sheet.size
    best: tuple[float, float, float] | None = None
    for x, y in itertools.product(lefts, bottoms):
        length = max(used, y + SIDE)
        if x + SIDE > width + 1e-6 or length > stencil.stock_size[1] + 1e-6:
            continue
        clear = (taken[:, 2] <= x + 1e-6) | (taken[:, 0] >= x + SIDE - 1e-6)
        clear |= (taken[:, 3] <= y + 1e-6) | (taken[:, 1] >= y + SIDE - 1e-6)
        if clear.all() and (best is None or (length, y, x) < best):
            best = (length, y, x)
    if best is None:
        return replace(sheet, findings=(*sheet.findings, _left_out(sheet, stencil)))
    length, y, x = best
    return replace(sheet, size=(width, length), checks=(*sheet.checks, check_square(x, y)))


def _left_out(sheet: Sheet, stencil: Stencil) -> Finding:
    return Finding(
        Severity.NOTE,
        "check-left-out",
        f"Sheet {sheet.number} has no room for the check square of {SIDE:g} mm.",
        stencil.source_of("check"),
        'Give a larger stencil.stock_size, or measure the square of a test cut: "legend coupon".',
    )
