"""Which values are marked and numbered."""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.description.laws import LAWS, TAPERS, LawSpec
from legend.layout.scales.graduations import Chosen, Graduation, Length, Room, graduate
from legend.standards import GRADUATION_STEPS, MOST_BETWEEN_NUMBERED


def scale(
    law: str,
    begin: float,
    end: float,
    room: float = 0.06,
    pitch: float = 0.015,
    **asked: Any,
) -> tuple[Graduation, ...]:
    """The graduations where numerals need this part of the travel, and graduations that one."""
    made = LAWS[law](LawSpec(begin, end, asked.pop("taper", "linear")))

    def fits(a: float, b: float) -> bool:
        return abs(made.fraction(a) - made.fraction(b)) >= room

    def carried(one: Graduation, other: Graduation) -> bool:
        return abs(one.fraction - other.fraction) >= pitch / 2

    step = asked.pop("step", None)
    return graduate(made, begin, end, Room(fits, pitch, carried), Chosen(**asked), step=step)


def numbered(graduations: tuple[Graduation, ...]) -> list[float]:
    return [g.value for g in graduations if g.numbered]


def test_zero_to_ten_is_numbered_by_ones() -> None:
    assert numbered(scale("linear", 0, 10)) == list(range(11))


def test_a_falling_scale_keeps_its_order() -> None:
    assert numbered(scale("linear", 10, 0)) == list(range(10, -1, -1))


def test_decades_are_numbered_alike() -> None:
    values = numbered(scale("log", 1, 1000, room=0.08))
    assert values == [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000]


def test_an_odd_end_keeps_its_number_and_its_neighbour_gives_way() -> None:
    values = numbered(scale("log", 0.5, 60))
    assert values[-1] == 60
    assert 50 not in values


def test_fives_between_tens_are_longer() -> None:
    made = scale("linear", 0, 10, room=0.5, pitch=0.05)
    assert numbered(made) == [0, 5, 10]
    assert {g.value for g in made if g.length == Length.MINOR} == {1, 2, 3, 4, 6, 7, 8, 9}
    fine = scale("linear", 0, 10, room=0.09, pitch=0.009)
    assert {g.value for g in fine if g.length == Length.MEDIUM} == {i + 0.5 for i in range(10)}


def test_given_numbers_and_step_are_used() -> None:
    made = scale("linear", 0, 12, numbered=[0, 3, 6, 9], step=1)
    assert numbered(made) == [0, 3, 6, 9, 12]
    assert [g.value for g in made] == list(range(13))


def test_none_but_the_ends_are_numbered_where_that_is_asked_for() -> None:
    made = scale("linear", 0, 100, numbered=[])
    assert numbered(made) == [0, 100]
    assert [g.value for g in made] == list(range(0, 101, 10))


@pytest.mark.parametrize(
    ("begin", "end", "step", "numbers", "marks"),
    [
        (0, 50, 2, [0, 10, 20, 30, 40, 50], range(0, 51, 2)),
        (0, 100, 4, [0, 20, 40, 60, 80, 100], range(0, 101, 4)),
        (0, 10, 3, [0, 3, 6, 9, 10], [0, 3, 6, 9, 10]),
        (10, 0, 3, [10, 9, 6, 3, 0], [10, 9, 6, 3, 0]),
        (0, 100, 25, [0, 25, 50, 75, 100], [0, 25, 50, 75, 100]),
        (-5, 5, 2, [-5, -4, -2, 0, 2, 4, 5], [-5, -4, -2, 0, 2, 4, 5]),
        (-7, 12, 5, [-7, -5, 0, 5, 10, 12], [-7, -5, 0, 5, 10, 12]),
        (0, 360, 15, [*range(0, 361, 30)], range(0, 361, 15)),
        (0, 10, 20, [0, 10], [0, 10]),
    ],
)
def test_by_a_step_multiples_of_it_are_marked_and_numbered(
    begin: float, end: float, step: float, numbers: Sequence[float], marks: Sequence[float]
) -> None:
    made = scale("linear", begin, end, step=step)
    assert numbered(made) == list(numbers)
    assert [g.value for g in made] == list(marks)


