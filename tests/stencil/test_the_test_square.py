"""The test square: on every sheet, clear of all pieces, at the least cost in stock."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from legend.description.tables.description import Stencil
from legend.lettering.outlines.outline import Outline
from legend.standards import SQUARE_SPACE
from legend.stencil import cut
from legend.stencil.nesting import nest
from legend.stencil.sheet import Cut, Path, Piece, Sheet
from legend.stencil.test_square import for_the_cutter, with_test_square


def pieces(sizes: list[tuple[float, float]]) -> list[Piece]:
    return [
        Piece(
            i,
            "",
            (),
            Outline.rectangle(0, 0, w, h),
            (Path(Cut.WEEDING, Outline.rectangle(0, 0, w, h)),),
        )
        for i, (w, h) in enumerate(sizes, start=1)
    ]


def boxes(sheet: Sheet) -> list[shapely.Polygon]:
    drawn = [placed.paths[-1].outline.shape for placed in sheet.placed]
    for box, placed in zip(drawn, sheet.placed, strict=True):
        np.testing.assert_allclose(placed.box, box.bounds)
    return drawn


@given(
    st.lists(st.tuples(st.floats(8, 120), st.floats(8, 70)), min_size=1, max_size=12),
    st.booleans(),
    st.booleans(),
)
def test_a_square_of_50_mm_on_every_sheet_that_has_room(
    sizes: list[tuple[float, float]], mirror: bool, turn: bool
) -> None:
    stencil = Stencil(stock_size=(150, 130), mirror=mirror, turn=turn)
    for before in nest(pieces(sizes), stencil):
        sheet = with_test_square(before, stencil)
        assert sheet.placed == before.placed
        if not sheet.test_squares:
            assert sheet is before
            assert before.size[1] + SQUARE_SPACE + 50 > 130, "there was room at the end"
            continue
        (test_square,) = sheet.test_squares
        assert test_square.cut is Cut.TEST_SQUARE
        square = test_square.outline.shape
        np.testing.assert_allclose(np.ptp(shapely.get_coordinates(square), axis=0), 50)
        for box in boxes(sheet):
            assert square.distance(box) > SQUARE_SPACE - 1e-6
        x0, y0, x1, y1 = square.bounds
        assert min(x0, y0) > stencil.stock_margin - 1e-9
        assert x1 <= sheet.size[0] - stencil.stock_margin + 1e-6
        assert y1 <= sheet.size[1] - stencil.stock_margin + 1e-6
        assert (
            before.size[1]
            <= sheet.size[1]
            <= max(before.size[1], before.size[1] + SQUARE_SPACE + 50)
        )


def test_it_stands_in_waste_where_that_has_room() -> None:
    stencil = Stencil(stock_size=(200, 130))
    (sheet,) = nest(pieces([(100, 60)]), stencil)
    assert with_test_square(sheet, stencil).test_squares
    assert with_test_square(sheet, stencil).size == sheet.size == (200, 61)


@pytest.mark.parametrize("asked", [False, True])
def test_every_sheet_has_one_where_it_is_asked_for(panel: Any, asked: bool) -> None:
    assert all(bool(sheet.test_squares) == asked for sheet in cut(panel(test_square=asked)).sheets)


def test_what_was_measured_stretches_the_file_and_nothing_else() -> None:
    (true,) = nest(pieces([(100, 60)]), Stencil())
    sheet = for_the_cutter(true, Stencil(measured=(49.8, 50.1), overrun=0.4))
    assert sheet.stretch == pytest.approx((50 / 49.8, 50 / 50.1))
    assert sheet.overrun == 0.4
    assert sheet.size == true.size
    assert sheet.placed == true.placed


def test_a_sheet_too_narrow_for_the_square_is_told(panel: Any) -> None:
    stencils = cut(panel(test_square=True, stock_size=(45, 400)))
    told = [found for found in stencils.findings if found.code == "test-square-left-out"]
    assert stencils.sheets
    assert len(told) == len(stencils.sheets)
