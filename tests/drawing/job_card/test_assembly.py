"""Setting the knobs: what is said of each is what its scale, or its positions, are drawn by."""

from __future__ import annotations

import math
from typing import Any

import pytest
import shapely

from legend.description.tables.description import Description
from legend.drawing.job_card.assembly import Setting, before_setting, settings
from legend.drawing.job_card.job_card import card_html
from legend.drawing.job_card.pointing import pointing
from legend.layout import lay_out
from legend.layout.artwork import Artwork, Role


def laid(hole: dict[str, Any] | None = None, **control: Any) -> Artwork:
    """A panel with one control in the hole A."""
    raw = {
        "panel": {"size": [120, 100]},
        "holes": {"A": {"at": [60, 50], **(hole or {"drill": 7.0})}},
        "control": [{"hole": "A", "kind": "knob", "name": "GAIN", "covers": 22, **control}],
    }
    return lay_out(Description.model_validate(raw))


def told(**control: Any) -> Setting:
    (setting,) = settings(laid(**control))
    return setting


def test_a_scale_over_the_whole_sweep_begins_at_the_left_stop() -> None:
    setting = told(scale={"law": "log", "from": 0.5, "to": 60, "sweep": 300, "unit": "s"})
    assert setting.part == "GAIN (A)"
    assert "to its left stop" in setting.how
    assert setting.how.endswith("its pointer on 0.5 s: at 7 o’clock, 150° left of upright.")
    assert setting.check == (
        "At the right stop the pointer stands on 60 s: at 5 o’clock, 150° right of upright."
    )


@pytest.mark.parametrize(
    "scale",
    [
        {"from": 0, "to": 10, "sweep": 270},
        {"from": 10, "to": 0, "sweep": 240, "start": -100},
        {"law": "log", "from": 1, "to": 100, "sweep": 280},
    ],
)
def test_the_pointer_is_set_on_the_first_mark_that_is_drawn(scale: dict[str, Any]) -> None:
    """Measured on the artwork: the leftmost graduation, as an angle about the hole."""
    artwork = laid(scale=scale)
    centre = artwork.opening("A").centre
    middles = [
        shapely.centroid(mark.outline.shape)
        for mark in artwork.marks
        if mark.role is Role.GRADUATION
    ]
    angles = sorted(math.degrees(math.atan2(p.x - centre[0], p.y - centre[1])) for p in middles)
    (setting,) = settings(artwork)
    assert setting.how.endswith(f": {pointing(angles[0])}.")
    assert setting.check.endswith(f": {pointing(angles[-1])}.")


def test_a_sweep_that_nobody_gave_is_said_to_be_assumed() -> None:
    assert "300° is assumed" in told(scale={"from": 0, "to": 10}).check
    assert "assumed" not in told(scale={"from": 0, "to": 10, "sweep": 300}).check


def test_stops_beyond_the_scale_are_told_truly() -> None:
    setting = told(scale={"from": 0, "to": 10, "sweep": 300, "track": 260})
    assert "20° short of 0, where no scale is: at 7 o’clock, 150° left of upright." in setting.how
    assert "20° past 10, where no scale is: at 5 o’clock" in setting.check


def test_a_taper_stops_beyond_its_first_value() -> None:
    scale = {"law": "taper", "taper": "audio 15", "from": -40, "to": 0, "track": 300, "unit": "dB"}
    # A hundredth of the voltage: a fifteenth of the way to half rotation, of 300 degrees.
    assert "its pointer 10° short of −40 dB" in told(scale=scale).how


def test_a_measured_scale_is_set_as_it_was_measured() -> None:
    scale = {"law": "table", "from": 100, "to": 300, "table": [[100, -120], [300, 90]]}
    setting = told(scale=scale)
    assert "where its stops lie is not told" in setting.how
    assert setting.how.endswith("on 100: at 8 o’clock, 120° left of upright.")
    assert setting.check.endswith("at 3 o’clock, 90° right of upright.")


def test_values_that_rise_anticlockwise_are_set_by_the_left_one() -> None:
    scale = {"law": "table", "from": 0, "to": 9, "table": [[0, 130], [9, -130]]}
    assert "where it gave 9," in told(scale=scale).how


def test_a_full_turn_has_no_stop_and_is_set_by_a_reference() -> None:
    compass = {"from": 0, "to": 360, "sweep": 360, "numbered_step": 90, "words": {"0": "N"}}
    setting = told(scale=compass)
    assert "It has no stop." in setting.how and "reference" in setting.how
    assert setting.how.endswith("on “N”: upright, at 12 o’clock.")
    assert "left stop" not in setting.how + setting.check


