"""Raised and lowered figures and fractions, by the built-in face and by font files that have them,
some of them, or none."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest
import shapely
from font_files import BOLD, HANDWRITTEN, ROUNDED, SANS, SERIF
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.lettering.faces.face import Face, Featured, TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.faces.small_figures import (
    LOWERED_FOOT,
    RAISED_FOOT,
    SMALL_HEIGHT,
    SMALL_STROKE,
)
from legend.lettering.faces.stroke_face import plain
from legend.lettering.outlines.measuring import across, counters, least_gap, least_stroke
from legend.lettering.outlines.outline import Outline
from legend.lettering.superiors import has_raised, stretches_of, with_fractions
from legend.lettering.typesetting import set_text
from legend.standards import FILM_LIMITS, GAP_IN_LETTER

VULGAR = "½⅓⅔¼¾⅛⅜⅝⅞"
FILES = {"bold": BOLD, "sans": SANS, "serif": SERIF, "rounded": ROUNDED, "written": HANDWRITTEN}


def face(name: str) -> Face:
    return plain() if name == "plain" else load_face(str(FILES[name]), Path())


def ink(text: str, name: str = "plain", **manner: object) -> Outline:
    return set_text(text, TextStyle(face(name), 10.0, **manner)).outline  # type: ignore[arg-type]


def parts(text: str, name: str = "plain", **manner: object) -> list[shapely.Geometry]:
    found = shapely.get_parts(ink(text, name, **manner).shape)
    return sorted(found, key=lambda part: float(part.centroid.x))


# --- Raised and lowered ---


@pytest.mark.parametrize("name", ["plain", "bold", "sans", "serif"])
@pytest.mark.parametrize("text", ["10⁻³", "10⁶", "10⁺⁹", "m·s⁻²", "10²"])
def test_raised_figures_stand_above_the_others_and_are_smaller(name: str, text: str) -> None:
    setting = set_text(text, TextStyle(face(name), 10.0))
    found = shapely.get_parts(setting.outline.shape)
    raised = max(found, key=lambda part: float(part.bounds[2]))
    _, bottom, _, top = raised.bounds
    assert bottom > 2.5 and 7.5 < top < 12.5
    assert top - bottom < 8
    assert least_gap(setting.outline.shape) > 0.3


def test_all_powers_of_the_built_in_face_are_alike() -> None:
    for text in ("10²", "10³", "10⁴"):
        _, bottom, _, top = parts(text)[-1].bounds
        assert bottom == pytest.approx(10 * RAISED_FOOT, abs=0.1)
        assert top == pytest.approx(10 * (RAISED_FOOT + SMALL_HEIGHT), abs=0.1)


@pytest.mark.parametrize("name", ["plain", *FILES])
def test_lowered_figures_stand_lower(name: str) -> None:
    lowered = parts("H₂", name)[-1].bounds
    assert lowered[1] < 0.1 and lowered[3] < 7


def test_a_lowered_figure_of_the_built_in_face_is_as_a_raised_one() -> None:
    raised, lowered = (parts(text)[-1].bounds for text in ("H²", "H₂"))
    assert lowered[1] == pytest.approx(10 * LOWERED_FOOT, abs=0.1)
    assert lowered[3] - lowered[1] == pytest.approx(raised[3] - raised[1], abs=0.01)


def test_a_font_sets_by_its_own_means_what_it_can() -> None:
    """Its glyphs, or the forms of its figures by a feature; powers all alike."""
    serif, sans, rounded = face("serif"), face("sans"), face("rounded")
    assert isinstance(serif, Featured)
    assert [s.is_plain for s in stretches_of("m² s⁻¹ 10³", sans)] == [True]
    assert serif.forms("0123456789", "sups") and not serif.forms("+", "sups")
    assert [s.small is not None for s in stretches_of("10³", serif)] == [False, True]
    assert [s.is_plain for s in stretches_of("m²", serif)] == [True]
    assert [s.small is not None for s in stretches_of("10³", rounded)] == [False, True]
    assert stretches_of("", serif) == []


def test_a_sloped_exponent_and_words_after_it_stand_clear() -> None:
    for name in ("plain", "bold", "rounded"):
        found = set_text("10⁻³ Pa", TextStyle(face(name), 3.5, slope=15)).letters
        lefts = [letter.outline.bounds[0] for letter in found if letter.outline]
        assert lefts == sorted(lefts), name


# --- Fractions ---


@pytest.mark.parametrize("stroke", [1 / 10, 1 / 7, 1 / 6])
@pytest.mark.parametrize("text", [*VULGAR, "1⁄8", "15⁄64", "%", "‰"])
def test_a_fraction_is_as_tall_as_capitals(text: str, stroke: float) -> None:
    _, bottom, _, top = ink(text, stroke=stroke).bounds
    assert bottom == pytest.approx(0, abs=0.01)
    assert top == pytest.approx(10, abs=0.01)


@pytest.mark.parametrize("text", [*VULGAR, "3⁄16", "¹⁵⁄₆₄", "⁰", "²", "₈", "%"])
def test_small_figures_are_nearly_as_heavy_as_the_others(text: str) -> None:
    assert least_stroke(ink(text).shape) == pytest.approx(10 * SMALL_STROKE / 7, rel=0.02)


@pytest.mark.parametrize("text", [*VULGAR, "3⁄16", "15⁄64", "²", "³", "⁴", "⁸", "ª", "º", "™", "%"])
def test_film_carries_fractions_of_two_and_a_half_millimetres(text: str) -> None:
    shape = shapely.affinity.scale(ink(text).shape, 0.25, 0.25, origin=(0, 0))
    assert least_gap(shape) >= GAP_IN_LETTER * FILM_LIMITS["gap"]
    assert all(across(counter) >= 0.99 * FILM_LIMITS["counter"] for counter in counters(shape))


@pytest.mark.parametrize("text", [*VULGAR, "5⁄32"])
def test_a_character_is_set_as_what_it_stands_for(text: str) -> None:
    spelt = {
        "½": "1⁄2",
        "⅓": "1⁄3",
        "⅔": "2⁄3",
        "¼": "1⁄4",
        "¾": "3⁄4",
        "⅛": "1⁄8",
        "⅜": "3⁄8",
        "⅝": "5⁄8",
        "⅞": "7⁄8",
    }.get(text, "⁵⁄₃₂")
    assert ink(text).shape.equals_exact(ink(spelt).shape, 1e-9)


@settings(max_examples=16, deadline=None)
@given(
    st.integers(1, 999),
    st.integers(2, 128),
    st.sampled_from([0.0, 15.0]),
    st.sampled_from([1 / 10, 1 / 7, 1 / 6]),
    st.sampled_from([0.8, 1.0]),
)
def test_nothing_of_a_fraction_touches(
    over: int, under: int, slope: float, stroke: float, width: float
) -> None:
    text = f"{over}⁄{under}"
    found = parts(text, slope=slope, stroke=stroke, width=width)
    assert len(found) == len(text)
    apart = [a.distance(b) for a, b in itertools.combinations(found, 2)]
    assert min(apart) > 0.075 * 10


@pytest.mark.parametrize("name", ["bold", "sans", "serif", "rounded"])
@pytest.mark.parametrize("text", ["1⅜", "3⁄16", "2 1⁄2", "¾"])
def test_fractions_of_fonts_have_all_their_figures(name: str, text: str) -> None:
    """By the font's own means or made smaller, and 1⅜ is not 13⁄8: its 1 is as tall as any."""
    setting = set_text(text, TextStyle(face(name), 10.0))
    assert setting.notes == ()
    figures = len(shapely.get_parts(setting.outline.shape))
    assert figures == len(text.replace(" ", "")) + {"1⅜": 2, "¾": 2}.get(text, 0)
    if text[0] in "12":
        first = min(shapely.get_parts(setting.outline.shape), key=lambda part: part.bounds[0])
        assert first.bounds[3] - first.bounds[1] > 8.5


