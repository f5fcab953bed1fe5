"""Strokes, counters and gaps of shapes whose sizes are known."""

from __future__ import annotations

import math
import time
from itertools import combinations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.affinity import rotate, scale, translate
from shapely.geometry.base import BaseGeometry

from legend.lettering.outlines.measuring import (
    across,
    counters,
    gaps_of_letters,
    has_ink,
    least_gap,
    least_stroke,
)

BREADTHS = st.floats(0.1, 2.0)
ANGLES = st.floats(0, 180)


def line(*points: tuple[float, float], breadth: float, ends: str = "flat") -> BaseGeometry:
    """A stroke of even breadth along a line."""
    return shapely.LineString(points).buffer(
        breadth / 2, cap_style=ends, join_style="mitre", quad_segs=32
    )


# --- Strokes ---


@given(BREADTHS, st.floats(1.2, 20), ANGLES, st.sampled_from(["flat", "round"]))
def test_a_straight_stroke(breadth: float, times: float, angle: float, ends: str) -> None:
    stroke = rotate(line((0, 0), (breadth * times, 0), breadth=breadth, ends=ends), angle)
    assert least_stroke(stroke) == pytest.approx(breadth, rel=0.01)


@given(BREADTHS, st.floats(1.0, 6))
def test_a_round_stroke(breadth: float, times: float) -> None:
    radius = breadth * times
    ring = shapely.Point(3, -2).buffer(radius + breadth / 2, quad_segs=32)
    ring -= shapely.Point(3, -2).buffer(radius - breadth / 2, quad_segs=32)
    assert least_stroke(ring) == pytest.approx(breadth, rel=0.01)


@given(st.floats(0.5, 1.5), st.floats(0.3, 0.9), ANGLES)
def test_the_bar_of_a_letter_with_heavier_legs(leg: float, times: float, angle: float) -> None:
    bar = leg * times
    letter = shapely.box(0, 0, leg, 6) | shapely.box(5, 0, 5 + leg, 6)
    letter |= shapely.box(0, 3 - bar / 2, 5, 3 + bar / 2)
    assert least_stroke(rotate(letter, angle)) == pytest.approx(bar, rel=0.01)


@given(st.floats(0.1, 10), ANGLES)
def test_it_grows_with_the_letter(times: float, angle: float) -> None:
    letter = line((0, 0), (0, 7), (4, 0), breadth=0.8) | line((0, 0), (3, 0), breadth=0.5)
    grown = rotate(scale(letter, times, times, origin=(0, 0)), angle)
    assert least_stroke(grown) == pytest.approx(0.5 * times, rel=0.02)


def test_dots() -> None:
    assert least_stroke(shapely.Point(1, 1).buffer(0.3)) == pytest.approx(0.6, rel=0.01)
    assert least_stroke(rotate(shapely.box(0, 0, 0.5, 0.5), 20)) == pytest.approx(0.5, rel=0.01)


def test_a_wedge_has_no_stroke_and_is_as_broad_as_its_widest_disc() -> None:
    triangle = shapely.Polygon([(0, 0), (4, 0), (2, 3)])
    assert least_stroke(triangle) == pytest.approx(across(triangle))


def test_a_thin_place_is_a_stroke_where_it_is_long_and_a_joint_where_it_is_short() -> None:
    def necked(length: float) -> BaseGeometry:
        neck = shapely.box(2, 0.9, 2 + length, 1.1)
        return shapely.box(0, 0, 2, 2) | neck | shapely.box(2 + length, 0, 4 + length, 2)

    assert least_stroke(necked(1.0)) == pytest.approx(0.2, rel=0.01)
    assert least_stroke(necked(0.2)) == pytest.approx(2.0, rel=0.01)


def test_the_finest_of_several_letters() -> None:
    letters = shapely.union_all([shapely.box(x, 0, x + 0.5 - x / 50, 5) for x in (0, 2, 4, 8)])
    assert least_stroke(letters) == pytest.approx(0.34, rel=0.01)


def test_no_ink_and_dirt() -> None:
    assert least_stroke(shapely.MultiPolygon()) == math.inf
    speck = shapely.box(9, 9, 9.01, 9.02)
    assert least_stroke(speck) == math.inf
    assert not has_ink(speck) and has_ink(shapely.box(0, 0, 1, 5) | speck)
    assert least_stroke(shapely.box(0, 0, 1, 5) | speck) == pytest.approx(1, rel=0.01)


