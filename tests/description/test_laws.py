import itertools
import math
from collections.abc import Callable

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from legend.description.laws import LAWS, TAPERS, DomainError, LawSpec, Monotone, track

_ENDS: dict[str, Callable[[float, float], LawSpec]] = {
    "linear": lambda a, b: LawSpec(a, b),
    "log": lambda a, b: LawSpec(abs(a), abs(b)),
    "inverse": lambda a, b: LawSpec(abs(a), abs(b)),
    "inverse-square": lambda a, b: LawSpec(abs(a), abs(b)),
    "decibel": lambda a, b: LawSpec(a / 5, b / 5),
}


@pytest.mark.parametrize("name", _ENDS)
@given(a=st.floats(-100, 100), b=st.floats(-100, 100), part=st.floats(0, 1))
def test_value_to_fraction_to_value_is_the_identity(
    name: str, a: float, b: float, part: float
) -> None:
    assume(min(abs(a), abs(b), abs(abs(a) - abs(b))) > 0.1)
    spec = _ENDS[name](a, b)
    law = LAWS[name](spec)
    value = spec.begin + part * (spec.end - spec.begin)
    assert law.value(law.fraction(value)) == pytest.approx(value, rel=1e-9, abs=1e-9)
    assert law.fraction(law.value(part)) == pytest.approx(part, abs=1e-9)
    assert law.fraction(spec.begin) == 0
    assert law.fraction(spec.end) == 1


@pytest.mark.parametrize("taper", TAPERS)
@given(db=st.floats(-60, 0))
def test_taper_is_its_own_inverse(taper: str, db: float) -> None:
    law = LAWS["taper"](LawSpec(-60, 0, taper=taper))
    assert law.value(law.fraction(db)) == pytest.approx(db, abs=1e-9)


_rising = st.lists(st.floats(0.5, 50), min_size=2, max_size=8)


def _points(steps: list[float], turns: list[float], sign: int) -> tuple[tuple[float, float], ...]:
    x = y = 0.0
    points = [(x, y)]
    for step, turn in zip(steps, turns, strict=False):
        x, y = x + step, y + sign * turn
        points.append((x, y))
    return tuple(points)


@given(_rising, _rising, st.sampled_from([1, -1]), st.floats(0, 1))
@example([6.0, 2.0, 1.0], [1.0, 28.0, 5.0], 1, 0.9999999999999999)  # which was rounded past the end
def test_table_is_its_own_inverse_whichever_way_it_turns(
    steps: list[float], turns: list[float], sign: int, part: float
) -> None:
    points = _points(steps, turns, sign)
    law = LAWS["table"](LawSpec(points[0][0], points[-1][0], table=points))
    span = points[-1][0] - points[0][0]
    value = points[0][0] + part * span
    # Where the curve runs level at an end, its inverse is as sharp as a square root.
    assert law.value(law.fraction(value)) == pytest.approx(value, abs=1e-6 * span)
    assert law.fraction(law.value(part)) == pytest.approx(part, abs=1e-9)


@given(_rising, _rising, st.sampled_from([1, -1]))
def test_table_goes_through_its_points_and_never_turns_back(
    steps: list[float], turns: list[float], sign: int
) -> None:
    points = _points(steps, turns, sign)
    curve = Monotone(points)
    for x, y in points:
        assert curve(x) == pytest.approx(y, abs=1e-9)
    xs = [points[0][0] + i / 200 * (points[-1][0] - points[0][0]) for i in range(201)]
    ys = [sign * curve(x) for x in xs]
    assert all(b >= a - 1e-9 for a, b in itertools.pairwise(ys))


