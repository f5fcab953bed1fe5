"""Words round a selector: fanned out, and fitted where they are too long."""

from __future__ import annotations

from typing import Any

import pytest

from legend.description.tables.description import Description
from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Role

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
