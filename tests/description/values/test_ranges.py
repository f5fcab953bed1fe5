"""Ranges of names, spelt out."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.description.values.ranges import spelt_out


@given(st.text("ABC -", max_size=4), st.integers(0, 1500), st.integers(0, 400), st.booleans())
def test_a_range_has_every_number_between_its_ends(
    prefix: str, low: int, more: int, down: bool
) -> None:
    ends = (low + more, low) if down else (low, low + more)
    names = spelt_out(f"{prefix}{ends[0]} to {prefix}{ends[1]}")
    step = -1 if down else 1
    numbers = range(ends[0], ends[1] + step, step)
    assert names == tuple(f"{prefix.lstrip()}{number}" for number in numbers)


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("A to D", ("A", "B", "C", "D")),
        ("08 to 11", ("08", "09", "10", "11")),
        ("9 to 11", ("9", "10", "11")),
        ("CH c to CH a", ("CH c", "CH b", "CH a")),
    ],
)
def test_letters_and_zeros_in_front(text: str, names: tuple[str, ...]) -> None:
    assert spelt_out(text) == names


@pytest.mark.parametrize(
    "text",
    ["", "T0", "T0 to", "T0 to U3", "low to high", "A to 3", "A to c", "T0 to T99999", "0 to 2000"],
)
def test_what_is_no_range_is_told(text: str) -> None:
    with pytest.raises(ValueError):
        spelt_out(text)