def test_what_has_no_room_by_an_end_gives_way_to_it() -> None:
    made = scale("linear", 0, 10.2, room=0.06, pitch=0.05, step=1)
    assert numbered(made)[-2:] == [9, 10.2]
    assert [g.value for g in made][-2:] == [9, 10.2]
    assert [g.value for g in scale("linear", 0, 10.5, pitch=0.05, step=1)][-2:] == [10, 10.5]


def test_medium_graduations_halve_what_an_odd_step_leaves() -> None:
    made = scale("linear", 0, 5, step=0.25, room=0.15)
    assert numbered(made) == [0, 1, 2, 3, 4, 5]
    assert {g.value for g in made if g.length == Length.MEDIUM} == {0.5, 1.5, 2.5, 3.5, 4.5}


@given(
    st.sampled_from(["linear", "log", "inverse", "inverse-square"]),
    st.integers(1, 60),
    st.integers(2, 200),
    st.sampled_from([0.25, 0.5, 1, 2, 2.5, 3, 4, 5, 7, 10, 15, 20]),
    st.floats(0.03, 0.2),
)
def test_whatever_the_step_it_is_kept(
    law: str, begin: int, span: int, step: float, room: float
) -> None:
    end = begin + span
    made = scale(law, begin, end, room, 0.002, step=step)
    inner = [g for g in made if g.value not in (begin, end)]
    assert (made[0].value, made[-1].value) == (begin, end)
    assert made[0].numbered and made[-1].numbered
    assert all(g.value / step == pytest.approx(round(g.value / step), abs=1e-6) for g in inner)
    # None is left out but next to an end that is no multiple itself.
    every = {i * step for i in range(math.floor(begin / step) + 1, math.ceil(end / step))}
    left_out = every - {g.value for g in inner}
    for value in left_out:
        near = min(abs(g.fraction - LAWS[law](LawSpec(begin, end)).fraction(value)) for g in made)
        assert near < 0.001
    if begin % step == 0 and end % step == 0:
        assert not left_out


@given(
    st.sampled_from([5.0, 10.0, 12.0, 20.0, 50.0]),
    st.sampled_from([None, 0.5, 1, 2, 3, 4, 5]),
    st.floats(0.03, 0.2),
    st.floats(0.5, 1.5),
)
def test_a_scale_about_zero_is_alike_on_both_sides(
    end: float, step: float | None, room: float, sign: float
) -> None:
    """Whatever room the sign of a numeral takes."""
    law = LAWS["linear"](LawSpec(-end, end))

    def fits(a: float, b: float) -> bool:
        wide = sum(sign / 2 if value < 0 else 0.5 for value in (a, b))
        return abs(law.fraction(a) - law.fraction(b)) >= room * wide

    made = graduate(law, -end, end, Room(fits, 0.01, lambda a, b: True), Chosen(), step=step)
    mirrored = [(-g.value, g.length, g.numbered) for g in reversed(made)]
    assert mirrored == [(g.value, g.length, g.numbered) for g in made]


# --- Uneven scales ---


def test_a_volume_unit_meter_has_its_customary_values() -> None:
    made = scale("decibel", -20, 3, room=0.05)
    assert numbered(made) == [-20, -10, -7, -5, -3, -2, -1, 0, 1, 2, 3]
    assert numbered(scale("decibel", -20, 3, room=0.07)) == [-20, -10, -7, -5, -3, -1, 0, 1, 2, 3]
    assert all(g.value == round(g.value) for g in made)


def test_beyond_its_customary_values_a_meter_goes_on_in_whole_ones() -> None:
    values = numbered(scale("decibel", -40, 6, room=0.04))
    assert values == [-40, -20, -10, -7, -5, -3, -2, -1, 0, 1, 2, 3, 4, 5, 6]
    assert numbered(scale("decibel", -20, 3, room=0.05, step=5)) == [-20, -15, -10, -5, 0, 3]


