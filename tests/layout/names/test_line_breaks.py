"""Names broken between their words: evenly, and never between a number and its unit."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.layout.names.line_breaks import balanced, unbroken
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.stroke_face import plain
from legend.lettering.typesetting import set_text

STYLE = TextStyle(plain(), 3.5)


def ink(text: str) -> float:
    x0, _, x1, _ = set_text(text, STYLE).outline.bounds
    return x1 - x0


@pytest.mark.parametrize(
    ("text", "stretches"),
    [
        ("T 2 A 250 V", ["T", "2 A", "250 V"]),
        ("WIND OVER 17 m/s", ["WIND", "OVER", "17 m/s"]),
        ("BELOW 11.5 V", ["BELOW", "11.5 V"]),
        ("0–10 V IN", ["0–10 V", "IN"]),
        ("FULL AT 90 %, THEN OFF", ["FULL", "AT", "90 %,", "THEN", "OFF"]),
        ("ROOM 20 °C", ["ROOM", "20 °C"]),
        ("LINE 1 INPUT", ["LINE", "1", "INPUT"]),
        ("LINE\u00a01 INPUT", ["LINE\u00a01", "INPUT"]),
        ("5\u202fkHz OUT", ["5\u202fkHz", "OUT"]),
    ],
)
def test_where_a_name_may_be_broken(text: str, stretches: list[str]) -> None:
    assert unbroken(text) == stretches


@pytest.mark.parametrize("space", ["\u00a0", "\u202f"])
def test_a_space_that_holds_is_set_as_a_space(space: str) -> None:
    assert ink(f"5{space}V") == ink("5 V")


_WORDS = st.lists(st.text("AIMW", min_size=1, max_size=6), min_size=1, max_size=7)


@given(_WORDS, st.sampled_from([2, 3]))
def test_lines_are_as_narrow_as_they_can_be(words: list[str], lines: int) -> None:
    text = " ".join(words)
    broken = balanced(text, STYLE, lines)
    assert broken.split() == words
    assert broken.count("\n") + 1 == min(lines, len(words))
    widest = max(map(ink, broken.split("\n")))
    for cut in range(1, len(words)):
        halves = " ".join(words[:cut]), " ".join(words[cut:])
        if lines == 2:
            assert widest <= max(map(ink, halves)) + 1e-9
    assert widest <= ink(balanced(text, STYLE, 1)) + 1e-9
