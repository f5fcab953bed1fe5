"""Lengths as drawings and the job card tell them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.length_words import Lengths, WithLengths, said_by

MM, INCHES = Lengths("mm"), Lengths("in")


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ([12, 30.5, 7.55], ["12 .00", "30.5 0", "7.55 "]),
        ([12, 7], ["12 ", "7 "]),
        ([-0.001, -3.2, 1.004], ["0 .0", "−3.2 ", "1 .0"]),
        ([], []),
    ],
)
def test_the_points_of_a_column_stand_below_each_other(given: list[float], told: list[str]) -> None:
    assert [" ".join(each) for each in MM.column(given)] == told


def test_inches_are_told_to_a_thousandth() -> None:
    assert INCHES.column([25.4, 3.31]) == [("1", ".00"), ("0.13", "")]
    assert INCHES.exact(12.9) == "0.508"
    assert INCHES.unit == "in"


@pytest.mark.parametrize(
    ("mm", "told"),
    [
        (10.31875, "13/32"),
        (10.338, "13/32"),
        (10.34, "0.407"),
        (34.925, "1 3/8"),
        (-3.175, "−1/8"),
        (50.8, "2"),
        (0.0, "0"),
        (0.015, "0.001"),
        (0.396875, "1/64"),
    ],
)
def test_fractions_of_an_inch_are_told_where_they_are_near_enough(mm: float, told: str) -> None:
    assert INCHES.exact(mm) == told
    assert INCHES.said(mm) == f"{told} in"


def test_fractions_stand_in_a_column_as_they_are() -> None:
    assert INCHES.column([12.7, 12.9]) == [("1/2", ""), ("0.508", "")]


@given(st.floats(0, 500), st.floats(0, 500), st.sampled_from([MM, INCHES]))
def test_lengths_that_are_compared_are_seen_to_differ(
    one: float, other: float, lengths: Lengths
) -> None:
    told = lengths.compared(one, other)
    if abs(one - other) > 0.01:
        assert told[0] != told[1]
    assert all(text.endswith(lengths.unit) for text in told)
    decimals = {len(text.split()[0].partition(".")[2]) for text in told}
    assert len(decimals) == 1 or any("/" in text for text in told)


def test_a_small_difference_is_not_rounded_away() -> None:
    assert MM.compared(3.46, 3.5) == ("3.46 mm", "3.50 mm")
    assert MM.compared(1.2, 3.5) == ("1.2 mm", "3.5 mm")
    assert INCHES.compared(3.175, 6.35) == ("1/8 in", "1/4 in")
    assert INCHES.compared(3.3, 6.35) == ("0.130 in", "0.250 in")


def test_what_must_not_be_less_is_rounded_up() -> None:
    assert MM.at_least(3.41) == "3.5 mm"
    assert INCHES.at_least(3.2) == "5/32 in"
    assert INCHES.at_most(0.5) == "0.019 in"


def test_words_with_lengths_are_said_in_the_units_of_the_panel() -> None:
    words = WithLengths.of("{} {unit} across", 12.7)
    assert (str(words), words.said(INCHES)) == ("12.7 mm across", "1/2 in across")
    assert said_by(ValueError(words), INCHES) == "1/2 in across"
    assert said_by(ValueError("plain"), INCHES) == "plain"


def test_what_was_given_is_told_without_noughts() -> None:
    assert [MM.exact(v) for v in (9.5, 40, 6.35, 100)] == ["9.5", "40", "6.35", "100"]
    assert [MM.short(v) for v in (9.54, 40.04)] == ["9.5", "40"]


def test_a_deviation_bears_its_sign_unless_it_is_nothing() -> None:
    assert [MM.signed(v) for v in (0.25, -0.25, 0.001, -0.001)] == [
        "+0.25",
        "−0.25",
        "0.00",
        "0.00",
    ]


def test_volumes_are_rounded_up_and_never_nothing() -> None:
    assert (MM.volume(37_200), INCHES.volume(37_200)) == ("38 ml", "1.3 fl oz")
    assert INCHES.volume(16 * 231 / 128 * 25.4**3) == "16.0 fl oz"
    assert (MM.volume(1), INCHES.volume(1)) == ("1 ml", "0.1 fl oz")


def test_areas() -> None:
    assert (MM.area(19_200), INCHES.area(19_200)) == ("192 cm²", "30 sq in")
