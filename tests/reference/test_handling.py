"""The checks of switches, knobs and fuses against published rules. Each test names its source.

What is quoted was compared with the documents, or with public copies of them, where it says
"read"; the rest is second hand, where it says so.
"""

from typing import Any

import pytest

from legend.description.tables.description import Description
from legend.layout import inspect, lay_out


def codes(**control: Any) -> set[str]:
    """What is found of one control."""
    raw = {
        "panel": {"size": [200, 100]},
        "holes": {"A": {"at": [100, 50], "drill": 7}},
        "control": [{"hole": "A"} | control],
    }
    description = Description.model_validate(raw, context={"units": "mm"})
    return {found.code for found in inspect(lay_out(description))}


@pytest.mark.parametrize(
    ("rating", "is_marked_so"),
    [
        ("T 315 mA 250 V", True),
        ("F 500 mA 250 V", True),
        ("T 1 A 250 V", True),
        ("T 1,6 A 250 V", True),
        ("M 4 A 125 V", True),
        ("T 0,315 A 250 V", False),
        ("250 V T 1 A", False),
        ("1 A T 250 V", False),
    ],
)
def test_fuses_are_marked_as_their_standard_has_it(rating: str, is_marked_so: bool) -> None:
    """IEC 60127-1, read in a national edition: F, M or T directly before the current, which is in
    mA below 1 A, and the volts after it."""
    assert ("fuse-form" not in codes(kind="fuse", note=rating)) is is_marked_so


@pytest.mark.parametrize(
    ("positions", "is_sound"),
    [
        ({"up": "ON", "down": "OFF"}, True),
        ({"right": "ON", "left": "OFF"}, True),
        ({"up": "OFF", "down": "ON"}, False),
        ({"right": "OFF", "left": "ON"}, False),
    ],
)
def test_up_and_right_turn_on(positions: dict[str, str], is_sound: bool) -> None:
    """MIL-STD-1472E, 5.4.1.2.1, read: up, to the right, clockwise or pressing turns on or
    increases; IEC 60447, second hand."""
    assert ("off-up" not in codes(kind="toggle", positions=positions)) is is_sound


def test_clockwise_turns_on() -> None:
    """MIL-STD-1472E, 5.4.1.2.1, read."""
    assert "off-up" not in codes(kind="selector", positions=["OFF", "1", "2"])
    assert "off-up" in codes(kind="selector", positions=["1", "2", "OFF"])


@pytest.mark.parametrize(
    ("count", "detent", "expected"),
    [
        (2, 30, {"two-positions"}),
        (12, 15, set()),
        (12, 14, {"close-positions"}),
        (24, 15, {"opposite-positions"}),
        (25, 14.4, {"many-positions", "close-positions"}),
        (7, 30, {"opposite-positions"}),
    ],
)
def test_positions_of_selectors(count: int, detent: float, expected: set[str]) -> None:
    """MIL-STD-1472E, read: 5.4.2.1.1.1 (a selector has three positions or more), 5.4.2.1.1.4 (at
    most 24), 5.4.2.1.1.4a (none opposite another without a pointer), figure 4 (15 degrees)."""
    positions = [chr(ord("A") + i) for i in range(count)]
    found = codes(kind="selector", covers=30, positions=positions, detent=detent)
    told = {"two-positions", "many-positions", "close-positions", "opposite-positions"}
    assert found & told == expected


@pytest.mark.parametrize(
    ("start", "is_sound"), [(-90, True), (-180, True), (0, False), (-150, False)]
)
def test_zero_of_a_scale_to_both_sides(start: float, is_sound: bool) -> None:
    """NUREG-0700 rev. 2, 1.2.11-2, read: zero stands at twelve or at nine o'clock; it is 90
    degrees from where these scales begin."""
    scale = {"from": -3, "to": 7, "sweep": 300, "start": start}
    assert ("zero-aside" not in codes(kind="knob", scale=scale)) is is_sound
