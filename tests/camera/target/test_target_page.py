"""The page for a panel: squares that name themselves all round it, from its size alone."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.camera.target.target_page import RUN, TargetPage, target_page

_SIDES = st.floats(1.0, 2000.0)


@settings(max_examples=40, deadline=None)
@given(_SIDES, _SIDES)
def test_squares_surround_a_tone_that_surrounds_the_panel(width: float, height: float) -> None:
    page = target_page(width, height)
    tone = shapely.box(*page.tone)
    assert math.isclose(page.tone[2] - page.tone[0], width + 16)
    assert math.isclose(page.tone[3] - page.tone[1], height + 16)
    black = shapely.box(*np.array(page.black).T)
    markers = shapely.box(*np.array([page.marker_box(cell) for cell in page.marked]).T)
    assert shapely.distance(np.concatenate([black, markers]), tone).min() >= 1.99
    assert len(page.marked) == len(page.black) <= RUN
    # Half of the border is black; no marker lies on it, and all is within the border.
    ring = shapely.box(*page.border).area - page.across * page.up * page.side**2
    assert math.isclose(shapely.area(black).sum(), ring / 2, rel_tol=1e-9)
    assert shapely.STRtree(black).query(markers, predicate="intersects").size == 0
    x0, y0, x1, y1 = page.border
    assert math.isclose(x0 + x1, width, abs_tol=1e-6)
    assert math.isclose(y0 + y1, height, abs_tol=1e-6)


def _tone_at(page: TargetPage, x: float, y: float) -> bool:
    return any(a < x < c and b < y < d for a, b, c, d in page.black)


def test_crossings_go_once_round_where_two_black_squares_meet() -> None:
    page = target_page(70, 30)
    assert len(set(page.crossings)) == len(page.crossings) == len(page.crossing_sides)
    round_ = [*page.crossings, page.crossings[0]]
    assert all(abs(a - c) + abs(b - d) == 1 for (a, b), (c, d) in pairwise(round_))
    for x, y in page.crossing_places.tolist():
        tones = [_tone_at(page, x + dx, y + dy) for dx, dy in ((1, 1), (-1, 1), (-1, -1), (1, -1))]
        assert tones in ([True, False, True, False], [False, True, False, True])


def test_crossings_are_told_by_their_sides() -> None:
    page = target_page(70, 30)
    off = {"left": (0, -1), "right": (0, 1), "lower": (1, -1), "upper": (1, 1)}
    middle = np.array([35, 15])
    for place, side in zip(page.crossing_places, page.crossing_sides, strict=True):
        axis, way = off[side]
        assert (place - middle)[axis] * way > (35, 15)[axis]


def test_the_page_of_a_panel_is_always_the_same() -> None:
    assert target_page(220, 120) == target_page(220.0, 120.0)
    assert target_page(220, 120).side == 6.0
    assert target_page(482.6, 177).side == 6.0
    assert target_page(1000, 600).side > 6.0
