"""Words round a selector: fanned out, and fitted where they are too long."""

from __future__ import annotations

import math
from typing import Any

import pytest

from legend.description.tables.description import Description
from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Role
from legend.layout.names.fanned_words import fanned_out
from legend.layout.scales.tracks import RoundTrack
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.stroke_face import plain
from legend.lettering.outlines.outline import Box

_RANGES = ["0,1-0,3 MHz", "0,3-1 MHz", "1-3 MHz", "3-10 MHz", "10-30 MHz", "30-100 MHz"]


def laid(positions: list[str], covers: float, **more: Any) -> Artwork:
    control = {"hole": "A", "kind": "selector", "covers": covers, "positions": positions} | more
    raw = {
        "panel": {"size": [200, 200]},
        "holes": {"A": {"at": [100, 100], "drill": 9}},
        "control": [control],
    }
    return lay_out(Description.model_validate(raw, context={"units": "mm"}))


def _apart(artwork: Artwork) -> float:
    words = [m.outline.shape for m in artwork.marks if m.role is Role.POSITION]
    return min(a.distance(b) for i, a in enumerate(words) for b in words[:i])


@pytest.mark.parametrize("covers", [16, 22, 30, 40])
def test_twelve_ranges_stand_clear_of_each_other(covers: float) -> None:
    artwork = laid([*_RANGES, *reversed(_RANGES)], covers, start=-165)
    assert _apart(artwork) >= 1.0
    assert not [f for f in inspect(artwork) if f.code in ("no-room", "touching")]


def test_words_too_long_for_their_selector_are_fitted_and_told() -> None:
    words = ["Frequency modulated", "Amplitude modulated", "Single side band", "Continuous wave"]
    artwork = laid(words, 16.0)
    (fitted,) = (f for f in artwork.findings if f.code == "fitted")
    assert "outward" in fitted.message
    assert "narrowed" not in fitted.message, "longer lines come before narrower letters"
    assert _apart(artwork) >= 1.0
    assert all(mark.outline.bounds[1] > 100 for mark in artwork.marks)
    heights = {mark.height for mark in artwork.marks if mark.role is Role.POSITION}
    assert len(heights) == 1


def test_what_has_no_room_even_so_is_told_with_its_distance() -> None:
    words = ["Frequency modulated", "Amplitude modulated", "Single side band"] * 8
    artwork = laid(words, 8.0, detent=15, start=-170)
    (finding,) = (f for f in artwork.findings if f.code == "no-room")
    assert "mm apart" in finding.message and "made" in finding.message
    assert "covers" in finding.remedy


def test_words_that_have_room_stay_as_they_were_asked_for() -> None:
    artwork = laid(["1", "2", "5", "10"], 24.0)
    assert not [f for f in artwork.findings if f.code == "fitted"]


def _boxes(artwork: Artwork) -> dict[str, Box]:
    return {m.text: m.outline.bounds for m in artwork.marks if m.role is Role.POSITION}


@pytest.mark.parametrize("detent", [30, 45])
@pytest.mark.parametrize(
    "positions", [["OFF", "DAILY", "WEEKLY"], ["MANUAL", "OFF", "AUTO"], ["LF", "OFF", "MEDIUM"]]
)
def test_words_of_unlike_width_are_evenly_apart(positions: list[str], detent: float) -> None:
    left, middle, right = (_boxes(laid(positions, 20.0, detent=detent))[each] for each in positions)
    assert middle[0] - left[2] == pytest.approx(right[0] - middle[2], abs=0.02)
    assert left[1] == pytest.approx(right[1], abs=0.05)


@pytest.mark.parametrize("positions", [["STANDBY", "ON"], ["COUNTDOWN", "HOLD"], ["HIGH", "LOWER"]])
def test_two_words_stand_evenly_about_the_axis(positions: list[str]) -> None:
    left, right = (_boxes(laid(positions, 20.0))[each] for each in positions)
    assert 100 - left[2] == pytest.approx(right[0] - 100, abs=0.02)


def test_words_side_by_side_lean_until_they_do_not_read_as_one() -> None:
    boxes = _boxes(laid(["MANUAL", "OFF", "AUTO"], 20.0))
    height = boxes["OFF"][3] - boxes["OFF"][1]
    assert boxes["OFF"][0] - boxes["MANUAL"][2] > 0.95 * height


def test_words_are_moved_outward_by_no_more_than_clears() -> None:
    words = ["OFF", "STANDBY", "ON", "TEST"]
    style = TextStyle(plain(), 2.5)
    track = RoundTrack((0.0, 0.0), 9.0, -45.0, 90.0)
    named = [(number / 3, word) for number, word in enumerate(words)]
    fan = fanned_out(named, track, style, 2.5, 2.5)
    assert fan.outward > 0
    nearer = fanned_out(named, track, style, 2.5 + fan.outward - 0.06, 2.5)
    assert nearer.outward > 0, "at 0.06 mm less they do not clear"


def test_figures_stay_in_the_middle_of_their_rays() -> None:
    boxes = _boxes(laid(["1", "8", "W", "0"], 20.0))
    marks = [m for m in laid(["1", "8", "W", "0"], 20.0).marks if m.role is Role.GRADUATION]
    for (left, bottom, right, top), mark in zip(boxes.values(), marks, strict=True):
        x0, y0, x1, y1 = mark.outline.bounds
        along = math.atan2((x0 + x1) / 2 - 100, (y0 + y1) / 2 - 100)
        assert math.atan2((left + right) / 2 - 100, (bottom + top) / 2 - 100) == pytest.approx(
            along, abs=0.005
        )


@pytest.mark.parametrize("positions", [[" ", " "], ["ON"], [" ", "ON"]])
def test_a_selector_of_one_word_or_none_is_laid(positions: list[str]) -> None:
    assert len(_boxes(laid(positions, 20.0))) == len([p for p in positions if p.strip()])
