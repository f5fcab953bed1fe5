"""Which values of a scale are numbered, by what the values are and how much room they have."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.description.laws import LAWS, Law, LawSpec
from legend.layout.scales.numbering import numbered_values
from legend.layout.scales.steps import is_multiple, is_usual, multiples

UNEVEN = ("log", "inverse", "inverse-square")


def apart(law: Law, room: float) -> Callable[[float, float], bool]:
    """Numerals have room where they stand this part of the travel apart."""
    return lambda one, other: abs(law.fraction(other) - law.fraction(one)) >= room


def numbered(law: str, low: float, high: float, room: float, step: float | None) -> list[float]:
    made = LAWS[law](LawSpec(low, high))
    return numbered_values(
        made, low, high, apart(made, room), lambda *_: True, step=step, closed=False
    )


@pytest.mark.parametrize("law", UNEVEN)
@given(step=st.sampled_from([1.5, 3.0, 7.0]), last=st.integers(12, 30), room=st.floats(0.03, 0.2))
def test_numbers_go_by_usual_multiples_of_the_step_given(
    law: str, step: float, last: int, room: float
) -> None:
    low, high = step, last * step
    numbers = numbered(law, low, high, room, step)
    assert numbers[0] == low
    assert numbers[-1] == high
    assert all(is_multiple(number, step) for number in numbers)
    fits = apart(LAWS[law](LawSpec(low, high)), room)
    usual = [n * step for n in range(1, last + 1) if is_usual(n) or is_usual(n * step)]
    for value, following in pairwise(numbers[1:-1]):
        # The next multiple of such a step that has room.
        assert any(
            is_multiple(value, each)
            and following == next(v for v in multiples(each, value, high) if fits(value, v))
            for each in usual
        )


@pytest.mark.parametrize("law", (*UNEVEN, "linear"))
@given(room=st.floats(0.02, 0.45))
def test_no_numbers_stand_where_they_have_no_room(law: str, room: float) -> None:
    numbers = numbered(law, 1.0, 30.0, room, None)
    fits = apart(LAWS[law](LawSpec(1.0, 30.0)), room)
    assert numbers == sorted(set(numbers))
    assert all(fits(*pair) for pair in pairwise(numbers))
