"""Spacing by geometry: even, never too near, and without a table."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.stroke_face import StrokeFace, plain
from legend.standards import LEAST_LETTER_SPACE, SHEET_LIMITS

HEIGHT = 10.0
CAPITALS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
FIGURES = "0123456789"


def style(**manner: object) -> TextStyle:
    return TextStyle(plain(), HEIGHT, **manner)  # type: ignore[arg-type]


def shapes(text: str, of: TextStyle | None = None) -> list[shapely.Geometry]:
    letters = plain().set_line(text, of or style()).letters
    return [letter.outline.shape for letter in letters if letter.outline]


def apart(text: str, of: TextStyle | None = None) -> float:
    """The distance between the ink of the first two letters, in capital heights."""
    first, second = shapes(text, of)[:2]
    return float(shapely.distance(first, second)) / HEIGHT


def between(text: str) -> float:
    """From the right end of the ink of the first letter to the left end of the next's."""
    first, second = shapes(text)[:2]
    return (second.bounds[0] - first.bounds[2]) / HEIGHT


# --- Never too near ---


@pytest.mark.parametrize("stroke", [1 / 10, 1 / 7, 1 / 6])
@pytest.mark.parametrize("ends", ["round", "square"])
def test_no_pair_is_nearer_than_a_stroke(stroke: float, ends: str) -> None:
    of = style(stroke=stroke, ends=ends)
    for pair in itertools.product(CAPITALS + FIGURES, repeat=2):
        assert apart("".join(pair), of) >= stroke - 1e-3, pair


@settings(max_examples=50, deadline=None)
@given(
    st.text(st.sampled_from([c for c in map(chr, range(33, 256)) if plain().has(c)]), max_size=7)
)
def test_no_letters_of_any_text_are_nearer_than_a_stroke(text: str) -> None:
    """Not even letters with another between them, as L and A in L'A."""
    for first, second in itertools.combinations(shapes(text), 2):
        assert shapely.distance(first, second) >= HEIGHT / 7 - 0.01


@settings(max_examples=20, deadline=None)
@given(
    st.sampled_from([0.8, 1.2]),
    st.sampled_from([0.0, 15.0]),
    st.sampled_from(["LAT", "AV7J", "TOY"]),
)
def test_narrowed_and_leaned_letters_keep_clear_too(width: float, slope: float, text: str) -> None:
    for first, second in itertools.pairwise(shapes(text, style(width=width, slope=slope))):
        assert shapely.distance(first, second) >= HEIGHT / 7 - 0.01


# --- Even ---


def test_open_and_slanted_pairs_close_up() -> None:
    """As far as they can without running into each other; what is open enough, over each other."""
    for pair in ("LT", "AV", "VA", "TA", "LY", "L7", "7A"):
        assert between(pair) < 0.065, pair
    assert between("P4") < 0.1
    for pair in ("Ta", "Yo", "F."):
        assert between(pair) < 0.05, pair


def test_open_and_slanted_pairs_do_not_run_into_each_other() -> None:
    for pair in ("AV", "VA", "AT", "TA", "LT", "LV", "LY", "PJ", "FJ"):
        assert apart(pair) >= apart("HH"), pair


@pytest.mark.parametrize("stroke", [1 / 10, 1 / 8, 1 / 7, 1 / 6])
def test_no_letters_come_as_near_as_they_may(stroke: float) -> None:
    """They are spaced by their white, and the least distance holds none of them."""
    of, least = style(stroke=stroke), max(stroke, LEAST_LETTER_SPACE)
    for pair in itertools.product(CAPITALS + FIGURES, repeat=2):
        assert apart("".join(pair), of) > least + 1e-3, pair


@pytest.mark.parametrize("sign", ["+", "−", "±", "×", "/", "%", "-", "–", "="])
def test_signs_stand_as_clear_of_figures_as_stems(sign: str) -> None:
    for figure in FIGURES:
        for pair in (sign + figure, figure + sign):
            assert apart(pair) >= apart("HH") - 1e-3, pair


