from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.description.values.lengths import MILLIMETRES, has_unit, parse_length

_UNITS = st.sampled_from(sorted(MILLIMETRES))


@pytest.mark.parametrize(
    ("written", "mm"),
    [
        ("9.5 mm", 9.5),
        ("9,5 mm", 9.5),
        ("9.5mm", 9.5),
        ("0.95 cm", 9.5),
        ("3/8 in", 9.525),
        ('3/8"', 9.525),
        ("1 3/8 in", 34.925),
        ("1-3/8 in", 34.925),
        ("1.375 inches", 34.925),
        ("13/8 in", 41.275),
        ("−1 1/2 in", -38.1),
        ("-.5 IN", -12.7),
        ("1½ in", 38.1),
        ("⅜″", 9.525),
        ("12", 12.0),
        (12, 12.0),
        (0.25, 0.25),
    ],
)
def test_reads_what_a_builder_writes(written: str | float, mm: float) -> None:
    assert parse_length(written, "mm") == mm


def test_takes_a_bare_number_in_the_units_of_its_file() -> None:
    assert parse_length(1.5, "in") == 38.1
    assert parse_length("3/8", "in") == 9.525
    assert parse_length("9.5 mm", "in") == 9.5


@pytest.mark.parametrize(
    ("written", "wrong"),
    [
        ("", "is not a length"),
        ("x in", "is not a length"),
        ("3 /", "is not a length"),
        ("1 2 3", "is not a length"),
        ("9.5 miles", "is not a length"),
        ("1.5/8", "is not a length"),
        ("3/0 in", "divides by nothing"),
        ("1.5 3/8 in", "has both a decimal and a fraction"),
        (float("nan"), "is not a finite number"),
        (float("-inf"), "is not a finite number"),
        (10**400, "is more than 10000 mm"),
        ("400 in", "is more than 10000 mm"),
        ("9" * 30, "is not a length"),
        (True, "is neither a number nor a text"),
        (None, "is neither a number nor a text"),
    ],
)
def test_says_what_is_wrong(written: object, wrong: str) -> None:
    with pytest.raises(ValueError, match=f"^{wrong}$"):
        parse_length(written, "mm")  # type: ignore[arg-type]


@given(st.integers(0, 200), st.integers(1, 63), st.integers(1, 64), _UNITS)
def test_fractions_are_exact_to_the_last_micrometre(
    whole: int, over: int, under: int, unit: str
) -> None:
    exact = (whole + Fraction(over, under)) * Fraction(str(MILLIMETRES[unit]))
    assert parse_length(f"{whole} {over}/{under} {unit}", "mm") == pytest.approx(
        float(exact), abs=1e-9
    )


@given(st.floats(-390, 390), _UNITS)
def test_a_decimal_is_the_same_with_and_without_its_unit(value: float, unit: str) -> None:
    text = f"{value:.6f}"
    assert parse_length(f"{text} {unit}", "mm") == parse_length(float(text), unit)
    assert parse_length(text.replace(".", ","), unit) == parse_length(float(text), unit)


@given(st.text(max_size=20), _UNITS)
def test_any_other_text_is_a_fault_and_nothing_else(text: str, unit: str) -> None:
    try:
        value = parse_length(text, unit)
    except ValueError as error:
        assert str(error)
    else:
        assert abs(value) <= 10_000


def test_tells_whether_a_text_says_its_unit() -> None:
    assert has_unit("3/8 in") and has_unit('1"') and has_unit("4MM ")
    assert not has_unit("3/8") and not has_unit("min 4")
