"""A description from answers to a few questions."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.kinds import KINDS
from legend.description.reading.description_file import parse
from legend.layout import inspect, lay_out
from legend.layout.artwork import Severity
from legend.starting.answers import (
    Answers,
    count_answered,
    part_answered,
    size_answered,
    units_answered,
)
from legend.starting.starter import starter_from


@pytest.mark.parametrize(
    ("text", "units", "size"),
    [
        ("220 x 90", "mm", (220, 90)),
        ("220×90", "mm", (220, 90)),
        ("8 1/2 by 3", "in", (215.9, 76.2)),
        ('4 1/4" x 11"', "in", (107.95, 279.4)),
        ("22 cm * 9 cm", "mm", (220, 90)),
    ],
)
def test_a_size(text: str, units: str, size: tuple[float, float]) -> None:
    assert size_answered(text, units) == pytest.approx(size)  # type: ignore[arg-type]


@pytest.mark.parametrize("text", ["", "220", "220 x", "x", "a x b", "220 x 90 x 3", "0 x 9"])
def test_no_size(text: str) -> None:
    with pytest.raises(ValueError, match="220 x 90"):
        size_answered(text, "mm")


def test_units_and_counts() -> None:
    assert [units_answered(text) for text in ("mm", "In", "inches", '"')] == ["mm", *3 * ["in"]]
    assert count_answered(" 12 ") == 12
    for wrong in ("", "-1", "1.5", "many", "41"):
        with pytest.raises(ValueError, match="whole number"):
            count_answered(wrong)
    with pytest.raises(ValueError, match="mm or in"):
        units_answered("feet")


@pytest.mark.parametrize(
    ("text", "id", "kind", "name"),
    [
        ("knob EXPOSURE", "EXPOSURE", "knob", "EXPOSURE"),
        ("toggle heater on", "HEATER_ON", "toggle", "HEATER ON"),
        ("fuse", "FUSE", "fuse", "FUSE"),
        ("voltmeter", "VOLTMETER", "meter", "VOLTMETER"),
        ("lamp: ready", "READY_2", "lamp", "READY"),
        ("hearing loss knob", "HEARING_LOSS", "knob", "HEARING LOSS"),
        ("push button start", "START", "button", "START"),
        ("reset button", "RESET", "button", "RESET"),
        ("pilot lamp", "PILOT", "lamp", "PILOT"),
        ("LED heat", "HEAT", "lamp", "HEAT"),
        ("button symbol:down", "SYMBOL_DOWN", "button", "symbol:down"),
        ("knob pitch kHz", "PITCH_KHZ", "knob", "PITCH kHz"),
        ("foot switch socket", "FOOT_SWITCH_SOCKET", "jack", "FOOT SWITCH SOCKET"),
    ],
)
def test_a_part(text: str, id: str, kind: str, name: str) -> None:
    part = part_answered(text, ["READY"])
    assert (part.id, part.kind, part.name) == (id, kind, name)


def test_no_part() -> None:
    with pytest.raises(ValueError, match="such as: knob EXPOSURE"):
        part_answered(" ", [])
    with pytest.raises(ValueError, match="Begin with what it is: knob, "):
        part_answered("thing", [])


@settings(max_examples=15, deadline=None)
@given(st.lists(st.sampled_from(list(KINDS)), max_size=12), st.sampled_from(["mm", "in"]))
def test_whatever_is_answered_makes_a_description(kinds: list[str], units: str) -> None:
    parts = []
    for kind in kinds:
        parts.append(part_answered(kind, [part.id for part in parts]))
    text = starter_from(Answers(units, 'A "B"', (300.0, 200.0), tuple(parts)))  # type: ignore[arg-type]
    description = parse(text)
    assert description.title == 'A "B"'
    assert [control.kind for control in description.control] == kinds
    assert list(description.holes) == [part.id for part in parts]


def test_a_panel_with_room_is_sound() -> None:
    parts = []
    for text in ("knob heat", "toggle fan", "lamp ready", "fuse", "voltmeter", "slide air"):
        parts.append(part_answered(text, [part.id for part in parts]))
    for units in ("mm", "in"):
        text = starter_from(Answers(units, "OVEN", (230.0, 90.0), tuple(parts)))  # type: ignore[arg-type]
        found = inspect(lay_out(parse(text)))
        assert [each.message for each in found if each.severity != Severity.NOTE] == []
