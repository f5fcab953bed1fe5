"""What is measured on a face."""

from __future__ import annotations

from pathlib import Path

import pytest
from font_files import DEJAVU

from legend.lettering.faces.face import Face, FaceError, TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.faces.proportions import COMPARED_AT, inked_letter, proportions_of
from legend.lettering.faces.stroke_face import plain

FEW = """<svg xmlns="http://www.w3.org/2000/svg"><defs><font>
<font-face units-per-em="100" cap-height="70"/>
<glyph unicode=" "/>
{glyphs}</font></defs></svg>"""


def face_of(folder: Path, **paths: str) -> Face:
    """A face of single strokes with these glyphs."""
    glyphs = "".join(f'<glyph unicode="{name}" d="{path}"/>' for name, path in paths.items())
    (folder / "few.svg").write_text(FEW.format(glyphs=glyphs))
    return load_face("few.svg", folder)


def test_proportions_are_those_of_the_drawing(tmp_path: Path) -> None:
    """A square H and O on a skeleton 70 tall, and an x 35 tall, p and d 30 beyond it."""
    face = face_of(
        tmp_path,
        H="M0 0V70 M50 0V70 M0 40H50",
        O="M0 0V70H60V0Z",
        x="M0 0L30 35 M0 35L30 0",
        d="M0 65V0",
        p="M0 35V-30",
    )
    measured = proportions_of(face, TextStyle(face, 10, stroke=0.125))
    unit = 0.875 / 70  # of the capital height: the ink of a capital is a stroke taller
    assert measured.small == pytest.approx(35 * unit + 0.125, abs=0.005)
    assert measured.ascender == pytest.approx(65 * unit + 0.125, abs=0.005)
    assert measured.descender == pytest.approx(30 * unit, abs=0.005)
    assert measured.width_of_h == pytest.approx(50 * unit + 0.125, abs=0.005)
    assert measured.width_of_o == pytest.approx(60 * unit + 0.125, abs=0.005)
    assert (measured.upright, measured.level) == pytest.approx((0.125, 0.125), abs=0.002)
    assert (measured.height, measured.stroke.letter) == (10, "")
    assert measured.stroke.size == pytest.approx(1.25, rel=0.01)
    assert measured.counter
    assert measured.counter.size == pytest.approx(10 * (60 * unit - 0.125), rel=0.01)


def test_what_the_face_lacks_is_not_measured(tmp_path: Path) -> None:
    measured = proportions_of(face_of(tmp_path, T="M0 70H50 M25 70V0"))
    assert measured.counter is None
    assert (measured.small, measured.upright, measured.width_of_o) == (None, None, None)


def test_a_face_without_letters(tmp_path: Path) -> None:
    face = face_of(tmp_path, **{"+": "M0 0V70"})
    with pytest.raises(FaceError, match=r"few\.svg.* has no letters to measure"):
        proportions_of(face)


def test_a_letter_without_ink_is_none() -> None:
    style = TextStyle(plain(), 5)
    assert inked_letter("A", style)
    assert inked_letter(" ", style) is None
    assert inked_letter("字", style) is None


@pytest.mark.parametrize(("stroke", "counter"), [(0.3, 0.3), (0.4, 2.0), (1.0, 0.01)])
def test_from_that_height_on_a_stock_carries_the_face(stroke: float, counter: float) -> None:
    height = proportions_of(plain()).carried_from(stroke, counter)
    there = proportions_of(plain(), TextStyle(plain(), height))
    assert there.counter
    assert there.stroke.size >= stroke * 0.985
    assert there.counter.size >= counter * 0.995
    below = proportions_of(plain(), TextStyle(plain(), height * 0.97))
    assert below.counter
    assert below.stroke.size < stroke * 0.985 or below.counter.size < counter * 0.995


def test_the_finest_letter_is_named() -> None:
    face = load_face("DejaVuSerif.ttf", DEJAVU)
    measured = proportions_of(face)
    assert measured.height == COMPARED_AT
    letter = inked_letter(measured.stroke.letter, TextStyle(face, COMPARED_AT))
    assert letter
    assert measured.level
    assert measured.upright
    assert measured.stroke.size < measured.level * COMPARED_AT < measured.upright * COMPARED_AT
