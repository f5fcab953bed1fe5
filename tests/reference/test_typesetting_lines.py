"""Lines against ISO 3098-0, and the order of letters against the bidirectional algorithm.

Sources: ISO 3098-0, table for lettering type B (line pitch 13/10 h for capitals only,
15/10 h, 19/10 h with accents; 6/10 h between words, 2/10 h between characters); Unicode
Standard Annex 9, in the implementation that python-bidi binds (the Rust crate unicode-bidi);
the program itself uses another, which the same package has in Python.
"""

from pathlib import Path

import bidi
import pytest
from font_files import SANS

from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import set_text


def sans(height: float) -> TextStyle:
    return TextStyle(load_face(str(SANS), Path()), height)


@pytest.mark.parametrize("face", ["sans", "plain"])
@pytest.mark.parametrize("height", [1.8, 2.5, 3.5, 5, 7, 10, 14, 20])
@pytest.mark.parametrize(
    ("text", "tenths"), [("HELI\nHEAT", 13), ("Heli\nHEAT", 15), ("HÉLI\nHEAT", 19)]
)
def test_line_pitch(face: str, height: float, text: str, tenths: int) -> None:
    style = sans(height)
    if face == "plain":
        style = TextStyle(load_face("plain", Path()), height)
    letters = set_text(text, style).letters
    first = Outline.gathered([letters[0].outline]).bounds[1]
    second = Outline.gathered([letters[4].outline]).bounds[1]
    assert first - second == pytest.approx(tenths / 10 * height, abs=1e-6)


@pytest.mark.parametrize(
    "text",
    [
        "ABC 123",
        "שעון",
        "שעון 60",
        "ABC שעון 60 נורה",
        "נורה ABC 5",
        "5 נורה",
        "א1ב2ג3",
        "A ב C ד E",
        "100 % חום",
        "ב ABC DEF ג",
    ],
)
def test_letters_stand_in_the_order_of_the_bidirectional_algorithm(text: str) -> None:
    letters = set_text(text, sans(5)).letters
    assert "".join(letter.text for letter in letters) == bidi.get_display(text)
    lefts = [letter.outline.bounds[0] for letter in letters if letter.outline]
    assert lefts == sorted(lefts)
