"""Times as builders write them, and the bench that is made of them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.description.faults import DescriptionError
from legend.description.reading.description_file import parse
from legend.description.values.durations import parse_duration
from legend.limits import LONGEST_TIME as LONGEST
from legend.standards import BENCH_MINUTES, LIFTING_WINDOW


@pytest.mark.parametrize(
    ("written", "minutes"),
    [
        (1, 60), (0.5, 30), (0, 0), ("30 min", 30), ("30min", 30), ("45 minutes", 45),
        ("1,5 h", 90), ("1.5 Hours", 90), ("2 days", 2880), ("1 d", 1440), ("3", 180),
        ("15 s", 0.25), ("30sec", 0.5), ("90 Seconds", 1.5), ("1 second", 1 / 60),
    ],
)  # fmt: skip
def test_hours_by_themselves_and_other_units_by_name(written: str | float, minutes: float) -> None:
    assert parse_duration(written) == pytest.approx(minutes, abs=1e-6)


@given(st.floats(0, LONGEST / 60 - 1))
def test_a_bare_number_is_hours(hours: float) -> None:
    assert parse_duration(hours) == pytest.approx(60 * hours, abs=1e-6)


@pytest.mark.parametrize(
    "written",
    ["", "soon", "1 week", "-1 h", "1 h 30", -1, True, [1], float("nan"), "999 days", 10**400],
)
def test_what_is_no_time(written: object) -> None:
    with pytest.raises(ValueError, match=r"^is "):
        parse_duration(written)  # type: ignore[arg-type]


def _faults(bench: str) -> str:
    with pytest.raises(DescriptionError) as told:
        parse(f"[panel]\nsize = [80, 60]\n[bench]\n{bench}\n")
    return str(told.value)


def test_the_bench_has_common_practice_for_what_is_left_out() -> None:
    bench = parse('[panel]\nsize = [80, 60]\n[bench]\ncleaning = "20 min"\n').bench
    assert bench.cleaning == 20
    assert bench.base_drying == BENCH_MINUTES["base_drying"]
    assert bench.lifting == LIFTING_WINDOW == (60, 120)


@pytest.mark.parametrize(
    ("bench", "says"),
    [
        ('hard = "a while"', 'hard = "a while", which is not a time; it must be a time in hours'),
        ("lifting = [2, 1]", "has lifting end before it begins"),
        ("lifting = 1", "it must be [from, to], two times in hours"),
        ("handling = 1", "handled before the time for taking the mask off is over"),
        ("hard = 20", "hard before it can be handled"),
        ("curing = 20", "is not a key of [bench]"),
        ("clear_coat = [48, 1]", "has the second time of clear_coat before the first"),
        ("per_mark = 15", 'a bare number is hours, so write seconds as per_mark = "10 s"'),
        ("per_counter = 2", "takes more than an hour for per_counter, which is for one of many"),
    ],
)
def test_a_bench_that_cannot_be(bench: str, says: str) -> None:
    told = _faults(bench)
    assert told.startswith("panel.toml:4: ")
    assert says in told
