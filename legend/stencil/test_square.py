"""Add a test square of 50 mm to a sheet where there is room.

Measured when it is cut, both ways, it tells whether the cutter cuts true.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from legend.description.tables.description import Stencil
from legend.layout.artwork import Finding, Severity
from legend.length_words import Lengths
from legend.standards import INCH, SQUARE_SPACE
from legend.stencil.order.starts import before_corner, begun
from legend.stencil.sheet import Cut, Path, Sheet, round_box

#: The side of the square, mm: long enough that a tenth of a millimetre is easy to read off.
SIDE = 50.0

#: What edges may overlap by without being told to, mm.
_SLACK = 1e-6


def side_in_words(lengths: Lengths) -> str:
    """How long the side is, as it is measured with a caliper: in inches always as a decimal."""
    return f"{SIDE / INCH:.3f} in" if lengths.unit == "in" else f"{SIDE:g} mm"


def square_at(x: float, y: float) -> Path:
    """The test square with its lower left corner here."""
    return Path(Cut.TEST_SQUARE, round_box((x, y, x + SIDE, y + SIDE)))


def for_the_cutter(sheet: Sheet, stencil: Stencil) -> Sheet:
    """The sheet corrected by what its cutter's test square measured, every cut running on."""
    across, along = stencil.measured
    stretch = (SIDE / across, SIDE / along)
    return replace(sheet, stretch=stretch, overrun=stencil.overlap)


def with_test_square(sheet: Sheet, stencil: Stencil) -> Sheet:
    """The sheet with a test square, `SQUARE_SPACE` clear of all pieces, if there is room for one.

    It stands where it takes the least length of stock: as low as it can, and left; off its edges
    by the margin of the stock.
    """
    inset = stencil.stock_margin
    boxes = [placed.box for placed in sheet.placed]
    taken = np.add(
        np.reshape(boxes, (-1, 4)), (-SQUARE_SPACE, -SQUARE_SPACE, SQUARE_SPACE, SQUARE_SPACE)
    )
    lefts = np.unique([inset, *taken[:, 2]])
    width, used = sheet.size
    lefts = lefts[lefts + SIDE <= width - inset + _SLACK]
    for y in np.unique([inset, *taken[:, 3]]).tolist():
        if y + SIDE > stencil.stock_size[1] - inset + _SLACK:
            break
        level = taken[(taken[:, 1] < y + SIDE - _SLACK) & (taken[:, 3] > y + _SLACK)]
        right_of = level[:, 0] >= lefts[:, None] + SIDE - _SLACK
        left_of = level[:, 2] <= lefts[:, None] + _SLACK
        clear = lefts[(right_of | left_of).all(axis=1)]
        if len(clear):
            squares = begun([square_at(float(clear[0]), y)], before_corner(stencil))
            size = (width, max(used, y + SIDE + inset))
            return replace(sheet, size=size, test_squares=(*sheet.test_squares, *squares))
    return sheet


def left_out(sheet: Sheet, stencil: Stencil, lengths: Lengths) -> Finding:
    """The note for a sheet that has no room for the square."""
    return Finding(
        Severity.NOTE,
        "test-square-left-out",
        f"Sheet {sheet.number} has no room for the test square of {side_in_words(lengths)}.",
        stencil.source_of("test_square"),
        "Give a larger stencil.stock_size, or measure the test square of a test cut: "
        '"legend coupon".',
    )
