"""The letters of the built-in face against those of fonts: told apart as well, and as open.

How it is measured is told in `letter_forms.py`: it knows nothing of how either is drawn.
"""

from __future__ import annotations

import statistics
from functools import lru_cache
from pathlib import Path

import pytest
from font_files import DEJAVU, MANROPE, SANS, SERIF
from reference.letter_forms import CONFUSED, aperture, distance
from reference.letter_white import STROKE

from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import load_face

FONTS = {
    "Manrope": MANROPE / "Manrope-SemiBold.ttf",
    "DejaVu Sans": SANS,
    "DejaVu Sans Bold": DEJAVU / "DejaVuSans-Bold.ttf",
    "DejaVu Sans Mono": DEJAVU / "DejaVuSansMono.ttf",
    "Source Serif": SERIF,
}
#: Others that are, less often. 0 and O are not among them: 0 is squared, as wide as other figures.
ALSO_ALIKE = ("CG", "5S", "56", "B8", "2Z", "69", "89", "HN", "1I", "1l")


@lru_cache
def style(face: str = "plain") -> TextStyle:
    return TextStyle(load_face(face, Path()), 10.0, stroke=STROKE)


def fonts() -> list[TextStyle]:
    return [style(str(file)) for file in FONTS.values()]


@pytest.mark.parametrize("pair", [*CONFUSED, *ALSO_ALIKE])
def test_letters_are_told_apart_as_well_as_in_other_faces(pair: str) -> None:
    """By the median of the five."""
    assert distance(pair, style()) >= statistics.median(distance(pair, font) for font in fonts())


@pytest.mark.parametrize("character", "CGS235cs")
def test_letters_are_as_open_as_in_other_faces(character: str) -> None:
    """By the median of the five."""
    own = aperture(character, style())
    assert own >= statistics.median(aperture(character, font) for font in fonts())


def test_terminals_do_not_curl_in() -> None:
    """C opens to about 0.65 of the height, G to 0.28; by eye."""
    assert aperture("C", style()) == pytest.approx(0.65, abs=0.03)
    assert aperture("G", style()) == pytest.approx(0.28, abs=0.03)
