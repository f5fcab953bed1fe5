"""Ranges and lengths of the handbook in mm and in inches."""

from __future__ import annotations

import re

import pytest

from legend.handbook.both_units import in_both, lengths_in_both, values_in_both
from legend.handbook.pages import PAGES
from legend.standards import INCH


@pytest.mark.parametrize(
    ("words", "both"),
    [
        ("a length of 0.5 to 20 mm", "a length of 0.5 to 20 mm, 0.02 to 0.787 in"),
        (
            "[x, y], two lengths of at most 10000 mm",
            "[x, y], two lengths of at most 10000 mm, 393.7 in",
        ),
        (
            "a diameter, such as 24, or [width, height], of 0.01 to 2000 mm",
            "a diameter, such as 24 mm, or [width, height], of 0.01 to 2000 mm, 0.0004 to 78.74 in",
        ),
        ("two times in hours, such as [1, 2]", "two times in hours, such as [1, 2]"),
    ],
)
def test_what_a_key_may_hold(words: str, both: str) -> None:
    assert values_in_both(words) == both


def test_lengths_in_running_words() -> None:
    assert (
        lengths_in_both("at least 1 mm, and 12.7 mm")
        == "at least 1 mm (0.039 in), and 12.7 mm (1/2 in)"
    )
    assert in_both(0.3) == "0.3 mm, 0.012 in"


def test_no_range_of_the_pages_is_in_mm_alone_and_none_is_wider_in_inches() -> None:
    pages = "\n".join(page.read_text(encoding="utf-8") for page in PAGES.values())
    ranges = re.findall(r"([\d.]+) to ([\d.]+) mm(?:, ([\d.]+) to ([\d.]+) in)?", pages)
    assert len(ranges) > 30
    for low, high, low_in, high_in in ranges:
        assert float(low_in) * INCH >= float(low) - 1e-9
        assert float(high_in) * INCH <= float(high) + 1e-9
        assert float(low_in) * INCH == pytest.approx(float(low), abs=0.0255)
        assert float(high_in) * INCH == pytest.approx(float(high), abs=0.0255)
