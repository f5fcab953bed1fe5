"""What is measured on faces agrees with what their makers say of them."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest
from font_files import DEJAVU, MANROPE, SERIF, SOURCE_SERIF
from fontTools.ttLib import TTFont

from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.faces.proportions import Proportions, inked_letter, proportions_of
from legend.lettering.faces.stroke_face import plain
from legend.lettering.outlines.measuring import least_stroke
from legend.standards import ISO_B_STROKE, STROKE_DARK_ON_LIGHT, STROKE_LIGHT_ON_DARK

CAPITALS_AND_FIGURES = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"


@lru_cache
def measured(path: Path) -> Proportions:
    return proportions_of(load_face(path.name, path.parent))


@pytest.mark.parametrize("ratio", [ISO_B_STROKE, *STROKE_LIGHT_ON_DARK, STROKE_DARK_ON_LIGHT])
def test_the_built_in_face_has_the_stroke_of_the_standards(ratio: float) -> None:
    """ISO 3098-0, type B: a tenth of the height. DOD-HDBK-791(AM), 6-5.3.2.3: an eighth to a
    sixth. Measured on the ink of every capital and figure.
    """
    style = TextStyle(plain(), 3.5, stroke=ratio)
    for character in CAPITALS_AND_FIGURES:
        letter = inked_letter(character, style)
        assert letter
        assert least_stroke(letter.shape) == pytest.approx(3.5 * ratio, rel=0.01), character


@pytest.mark.parametrize(
    ("cut", "within"),
    [("Regular", 0.01), ("Light", 0.06), ("Semibold", 0.06), ("Bold", 0.06), ("Black", 0.06)],
)
def test_legs_of_capitals_are_as_broad_as_the_font_says(cut: str, within: float) -> None:
    """StemSnapV of the font's Private dictionary (Technical Note 5176), whose second
    value is that of the capitals; the cuts drawn between the masters state it roughly.
    """
    path = SOURCE_SERIF / f"SourceSerifPro-{cut}.otf"
    font = TTFont(path)
    stated = font["CFF "].cff[0].Private.StemSnapV[-1] / font["OS/2"].sCapHeight
    assert measured(path).upright == pytest.approx(stated, rel=within)


@pytest.mark.parametrize("path", [SERIF, *sorted(MANROPE.glob("Manrope-*.ttf"))], ids=str)
def test_small_letters_are_as_tall_as_the_font_says(path: Path) -> None:
    """sxHeight over sCapHeight of the OS/2 table (OpenType)."""
    table = TTFont(path)["OS/2"]
    stated = table.sxHeight / table.sCapHeight
    assert measured(path).small == pytest.approx(stated, rel=0.005)


def test_proportions_are_those_that_the_designer_published() -> None:
    """The parameters of cmr10 in 36ths of a point (D. E. Knuth, Computer Modern Typefaces,
    1986; from memory): capitals 246, ascenders 250, small letters 155, descenders 70.
    """
    found = measured(DEJAVU / "cmr10.ttf")
    assert found.ascender == pytest.approx(250 / 246, rel=0.005)
    assert found.small == pytest.approx(155 / 246, rel=0.005)
    assert found.descender == pytest.approx(70 / 246, rel=0.005)
