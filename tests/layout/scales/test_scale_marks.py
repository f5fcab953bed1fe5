"""Scales as they stand on the panel: steps, signs, tracks and words."""

import math
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import shapely
from bench.scales import REFUSED, cases, faults
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.laws import TAPERS
from legend.description.tables.description import Description, Scale
from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Finding, Role
from legend.layout.scales.scale_marks import Graduated, graduated, travel
from legend.layout.scales.tracks import RoundTrack
from legend.layout.styles import Stroke
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import load_face
from legend.standards import FILM_LIMITS
from legend.vector import Vector

_X, _Y = 100.0, 60.0


def with_scale(scale: dict[str, Any], covers: float = 24, **control: Any) -> Artwork:
    """A panel with one control, a knob unless another kind is given, and its scale."""
    hole = {"at": [_X, _Y]} | control.pop("hole", {"drill": 7})
    given = {"hole": "A", "kind": "knob", "covers": covers, "scale": scale} | control
    raw = {
        "panel": {"size": [200, 120]},
        "lettering": {"numeral": {"height": 2.5}},
        "holes": {"A": hole},
        "control": [given],
    }
    return lay_out(Description.model_validate(raw, context={"units": "mm"}))


def found(artwork: Artwork, code: str) -> list[Finding]:
    return [each for each in inspect(artwork) if each.code == code]


def degrees(artwork: Artwork) -> list[float]:
    """Where the graduations stand, clockwise from the top."""
    middles = [m.outline.shape.centroid for m in artwork.marks if m.role is Role.GRADUATION]
    return sorted(math.degrees(math.atan2(p.x - _X, p.y - _Y)) for p in middles)


def words(artwork: Artwork) -> list[str]:
    return [mark.text for mark in artwork.marks if mark.role is Role.NUMERAL]


# --- Ordinary scales ---


def test_ordinary_scales_are_free_of_faults() -> None:
    """Some of those that `bench/scales.py` counts: run that for all."""
    some = list(cases())[::37]
    assert len(some) > 40
    for case in some:
        assert faults(case) <= {REFUSED}, case


def test_what_is_counted_can_be_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """So that the test above can fail: on a stock that carries no gap under 3 mm, all crowds."""
    case = next(c for c in cases() if c.scale == {"from": 0, "to": 100, "step": 2})
    monkeypatch.setattr("bench.scales.FILM_LIMITS", FILM_LIMITS | {"gap": 3.0})
    assert "graduations too near" in faults(case)


# --- Steps that the stock does not carry ---


def test_a_step_too_fine_is_refused_with_the_finest_that_fits() -> None:
    artwork = with_scale({"from": 0, "to": 100, "step": 0.5})
    (told,) = found(artwork, "too-fine")
    assert told.message == (
        "The graduations of A at 0 and 0.5 would stand 0.01 mm apart, where the stock carries "
        "0.30 mm: the finest step that fits its scale is 1, and it is drawn so instead of by 0.5."
    )
    assert told.remedy == (
        "Take the finest step that fits: scale.step = 1. Or give the scale more room."
    )
    lines = [m.outline.shape for m in artwork.marks if m.role is Role.GRADUATION]
    assert len(lines) == 101
    assert min(a.distance(b) for a, b in pairwise(lines)) > FILM_LIMITS["gap"] - 0.01


def stepped(law: str, ends: tuple[float, float], covers: float, step: float) -> Graduated:
    """The graduations of a scale round a knob, without the rest of a panel."""
    raw = {"law": law, "from": ends[0], "to": ends[1], "step": step}
    scale = Scale.model_validate(raw)
    style = TextStyle(load_face("plain", Path()), 2.5)
    track = RoundTrack(Vector(0.0, 0.0), covers / 2 + 1, *travel(scale))
    return graduated(scale, track, style, Stroke(FILM_LIMITS["stroke"], FILM_LIMITS["gap"]))


@settings(max_examples=10, deadline=None)
@given(
    st.sampled_from(["linear", "inverse-square", "log", "inverse"]),
    st.floats(12, 50),
    st.sampled_from([2, 3, 5, 10, 20, 25]),
    st.sampled_from([(10.0, 100.0), (530.0, 1700.0), (50.0, 500.0)]),
)
def test_what_is_offered_fits_and_nothing_finer_does(
    law: str, covers: float, step: float, ends: tuple[float, float]
) -> None:
    drawn = stepped(law, ends, covers, step)
    if not drawn.crowded:
        assert drawn.drawn_by is None
        return
    for coarser in (digit * 10.0**power for power in range(4) for digit in (1, 2, 5)):
        if step < coarser < (drawn.drawn_by or ends[1] - ends[0]):
            assert stepped(law, ends, covers, coarser).crowded
    if drawn.drawn_by:
        assert not stepped(law, ends, covers, drawn.drawn_by).crowded