def test_the_space_grows_with_the_pen() -> None:
    spaces = [apart("HH", style(stroke=s)) for s in (1 / 14, 1 / 10, 1 / 8, 1 / 7, 1 / 6)]
    assert spaces[:2] == pytest.approx([0.2, 0.2], abs=1e-3)
    assert spaces[1] < spaces[2] < spaces[3] < spaces[4]


def test_round_letters_stand_nearer_than_stems() -> None:
    assert apart("OO") < apart("HO") < apart("HH")


def test_the_space_does_not_depend_on_the_side() -> None:
    for one, other in ("HO", "AV", "OV", "TO", "IX"):
        assert apart(one + other) == pytest.approx(apart(other + one), abs=0.012), one + other


def test_both_sides_of_a_letter_in_a_symmetrical_word_are_alike() -> None:
    for word in ("AVA", "TOT", "VOV", "1.1"):
        first, middle, last = shapes(word)
        left = shapely.distance(first, middle)
        right = shapely.distance(middle, last)
        if word != "1.1":  # the flag of a 1 is on its left
            assert left == pytest.approx(right, abs=0.012 * HEIGHT), word
        assert abs(left - right) < 0.06 * HEIGHT, word


def test_spaces_scale_with_the_size() -> None:
    small, large = (
        plain().set_line("WAVES", TextStyle(plain(), height)).advance for height in (2.5, 10.0)
    )
    assert large == pytest.approx(4 * small, rel=1e-9)


def test_words_are_set_alike_every_time() -> None:
    """In whatever order, and at whatever size, letters were asked for before."""
    one, other = (StrokeFace.read(_file(), "plain") for _ in range(2))
    one.set_line("TOWN", TextStyle(one, 20.0))
    other.set_line("HNOTAW", TextStyle(other, 1.8))
    advances = [face.set_line("TOWN", TextStyle(face, 3.5)).advance for face in (one, other)]
    assert advances[0] == advances[1]


def _file() -> Path:
    return Path(__file__).parents[3] / "fonts/plain.svg"


# --- Signs ---


def test_signs_that_share_no_level_with_a_letter_stand_clear_of_its_box() -> None:
    for pair in (",-", '".', "_^", "'_"):
        assert between(pair) == pytest.approx(between("HH") / 2, abs=1e-3), pair


@pytest.mark.parametrize("text", ["¦·", "·¦", "÷-", "=-", ":-", "¨·", "¦¯", "¬¨"])
def test_signs_that_share_no_level_with_each_other_stand_beside_each_other(text: str) -> None:
    first, second = shapes(text)[0], shapes(text)[-1]
    assert 0 < second.bounds[0] - first.bounds[2] < 0.5 * HEIGHT


@pytest.mark.parametrize("text", ["ARRÊT", "TONALITÉ", "LÎLÀ", "TÝT", "ŤŤ", "ÏÏÎÎ", "ĄJĄ", "gjqj"])
def test_accents_stand_no_nearer_than_the_letters_of_most_words(text: str) -> None:
    """On rigid sheet half a millimetre is carried, which 3.5 mm letters keep with them too."""
    for first, second in itertools.pairwise(shapes(text)):
        assert shapely.distance(first, second) * 3.5 / HEIGHT >= SHEET_LIMITS["gap"]


def test_a_leaning_text_is_spaced_as_an_upright_one() -> None:
    for pair in ("HH", "OO", "HO", "LT"):
        leaned = [
            shapely.affinity.skew(s, xs=-15, origin=(0, 0)) for s in shapes(pair, style(slope=15.0))
        ]
        upright = shapes(pair)
        spaces = [b.bounds[0] - a.bounds[2] for a, b in (leaned, upright)]
        assert spaces[0] == pytest.approx(spaces[1], abs=0.03 * HEIGHT), pair


def test_a_letter_may_tuck_under_another_but_not_into_the_one_before() -> None:
    first, _, last = shapes("L'A")
    assert shapely.distance(first, last) >= HEIGHT / 7 - 0.01
