"""What stands in for letters of another face takes over its strokes, its ends and its spaces."""

from __future__ import annotations

import itertools
from dataclasses import replace
from pathlib import Path

import pytest
from font_files import BOLD, DEJAVU, ROUNDED, SANS, SERIF
from fontTools import subset

from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.faces.outline_face import OutlineFace
from legend.lettering.faces.stroke_face import plain
from legend.lettering.outlines.measuring import foot, leg
from legend.lettering.outlines.outline import Outline
from legend.lettering.standing_in import in_keeping, standing_in
from legend.lettering.typesetting import set_text
from legend.standards import LEAST_LETTER_SPACE

CAPITALS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ "


def only_capitals(file: Path, folder: Path) -> TextStyle:
    """A font of which nothing but capitals is left."""
    font = subset.load_font(str(file), subset.Options())
    chosen = subset.Subsetter(subset.Options())
    chosen.populate(text=CAPITALS)
    chosen.subset(font)
    font.save(folder / "capitals.ttf")
    return TextStyle(load_face("capitals.ttf", folder), 5)


def ink(text: str, style: TextStyle) -> Outline:
    return set_text(text, style).outline


@pytest.mark.parametrize(
    ("file", "ends"),
    [
        (SANS, "square"),
        (SERIF, "square"),
        (BOLD, "square"),
        (ROUNDED, "round"),
        (DEJAVU / "DejaVuSerif-Bold.ttf", "square"),
        (DEJAVU / "DejaVuSansMono.ttf", "square"),
    ],
)
def test_the_ends_of_a_font_are_measured(file: Path, ends: str) -> None:
    face = load_face(str(file), Path())
    assert isinstance(face, OutlineFace)
    assert face.ends == ends


@pytest.mark.parametrize("file", [SANS, BOLD, ROUNDED])
@pytest.mark.parametrize("letter", ["П", "Ш", "Ђ"])
def test_a_letter_that_stands_in_has_the_strokes_and_ends_of_the_font(
    file: Path, letter: str, tmp_path: Path
) -> None:
    style = only_capitals(file, tmp_path)
    face = style.face
    assert isinstance(face, OutlineFace)
    assert not face.has(letter)
    shape = ink(letter, style).shape
    stem = min(face.stem, 0.2) * style.height
    assert leg(shape) == pytest.approx(stem, rel=0.02)
    at_foot = foot(ink("П", style).shape, 0.1 * stem)
    assert at_foot == pytest.approx(stem * (1.0 if face.ends == "square" else 0.6), rel=0.02)


def test_a_symbol_has_them_too(tmp_path: Path) -> None:
    square, rounded = (
        ink("symbol:plus", only_capitals(file, tmp_path)) for file in (BOLD, ROUNDED)
    )
    assert len(square.contours[0].codes) == 12
    assert set(square.contours[0].codes) == {"L"}
    assert "C" in rounded.contours[0].codes


def test_a_face_of_single_strokes_keeps_what_the_style_says() -> None:
    style = TextStyle(load_face("plain", Path()), 5, stroke=0.12, ends="square")
    assert in_keeping(style, style.face) == style
    assert standing_in(style) == style


def test_the_counters_of_what_stands_in_for_a_very_heavy_face_are_open(tmp_path: Path) -> None:
    style = only_capitals(ROUNDED, tmp_path)
    assert isinstance(style.face, OutlineFace)
    assert style.face.stem > 0.2
    for letter in "abdegopqABDOPQR04689":
        of = standing_in(style)
        assert len(ink(letter, of).contours) > 1, letter


def apart(text: str, style: TextStyle) -> list[float]:
    """From the ink of one letter to that of the next, in capital heights."""
    boxes = [each.outline.bounds for each in set_text(text, style).letters if each.outline]
    return [(two[0] - one[2]) / style.height for one, two in itertools.pairwise(boxes)]


@pytest.mark.parametrize("file", [SANS, BOLD])
@pytest.mark.parametrize("tracking", [0.0, 0.1])
def test_letters_and_words_that_stand_in_are_as_far_apart_as_those_of_the_font(
    file: Path, tracking: float, tmp_path: Path
) -> None:
    style = replace(only_capitals(file, tmp_path), tracking=tracking)
    assert apart("ШШ Ш", style) == pytest.approx(apart("HH H", style), abs=0.02)


def test_they_come_no_nearer_than_letters_may(tmp_path: Path) -> None:
    """As those of a face do whose letters nearly touch."""
    style = only_capitals(ROUNDED, tmp_path)
    ours, own = apart("ШШ Ш", style), apart("HH H", style)
    assert own[0] < ours[0] < apart("HH", TextStyle(plain(), 5, stroke=0.2))[0]
    assert ours[1] == pytest.approx(own[1], abs=0.02)
    for pair in ("ЛД", "ГД", "ЖЖ", "ЂЏ", "ъц", "щj"):
        one, other = (letter.outline.shape for letter in set_text(pair, style).letters)
        assert one.distance(other) > LEAST_LETTER_SPACE / 2 * style.height, pair