@given(st.sampled_from(sorted(TAPERS)), st.integers(-60, -20), st.floats(0.03, 0.12))
def test_a_taper_is_numbered_in_whole_decibels_that_spread(
    taper: str, low: int, room: float
) -> None:
    made = scale("taper", low, 0, room, 0.01, taper=taper)
    assert all(g.value == round(g.value) for g in made)
    parts = [b.fraction - a.fraction for a, b in pairwise([g for g in made if g.numbered])]
    assert min(parts) >= room
    law = LAWS["taper"](LawSpec(low, 0, taper))
    widest = max(law.fraction(v + 1) - law.fraction(v) for v in range(low, 0))
    assert max(parts) <= 2.5 * max(widest, 2 * room, 0.1)


@pytest.mark.parametrize("law", ["inverse", "inverse-square"])
@pytest.mark.parametrize(("begin", "end", "roundest"), [(530, 1700, 50), (3.5, 8, 0.1)])
@pytest.mark.parametrize("room", [0.05, 0.075, 0.1])
def test_a_tuning_scale_closes_up_in_greater_steps(
    law: str, begin: float, end: float, roundest: float, room: float
) -> None:
    values = numbered(scale(law, begin, end, room, pitch=0.02))
    inner = values[1:-1]
    assert all(v / roundest == pytest.approx(round(v / roundest)) for v in inner)
    steps = [round(b - a, 6) for a, b in pairwise(inner)]
    assert steps == sorted(steps)
    assert len(inner) >= 4


# --- Any scale ---


spans = st.tuples(
    st.floats(-1e4, 1e4).map(lambda v: float(f"{v:.3g}")),
    st.floats(1e-2, 1e4).map(lambda v: float(f"{v:.3g}")),
).filter(lambda s: s[1] > abs(s[0]) / 1000)


@given(spans, st.floats(0.03, 0.3), st.floats(0.004, 0.05))
def test_a_linear_scale_obeys_the_rules(
    span: tuple[float, float], room: float, pitch: float
) -> None:
    begin, end = span[0], span[0] + span[1]
    made = scale("linear", begin, end, room, pitch)
    values = [g.value for g in made]
    assert values[0] == begin and values[-1] == end
    assert values == sorted(set(values))
    assert len({g.length for g in made}) <= 3
    _at_most_nine_between_numbered(made)
    for a, b in pairwise([g for g in made if g.numbered]):
        assert (a.value, b.value) == (begin, end) or b.fraction - a.fraction >= room
    for a, b in pairwise(made):
        assert b.fraction - a.fraction >= min(pitch, room) * 0.999 or len(made) == 2
    inner = [b - a for a, b in pairwise(values[1:-1])]
    if inner:
        step = min(inner)
        digit = step / 10 ** math.floor(math.log10(step) + 1e-9)
        assert any(math.isclose(digit, d, rel_tol=1e-3) for d in GRADUATION_STEPS)


@given(
    st.floats(0.01, 1e5),
    st.floats(1.2, 1e5),
    st.sampled_from(["log", "inverse", "inverse-square"]),
    st.floats(0.03, 0.2),
)
def test_a_curved_scale_obeys_the_rules(begin: float, ratio: float, law: str, room: float) -> None:
    made = scale(law, begin, begin * ratio, room)
    assert made[0].value == begin
    assert made[-1].value == begin * ratio
    _at_most_nine_between_numbered(made)
    for a, b in pairwise([g for g in made if g.numbered]):
        assert b.fraction - a.fraction >= room or len(numbered(made)) == 2
    for a, b in pairwise(made):
        assert b.fraction - a.fraction >= 0.015 * 0.999 or len(made) == 2


def _at_most_nine_between_numbered(made: tuple[Graduation, ...]) -> None:
    run = 0
    for g in made:
        run = 0 if g.numbered else run + 1
        assert run <= MOST_BETWEEN_NUMBERED


@pytest.mark.parametrize("law", ["log", "inverse-square"])
def test_fractions_are_the_laws_own(law: str) -> None:
    made = LAWS[law](LawSpec(2, 50))
    for g in scale(law, 2, 50):
        assert g.fraction == pytest.approx(made.fraction(g.value))