def test_words_and_units_are_said_as_they_are_lettered() -> None:
    assert "on “LOW”:" in told(scale={"low": "LOW", "high": "HIGH"}).how
    setting = told(scale={"from": -20, "to": 4700, "sweep": 300, "unit": "Ω"})
    assert "on −20 Ω:" in setting.how and "on 4.7 kΩ:" in setting.check
    assert "on “OFF”:" in told(scale={"from": 0, "to": 10, "low": "OFF", "unit": "s"}).how


def test_a_selector_is_set_on_its_first_position_and_counted_to_its_last() -> None:
    setting = told(kind="selector", positions=["OFF", "SLOW", "FAST"])
    assert setting.how == (
        "Set its stop to 3 positions, where that can be set. Turn the shaft to its left stop, and "
        "set the knob there with its pointer on “OFF”: at 11 o’clock, 30° left of upright."
    )
    assert setting.check == (
        "2 clicks on, it stands on “FAST”: at 1 o’clock, 30° right of upright, at its right stop."
    )


def test_positions_that_are_not_used_are_clicked_over() -> None:
    setting = told(kind="selector", positions=["", " ", "A", "B", ""])
    assert "then 1 click on, and set" in setting.how
    assert "on the line of position 2: at 11 o’clock" in setting.how
    assert setting.check.startswith("2 clicks on, it stands on “B”")
    assert setting.check.endswith("1 click before its right stop.")


def test_a_switch_that_turns_all_round_may_have_no_stop() -> None:
    setting = told(kind="selector", positions=[str(k) for k in range(12)])
    assert "where it has none, to its first contact" in setting.how
    assert "Set its stop" not in setting.how


def test_a_lock_is_turned_itself_and_a_dial_of_many_turns_has_no_pointer() -> None:
    assert "the lock itself is turned" in told(kind="keyswitch", positions=["OFF", "ON"]).how
    dial = told(kind="multi-turn dial")
    assert "nought" in dial.how and "no pointer" in dial.how


def test_of_two_knobs_on_one_hole_the_outer_comes_first() -> None:
    artwork = laid(
        scale={"from": 0, "to": 10},
        inner={"name": "TONE", "scale": {"from": -5, "to": 5, "sweep": 280}},
    )
    assert [setting.part for setting in settings(artwork)] == [
        "GAIN (A), the outer knob",
        "TONE (A), the inner knob",
    ]
    assert "the outer one goes on first" in " ".join(before_setting(artwork))


@pytest.mark.parametrize(
    "control",
    [
        {"kind": "toggle", "positions": {"up": "ON", "down": "OFF"}},
        {"kind": "meter", "scale": {"from": 0, "to": 10}},
        {"kind": "knob"},
    ],
)
def test_nothing_is_set_of_what_has_no_pointer_of_its_own(control: dict[str, Any]) -> None:
    artwork = laid(**control)
    assert settings(artwork) == [] and before_setting(artwork) == []


def test_a_round_hole_lets_the_body_turn_and_a_flat_does_not() -> None:
    scale = {"from": 0, "to": 10}
    free = " ".join(before_setting(laid(scale=scale)))
    assert "In a round hole the body can turn" in free and "at A, let the lug" in free
    held = " ".join(before_setting(laid({"double_d": [9, 8]}, scale=scale)))
    assert "hold the body of A" in held and "round hole" not in held


def test_it_is_disconnected_before_where_there_is_mains() -> None:
    scale = {"from": 0, "to": 10}
    assert "Disconnect" in " ".join(before_setting(laid(scale=scale, mains=True)))
    assert "Disconnect" not in " ".join(before_setting(laid(scale=scale)))


@pytest.mark.parametrize(
    ("degrees", "said"),
    [
        (0, "upright, at 12 o’clock"),
        (180, "straight down, at 6 o’clock"),
        (-180, "straight down, at 6 o’clock"),
        (-135, "at half past 7, 135° left of upright"),
        (37.5, "at a quarter past 1, 37.5° right of upright"),
        (-97.5, "at a quarter to 9, 97.5° left of upright"),
        (-3, "at about 12 o’clock, 3° left of upright"),
        (-7.5, "at a quarter to 12, 7.5° left of upright"),
    ],
)
def test_the_way_a_pointer_stands(degrees: float, said: str) -> None:
    assert pointing(degrees) == said


def test_the_step_at_the_end_sends_to_the_table_where_there_is_one() -> None:
    for scale, sent in (({"scale": {"from": 0, "to": 10}}, True), ({}, False)):
        card = card_html(laid(**scale), (), (), None).decode()
        assert ("as under “Set the knobs”" in card) is sent
        assert ("<h2>Set the knobs</h2>" in card) is sent
