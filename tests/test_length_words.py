"""Lengths as drawings and the job card tell them."""

import pytest

from legend.length_words import Lengths

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
    assert INCHES.column([25.4, 3.175]) == [("1", ".000"), ("0.125", "")]
    assert INCHES.exact(12.7) == "0.5"
    assert INCHES.unit == "in"


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
