"""How far the knife goes, against lengths that are known."""

from __future__ import annotations

import math

import numpy as np
import pytest

from legend.lettering.outlines.outline import Outline
from legend.stencil.cut_length import cut_length
from legend.stencil.sheet import Cut, Lines, Path, Piece, Placed, Sheet, round_box

#: A disc of 10 mm within a box of 20 × 30 mm.
_PATHS = (
    Path(Cut.MARK, Outline.disc((10.0, 15.0), 5.0)),
    Path(Cut.WEEDING, round_box((0.0, 0.0, 20.0, 30.0))),
)
_PIECE = Piece(1, "", (), Outline.rectangle(0, 0, 20, 30), _PATHS)
_WHOLE = 10 * math.pi + 100


def test_all_cuts_of_all_copies_are_measured() -> None:
    placed = tuple(Placed(_PIECE, (0, 1, -1, 0, 50.0 * k, 5), k, True) for k in (1, 2, 3))
    assert cut_length(Sheet(1, (200, 50), placed)) == pytest.approx(3 * _WHOLE, abs=0.05)


def test_an_overrun_and_a_test_square_are_cut_too() -> None:
    placed = (Placed(_PIECE, (1, 0, 0, 1, 0, 0), 1, False),)
    square = (Path(Cut.TEST_SQUARE, round_box((60.0, 0.0, 110.0, 50.0))),)
    sheet = Sheet(1, (200, 50), placed, square, overrun=0.5)
    assert cut_length(sheet) == pytest.approx(_WHOLE + 200 + 3 * 0.5, abs=0.05)


def test_a_side_that_a_neighbour_has_is_not_cut_again() -> None:
    side = np.array([[0.0, 0.0], [20.0, 0.0], [20.0, 30.0]])
    sides = Lines(Cut.WEEDING, (side,), 0.25)
    placed = (Placed(_PIECE, (1, 0, 0, 1, 0, 0), 1, False, sides),)
    assert cut_length(Sheet(1, (50, 50), placed)) == pytest.approx(10 * math.pi + 50.5, abs=0.05)


def test_an_empty_sheet_takes_no_cutting() -> None:
    assert cut_length(Sheet(1, (50, 50), ())) == 0
