"""Words on scales, full turns, steps of numbers, powers of ten."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from pydantic import ValidationError

from legend.description.tables.description import Description
from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Mark, Role
from legend.standards import FILM_LIMITS


def laid(scale: dict[str, Any], covers: float = 40.0, **tables: Any) -> Artwork:
    raw = {
        "panel": {"size": [160, 160]},
        "holes": {"A": {"at": [80, 80], "drill": 9}},
        "control": [{"hole": "A", "kind": "knob", "covers": covers, "scale": scale}],
    } | tables
    return lay_out(Description.model_validate(raw, context={"units": "mm"}))


def words(artwork: Artwork) -> list[str]:
    return [mark.text for mark in artwork.marks if mark.role is Role.NUMERAL]


def ticks(artwork: Artwork) -> list[Mark]:
    return [mark for mark in artwork.marks if mark.role is Role.GRADUATION]


_COMPASS = {
    "from": 0,
    "to": 360,
    "sweep": 360,
    "step": 5,
    "numbered_step": 30,
    "words": {"0": "N", "90": "E", "180": "S", "270": "W"},
}


def test_a_compass_has_four_letters_and_its_beginning_once_at_the_top() -> None:
    artwork = laid(_COMPASS, 70.0)
    expected = ["N", "30", "60", "E", "120", "150", "S", "210", "240", "W", "300", "330"]
    assert words(artwork) == expected
    assert len(ticks(artwork)) == 72
    north = next(mark for mark in artwork.marks if mark.text == "N")
    left, bottom, right, _ = north.outline.bounds
    assert (left + right) / 2 == pytest.approx(80, abs=0.01)
    assert bottom > 80 + 35
    assert not [f for f in inspect(artwork) if f.severity == "error"]


def test_the_end_of_a_full_turn_may_bear_the_word_of_its_beginning() -> None:
    artwork = laid(_COMPASS | {"words": {"360": "N"}})
    assert words(artwork)[0] == "N" and "360" not in words(artwork)


def test_words_stand_evenly_round_a_full_turn_and_upright() -> None:
    hours = ["XII", "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI"]
    artwork = laid({"sweep": 360, "words": hours})
    assert words(artwork) == hours
    places = {mark.text: mark.outline.bounds for mark in artwork.marks if mark.text}
    for level in (("III", "IX"), ("II", "X"), ("V", "VII")):
        one, other = (places[text] for text in level)
        assert one[1] + one[3] == pytest.approx(other[1] + other[3], abs=0.02)
    for text in ("XII", "VI"):
        left, _, right, _ = places[text]
        assert (left + right) / 2 == pytest.approx(80, abs=0.01)


def test_words_alone_stand_evenly_from_end_to_end() -> None:
    artwork = laid({"words": ["COLD", "MILD", "HOT"], "sweep": 240})
    assert words(artwork) == ["COLD", "MILD", "HOT"]
    assert len(ticks(artwork)) == 3
    cold, _, hot = (mark for mark in artwork.marks if mark.text)
    assert cold.baselines[0] == pytest.approx(hot.baselines[0], abs=1e-6)


def test_a_word_is_numbered_and_a_number_without_room_gives_way() -> None:
    artwork = laid({"from": 0, "to": 100, "words": {"49": "NORMAL", "73": "HOT"}}, 20.0)
    assert "NORMAL" in words(artwork) and "HOT" in words(artwork)
    assert "50" not in words(artwork)


def test_it_is_numbered_every_so_much_beside_a_finer_step() -> None:
    artwork = laid({"from": 0, "to": 200, "sweep": 270, "step": 5, "numbered_step": 20})
    assert words(artwork) == [str(value) for value in range(0, 201, 20)]
    assert len(ticks(artwork)) == 41
    artwork = laid({"from": 0, "to": 200, "step": 10, "numbered_step": 25})
    assert any(f.code == "off-step" and "every 25" in f.message for f in inspect(artwork))


def test_numbers_that_were_asked_for_and_crowd_each_other_are_told() -> None:
    artwork = laid({"from": 0, "to": 1000, "step": 20, "numbered_step": 20}, 34.0)
    codes = {finding.code for finding in inspect(artwork)}
    assert codes & {"crowded", "touching"}


@pytest.mark.parametrize("law", ["log", "table"])
def test_decades_are_divided_alike_and_numbered_by_powers_of_ten(law: str) -> None:
    table = [[10.0**n, -150 + 50 * (n + 3) + n % 2] for n in range(-3, 4)]
    more = {"table": table} if law == "table" else {}
    artwork = laid({"law": law, "from": 1e-3, "to": 1e3, "powers": True} | more, 60.0)
    assert words(artwork) == ["10⁻³", "10⁻²", "10⁻¹", "1", "10", "10²", "10³"]
    assert len(ticks(artwork)) == 6 * 9 + 1
    shapes = [mark.outline.shape for mark in ticks(artwork)]
    nearest = min(a.distance(b) for a, b in pairwise(shapes))
    assert nearest >= FILM_LIMITS["gap"] - 0.005
    small = laid({"law": law, "from": 1e-3, "to": 1e3, "powers": True} | more, 24.0)
    assert len(ticks(small)) == 6 * 3 + 1  # at 2 and 5


def test_a_measured_dial_of_one_decade_stays_as_it_was() -> None:
    table = [[100, -132], [700, -10], [1300, 136]]
    artwork = laid({"law": "table", "from": 100, "to": 1300, "table": table})
    assert {"100", "700", "1300"} <= set(words(artwork))


def test_signs_and_the_decimal_comma_are_those_asked_for() -> None:
    comma = {"decimal": ","}
    artwork = laid({"from": -1, "to": 1, "step": 0.5, "plus": True}, lettering=comma)
    assert words(artwork) == ["−1", "−0,5", "0", "+0,5", "+1"]
    places = {mark.text: mark.outline.bounds for mark in artwork.marks if mark.text}
    # Signs on both sides: what stands left and right is alike in its whole ink, not in its digits.
    for negative, positive in (("−1", "+1"), ("−0,5", "+0,5")):
        below, above = places[negative], places[positive]
        assert 80 - below[0] == pytest.approx(above[2] - 80, abs=0.1)
        assert 80 - below[2] == pytest.approx(above[0] - 80, abs=0.1)
        assert below[3] == pytest.approx(above[3], abs=0.1)


@pytest.mark.parametrize(
    ("scale", "said"),
    [
        ({"from": 0, "to": 1, "words": {"0": {"5": "HALF"}}}, 'write it as "0.5"'),
        ({"from": 0, "to": 1, "words": {"2": "TWO"}}, "off the scale"),
        ({"from": 0, "to": 1, "words": {"two": "TWO"}}, "which is no number"),
        ({"from": 0, "to": 1, "words": {"0": "A", "0.0": "B"}}, "says two words at 0"),
        ({"from": 0, "to": 1, "words": ["A", "B"]}, "say at which value"),
        ({"words": ["A", "B"], "low": "A"}, "besides its words as a list"),
        ({"words": ["A"]}, "one word alone"),
        ({"words": ["A", "B"], "step": 1}, "has step, but no values"),
        ({"words": {"0": "A"}, "low": "A", "high": "B"}, "has words, but no values"),
        ({"from": 0, "to": 9, "numbered": [1], "numbered_step": 2}, "both numbered and"),
        ({"from": 0, "to": 9, "numbered_step": 1e-4}, "more than 1000 graduations"),
    ],
)
def test_what_cannot_be_said_of_a_scale_is_told(scale: dict[str, Any], said: str) -> None:
    with pytest.raises(ValidationError, match=said):
        laid(scale)