@pytest.mark.parametrize("step", [{}, {"step": 1}])
def test_values_numbered_by_hand_too_near_to_each_other_are_an_error(step: dict[str, int]) -> None:
    (told,) = found(with_scale({"from": 0, "to": 10, "numbered": [5, 5.02]} | step), "too-fine")
    assert "at 5 and 5.02 would lie over each other" in told.message
    assert told.remedy == "Number fewer values, or give the scale more room."


# --- Steps that are asked for ---


def test_a_step_that_leaves_a_rest_is_told() -> None:
    (told,) = found(with_scale({"from": 0, "to": 10, "step": 3}), "off-step")
    assert told.message == (
        "The step of 3 does not go into the scale of A, counted from 0; its end at 10 is marked "
        "all the same."
    )
    assert not found(with_scale({"from": 0, "to": 9, "step": 3}), "off-step")
    (told,) = found(with_scale({"from": -5, "to": 5, "step": 2}), "off-step")
    assert "its ends at -5 and 5 are marked" in told.message


@pytest.mark.parametrize("step", [3, 4, 0.25])
def test_an_unusual_step_is_kept_and_told(step: float) -> None:
    artwork = with_scale({"from": 0, "to": 12 * step, "step": step})
    assert len(degrees(artwork)) == 13
    (told,) = found(artwork, "steps-unusual")
    assert f"goes in steps of {step:g}. It is read soonest in steps of 1, 2 or 5" in told.message


def test_more_than_nine_graduations_between_numbers_are_told() -> None:
    artwork = with_scale({"from": 0, "to": 20, "step": 1, "numbered": []})
    (told,) = found(artwork, "steps-unusual")
    assert "has 19 graduations between two numbers" in told.message
    assert not found(with_scale({"from": 0, "to": 20, "step": 2, "numbered": []}), "steps-unusual")


# --- Signs ---


@settings(max_examples=20, deadline=None)
@given(
    st.sampled_from([(-5, 5), (-10, 10), (-50, 50), (5, -5), (-0.5, 0.5), (-40, 25)]),
    st.floats(10, 40),
)
def test_a_sign_does_not_move_its_digits(ends: tuple[float, float], covers: float) -> None:
    """Digits with a sign end, on their side, as far from the middle as those without begin."""
    lowest = min(abs(end) for end in ends)
    scale = {"from": ends[0], "to": ends[1], "numbered": [-lowest, 0, lowest]}
    if ends[0] != -ends[1]:  # about the same axis
        scale |= {"law": "table", "table": [[-40, -160], [-25, -100], [0, 0], [25, 100]]}
    artwork = with_scale(scale, covers)
    bounds = {m.text: m.outline.bounds for m in artwork.marks if m.role is Role.NUMERAL}
    with_sign, without = bounds[f"−{lowest:g}"], bounds[f"{lowest:g}"]
    width = without[2] - without[0]
    digits = (with_sign[2] - width + with_sign[2]) / 2 - _X
    assert digits == pytest.approx(-((without[0] + without[2]) / 2 - _X), abs=0.01)
    assert with_sign[3] == pytest.approx(without[3], abs=0.01)


def test_signs_beside_a_slide_stand_in_a_column_of_their_own() -> None:
    slot = {"slot": [60, 4], "angle": 90}
    artwork = with_scale(
        {"from": -10, "to": 10, "step": 5}, kind="slide", hole=slot, covers=[8, 64]
    )
    left = {m.text: m.outline.bounds[0] for m in artwork.marks if m.role is Role.NUMERAL}
    digits = {
        m.text: [letter.outline.bounds[0] for letter in m.letters] for m in artwork.marks if m.text
    }
    assert left["−5"] < left["5"]
    assert digits["−5"][1] == pytest.approx(left["5"], abs=0.01)
    assert digits["−10"][1] == pytest.approx(left["10"], abs=0.01)


# --- Tracks ---


@given(st.floats(90, 360), st.floats(0.2, 1), st.floats(-180, 180))
def test_a_track_lies_in_the_middle_of_the_sweep(sweep: float, part: float, start: float) -> None:
    raw = {"from": 0, "to": 10, "sweep": sweep, "track": part * sweep, "start": start}
    scale = Description.model_validate(
        {
            "panel": {"size": [200, 120]},
            "holes": {"A": {"at": [1, 1], "drill": 7}},
            "control": [{"hole": "A", "kind": "knob", "scale": raw}],
        },
        context={"units": "mm"},
    ).control[0].scale  # fmt: skip
    assert scale
    begin, track = travel(scale)
    assert track == pytest.approx(part * sweep)
    assert begin - start == pytest.approx(start + sweep - (begin + track))


