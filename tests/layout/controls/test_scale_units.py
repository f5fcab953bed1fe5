"""The units of scales round knobs: where each stands, and all of a row alike."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.tables.description import Description
from legend.layout import lay_out
from legend.layout.artwork import Artwork, Role


def _one_knob(covers: float, sweep: float = 270, **lettering: Any) -> Artwork:
    scale = {"from": 0, "to": 60, "sweep": sweep, "unit": "dB"}
    control = {"hole": "A", "kind": "knob", "covers": covers, "scale": scale}
    raw = {
        "panel": {"size": [200, 200]},
        "lettering": {"height": 4, **lettering},
        "holes": {"A": {"at": [100.3, 99.8], "drill": 9}},
        "control": [control],
    }
    return lay_out(Description.model_validate(raw, context={"units": "mm"}))


def test_the_unit_stays_as_written_where_all_else_is_in_capitals() -> None:
    letters = {
        "".join(letter.text for letter in mark.setting.letters)
        for mark in _one_knob(24, case="capitals").marks
        if mark.setting and mark.text == "dB"
    }
    assert letters == {"dB"}


@settings(max_examples=20, deadline=None)
@given(st.floats(20, 60))
def test_the_unit_is_level_with_the_numerals_or_hardly_below_them(covers: float) -> None:
    """Beside a panel whose knob is a hair smaller it must not hang a line lower."""
    artwork = _one_knob(covers)
    (unit,) = [mark for mark in artwork.marks if mark.text == "dB"]
    lowest = min(mark.baselines[0] for mark in artwork.marks if mark.role is Role.NUMERAL)
    height = unit.height
    part = artwork.opening("A").centre[1] - covers / 2
    as_near_as_may_be = part - max(height / 2, 1) - height
    below = lowest - unit.baselines[0]
    assert below == pytest.approx(0) or below < height + 0.01 + max(
        0, lowest - height - as_near_as_may_be
    )


def test_a_name_that_says_the_unit_is_not_given_it_again() -> None:
    scale = {"from": 1, "to": 10, "sweep": 330, "unit": "kHz"}
    for name, said in (("TONE kHz", "TONE kHz"), ("TONE", "TONE (kHz)")):
        control = {"hole": "A", "kind": "knob", "covers": 20, "name": name, "scale": scale}
        raw = {
            "panel": {"size": [200, 200]},
            "lettering": {"height": 5},
            "holes": {"A": {"at": [100, 100], "drill": 9}},
            "control": [control],
        }
        artwork = lay_out(Description.model_validate(raw, context={"units": "mm"}))
        assert [mark.text for mark in artwork.marks if mark.role is Role.NAME] == [said]


# --- Alike ---


def _row(*knobs: dict[str, Any], y: tuple[float, ...] = (50, 50, 50)) -> dict[str, str]:
    """The names of the knobs, by hole."""
    holes = {f"K{i}": {"at": [50 + 70 * i, y[i]], "drill": 9} for i in range(len(knobs))}
    control = [
        {"hole": f"K{i}", "kind": "knob", "covers": 24.0, "side": "below", "name": f"N{i}"} | knob
        for i, knob in enumerate(knobs)
    ]
    raw = {"panel": {"size": [260, 150]}, "holes": holes, "control": control}
    artwork = lay_out(Description.model_validate(raw, context={"units": "mm"}))
    return {mark.owner: mark.text for mark in artwork.marks if mark.role is Role.NAME}


_ROOMY = {"scale": {"from": 0, "to": 60, "unit": "min"}}
_TIGHT = {"scale": {"from": 0, "to": 5, "sweep": 345, "unit": "1/min"}}
_NONE = {"scale": {"from": 0, "to": 10}}


def test_by_itself_each_unit_stands_where_it_has_room() -> None:
    assert _row(_ROOMY) == {"K0": "N0"}
    assert _row(_TIGHT) == {"K0": "N0 (1/min)"}


def test_in_one_row_no_unit_stands_in_its_dial_where_another_cannot() -> None:
    assert _row(_ROOMY, _TIGHT, _NONE) == {"K0": "N0 (min)", "K1": "N1 (1/min)", "K2": "N2"}
    assert _row(_ROOMY, _NONE, _ROOMY) == {"K0": "N0", "K1": "N1", "K2": "N2"}


def test_parts_that_are_alike_have_units_alike_wherever_they_are() -> None:
    names = _row(_ROOMY, _TIGHT, y=(100, 40))
    assert names == {"K0": "N0 (min)", "K1": "N1 (1/min)"}


def test_other_parts_out_of_the_row_do_not_matter() -> None:
    smaller = _TIGHT | {"covers": 20.0}
    assert _row(_ROOMY, smaller, y=(100, 40)) == {"K0": "N0", "K1": "N1 (1/min)"}
    assert _row(_ROOMY, smaller | {"in_row": False}) == {"K0": "N0", "K1": "N1 (1/min)"}


def test_a_full_turn_or_a_lost_sign_takes_the_units_of_its_row_to_the_names() -> None:
    full = {"scale": {"from": 0, "to": 360, "sweep": 360, "unit": "°"}}
    assert _row(_ROOMY, full) == {"K0": "N0 (min)", "K1": "N1 (°)"}
