"""The check square: on every sheet, clear of all pieces, at the least cost in stock."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from legend.description.schema import Stencil
from legend.lettering.outline import Outline
from legend.stencil import cut
from legend.stencil.nesting import SPACE, nest
from legend.stencil.sheet import Cut, Path, Piece, Sheet


def pieces(sizes: list[tuple[float, float]]) -> list[Piece]:
    return [
        Piece(i, "", (), (0, 0, w, h), (Path(Cut.WEEDING, Outline.rectangle(0, 0, w, h)),))
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
    stencil = Stencil(stock_size=(150, 130), mirror=mirror, turn=turn, check=True)
    plain = nest(pieces(sizes), stencil.model_copy(update={"check": False}))
    checked = nest(pieces(sizes), stencil)
    assert [len(sheet.placed) for sheet in checked] == [len(sheet.placed) for sheet in plain]
    for before, sheet in zip(plain, checked, strict=True):
        if not sheet.checks:
            (finding,) = sheet.findings
            assert finding.code == "check-left-out"
            assert before.size[1] + SPACE + 50 > 130, "there was room at the end"
            continue
        ((check,),) = (sheet.checks,)
        assert check.cut is Cut.CHECK
        square = check.outline.shape
        np.testing.assert_allclose(np.ptp(shapely.get_coordinates(square), axis=0), 50)
        for box in boxes(sheet):
            assert square.distance(box) > SPACE - 1e-6
        x0, y0, x1, y1 = square.bounds
        assert min(x0, y0) > -1e-9
        assert x1 <= sheet.size[0] + 1e-6
        assert y1 <= sheet.size[1] + 1e-6
        assert before.size[1] <= sheet.size[1] <= max(before.size[1], before.size[1] + SPACE + 50)


def test_it_stands_in_waste_where_that_has_room() -> None:
    (sheet,) = nest(pieces([(100, 60)]), Stencil(stock_size=(200, 130), check=True))
    assert sheet.size == (200, 60)
    assert sheet.checks


def test_none_without_being_asked(panel: Any) -> None:
    assert all(not sheet.checks for sheet in cut(panel()))


def test_what_was_measured_stretches_the_file_and_nothing_else() -> None:
    true = nest(pieces([(100, 60)]), Stencil())
    (sheet,) = nest(pieces([(100, 60)]), Stencil(measured=(49.8, 50.1), overrun=0.4))
    assert sheet.stretch == pytest.approx((50 / 49.8, 50 / 50.1))
    assert sheet.overrun == 0.4
    assert sheet.size == true[0].size
    assert boxes(sheet)[0].equals(boxes(true[0])[0])
