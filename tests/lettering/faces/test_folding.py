"""What may stand for a character that a face lacks, and in which order it is taken."""

from __future__ import annotations

import unicodedata
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from alphabets import ALPHABETS, LETTERS, letters_of
from font_files import BOLD, SANS

from legend.lettering.faces.face import Face, TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.faces.folding import ALIKE, DRAWN_WITH, folded, is_solid, stand_in
from legend.lettering.faces.stroke_face import StrokeFace, plain
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import set_text


class Having:
    """A face of which nothing is known but what it has."""

    name = "having"

    def __init__(self, characters: str) -> None:
        self.characters = characters

    def has(self, character: str) -> bool:
        return character in self.characters


def fold(text: str, has: str) -> str:
    face: Face = Having(has)  # type: ignore[assignment]
    return folded(text, face, plain())


def own_font(folder: Path, **paths: str) -> StrokeFace:
    glyphs = "".join(f'<glyph unicode="{c}" d="{d}"/>' for c, d in paths.items())
    file = folder / "own.svg"
    file.write_text(f'<svg><font><font-face cap-height="900"/>{glyphs}</font></svg>')
    return StrokeFace.read(file)


def outline(text: str) -> Outline:
    return set_text(text, TextStyle(plain(), 3.5)).outline


# --- The built-in face ---


@pytest.mark.parametrize("language", ALPHABETS)
def test_every_letter_of_a_language_is_set(language: str) -> None:
    letters = letters_of(language)
    setting = set_text(letters, TextStyle(plain(), 3.5))
    assert setting.notes == ()
    assert all(letter.outline for letter in setting.letters)
    assert len(setting.letters) >= len(letters)


@pytest.mark.parametrize(
    ("written", "same"),
    [
        ("℃ ℉", "°C °F"),
        ("№ 5", "Nº 5"),
        ("Ⅷ ⅻ", "VIII xii"),
        ("Ｏｎ１２", "On12"),
        ("ﬁﬂ", "fifl"),
        ("Å Ω K", "Å Ω K"),
        ("㎑ ㎏", "kHz kg"),
        ("ĳ ŀ ŉ", "ij l· ’n"),
        ("∆ µ ∅", "Δ μ ⌀"),
        ("►◄ ⚫ ⟲", "▶◀ ● ↺"),
        ("▶\ufe0f ⏸\ufe0e", "▶ ⏸"),
    ],
)
def test_what_stands_for_others_is_set_as_they_are(written: str, same: str) -> None:
    assert outline(written).bounds == outline(same).bounds
    assert outline(written).area == outline(same).area


@pytest.mark.parametrize("character", "①ᵃ字")
def test_what_would_lose_its_meaning_is_not_folded(character: str) -> None:
    assert stand_in(character) == ""


def test_letters_that_look_alike_have_one_drawing() -> None:
    for one, other in ALIKE.items():
        if plain().has(other):
            assert plain().skeleton(one) == plain().skeleton(other), one


def test_no_letter_stands_in_the_file_twice() -> None:
    """Under another character, or as a drawing of what looks alike."""
    svg = ET.parse(Path(__file__).parents[3] / "fonts/plain.svg")
    drawn = {
        glyph.get("unicode", ""): glyph.get("d")
        for glyph in svg.iter("{http://www.w3.org/2000/svg}glyph")
    }
    letters = [d for character, d in drawn.items() if character.isalpha()]
    assert len(set(letters)) == len(letters) > 150
    for one, other in ALIKE.items():
        if ALIKE.get(other) != one:
            assert one not in drawn and other in drawn, one


def test_what_looks_alike_is_of_one_kind() -> None:
    """A capital for a capital, a small letter for a small one: but for Ze, which is a three."""
    for one, other in ALIKE.items():
        kinds = unicodedata.category(one), unicodedata.category(other)
        assert (
            kinds[0] == kinds[1] or kinds[0][0] != "L" or (one, other) == ("З", "3") or one in "ʼ"
        )


# --- Marks that are drawn otherwise than Unicode takes them apart ---


