"""Which counters strokes fill, and with what strokes they are open."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from font_files import CONDENSED, FACES, HANDWRITTEN, ROUNDED, SOURCE_SERIF, VARIABLE
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.faces.stroke_face import plain
from legend.lettering.outlines.counters import heaviest_stroke, is_filled
from legend.lettering.outlines.measuring import across, counters
from legend.standards import STROKE_DARK_ON_LIGHT

CHARACTERS = [chr(code) for code in (*range(0x21, 0x7F), *range(0xA1, 0x100))]
HEAVY = TextStyle(plain(), 5.0, stroke=0.3)


def filled(text: str, style: TextStyle) -> list[str]:
    return [
        letter.text
        for letter in style.face.set_line(text, style).letters
        if is_filled(letter, style)
    ]


def narrowest(text: str, style: TextStyle) -> float:
    letters = style.face.set_line(text, style).letters
    return min(across(each) for letter in letters for each in counters(letter.outline.shape))


def test_the_heaviest_strokes_fill_the_narrowest_letters() -> None:
    assert filled("4AaÅæe", HEAVY) == ["4", "A", "a", "Å", "æ", "e"]
    assert filled("0BDOPR", HEAVY) == []
    assert filled("CEFHI1", HEAVY) == [], "there was nothing to fill"


def test_a_counter_is_not_made_good_by_a_bay_that_closes() -> None:
    """The ring of Å is filled while the bay of a letter beside closes; each is looked at alone."""
    assert len(counters(plain().set_line("û", HEAVY).letters[0].outline.shape)) > 0
    assert filled("û", HEAVY) == [], "it has no counter that was filled"
    assert "Å" in filled("Åû", replace(HEAVY, stroke=0.25))


def test_the_built_in_face_is_open_at_every_stroke_that_the_program_chooses() -> None:
    """For which it is not looked at: the least bit heavier, and each letter is."""
    style = TextStyle(plain(), 5.0, stroke=STROKE_DARK_ON_LIGHT + 1e-6)
    assert filled("".join(c for c in CHARACTERS if plain().has(c)), style) == []


@settings(max_examples=15, deadline=None)
@given(
    text=st.text("4ABDOPQR0689abdegopq&@", min_size=1, max_size=5),
    stroke=st.floats(0.05, 0.3),
    least=st.sampled_from([0.0, 0.3, 0.6]),
    height=st.sampled_from([3.0, 5.0, 10.0]),
)
def test_the_heaviest_stroke_is_that_and_no_heavier(
    text: str, stroke: float, least: float, height: float
) -> None:
    style = TextStyle(plain(), height, stroke=stroke)

    def is_open(at: float) -> bool:
        cured = replace(style, stroke=at)
        return not filled(text, cured) and narrowest(text, cured) >= least

    found = heaviest_stroke(set(text), style, least, 0.04)
    if found is None:
        assert stroke <= 0.05 or not is_open(0.04)
        return
    assert found < stroke
    assert is_open(found)
    assert found + 0.0101 >= stroke or not is_open(found + 0.01)


def test_no_stroke_is_finer_than_is_allowed() -> None:
    assert heaviest_stroke("A", HEAVY, 0.6, 0.04) == pytest.approx(0.16, abs=0.03)
    assert heaviest_stroke("A", HEAVY, 0.6, 0.25) is None


# --- Font files ---


@pytest.mark.parametrize(
    "file",
    [*FACES.values(), str(ROUNDED), str(CONDENSED), str(HANDWRITTEN), str(VARIABLE)]
    + [str(SOURCE_SERIF / f"SourceSerifPro-{cut}.otf") for cut in ("Black", "ExtraLight", "It")],
)
def test_no_face_that_anybody_drew_is_taken_for_filled(file: str) -> None:
    face = load_face(file, Path())
    style = TextStyle(face, 5.0)
    assert [c for c in CHARACTERS if face.has(c) and c.strip() and filled(c, style)] == []


def test_ligatures_and_letters_with_marks_are_looked_at_for_what_they_are() -> None:
    style = TextStyle(load_face(str(CONDENSED), Path()), 5.0)
    assert [letter.text for letter in style.face.set_line("fi", style).letters] == ["fi"]
    assert filled("fi", style) == []
    assert heaviest_stroke(["fi"], style, 0.3, 0.04) is None
    assert filled("A\N{COMBINING RING ABOVE}x\N{COMBINING RING ABOVE}", HEAVY) == ["Å", "x̊"]


def box(x0: int, y0: int, x1: int, y1: int) -> list[tuple[int, int]]:
    return [(x0, y0), (x0, y1), (x1, y1), (x1, y0)]


def test_a_letter_that_a_font_draws_as_a_blot_is_filled(tmp_path: Path) -> None:
    glyphs = {
        "O": [box(0, 0, 600, 700)],
        "D": [box(0, 0, 200, 700), box(400, 0, 600, 700)],  # open, as stencils have it
        "B": [box(0, 0, 600, 700), box(200, 150, 400, 550)[::-1]],
        "M": [box(0, 0, 600, 700)],  # has none
    }
    builder = FontBuilder(1000, isTTF=True)
    names = [".notdef", *glyphs]
    builder.setupGlyphOrder(names)
    builder.setupCharacterMap({ord(name): name for name in glyphs})
    drawn = {".notdef": TTGlyphPen(None).glyph()}
    for name, contours in glyphs.items():
        pen = TTGlyphPen(None)
        for contour in contours:
            pen.moveTo(contour[0])
            for point in contour[1:]:
                pen.lineTo(point)
            pen.closePath()
        drawn[name] = pen.glyph()
    builder.setupGlyf(drawn)
    builder.setupHorizontalMetrics(dict.fromkeys(names, (800, 0)))
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Blots", "styleName": "Regular"})
    builder.setupOS2(sCapHeight=700)
    builder.setupPost()
    builder.save(tmp_path / "blots.ttf")
    style = TextStyle(load_face("blots.ttf", tmp_path), 5.0)
    assert filled("ODBM", style) == ["O"]
    assert heaviest_stroke("O", style, 0.3, 0.04) is None, "a font file has its own strokes"
