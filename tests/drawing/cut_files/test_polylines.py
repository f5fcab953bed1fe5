"""Curves of a cut as straight stretches and arcs: nowhere off by more than is said."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from legend.drawing.cut_files.cut_sheet import CutLine
from legend.drawing.cut_files.polylines import WITHIN, Polyline, polylines
from legend.lettering.outlines.curve_points import arc_points, bezier
from legend.lettering.outlines.outline import Contour, Outline

_PLACES = st.tuples(st.floats(-200, 200), st.floats(-200, 200))


def _one(contour: Contour, closed: bool, with_arcs: bool = True) -> Polyline:
    (line,) = polylines([CutLine(contour, closed)], with_arcs)
    return line


@given(_PLACES, st.floats(0.3, 500))
def test_a_circle_is_one_circle(centre: tuple[float, float], radius: float) -> None:
    found = _one(Outline.disc(centre, radius).contours[0], True).circle()
    assert found is not None
    assert found[0] == pytest.approx(centre, abs=1e-3)
    assert found[1] == pytest.approx(radius, abs=1e-3)


@given(_PLACES, st.floats(0.3, 200), st.floats(-180, 180), st.floats(5, 300), st.booleans())
def test_an_arc_bends_by_its_angle(
    centre: tuple[float, float], radius: float, begin: float, sweep: float, clockwise: bool
) -> None:
    points = arc_points(centre, radius, begin, begin + (sweep if clockwise else -sweep))
    line = _one(Contour("C" * (len(points) // 3), points), False)
    angle = np.degrees(4 * np.arctan(line.bulges)).sum()
    assert angle == pytest.approx(-sweep if clockwise else sweep, abs=0.1)
    assert line.bulges[-1] == 0
    assert line.circle() is None


def test_what_is_stretched_is_no_circle() -> None:
    contour = Outline.disc((10, 10), 20).scaled(1.004, 0.998).contours[0]
    line = _one(contour, True)
    assert line.circle() is None


@given(st.tuples(_PLACES, _PLACES, _PLACES, _PLACES), st.booleans())
def test_straight_stretches_lie_near_the_curve(
    ends: tuple[tuple[float, float], ...], closed: bool
) -> None:
    points = np.array(ends)
    line = _one(Contour("C", points), closed, with_arcs=False)
    assert not line.bulges.any()
    drawn = np.vstack([line.points, line.points[:1]]) if closed else line.points
    curve = np.array([bezier(points, t) for t in np.linspace(0, 1, 200)])
    if len(drawn) > 1:
        off = shapely.distance(shapely.linestrings(drawn), shapely.points(curve))
        assert off.max() < WITHIN + 1e-6


def test_a_whole_turn_in_two_halves_is_a_circle_and_a_half_is_none() -> None:
    half = arc_points((0, 0), 5, 0, 180)
    contour = Contour("C" * (len(half) // 3), half)
    assert _one(contour, True).circle() is None
    assert math.isclose(abs(np.arctan(_one(contour, True).bulges).sum() * 4), math.pi, abs_tol=1e-3)