@pytest.mark.parametrize("letter", DRAWN_WITH)
def test_a_mark_stands_where_it_is_drawn_in_its_languages(letter: str) -> None:
    parts = DRAWN_WITH[letter]
    base = plain().skeleton(parts[0])
    strokes = plain().skeleton(letter)
    assert strokes[: len(base)] == base
    (mark,) = strokes[len(base) :]
    points = [point for segment in mark.segments for point in segment[:2]]
    xs, ys = zip(*points, strict=True)
    of_base = [p for run in base for segment in run.segments for p in segment[:2]]
    left = min(x for x, _ in of_base)
    if letter in "ďľĽť":
        assert min(xs) > left + 150, "a caron of a tall letter is an apostrophe beside it"
        assert min(ys) > 600
    elif letter in "ΆΈΉΊΌΎΏ":
        assert min(xs) < left + 100, "the accent of a Greek capital stands before it"
        assert min(ys) > 600
    elif letter == "ģ":
        assert min(ys) > 700, "g has its comma above"
    else:
        assert max(ys) < -150, "a comma below, and no cedilla"
        assert strokes != plain().skeleton(parts[0] + "\u0327")


@pytest.mark.parametrize("letter", "ďľĽťΆΈΉΊΌΎΏ")
@pytest.mark.parametrize("stroke", [1 / 10, 1 / 7, 1 / 6])
def test_a_mark_beside_its_letter_is_clear_of_it(letter: str, stroke: float) -> None:
    (only,) = plain().set_line(letter, TextStyle(plain(), 10, stroke=stroke)).letters
    assert len(only.outline.contours) >= 2
    base = plain().skeleton(DRAWN_WITH[letter][0])
    assert len(plain().skeleton(letter)) == len(base) + 1


# --- Solid signs ---


@pytest.mark.parametrize("pair", ["▲△", "▼▽", "▶▷", "◀◁", "■□", "●○", "◆◇"])
@pytest.mark.parametrize("stroke", [0.05, 1 / 7])
def test_a_solid_sign_is_its_hollow_one_filled(pair: str, stroke: float) -> None:
    solid, hollow = (
        plain().set_line(c, TextStyle(plain(), 10, stroke=stroke)).letters[0].outline for c in pair
    )
    assert is_solid(pair[0])
    assert not is_solid(pair[1])
    assert len(solid.contours) == 1
    assert len(hollow.contours) == 2
    assert solid.bounds == hollow.bounds
    assert solid.area == pytest.approx(hollow.area + -hollow.contours[1].signed_area, rel=1e-6) or (
        solid.area == pytest.approx(hollow.area + -hollow.contours[0].signed_area, rel=1e-6)
    )


def test_signs_of_players_are_one_family() -> None:
    """They are symbols, all of them, and as large as each other."""
    for sign, symbol in zip("⏵⏸⏹⏺", ("run", "pause", "stop", "record"), strict=True):
        assert outline(sign).area == outline(f"symbol:{symbol}").area


# --- A builder's own font ---


def test_the_fonts_own_glyph_goes_first_then_what_stands_for_it() -> None:
    assert fold("℃", "℃°C") == "℃"
    assert fold("℃", "°C") == "°C"
    assert fold("℃", "C") == "°C", "as the built-in face has it no more than that"
    assert fold("Α", "A") == "A"
    assert fold("Α", "ΑA") == "Α"
    assert fold("Α", "Z") == "Α", "which the built-in face draws"
    assert fold("…", ".") == "..."
    assert fold("…", "Z") == "…"
    assert fold("Ёж", "EË") == "Ëж"
    assert fold("Έ", "EÉ") == "Έ", "its accent stands before it"


def test_a_font_of_single_strokes_lends_its_letters(tmp_path: Path) -> None:
    face = own_font(tmp_path, A="M 0 0 L 5 900", H="M 0 0 L 9 900")
    assert face.has("Α")
    assert face.skeleton("А") == face.skeleton("A")
    assert not face.has("Β")


def test_a_font_of_single_strokes_may_draw_its_own(tmp_path: Path) -> None:
    face = own_font(tmp_path, A="M 0 0 L 5 900", Α="M 0 0 L 9 900")
    assert face.skeleton("Α") != face.skeleton("A")


def test_a_font_file_sets_with_its_own_letters_what_stands_for_others() -> None:
    style = TextStyle(load_face(str(BOLD), Path()), 5)
    assert not style.face.has("℃")
    setting = set_text("5 ℃", style)
    assert setting.notes == ()
    assert setting.outline.bounds == set_text("5 °C", style).outline.bounds


def test_a_font_file_that_has_a_character_is_let() -> None:
    style = TextStyle(load_face(str(SANS), Path()), 5)
    assert style.face.has("№")
    assert [letter.text for letter in set_text("№", style).letters] == ["№"]


def test_all_letters_are_counted() -> None:
    """None is left out of the tests by a slip of the table."""
    assert len(LETTERS) > 350
    assert set("ŁőșģŧŋΏґђѝ") <= set(LETTERS)
