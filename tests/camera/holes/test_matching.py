"""Found holes are matched to those of a design, however the panel lies."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.camera.holes.found_hole import FoundHole
from legend.camera.holes.matching import Matching, Wanted, matched, turned_about, turned_back
from legend.description.shapes.hole_shapes import Drilled
from legend.description.tables.description import Hole

DESIGN = {"A": (20, 20, 9.5), "B": (60, 22, 6.5), "C": (100, 20, 6.5), "D": (35, 60, 3.2)}
SIZE = np.array([120.0, 80.0])


def _wanted() -> list[Wanted]:
    return [
        Wanted(id, (x, y), Hole.model_validate({"at": [x, y], "drill": drill}))
        for id, (x, y, drill) in DESIGN.items()
    ]


def _found(*holes: tuple[float, float, float]) -> list[FoundHole]:
    return [
        FoundHole((x, y), 0.0, Drilled(drill=drill), 0.05, 0.05, 1.0, 0.1) for x, y, drill in holes
    ]


def _matched(found: list[FoundHole]) -> Matching:
    places = np.array([hole.at for hole in found]).reshape(-1, 2)
    return matched(_wanted(), found, [places, SIZE - places])


OFF = st.floats(-0.8, 0.8)


@given(st.lists(st.tuples(OFF, OFF), min_size=4, max_size=4), st.booleans(), OFF, OFF)
def test_each_hole_gets_its_own_name(
    off: list[tuple[float, float]], turned: bool, dx: float, dy: float
) -> None:
    holes = [
        (x + a + dx, y + b + dy, drill)
        for (x, y, drill), (a, b) in zip(DESIGN.values(), off, strict=True)
    ]
    if turned:
        holes = [(SIZE[0] - x, SIZE[1] - y, drill) for x, y, drill in holes]
    matching = _matched(_found(*holes))
    assert matching.pairs == {"A": 0, "B": 1, "C": 2, "D": 3}
    assert matching.way == turned
    assert matching.off < 1.2


def test_what_is_missing_is_missing_and_what_is_too_many_is_left() -> None:
    found = _found((100.3, 20.1, 6.6), (20.2, 19.9, 9.5), (80, 50, 6.5), (35.1, 60.2, 3.2))
    assert _matched(found).pairs == {"A": 1, "C": 0, "D": 3}


def test_a_dot_where_a_hole_is_to_be_drilled_is_not_the_hole() -> None:
    found = _found((20, 20, 9.5), (60, 22, 1.4), (100, 20, 6.5), (35, 60, 3.2))
    assert "B" not in _matched(found).pairs


def test_another_drill_than_wanted_is_still_the_hole() -> None:
    found = _found((20, 20, 8.0), (60, 22, 7.0), (100, 20, 6.5), (35, 60, 4.0))
    assert len(_matched(found).pairs) == 4


@pytest.mark.parametrize("turned", [False, True])
def test_a_pattern_that_looks_the_same_turned_leaves_it_open(turned: bool) -> None:
    corners = [(6, 6), (114, 6), (6, 74), (114, 74)]
    wanted = [
        Wanted(str(k), at, Hole.model_validate({"at": list(at), "drill": 3.2}))
        for k, at in enumerate(corners)
    ]
    found = _found(*((x, y, 3.2) for x, y in corners))
    places = np.array([hole.at for hole in found])
    assert matched(wanted, found, [places, SIZE - places]).open_
    assert not _matched(_found(*((x, y, d) for x, y, d in DESIGN.values()))).open_


MIDDLE = (60.0, 40.0)


@given(st.floats(-180, 180), st.lists(st.tuples(OFF, OFF), min_size=4, max_size=4))
@settings(max_examples=15)
def test_a_round_panel_may_lie_turned_by_any_angle(
    lies: float, off: list[tuple[float, float]]
) -> None:
    true = np.array(
        [(x + a, y + b) for (x, y, _), (a, b) in zip(DESIGN.values(), off, strict=True)]
    )
    lying = turned_back(true, MIDDLE, -lies)
    found = _found(*((*place, hole[2]) for place, hole in zip(lying, DESIGN.values(), strict=True)))
    turn, matching = turned_about(_wanted(), found, lying, MIDDLE)
    assert matching.pairs == {"A": 0, "B": 1, "C": 2, "D": 3}
    assert not matching.open_
    # The holes are drilled off, so that turn is right by which they lie the nearest.
    goals = np.array([(x, y) for x, y, _ in DESIGN.values()])

    def misfit(degrees: float) -> float:
        return float(((turned_back(lying, MIDDLE, degrees) - goals) ** 2).sum())

    assert misfit(turn) <= min(misfit(turn + 0.01), misfit(turn - 0.01)) + 1e-9
    assert abs((turn - lies + 180) % 360 - 180) < 3


def test_holes_that_lie_alike_turned_leave_the_turn_open() -> None:
    wanted = [
        Wanted(str(k), (x, y), Hole.model_validate({"at": [x, y], "drill": 5}))
        for k, (x, y) in enumerate([(80.0, 40.0), (60.0, 60.0), (40.0, 40.0), (60.0, 20.0)])
    ]
    lying = turned_back(np.array([each.at for each in wanted]), MIDDLE, -20.0)
    found = _found(*((*place, 5.0) for place in lying))
    turn, matching = turned_about(wanted, found, lying, MIDDLE)
    assert matching.open_
    assert turn == pytest.approx(20)  # the least turn of the four
    assert turned_about(wanted, [], np.empty((0, 2)), MIDDLE)[1].pairs == {}


def test_of_ways_that_do_as_well_the_first_is_taken() -> None:
    wanted = [
        Wanted(str(k), (x, 40.0), Hole.model_validate({"at": [x, 40], "drill": 5}))
        for k, x in enumerate([30.0, 90.0])
    ]
    places = np.array([(30.2, 40.1), (90.0, 40.0)])
    found = _found(*((*place, 5.0) for place in places))
    matching = matched(wanted, found, [places, SIZE - places])
    assert matching.way == 0 and matching.open_
    assert matching.pairs == {"0": 0, "1": 1}


@given(st.booleans())
def test_holes_measured_before_tell_the_way_that_a_design_leaves_open(lies_turned: bool) -> None:
    """Two holes alike, drilled a little off: their places in one picture tell the next."""
    drilled = np.array([(30.2, 40.1), (90.1, 39.8)])
    before = [
        Wanted(str(k), (x, y), Hole.model_validate({"at": [x, y], "drill": 5}))
        for k, (x, y) in enumerate(drilled.tolist())
    ]
    seen = drilled + np.array([(0.03, -0.02), (-0.02, 0.04)])
    places = SIZE - seen if lies_turned else seen
    found = _found(*((*place, 5.0) for place in places))
    matching = matched(before, found, [places, SIZE - places], measured=True)
    assert matching.way == lies_turned
    assert matching.pairs == {"0": 0, "1": 1}
