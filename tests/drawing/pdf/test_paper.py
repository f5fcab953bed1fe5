"""Drawings shared out over sheets of paper."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.drawing.pdf.cut_lanes import InTheWay
from legend.drawing.pdf.paper import (
    EDGE,
    LEAST_EDGE,
    OVERLAP,
    PaperError,
    Tiling,
    of_fewest_sheets,
    paper_size,
    tiled,
)

sides = st.floats(20, 1500)


def holds(tiling: Tiling, x: float, y: float) -> int:
    """On how many sheets a point of the drawing is seen."""
    return sum(
        t.view[0] - 1e-6 <= x <= t.view[2] + 1e-6 and t.view[1] - 1e-6 <= y <= t.view[3] + 1e-6
        for t in tiling.tiles
    )


@given(sides, sides, st.sampled_from(["A4", "A3", "letter", (330.0, 480.0)]))
def test_sheets_overlap_and_show_everything(
    width: float, height: float, paper: str | tuple[float, float]
) -> None:
    tiling = tiled((-5, -7, width - 5, height - 7), paper)
    for x in (-5, width / 3, width - 5):
        for y in (-7, height / 3, height - 7):
            assert holds(tiling, x, y) >= 1
    assert len({tile.name for tile in tiling.tiles}) == tiling.columns * tiling.rows
    views = {(tile.column, tile.row): tile.view for tile in tiling.tiles}
    for (column, row), view in views.items():
        if column:
            assert views[column - 1, row][2] - view[0] >= OVERLAP - 1e-6
        if row:
            assert view[3] - views[column, row - 1][1] >= OVERLAP - 1e-6


@given(sides, sides)
def test_every_join_mark_is_on_two_sheets_or_more(width: float, height: float) -> None:
    tiling = tiled((0, 0, width, height), "A4")
    assert all(holds(tiling, *join.at) >= 2 for join in tiling.joins)
    assert len({join.letter for join in tiling.joins}) == len(tiling.joins)
    across, up = tiling.columns - 1, tiling.rows - 1
    assert len(tiling.joins) == across * (up + 2) + up * (across + 2) - across * up


@given(sides, sides, st.sampled_from(["A4", "A3", "letter"]), st.floats(-2, 2), st.floats(-2, 2))
def test_what_fits_the_paper_either_way_is_on_one_sheet(
    width: float, height: float, paper: str, across: float, up: float
) -> None:
    short, long = paper_size(paper)
    on_paper = width * (1 + across / 100), height * (1 + up / 100)
    fits = any(
        on_paper[0] <= size[0] - 2 * LEAST_EDGE * (1 + across / 100)
        and on_paper[1] <= size[1] - 2 * LEAST_EDGE * (1 + up / 100)
        for size in ((short, long), (long, short))
    )
    tiling = tiled((0, 0, width, height), paper, (across, up))
    assert fits == (len(tiling.tiles) == 1)
    for tile in tiling.tiles:  # and nothing of it is off the paper
        shown = (tile.view[2] - tile.view[0], tile.view[3] - tile.view[1])
        for begin, side, printed, whole in zip(
            tile.at, shown, (across, up), tiling.size, strict=True
        ):
            assert begin >= LEAST_EDGE - 1e-6
            assert (begin + side + LEAST_EDGE) * (1 + printed / 100) <= whole + 1e-6


@given(sides, sides, st.sampled_from(["A4", "A3", "letter"]))
def test_sheets_overlap_by_the_flap_and_no_more(width: float, height: float, paper: str) -> None:
    tiling = tiled((0, 0, width, height), paper)
    views = {(tile.column, tile.row): tile.view for tile in tiling.tiles}
    for (column, row), view in views.items():
        if column:
            assert views[column - 1, row][2] - view[0] == pytest.approx(OVERLAP)
            assert (views[column - 1, row][2] + view[0]) / 2 == pytest.approx(
                tiling.lanes[0][column - 1]
            )
        if row:
            assert view[3] - views[column, row - 1][1] == pytest.approx(OVERLAP)
            assert (view[3] + views[column, row - 1][1]) / 2 == pytest.approx(
                tiling.lanes[1][row - 1]
            )


def test_legends_that_are_whole_on_no_sheet_are_counted() -> None:
    small = InTheWay((100, 20, 120, 24), 100.0, legend=True)
    wide = InTheWay((10, 40, 390, 46), 100.0, legend=True)
    frame = InTheWay((5, 5, 395, 90), 5.0)
    assert tiled((0, 0, 400, 100), "A4", things=[small, frame]).legends_cut == 0
    assert tiled((0, 0, 400, 100), "A4", things=[small, wide, frame]).legends_cut == 1


def test_the_room_is_given_up_for_a_lane_that_cuts_no_legend() -> None:
    """Of extents that need as many sheets, the first with a lane for it; not only the first."""
    wall = [InTheWay((x, 0, x + 30, 4), 100.0, legend=True) for x in (240.0, 272.0)]
    extents = [(-room, -room, 510 + room, 60 + room) for room in (5.0, 3.0, 1.0)]
    taken = of_fewest_sheets(extents, "A4", things=lambda: wall)
    assert taken.extent in extents
    assert taken.legends_cut == min(tiled(e, "A4", things=wall).legends_cut for e in extents[:2])


def test_the_way_up_that_needs_fewer_sheets_is_taken() -> None:
    assert tiled((0, 0, 240, 110), "A4").size == (297, 210)
    assert tiled((0, 0, 110, 240), "A4").size == (210, 297)
    assert len(tiled((0, 0, 240, 110), "A4").tiles) == 1
    beside = tiled((0, 0, 330, 200), "A4")
    assert (beside.size, beside.columns, beside.rows) == ((210, 297), 2, 1)


def test_sheets_are_named_from_the_top_left() -> None:
    tiling = tiled((0, 0, 400, 600), "A4")
    first = tiling.tiles[0]
    assert first.name == "row 1, column 1"
    assert first.view[0] == min(t.view[0] for t in tiling.tiles)
    assert first.view[3] == max(t.view[3] for t in tiling.tiles)
    assert tiling.tiles[-1].name == f"row {tiling.rows}, column {tiling.columns}"


def test_a_stretched_print_leaves_less_room() -> None:
    plain, stretched = tiled((0, 0, 50, 50), "A4"), tiled((0, 0, 50, 50), "A4", (1.0, 2.0))
    room = [t.tiles[0].view[2] - t.tiles[0].view[0] for t in (plain, stretched)]
    assert room[0] - room[1] == pytest.approx(210 - 210 / 1.01)


def test_papers_by_name_and_by_size() -> None:
    assert paper_size("a4") == (210, 297)
    assert paper_size("Letter") == pytest.approx((215.9, 279.4))
    assert paper_size((500, 400)) == (400, 500)
    with pytest.raises(ValueError, match="A4, A3, letter"):
        paper_size("A9")
    with pytest.raises(ValueError, match="too small"):
        tiled((0, 0, 50, 50), (100.0, 140.0))
    with pytest.raises(ValueError, match="too small"):
        tiled((0, 0, 50, 50), (2 * EDGE, 500.0))


@pytest.mark.parametrize("side", [float("nan"), float("inf"), -300.0, 0.0, 5081.0])
def test_what_is_no_page(side: float) -> None:
    assert paper_size((400, 5080)) == (400, 5080)
    for paper in ((side, 400.0), (400.0, side)):
        with pytest.raises(PaperError, match="is no page"):
            paper_size(paper)


@given(sides, sides, st.sampled_from(["A4", "A3", "letter"]))
def test_the_most_room_that_costs_no_sheet(width: float, height: float, paper: str) -> None:
    """No extent needs fewer sheets than the one that is taken, and none with more room as few.

    Where one sheet has no strips for the bars, it is the least extent with the room beside it.
    """
    extents = [(-room, -room, width + room, height + room) for room in (12.0, 8.0, 4.0, 1.0)]
    taken = of_fewest_sheets(extents, paper)
    tilings = [tiled(extent, paper) for extent in extents]
    needs = [(len(tiling.tiles), not tiling.has_strips) for tiling in tilings]
    allowed = needs if needs[-1][0] == 1 else needs[:-1]
    assert (len(taken.tiles), not taken.has_strips) == min(allowed)
    if taken.has_strips:
        assert extents.index(taken.extent) == allowed.index(min(allowed))
    else:
        assert taken == tilings[-1]
        assert (np.array(taken.extent[:2]) <= extents[-1][:2]).all()
        assert (np.array(taken.extent[2:]) >= extents[-1][2:]).all()