def test_a_scale_stands_along_its_track_and_the_dead_ends_stay_bare() -> None:
    at = degrees(with_scale({"from": 0, "to": 10, "sweep": 300, "track": 240, "arc": False}))
    assert (at[0], at[-1]) == (pytest.approx(-120, abs=1e-6), pytest.approx(120, abs=1e-6))
    assert degrees(with_scale({"from": 0, "to": 10}))[-1] == pytest.approx(150, abs=1e-6)
    artwork = with_scale({"from": 0, "to": 10, "track": 240, "arc": True})
    arc = next(m for m in artwork.marks if m.role is Role.GRADUATION).outline.shape
    assert not arc.intersects(
        shapely.Polygon([(_X, _Y)] + [
            (_X + 60 * math.sin(math.radians(a)), _Y + 60 * math.cos(math.radians(a)))
            for a in range(124, 237)
        ])
    )  # fmt: skip


@pytest.mark.parametrize("taper", TAPERS)
def test_the_usual_track_of_a_taper_is_taken_and_told(taper: str) -> None:
    scale = {"law": "taper", "taper": taper, "from": -40, "to": 0, "sweep": 280}
    artwork = with_scale(scale)
    usual = 280 * (0.85 if taper == "linear" else 0.75)
    assert degrees(artwork)[-1] == pytest.approx(usual / 2, abs=1e-6)
    (told,) = found(artwork, "track-assumed")
    assert f"{usual:g} of the 280 degrees" in told.message
    assert "`track`" in told.remedy and "Measure" in told.remedy


def test_what_was_measured_is_taken_as_it_is() -> None:
    given = {"law": "taper", "taper": "audio 15", "from": -40, "to": 0, "track": 250}
    artwork = with_scale(given)
    assert degrees(artwork)[-1] == pytest.approx(125, abs=1e-6)
    assert not found(artwork, "track-assumed")
    measured = with_scale(given | {"taper": [[0, 0], [50, 12], [100, 100]], "track": 300})
    assert degrees(measured)[-1] == pytest.approx(150, abs=1e-6)
    unsaid = {key: value for key, value in given.items() if key != "track"}
    measured = with_scale(unsaid | {"taper": [[0, 0], [50, 12], [100, 100]]})
    assert degrees(measured)[-1] == pytest.approx(150, abs=1e-6)
    assert not found(measured, "track-assumed")


# --- Words ---


def test_two_words_make_a_scale() -> None:
    artwork = with_scale({"low": "SLOW", "high": "FAST"})
    assert words(artwork) == ["SLOW", "FAST"]
    assert degrees(artwork) == [pytest.approx(-150, abs=1e-6), pytest.approx(150, abs=1e-6)]
    assert not [f for f in inspect(artwork) if f.code in ("scale-backwards", "off-step")]


def test_two_words_stand_at_the_ends_of_the_track_and_of_a_slide() -> None:
    at = degrees(with_scale({"low": "DRY", "high": "WET", "sweep": 280, "track": 250}))
    assert at == [pytest.approx(-125, abs=1e-6), pytest.approx(125, abs=1e-6)]
    slot = {"slot": [60, 4], "angle": 90}
    artwork = with_scale({"low": "MIN", "high": "MAX"}, kind="slide", hole=slot, covers=[8, 64])
    heights = {m.text: m.outline.shape.centroid.y for m in artwork.marks if m.text}
    assert heights["MIN"] < _Y < heights["MAX"]


# --- What small faults would change ---


@pytest.mark.parametrize(
    ("law", "begin", "end", "has", "lacks"),
    [("log", 1, 3, "1.2", ""), ("inverse", 3, 8, "4", "3.2"), ("log", 1, 2, "1.5", "")],
)
def test_few_whole_values_are_numbered_in_parts_and_many_are_not(
    law: str, begin: float, end: float, has: str, lacks: str
) -> None:
    numbered = words(with_scale({"law": law, "from": begin, "to": end}))
    assert has in numbered
    assert lacks not in numbered


def test_one_word_at_an_end_is_level_with_the_numeral_at_the_other() -> None:
    artwork = with_scale({"from": 0, "to": 10, "sweep": 220, "low": "OFF"})
    off, *_, ten = (mark for mark in artwork.marks if mark.role is Role.NUMERAL)
    assert (off.text, ten.text) == ("OFF", "10")
    assert off.baselines[0] == pytest.approx(ten.baselines[0], abs=1e-6)