def test_a_shape_of_very_many_corners_takes_no_longer() -> None:
    angles = np.linspace(0, 2 * np.pi, 60_000, endpoint=False)
    outer = shapely.Polygon(np.column_stack([np.cos(angles), np.sin(angles)]) * 5)
    ring = outer - scale(outer, 0.9, 0.9)
    begin = time.perf_counter()
    assert least_stroke(ring) == pytest.approx(0.5, rel=0.02)
    assert time.perf_counter() - begin < 1.0


# --- Counters ---


def test_counters_are_what_is_enclosed() -> None:
    eight = shapely.box(0, 0, 4, 7) - shapely.box(1, 1, 3, 3) - shapely.box(1, 4, 3, 6.5)
    dotted = eight | shapely.box(6, 0, 7, 1)
    assert sorted(across(counter) for counter in counters(dotted)) == pytest.approx(
        [2, 2], abs=0.01
    )
    assert sorted(counter.area for counter in counters(dotted)) == pytest.approx([4, 5])
    assert counters(shapely.box(0, 0, 1, 1)) == []


def test_a_pinhole_is_dirt_and_no_counter() -> None:
    assert counters(shapely.box(0, 0, 4, 7) - shapely.box(1, 1, 1.01, 1.01)) == []


# --- Gaps ---


def test_the_gap_between_letters() -> None:
    parts = [shapely.box(x, 0, x + 1, 5) for x in (0, 1.6, 3, 4.9)]
    assert least_gap(shapely.MultiPolygon(parts)) == pytest.approx(0.4)
    assert least_gap(parts[0]) == float("inf")


def test_the_gap_below_an_accent() -> None:
    """The dots of an A with diaeresis begin right of it, and hide the letter that follows."""
    letter, follower = shapely.box(0, 0, 4, 5), shapely.box(4.3, 0, 8, 4)
    dots = [shapely.box(x, 6, x + 0.8, 6.8) for x in (0.8, 2.4)]
    assert least_gap(shapely.MultiPolygon([letter, *dots, follower])) == pytest.approx(0.3)


def test_the_gap_in_each_of_several_lines() -> None:
    upper = [shapely.box(x, 8, x + 1, 12) for x in (0, 2, 4)]
    lower = [shapely.box(x, 0, x + 1, 4) for x in (0.9, 2.2, 4.1)]
    assert least_gap(shapely.MultiPolygon([*upper, *lower])) == pytest.approx(0.3)


@given(st.lists(st.tuples(st.floats(0, 40), st.floats(0, 20)), min_size=2, max_size=9))
def test_the_gap_is_the_least_between_any_two(places: list[tuple[float, float]]) -> None:
    disc = shapely.Point(0, 0).buffer(0.01)
    parts = [translate(disc, x, y) for x, y in places]
    least = min(one.distance(other) for one, other in combinations(parts, 2))
    assert least_gap(shapely.MultiPolygon(parts)) == pytest.approx(least, abs=1e-9)
    assert least_gap(shapely.MultiPolygon(parts), least + 1e-6) == pytest.approx(least, abs=1e-9)
    assert least_gap(shapely.MultiPolygon(parts), least / 2) == float("inf")


def test_parts_of_one_letter_that_touch_leave_no_gap() -> None:
    stem, bar, other = shapely.box(0, 0, 1, 4), shapely.box(1.001, 3, 3, 4), shapely.box(4, 0, 5, 4)
    word = shapely.MultiPolygon([stem, bar, other])
    assert least_gap(word) == pytest.approx(0.001)
    assert gaps_of_letters(word, [stem | bar, other], 2) == (pytest.approx(1), math.inf)
    assert gaps_of_letters(word, [stem, bar, other], 2) == (pytest.approx(0.001), math.inf)


def test_gaps_inside_of_a_letter_are_told_from_those_between_letters() -> None:
    stem, dot, other = shapely.box(0, 0, 1, 3), shapely.box(0, 3.2, 1, 4), shapely.box(1.5, 0, 2, 4)
    word, letters = shapely.MultiPolygon([stem, dot, other]), [stem.union(dot), other]
    assert gaps_of_letters(word, letters, 1) == (pytest.approx(0.5), pytest.approx(0.2))
    assert gaps_of_letters(word, letters, 0.4) == (math.inf, pytest.approx(0.2))
    assert gaps_of_letters(word, letters, 0.1) == (math.inf, math.inf)