@pytest.mark.parametrize(
    ("name", "spec", "why"),
    [
        ("log", LawSpec(0, 10), "0 has no logarithm"),
        ("log", LawSpec(-1, 10), "-1 has no logarithm"),
        ("inverse", LawSpec(-1, 10), "an inverse scale takes values above 0, not -1"),
        ("inverse", LawSpec(0, 10), "takes values above 0"),
        ("inverse-square", LawSpec(0, 10), "takes values above 0"),
        ("inverse-square", LawSpec(1e-200, 10), "could be told apart"),
        ("decibel", LawSpec(0, 1e9), "could be told apart"),
        ("linear", LawSpec(3, 3), "could be told apart"),
        ("taper", LawSpec(-20, 3, taper="audio 10"), "cannot give 3 dB"),
        ("taper", LawSpec(-20, -20, taper="audio 10"), "could be told apart"),
        ("table", LawSpec(0, 1, table=((0, 1),)), "at least two"),
        ("table", LawSpec(0, 5, table=((0, 1), (0, 2), (5, 3))), "must differ"),
        ("table", LawSpec(0, 5, table=((0, 1), (2, 9), (5, 3))), "must rise, or fall"),
        ("table", LawSpec(0, 9, table=((0, 1), (5, 3))), "9 lies outside the table"),
        ("table", LawSpec(2, 2, table=((0, 1), (5, 3))), "could be told apart"),
    ],
)
def test_says_why_a_scale_cannot_be(name: str, spec: LawSpec, why: str) -> None:
    with pytest.raises(DomainError, match=why):
        LAWS[name](spec)


def test_a_table_may_be_given_in_any_order() -> None:
    law = LAWS["table"](LawSpec(0, 10, table=((10, 90), (0, -90), (5, 0))))
    assert law.fraction(5) == pytest.approx(0.5)


def test_a_law_has_no_value_beyond_its_reach() -> None:
    with pytest.raises(DomainError):
        LAWS["inverse-square"](LawSpec(1, 2)).value(2)
    with pytest.raises(DomainError):
        LAWS["inverse"](LawSpec(1, 2)).value(2)
    with pytest.raises(DomainError):
        LAWS["decibel"](LawSpec(-20, 3)).value(-1)
    with pytest.raises(DomainError):
        LAWS["taper"](LawSpec(-20, 0, taper="audio 10")).value(0)
    assert math.isfinite(LAWS["log"](LawSpec(1, 10)).value(1.5))


@given(db=st.floats(-60, -0.01))
@pytest.mark.parametrize("per_cent", [10, 15])
def test_a_reverse_taper_is_an_audio_one_turned_round(per_cent: int, db: float) -> None:
    audio, reverse = track(f"audio {per_cent}"), track(f"reverse {per_cent}")
    part = 100 * 10 ** (db / 20)
    assert reverse(100 - audio.inverse(part)) == pytest.approx(100 - part, abs=1e-9)


def test_customary_values_and_whole_ones_are_said_by_every_law() -> None:
    for name, law in LAWS.items():
        values = [value for group in law.customary for value in group]
        assert len(values) == len(set(values)), name
        assert isinstance(law.whole, bool)


@given(st.floats(1e-3, 1e3))
def test_a_table_of_even_decades_is_a_logarithmic_scale(value: float) -> None:
    table = tuple((10.0**n, 20.0 * n) for n in range(-3, 4))
    measured = LAWS["table"](LawSpec(1e-3, 1e3, table=table))
    exact = LAWS["log"](LawSpec(1e-3, 1e3))
    assert measured.fraction(value) == pytest.approx(exact.fraction(value), abs=1e-9)
    assert measured.value(measured.fraction(value)) == pytest.approx(value, rel=1e-6)


def test_a_table_is_followed_by_its_values_where_they_stand_more_evenly_so() -> None:
    table = tuple((float(value), value / 10) for value in (1, 200, 400, 600, 800, 1000))
    measured = LAWS["table"](LawSpec(1, 1000, table=table))
    assert measured.fraction(500.5) == pytest.approx(0.5, abs=1e-9)
    with pytest.raises(DomainError, match=r"which runs from 0\.001 to 1000"):
        decades = tuple((10.0**n, 20.0 * n) for n in range(-3, 4))
        LAWS["table"](LawSpec(1e-3, 1e3, table=decades)).fraction(1e4)
