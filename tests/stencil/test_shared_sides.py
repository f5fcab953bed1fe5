"""Shared sides: every side of every box is cut, and none of it twice."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.tables.description import Stencil
from legend.lettering.outlines.outline import Outline
from legend.stencil import cut
from legend.stencil.nesting import nest
from legend.stencil.shared_sides import with_sides_cut_once
from legend.stencil.sheet import Cut, Lines, Path, Piece, Sheet, along

#: To what lines are brought together before they are joined, mm: all steps stand on it.
GRID = 1e-5
STEPS = {"mm": 0.5, "in": 25.4 / 32}


def piece(number: int, width: float, height: float, notch: float = 0.0) -> Piece:
    """A piece with a mark in its middle; with a notch, an upper corner is left out of its box."""
    x, y = 10.0, 20.0
    corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]
    if notch:
        dx, dy = notch * width, notch * height
        corners[2:3] = [
            (x + width, y + height - dy),
            (x + width - dx, y + height - dy),
            (x + width - dx, y + height),
        ]
    edge = Outline.polygon(corners)
    mark = Outline.disc((x + width / 2, y + height / 2), 0.1 * min(width, height))
    return Piece(number, "", (), edge, (Path(Cut.MARK, mark), Path(Cut.WEEDING, along(edge))))


def lines_of(path: Path | Lines) -> Iterator[shapely.LineString]:
    rows = path.rows if isinstance(path, Lines) else [c.points for c in path.outline.contours]
    return map(shapely.LineString, rows)


def weeding(sheet: Sheet) -> list[list[shapely.LineString]]:
    """The lines of weeding boxes that are cut with each piece, in knife order."""
    return [
        [line for path in placed.paths if path.cut is Cut.WEEDING for line in lines_of(path)]
        for placed in sheet.placed
    ]


def boxes(sheet: Sheet) -> list[shapely.Polygon]:
    return [placed.shapes[-1].outline.shape for placed in sheet.placed]


sizes = st.lists(
    st.tuples(st.integers(6, 60), st.integers(6, 60), st.sampled_from([0.0, 0.0, 0.5])),
    min_size=1,
    max_size=14,
)


@settings(max_examples=25, deadline=None)
@given(sizes, st.sampled_from(["mm", "in"]), st.booleans(), st.booleans(), st.integers(1, 2))
def test_all_sides_are_cut_and_nothing_twice(
    sizes: list[tuple[int, int, float]], units: str, turn: bool, mirror: bool, copies: int
) -> None:
    step = STEPS[units]
    pieces = [piece(k, w * step, h * step, n) for k, (w, h, n) in enumerate(sizes, start=1)]
    stencil = Stencil(stock_size=(80, 100), turn=turn, mirror=mirror, copies=copies)
    for sheet in nest(pieces, stencil):
        done = with_sides_cut_once(sheet, 0.0)
        assert boxes(done) == boxes(sheet)
        lines = [line for each in weeding(done) for line in each]
        wanted = shapely.union_all(
            shapely.set_precision([box.exterior for box in boxes(sheet)], GRID)
        )
        every = shapely.union_all(shapely.set_precision(lines, GRID))
        assert every.hausdorff_distance(wanted) < 0.005
        assert sum(line.length for line in lines) == pytest.approx(wanted.length, abs=0.05)
        for placed in done.placed:
            assert [p.cut for p in placed.paths if p.cut is not Cut.WEEDING] == [Cut.MARK]


@settings(max_examples=20, deadline=None)
@given(sizes)
def test_no_side_is_cut_before_the_letters_on_both_sides_of_it(
    sizes: list[tuple[int, int, float]],
) -> None:
    """Or the knife would go round letters in film that is cut loose already."""
    pieces = [piece(k, w, h, n) for k, (w, h, n) in enumerate(sizes, start=1)]
    for sheet in nest(pieces, Stencil(stock_size=(80, 100))):
        cut_with = weeding(with_sides_cut_once(sheet, 0.0))
        for index, lines in enumerate(cut_with):
            later = boxes(sheet)[index + 1 :]
            for line, box in itertools.product(lines, later):
                assert line.intersection(box.exterior).length < 1e-3


def test_of_two_alike_the_second_box_is_whole_and_the_first_open() -> None:
    (sheet,) = nest([piece(1, 20, 10), piece(2, 20, 10)], Stencil(stock_size=(41, 30)))
    first, second = with_sides_cut_once(sheet, 0.0).placed
    assert isinstance(first.paths[-1], Lines) and second.sides is None
    (row,) = first.paths[-1].rows
    assert len(row) == 4
    assert shapely.LineString(row).length == pytest.approx(50)


def test_a_box_between_later_ones_may_have_no_line_of_its_own() -> None:
    (sheet,) = nest([piece(k, 10, 10) for k in range(1, 10)], Stencil(stock_size=(31, 31)))
    done = with_sides_cut_once(sheet, 0.0)
    assert sum(line.length for each in weeding(done) for line in each) == pytest.approx(8 * 30)


def test_open_lines_of_a_knife_that_lags_stop_half_way_to_a_letter() -> None:
    (sheet,) = nest([piece(1, 20, 10), piece(2, 20, 10)], Stencil(stock_size=(40, 30)))
    for overrun, wanted in ((0.4, 0.4), (9.0, 2.0)):
        (sides,) = [p.sides for p in with_sides_cut_once(sheet, overrun).placed if p.sides]
        assert sides.past == pytest.approx(wanted, abs=0.01)


def test_a_rigid_sheet_shares_no_side(panel: Any) -> None:
    stencils = cut(panel(method="paint-through", stock="sheet", piece="control"))
    placed = [placed for sheet in stencils.sheets for placed in sheet.placed]
    assert len(placed) > 1 and all(each.sides is None for each in placed)


def test_a_panel_is_cut_with_less_than_all_its_boxes(panel: Any) -> None:
    for tables in ({}, {"copies": 2, "mirror": True}, {"turn": True, "test_square": True}):
        for sheet in cut(panel(**tables)).sheets:
            lines = [line for each in weeding(sheet) for line in each]
            rings = [box.exterior for box in boxes(sheet)]
            length = sum(line.length for line in lines)
            assert length < 0.95 * sum(ring.length for ring in rings)
            joined = shapely.union_all(shapely.set_precision(rings, GRID))
            assert length == pytest.approx(joined.length, abs=0.05)
            for one, other in itertools.combinations(boxes(sheet), 2):
                assert one.intersection(other).area < 1e-6
            room = shapely.box(0, 0, *sheet.size).buffer(1e-6)
            assert shapely.covers(room, boxes(sheet)).all()
            assert np.array([line.length for line in lines]).min() > 0.1
