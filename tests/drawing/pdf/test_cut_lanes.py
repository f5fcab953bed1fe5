"""Lanes between sheets: as few sheets as can be, no more overlap than is needed, no legend cut."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from legend.drawing.pdf.cut_lanes import OVERLAP, InTheWay, lanes, sheets_needed

ROOM = 200.0

lengths = st.floats(ROOM + 1, 2500)


def views(low: float, high: float, cuts: tuple[float, ...]) -> list[tuple[float, float]]:
    half = OVERLAP / 2
    return list(
        zip((low, *(c - half for c in cuts)), (*(c + half for c in cuts), high), strict=True)
    )


def legend(low: float, high: float) -> InTheWay:
    return InTheWay((low, 0, high, 3), 100.0, legend=True)


@st.composite
def crowds(draw: st.DrawFn) -> tuple[float, list[InTheWay]]:
    length = draw(lengths)
    begins = draw(st.lists(st.floats(0, length), max_size=12))
    return length, [legend(begin, begin + draw(st.floats(1, 40))) for begin in begins]


@given(crowds(), st.floats(-500, 500))
def test_the_sheets_hold_everything_and_overlap_no_more_than_is_needed(
    crowd: tuple[float, list[InTheWay]], low: float
) -> None:
    length, things = crowd
    things = [InTheWay((t.box[0] + low, 0, t.box[2] + low, 3), t.weight, True) for t in things]
    cuts = lanes(low, low + length, ROOM, things, axis=0)
    assert len(cuts) + 1 == sheets_needed(length, ROOM)
    shown = views(low, low + length, cuts)
    for begin, end in shown:
        assert OVERLAP < end - begin <= ROOM + 1e-6
    for (_, end), (begin, _) in itertools.pairwise(shown):
        assert end - begin == pytest.approx(OVERLAP)


@given(lengths)
def test_one_sheet_less_would_not_hold_it(length: float) -> None:
    fewer = sheets_needed(length, ROOM) - 1
    assert fewer * ROOM - (fewer - 1) * OVERLAP < length


@given(crowds())
def test_no_other_lanes_would_cut_fewer_legends(crowd: tuple[float, list[InTheWay]]) -> None:
    """Tried against all pairs of lanes, a mm apart, that sheets of that room allow."""
    length, things = crowd
    length = min(length, 3 * ROOM - 2 * OVERLAP - 1)
    length = max(length, 2 * ROOM + 1)  # three sheets, none of which could be narrower than a flap
    first, second = lanes(0.0, length, ROOM, things, axis=0)
    half = OVERLAP / 2

    def cut(places: NDArray[np.float64], clear: float) -> NDArray[np.int_]:
        found: NDArray[np.int_] = np.sum(
            [(t.box[0] - clear < places) & (places < t.box[2] + clear) for t in things]
            or [np.zeros(len(places), dtype=bool)],
            axis=0,
        )
        return found

    all_places = np.arange(0.0, length)
    one, other = (each.ravel() for each in np.meshgrid(all_places, all_places))
    able = (one + half <= ROOM) & (other - one + OVERLAP <= ROOM) & (length - other + half <= ROOM)
    able &= other - one >= OVERLAP
    # Lanes are half a mm apart, so what these have to do with is so much wider.
    fewest = (cut(one, 1.6) + cut(other, 1.6))[able].min(initial=2 * len(things))
    assert cut(np.array([first, second]), 0.999).sum() <= fewest


def test_a_lane_goes_where_there_is_one() -> None:
    """Two crowds that leave one gap within what the sheets have to spare."""
    things = [legend(at, at + 9) for at in (105, 116, 127, 138, 160, 171, 182)]
    (cut,) = lanes(0, 290, ROOM, things, axis=0)
    assert 147 + 1 <= cut <= 160 - 1
    assert lanes(0, 290, ROOM, [], axis=0) == pytest.approx((145,), abs=0.5)


def test_a_lane_rather_cuts_a_frame_than_a_legend_and_a_piece_than_a_hole() -> None:
    frame = InTheWay((90, 0, 200, 3), 5.0)
    things = [frame, legend(90, 140), legend(150, 200)]
    (cut,) = lanes(0, 290, ROOM, things, axis=0)
    assert 141 <= cut <= 149


def test_sheets_are_about_as_large_where_nothing_is_in_the_way() -> None:
    cuts = lanes(0.0, 500.0, ROOM, [], axis=0)
    widths = [end - begin for begin, end in views(0.0, 500.0, cuts)]
    assert np.ptp(widths) <= 1.5


def test_the_other_axis_is_not_looked_at() -> None:
    things = [InTheWay((0, 130, 290, 160), 100.0, legend=True)]
    assert lanes(0, 290, ROOM, things, axis=0) == lanes(0, 290, ROOM, [], axis=0)
    (cut,) = lanes(0, 290, ROOM, things, axis=1)
    assert not 129 < cut < 161
