"""Numbers as a person writes them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.layout.scales.numerals import Notation, numeral


@pytest.mark.parametrize(
    ("value", "unit", "words"),
    [
        (0.5, "", "0.5"),
        (10.0, "", "10"),
        (0.1 + 0.2, "", "0.3"),
        (-20, "dB", "−20"),
        (1000, "Hz", "1k"),
        (2_200_000, "Ω", "2.2M"),
        (1000, "", "1000"),
        (1500, "°C", "1500"),
        (1e-6, "", "0.000001"),
        (-0.0, "", "0"),
    ],
)
def test_a_value_is_written_plainly(value: float, unit: str, words: str) -> None:
    assert numeral(value, Notation(unit)) == words


@given(st.integers(-(10**6), 10**6), st.integers(0, 4))
def test_the_words_say_the_value(digits: int, places: int) -> None:
    value = digits / 10**places
    assert float(numeral(value).replace("−", "-")) == pytest.approx(value, abs=1e-12)
