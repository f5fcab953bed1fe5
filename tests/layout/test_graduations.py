"""Which values are marked and numbered."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.description.laws import LAWS, LawSpec
from legend.layout.graduations import Graduation, Length, graduate
from legend.standards import GRADUATION_STEPS, MOST_BETWEEN_NUMBERED


def scale(law: str, begin: float, end: float, room: float = 0.06, pitch: float = 0.015):
    made = LAWS[law](LawSpec(begin, end))

    def fits(a: float, b: float) -> bool:
        return abs(made.fraction(a) - made.fraction(b)) >= room

    return graduate(made, begin, end, fits, pitch)


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
    law = LAWS["linear"](LawSpec(0, 12))
    made = graduate(law, 0, 12, lambda a, b: True, 0.01, major=[0, 3, 6, 9, 12], step=1)
    assert numbered(made) == [0, 3, 6, 9, 12]
    assert [g.value for g in made] == list(range(13))


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
    st.sampled_from(["log", "inverse-square"]),
    st.floats(0.03, 0.2),
)
def test_a_curved_scale_obeys_the_rules(begin: float, ratio: float, law: str, room: float) -> None:
    made = scale(law, begin, begin * ratio, room)
    assert made[0].value == begin
    assert made[-1].value == begin * ratio
    _at_most_nine_between_numbered(made)
    for a, b in pairwise([g for g in made if g.numbered]):
        assert b.fraction - a.fraction >= room or len(numbered(made)) == 2


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