def test_a_font_that_makes_fractions_is_let() -> None:
    assert [s.feature for s in stretches_of("3⁄16", face("serif"))] == ["frac"]
    assert [s.feature for s in stretches_of("⅛", face("bold"))] == ["frac"]
    assert [s.is_plain for s in stretches_of("⅛ 50%", face("sans"))] == [True]
    assert [s.small is not None for s in stretches_of("3⁄16", face("sans"))] == [True]


# --- What is a fraction ---


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ('3/8" JACK', '3⁄8" JACK'),
        ("DRILL 13/64″", "DRILL 13⁄64″"),
        ("1/4 INCH", "1⁄4 INCH"),
        ("1 3/8 inches", "1\u20093⁄8 inches"),
        ('3/8" x 1/2"', '3⁄8" x 1⁄2"'),
        ("2 ½ m", "2\u2009½ m"),
        ("3⁄16 15⁄64", "3⁄16 15⁄64"),
    ],
)
def test_what_can_only_be_a_fraction_is_set_as_one(text: str, meant: str) -> None:
    assert with_fractions(text) == meant
    assert "/" not in "".join(
        letter.text for letter in set_text(text, TextStyle(plain(), 5)).letters
    )


@pytest.mark.parametrize(
    "text",
    [
        "I/O",
        "4/8",
        "1/8",
        "CH 1/2",
        "1/2 IN",
        "24/7",
        '4/8"',
        '5/4"',
        '"1/2"',
        'SET "1/2"',
        "N/A",
        '1/3"',
        '11/1/2"',
        '1.1/2"',
        "CH 1 2/3",
        "km/h",
    ],
)
def test_what_may_be_something_else_stays(text: str) -> None:
    assert with_fractions(text) == text
    assert not has_raised(text, plain())


def test_small_figures_are_told() -> None:
    assert has_raised("10²", plain()) and has_raised('1/4" JACK', plain())
    assert has_raised("№ 5", plain()) and has_raised("X™", plain())
    assert has_raised("10²", face("rounded")) and not has_raised("½", face("serif"))


def test_what_a_users_face_lacks_of_a_fraction_makes_all_of_it_the_built_in(tmp_path: Path) -> None:
    own = tmp_path / "own.svg"
    own.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg"><font><font-face cap-height="700"/>'
        '<glyph unicode="1" d="M 0 0 L 0 700"/></font></svg>'
    )
    style = TextStyle(load_face(str(own), Path()), 10.0)
    setting = set_text("3⁄16 1⁄1", style)
    assert [letter.text for letter in setting.letters if letter.outline] == ["3⁄16", "1⁄1"]
    assert "3, ⁄, 1 and 6" in setting.notes[0]
    assert setting.letters[0].outline.shape.equals_exact(ink("3⁄16").shape, 1e-6)
    assert set_text("1⁄1", style).notes == ()
