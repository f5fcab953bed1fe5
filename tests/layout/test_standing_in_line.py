"""Legends in line: names with their rows, what stands beside a control, the ends of a scale."""

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.tables.description import Description
from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Mark, Role, Severity


def the(artwork: Artwork, text: str, owner: str = "") -> Mark:
    (mark,) = [m for m in artwork.marks if m.text == text and owner in ("", m.owner)]
    return mark


def middle(mark: Mark) -> tuple[float, float]:
    x0, y0, x1, y1 = mark.outline.bounds
    return (x0 + x1) / 2, (y0 + y1) / 2


def panel(*controls: dict[str, Any], size: tuple[float, float] = (200, 120)) -> Artwork:
    """A panel of these controls, each with `at` and `drill` of its hole."""
    holes, tables = {}, []
    for number, control in enumerate(controls):
        hole = chr(ord("A") + number)
        holes[hole] = {"at": control["at"], "drill": control.get("drill", 6)}
        rest = {key: value for key, value in control.items() if key not in ("at", "drill")}
        tables.append({"hole": hole} | rest)
    raw = {"panel": {"size": list(size)}, "holes": holes, "control": tables}
    return lay_out(Description.model_validate(raw, context={"units": "mm"}))


def jack(x: float, y: float, name: str, **more: Any) -> dict[str, Any]:
    return {"at": [x, y], "kind": "jack", "name": name} | more


def toggle(x: float, y: float, name: str, **positions: str) -> dict[str, Any]:
    return {"at": [x, y], "kind": "toggle", "name": name, "positions": positions}


def troubles(artwork: Artwork) -> list[str]:
    return [f.code for f in inspect(artwork) if f.severity != Severity.NOTE]


# --- Beside a control ---


def test_a_name_beside_a_control_is_level_with_its_hole_and_not_with_names_above() -> None:
    artwork = panel(jack(40, 50, "PUMP", side="right"), jack(90, 50.7, "OUT"))
    assert middle(the(artwork, "PUMP"))[1] == pytest.approx(50, abs=0.01)


@pytest.mark.parametrize("value", [8.1, 8.2, 8.3])
def test_a_name_beside_a_scale_is_not_read_with_the_numeral_next_to_it(value: float) -> None:
    """“8 AVERAGE” would be read as eight of them, on one baseline or nearly so."""
    scale = {"from": 1, "to": 10, "numbered": [value]}
    knob = {"at": [60, 60], "kind": "knob", "covers": 20, "name": "AVERAGE", "side": "right"}
    artwork = panel(knob | {"scale": scale})
    name, numeral = the(artwork, "AVERAGE"), the(artwork, f"{value:g}")
    apart = name.outline.bounds[0] - numeral.outline.bounds[2]
    assert apart >= name.height - 0.01


def test_words_beside_a_switch_are_level_with_its_hole_and_not_with_those_above_others() -> None:
    artwork = panel(
        toggle(40, 50, "PUMP", left="IN", right="OUT"), toggle(90, 50.8, "FAN", up="ON", down="OFF")
    )
    for word in ("IN", "OUT"):
        assert middle(the(artwork, word))[1] == pytest.approx(50, abs=0.01)


def test_what_stands_beside_the_controls_of_a_row_shares_a_baseline() -> None:
    artwork = panel(
        jack(30, 50.3, "Plug", side="right"),
        jack(80, 49.8, "FAN", side="right"),
        jack(170, 50.5, "Quick jig", side="left"),
    )
    baselines = [the(artwork, name).baselines for name in ("Plug", "FAN", "Quick jig")]
    assert baselines == [baselines[0]] * 3
    assert baselines[0][0] + 3.5 / 2 == pytest.approx((50.3 + 49.8 + 50.5) / 3)


def test_words_to_the_left_and_the_right_of_a_switch_share_a_baseline() -> None:
    artwork = panel(toggle(60, 50, "GATE", left="low", right="high"))
    low, high = the(artwork, "low"), the(artwork, "high")
    assert low.baselines == high.baselines
    bottom = min(low.outline.bounds[1], high.outline.bounds[1])
    top = max(low.outline.bounds[3], high.outline.bounds[3])
    assert (bottom + top) / 2 == pytest.approx(50, abs=0.01)


