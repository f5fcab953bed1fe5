"""The evenness of the built-in face's white against that of fonts of about its weight.

How it is measured is told in `letter_white.py`: it knows nothing of how either is spaced.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest
from font_files import MANROPE, SANS, SERIF
from reference.letter_white import (
    CAPITALS,
    FIGURES,
    STROKE,
    Pair,
    all_pairs,
    pairs_of,
    unevenness,
)

from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import load_face
from legend.standards import ISO_B_STROKE, STROKE_DARK_ON_LIGHT, STROKE_LIGHT_ON_DARK

#: Fonts whose stems are 0.135 to 0.145 of the capital height.
FONTS = {
    "Manrope": MANROPE / "Manrope-SemiBold.ttf",
    "DejaVu Sans": SANS,
    "Source Serif": SERIF,
}
SIGNS = "+−±×/%"


def style(face: str = "plain", stroke: float = STROKE) -> TextStyle:
    return TextStyle(load_face(face, Path()), 10.0, stroke=stroke)


@lru_cache
def pairs(face: str, characters: str) -> dict[str, Pair]:
    return pairs_of(all_pairs(characters), style(face))


@pytest.mark.parametrize(("characters", "most"), [(CAPITALS, 0.11), (FIGURES, 0.10)])
def test_the_white_is_even(characters: str, most: float) -> None:
    assert unevenness(pairs("plain", characters).values()) <= most


@pytest.mark.parametrize("font", FONTS)
@pytest.mark.parametrize("characters", [CAPITALS, FIGURES])
def test_the_white_is_as_even_as_in_other_faces(characters: str, font: str) -> None:
    own = unevenness(pairs("plain", characters).values())
    assert own <= unevenness(pairs(str(FONTS[font]), characters).values())


def test_open_pairs_stand_as_far_apart_as_stems_and_no_further_than_elsewhere() -> None:
    """By the least distance of their ink: not nearer, and no further than in the widest of the
    fonts without serifs."""
    own = pairs("plain", CAPITALS)
    others = [pairs(str(FONTS[font]), CAPITALS) for font in ("Manrope", "DejaVu Sans")]
    for pair in ("AV", "TA", "LT", "LY", "PJ", "FJ"):
        assert own[pair].distance >= own["HH"].distance, pair
    spread = [other["TA"].distance / other["HH"].distance for other in others]
    assert own["TA"].distance / own["HH"].distance <= max(spread)


def test_signs_stand_no_nearer_to_figures_than_stems() -> None:
    texts = [pair for sign in SIGNS for f in FIGURES for pair in (sign + f, f + sign)]
    stems = pairs("plain", CAPITALS)["HH"].distance
    assert min(pair.distance for pair in pairs_of(texts, style()).values()) >= stems - 1e-3


def test_no_pair_is_held_by_the_least_distance_alone() -> None:
    """Which is a stroke; letters that the white holds apart stand further off."""
    distances = [pair.distance for pair in pairs("plain", CAPITALS + FIGURES).values()]
    assert min(distances) > 1.05 * STROKE


@pytest.mark.parametrize("stroke", [ISO_B_STROKE, *STROKE_LIGHT_ON_DARK, STROKE_DARK_ON_LIGHT])
def test_stems_stand_as_many_strokes_apart_as_in_other_faces(stroke: float) -> None:
    """1.6 to 2 strokes. Common practice, no source; by this measure Manrope Regular and DejaVu
    Sans have 1.5 and 2.0."""
    stems = pairs_of(["HH"], style(stroke=stroke))["HH"].distance
    assert 1.6 <= stems / stroke <= 2.0 + 1e-3
