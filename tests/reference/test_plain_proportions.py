"""The built-in face against the standards its proportions are taken from."""

from __future__ import annotations

import itertools

import pytest
import shapely

from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.stroke_face import plain
from legend.standards import (
    ISO_B_BETWEEN_CHARACTERS,
    ISO_B_BETWEEN_WORDS,
    ISO_B_SMALL_LETTERS,
    ISO_B_STROKE,
    ISO_HEIGHTS,
    LETTER_WIDTH,
    STROKE_DARK_ON_LIGHT,
    STROKE_LIGHT_ON_DARK,
)

CAPITALS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
FIGURES = "0123456789"
RATIOS = (ISO_B_STROKE, *STROKE_LIGHT_ON_DARK, STROKE_DARK_ON_LIGHT)


def inks(text: str, height: float, stroke: float) -> list[shapely.Geometry]:
    line = plain().set_line(text, TextStyle(plain(), height, stroke=stroke))
    return [letter.outline.shape for letter in line.letters if letter.outline]


def box(character: str, height: float = 10.0, stroke: float = ISO_B_STROKE) -> tuple[float, ...]:
    return tuple(v / height for v in inks(character, height, stroke)[0].bounds)


# --- ISO 3098-0, lettering type B ---


@pytest.mark.parametrize("height", ISO_HEIGHTS)
def test_the_stroke_is_a_tenth_of_the_height(height: float) -> None:
    """ISO 3098-0, table for type B: line width 1/10 h; the height is that of the ink."""
    left, bottom, right, top = box("I", height)
    assert right - left == pytest.approx(1 / 10, abs=1e-3)
    assert (bottom, top) == pytest.approx((0, 1), abs=1e-3)


def test_small_letters_are_seven_tenths_tall() -> None:
    """ISO 3098-0, table for type B: height of small letters 7/10 h."""
    for character in "acemnorsuvwxz":
        _, bottom, _, top = box(character)
        assert (bottom, top) == pytest.approx((0, ISO_B_SMALL_LETTERS), abs=1e-3), character


def test_ascenders_are_as_tall_as_capitals_and_descenders_three_tenths_deep() -> None:
    """ISO 3098-0, figures of lettering type B: stems 10/10 h up and 3/10 h down."""
    for character in "bdhkl":
        assert box(character)[3] == pytest.approx(1, abs=1e-3), character
    for character in "gpqy":
        assert box(character)[1] == pytest.approx(-3 / 10, abs=1e-3), character


def test_stems_stand_two_tenths_apart() -> None:
    """ISO 3098-0, table for type B: spacing between characters 2/10 h, with its stroke."""
    for pair in ("HH", "IN", "NI", "MH", "IB"):
        first, second = inks(pair, 10, ISO_B_STROKE)
        space = second.bounds[0] - first.bounds[2]
        assert space == pytest.approx(10 * ISO_B_BETWEEN_CHARACTERS, abs=0.05), pair


def test_no_capitals_or_figures_stand_further_apart_than_stems_nor_nearer_than_half() -> None:
    """ISO 3098-0, 4.4: the space of two characters may be halved where it looks better, as in
    LA or TV; it is then the line width of type B."""
    for pair in itertools.product(CAPITALS + FIGURES, repeat=2):
        first, second = inks("".join(pair), 10, ISO_B_STROKE)
        distance = shapely.distance(first, second) / 10
        assert distance >= ISO_B_BETWEEN_CHARACTERS / 2 - 1e-3, pair
        assert distance <= ISO_B_BETWEEN_CHARACTERS + 1e-3, pair


def test_words_stand_six_tenths_apart() -> None:
    """ISO 3098-0, table for type B: spacing between words 6/10 h."""
    for words in ("H H", "ON OFF", "A V", "L T", "no on"):
        letters = plain().set_line(words, TextStyle(plain(), 10)).letters
        space = next(i for i, letter in enumerate(letters) if letter.text == " ")
        left, right = letters[space - 1].outline.bounds, letters[space + 1].outline.bounds
        assert right[0] - left[2] == pytest.approx(10 * ISO_B_BETWEEN_WORDS, abs=0.01), words


# --- DOD-HDBK-791(AM), 6-5.3.2.2 ---


@pytest.mark.parametrize("stroke", RATIOS)
def test_most_characters_are_three_fifths_to_as_wide_as_tall(stroke: float) -> None:
    """DOD-HDBK-791(AM), 6-5.3.2.2: width to height 3:5 to 1:1, but not of I and 1. J and L,
    whose white lies open to one side, and some figures are a little narrower."""
    least, most = LETTER_WIDTH
    boxes = {character: box(character, stroke=stroke) for character in CAPITALS + FIGURES}
    ratios = {character: right - left for character, (left, _, right, _) in boxes.items()}
    for character in set(CAPITALS + FIGURES) - set("I1J"):
        assert least - 0.1 <= ratios[character] <= most + 0.001, character
    capitals = [character for character in CAPITALS if least <= ratios[character] + 1e-3]
    assert len(capitals) >= 22  # of 26
    assert sum(ratios[c] for c in FIGURES) / 10 == pytest.approx(least, abs=0.05)


# --- NUREG-0700 rev. 3, 11.4.1.5-7 ---


@pytest.mark.parametrize("stroke", RATIOS)
def test_characters_are_at_least_a_stroke_apart_and_words_a_character(stroke: float) -> None:
    """NUREG-0700 rev. 3, 11.4.1.5-7: between characters at least one stroke width, measured
    here between the nearest points of their ink; between words one character width, taken as
    that of the narrowest that the face calls one, E."""
    for pair in itertools.product(CAPITALS + FIGURES, repeat=2):
        first, second = inks("".join(pair), 10, stroke)
        assert shapely.distance(first, second) >= 10 * stroke - 0.01, pair
    left, right = inks("H H", 10, stroke)
    narrow = box("E", stroke=ISO_B_STROKE)
    assert right.bounds[0] - left.bounds[2] >= 10 * (narrow[2] - narrow[0]) - 0.01