# --- In a row, or not ---


def lamp_beside_a_large_part(**more: Any) -> Artwork:
    return panel(
        jack(60, 50, "LEVEL", covers=30), {"at": [120, 50.4], "kind": "lamp", "name": "ON"} | more
    )


def test_a_control_can_be_taken_out_of_its_row() -> None:
    together = lamp_beside_a_large_part()
    assert the(together, "ON").baselines == the(together, "LEVEL").baselines
    apart = lamp_beside_a_large_part(in_row=False)
    of_its_part = 50.4 + (1.2 * 6 + 2) / 2
    assert the(apart, "ON").baselines[0] == pytest.approx(of_its_part + 0.7 * 3.5, abs=0.01)
    assert the(apart, "LEVEL").baselines == the(together, "LEVEL").baselines
    assert not troubles(apart) and not troubles(together)


def test_a_switch_out_of_its_row_keeps_its_words_and_its_name_by_itself() -> None:
    large = toggle(60, 50, "PUMP", up="ON", down="OFF") | {"covers": 16}
    small = toggle(110, 50.6, "FAN", up="FAST", down="SLOW")
    together, apart = panel(large, small), panel(large, small | {"in_row": False})
    assert the(together, "FAST").baselines == the(together, "ON").baselines
    assert the(apart, "FAST").baselines[0] == pytest.approx(50.6 + 10.5 / 2 + 1.24, abs=0.01)
    assert the(apart, "SLOW").baselines[0] == pytest.approx(50.6 - 10.5 / 2 - 1.24 - 2.47, abs=0.01)
    assert the(apart, "FAN").baselines[0] < the(apart, "PUMP").baselines[0] - 2


def test_a_switch_without_words_above_does_not_move_those_of_its_row() -> None:
    large = toggle(60, 50, "PUMP", left="IN", right="OUT") | {"covers": 16}
    artwork = panel(large, toggle(110, 50, "FAN", up="ON", down="OFF"))
    assert the(artwork, "ON").baselines[0] == pytest.approx(50 + 10.5 / 2 + 1.24, abs=0.01)


def test_no_row_takes_a_name_off_the_panel() -> None:
    """The second line of one would stand above the names of the row."""
    artwork = panel(
        jack(60, 90, "LEVEL", covers=34), jack(120, 90.4, "LAMP\nON", covers=6), size=(200, 116)
    )
    assert the(artwork, "LEVEL").outline.bounds[3] < 114
    assert the(artwork, "LAMP\nON").outline.bounds[3] < 114
    assert not troubles(artwork)


# --- The ends of a scale, and a name between them ---


def knob(name: str, covers: float, **scale: Any) -> dict[str, Any]:
    return {
        "at": [100, 60],
        "drill": 9.5,
        "kind": "knob",
        "name": name,
        "side": "below",
        "covers": covers,
        "scale": {"from": 0, "to": 10} | scale,
    }


def ends(artwork: Artwork) -> tuple[Mark, Mark]:
    numerals = [mark for mark in artwork.marks if mark.role == Role.NUMERAL]
    return numerals[0], numerals[-1]


@pytest.mark.parametrize("kind", ["knob", "meter"])
@pytest.mark.parametrize("sweep", [90, 240, 270, 300])
@pytest.mark.parametrize("words", [("SLOW", "FAST"), ("OFF", "MAXIMUM"), ("slowly", "quick")])
def test_words_at_the_ends_of_a_scale_share_a_baseline(
    kind: str, sweep: float, words: tuple[str, str]
) -> None:
    control = knob("", 22, sweep=sweep, low=words[0], high=words[1]) | {"kind": kind}
    begin, end = ends(panel(control))
    assert begin.baselines[0] == pytest.approx(end.baselines[0], abs=1e-6)


