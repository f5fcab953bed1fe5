"""Kinds that lay their legends by a detent, a scale or a place of their own."""

from __future__ import annotations

import math

import pytest

from legend.description.reading.description_file import parse
from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Mark, Role, Severity


def _laid(hole: str, control: str) -> Artwork:
    holes = f"[holes]\nA = {{ at = [100, 60], {hole} }}\n"
    artwork = lay_out(
        parse(f'[panel]\nsize = [200, 120]\n{holes}[[control]]\nhole = "A"\n{control}\n')
    )
    assert not [f for f in inspect(artwork) if f.severity is not Severity.NOTE]
    return artwork


def _bearing(mark: Mark) -> float:
    x0, y0, x1, y1 = mark.outline.bounds
    return math.degrees(math.atan2((x0 + x1) / 2 - 100, (y0 + y1) / 2 - 60))


def _bearings(artwork: Artwork, role: Role) -> list[float]:
    return [_bearing(mark) for mark in artwork.marks if mark.role is role]


@pytest.mark.parametrize(("start", "expected"), [("", [-45, 45]), ("start = 0", [0, 90])])
def test_the_two_positions_of_a_key_stand_a_quarter_of_a_turn_apart(
    start: str, expected: list[float]
) -> None:
    artwork = _laid("drill = 19", f'kind = "keyswitch"\npositions = ["OFF", "RUN"]\n{start}')
    assert _bearings(artwork, Role.GRADUATION) == pytest.approx(expected, abs=0.01)


def test_twelve_positions_go_all_the_way_round() -> None:
    names = ", ".join(f'"{n}"' for n in range(1, 13))
    artwork = _laid("drill = 9", f'kind = "selector"\nstart = 0\npositions = [{names}]')
    turned = [bearing % 360 for bearing in _bearings(artwork, Role.GRADUATION)]
    assert [round(each) % 360 for each in turned] == list(range(0, 360, 30))


def test_a_detent_that_is_not_used_has_neither_word_nor_line() -> None:
    artwork = _laid("drill = 9", 'kind = "selector"\npositions = ["OFF", "", "LOW", " ", "HIGH"]')
    assert _bearings(artwork, Role.GRADUATION) == pytest.approx([-60, 0, 30, 60], abs=0.01)
    assert [m.text for m in artwork.marks if m.role is Role.POSITION] == ["OFF", "LOW", "HIGH"]


@pytest.mark.parametrize("turned", [0, 90])
def test_the_scale_of_a_bargraph_is_straight_and_as_long_as_its_opening(turned: int) -> None:
    artwork = _laid(
        f"cutout = [10, 50], angle = {turned}",
        'kind = "bargraph"\nname = "LOAD"\nscale = { from = 0, to = 10 }',
    )
    marks = [m.outline.bounds for m in artwork.marks if m.role is Role.GRADUATION]
    axis = 0 if turned else 1
    middles = [(box[axis] + box[axis + 2]) / 2 for box in marks]
    along = (100, 60)[axis]
    assert (min(middles), max(middles)) == pytest.approx((along - 25, along + 25), abs=0.01)
    assert len({round(box[1 - axis], 3) for box in marks}) == 1


def test_a_multi_turn_dial_has_its_name_and_its_unit() -> None:
    artwork = _laid("drill = 10", 'kind = "multi-turn dial"\nname = "SET"\nnote = "°C"')
    assert [(m.role, m.text) for m in artwork.marks] == [(Role.NAME, "SET"), (Role.NOTE, "°C")]


def test_a_knob_that_is_pulled_has_a_second_name_across_from_the_first() -> None:
    artwork = _laid(
        "drill = 7",
        'kind = "knob"\nname = "VOLUME"\nnote = "PULL: MUTE"\nscale = { from = 0, to = 10 }',
    )
    placed = {m.text: m.outline.bounds for m in artwork.marks if m.text}
    assert placed["VOLUME"][1] > placed["5"][3]
    assert placed["PULL: MUTE"][3] < placed["0"][1]


@pytest.mark.parametrize("kind", ["display", "thumbwheel", "keypad", "bargraph"])
def test_what_is_fitted_in_a_cut_out_takes_a_frame(kind: str) -> None:
    artwork = _laid("cutout = [40, 16]", f'kind = "{kind}"\nname = "COUNT"\nframe = 0.8')
    assert [m.role for m in artwork.marks] == [Role.FRAME, Role.NAME]


@pytest.mark.parametrize("kind", ["binding post", "inlet"])
def test_what_only_has_a_name(kind: str) -> None:
    artwork = _laid("drill = 8", f'kind = "{kind}"\nname = "OUT"\nside = "below"')
    assert [m.text for m in artwork.marks] == ["OUT"]


def test_a_rocker_says_its_sides_as_a_toggle_does() -> None:
    artwork = _laid("cutout = [13, 19]", 'kind = "rocker"\npositions = { up = "ON", down = "OFF" }')
    (on, off) = (m.outline.bounds for m in artwork.marks)
    assert on[1] > 69.5 and off[3] < 50.5