@pytest.mark.parametrize(
    "covers, sweep, words",
    [(40, 300, ("SLOW", "FAST")), (34, 300, ("LO", "HI")), (64, 320, ("MIN", "MAX"))],
)
def test_a_name_between_the_words_at_the_ends_of_a_scale_stands_on_their_baseline(
    covers: float, sweep: float, words: tuple[str, str]
) -> None:
    artwork = panel(knob("FAN", covers, low=words[0], high=words[1], sweep=sweep))
    begin, end = ends(artwork)
    name = the(artwork, "FAN")
    for other in (begin, end):
        assert other.baselines == pytest.approx(name.baselines)
    for one, other in pairwise((begin, name, end)):
        assert other.outline.bounds[0] - one.outline.bounds[2] >= 3.5


@settings(max_examples=25)
@given(
    st.sampled_from(["FAN", "RATE", "BALANCE", "I"]),
    st.floats(12, 44),
    st.sampled_from([240, 270, 280, 300, 320]),
    st.sampled_from(
        [{}, {"low": "SLOW", "high": "FAST"}, {"low": "A", "high": "Z"}, {"unit": "s"}]
    ),
)
def test_a_name_below_a_scale_is_level_with_its_ends_or_clear_of_them(
    name: str, covers: float, sweep: float, more: dict[str, Any]
) -> None:
    """Nearly level looks like a slip: it is level, or another line."""
    artwork = panel(knob(name, covers, sweep=sweep, **more))
    below = [mark for mark in artwork.marks if mark.role in (Role.NAME, Role.NOTE)]
    for one in below:
        for other in (*ends(artwork), *below):
            apart = abs(one.baselines[0] - other.baselines[0])
            lower = min((one, other), key=lambda mark: mark.baselines[0])
            assert apart < 1e-6 or apart >= lower.height - 1e-6


def test_words_at_the_ends_of_a_level_slide_stand_on_the_baseline_of_its_numerals() -> None:
    slide = {
        "at": [60, 50],
        "kind": "slide",
        "covers": [44, 8],
        "scale": {"from": -5, "to": 5, "low": "jog", "high": "RUN"},
    }
    raw = {
        "panel": {"size": [120, 100]},
        "holes": {"A": {"at": slide.pop("at"), "slot": [40, 4]}},
        "control": [{"hole": "A"} | slide],
    }
    artwork = lay_out(Description.model_validate(raw, context={"units": "mm"}))
    baselines = [m.baselines[0] for m in artwork.marks if m.role == Role.NUMERAL]
    assert baselines == pytest.approx([baselines[0]] * len(baselines), abs=1e-6)


# --- Words of a selector ---


def test_neighbouring_words_of_a_selector_on_one_baseline_do_not_read_as_one() -> None:
    words = ["WASH", "TOP", "BASE", "DRAIN"]
    artwork = panel({"at": [60, 50], "kind": "selector", "positions": words, "covers": 20})
    top, base = the(artwork, "TOP"), the(artwork, "BASE")
    assert top.baselines == pytest.approx(base.baselines)
    assert base.outline.bounds[0] - top.outline.bounds[2] >= top.height


def test_opposite_words_of_a_selector_share_a_baseline_though_one_hangs_below_it() -> None:
    words = ["Quench", "Soak", "Ramp", "Dry"]
    artwork = panel({"at": [60, 50], "kind": "selector", "positions": words, "covers": 20})
    for left, right in (("Quench", "Dry"), ("Soak", "Ramp")):
        assert the(artwork, left).baselines == pytest.approx(the(artwork, right).baselines)


# --- Names that face each other ---


def test_names_that_face_each_other_share_the_room_between_their_controls() -> None:
    artwork = panel(
        jack(40, 50, "HEATER SUPPLY", side="right"), jack(80, 50, "FAN SUPPLY", side="left")
    )
    left, right = the(artwork, "HEATER SUPPLY"), the(artwork, "FAN SUPPLY")
    apart = right.outline.bounds[0] - left.outline.bounds[2]
    assert apart >= max(left.height, right.height) - 0.01
    assert not troubles(artwork)
