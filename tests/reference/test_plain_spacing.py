"""The spacing of the built-in face against that of well-made kerned fonts.

For every pair of capitals and figures: the area between the two letters, from the baseline
to the capital height, over the capital height squared. It is measured on rasters of the
glyphs, which know nothing of how either face is spaced. The spread is the standard deviation
over all pairs.
"""

from __future__ import annotations

import itertools
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
import uharfbuzz
from font_files import MANROPE, SANS
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.stroke_face import plain

CHARACTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"
PAIRS = list(itertools.product(CHARACTERS, repeat=2))
#: Pixels in a capital height.
TALL = 200

Edges = dict[str, tuple[NDArray[np.float64], NDArray[np.float64]]]


#: Manrope SemiBold has stems of 0.145 of the capital height, next to 1/7 of the built-in face.
FONTS = {
    "Manrope": MANROPE / "Manrope-SemiBold.ttf",
    "DejaVu Sans": SANS,
}


def sides(raster: Image.Image, pen: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The left and right end of the ink in every row of a raster, from the pen, in capitals."""
    inked = np.asarray(raster) > 127
    assert inked.any(axis=1).all(), "a row without ink"
    left = inked.argmax(axis=1)
    right = inked.shape[1] - inked[:, ::-1].argmax(axis=1)
    return (left - pen) / TALL, (right - pen) / TALL


@lru_cache
def whites_of_font(path: Path) -> dict[tuple[str, str], float]:
    font = TTFont(path)
    glyphs = font.getGlyphSet()
    bounds = BoundsPen(glyphs)
    glyphs[font.getBestCmap()[ord("H")]].draw(bounds)
    capital = bounds.bounds[3]
    size = TALL * font["head"].unitsPerEm / capital
    drawn = ImageFont.truetype(str(path), size)
    edges: Edges = {}
    for character in CHARACTERS:
        # A pixel less than the capital height, so that every row has ink of every letter.
        raster = Image.new("L", (3 * TALL, TALL - 2))
        ImageDraw.Draw(raster).text((TALL, TALL - 1), character, font=drawn, fill=255, anchor="ls")
        edges[character] = sides(raster, TALL)
    shaper = uharfbuzz.Font(uharfbuzz.Face(uharfbuzz.Blob.from_file_path(str(path))))
    whites = {}
    for pair in PAIRS:
        buffer = uharfbuzz.Buffer()
        buffer.add_str("".join(pair))
        buffer.guess_segment_properties()
        uharfbuzz.shape(shaper, buffer, {"kern": True, "liga": False})
        advance = buffer.glyph_positions[0].x_advance / capital
        whites[pair] = float((advance + edges[pair[1]][0] - edges[pair[0]][1]).mean())
    return whites


@lru_cache
def whites_of_plain() -> dict[tuple[str, str], float]:
    style = TextStyle(plain(), float(TALL))
    edges: Edges = {}
    starts = {}
    for character in CHARACTERS:
        (letter,) = plain().set_line(character, style).letters
        raster = Image.new("L", (3 * TALL, TALL - 2))
        draw = ImageDraw.Draw(raster)
        for contour in sorted(letter.outline.contours, key=lambda c: -c.signed_area):
            corners = [(TALL + x, TALL - 1 - y) for x, y in contour.flat]
            draw.polygon(corners, fill=255 if contour.signed_area > 0 else 0)
        edges[character] = sides(raster, TALL)
        starts[character] = letter.outline.bounds[0]
    whites = {}
    for pair in PAIRS:
        first, second = plain().set_line("".join(pair), style).letters
        pens = [
            each.outline.bounds[0] - starts[name]
            for each, name in zip((first, second), pair, strict=True)
        ]
        advance = (pens[1] - pens[0]) / TALL
        whites[pair] = float((advance + edges[pair[1]][0] - edges[pair[0]][1]).mean())
    return whites


def spread(whites: dict[tuple[str, str], float]) -> float:
    return float(np.std(list(whites.values())))


@pytest.mark.parametrize("name", FONTS)
def test_the_white_varies_no_more_than_in_a_kerned_font(name: str) -> None:
    """In capital heights, as the white itself; the spread stays as it is under any tracking."""
    assert spread(whites_of_plain()) <= spread(whites_of_font(FONTS[name]))


def test_the_white_varies_no_more_than_in_a_kerned_font_as_closely_set() -> None:
    """As a part of the mean white, against both fonts; the mean of one is near its own."""
    own = whites_of_plain()
    others = [whites_of_font(path) for path in FONTS.values()]
    means = [float(np.mean(list(w.values()))) for w in (own, *others)]
    assert min(abs(mean / means[0] - 1) for mean in means[1:]) < 0.1
    for other, mean in zip(others, means[1:], strict=True):
        assert spread(own) / means[0] <= spread(other) / mean


def test_geometry_makes_it_even() -> None:
    """Without it, every letter set by its box at one space, the white varies far more."""
    own = whites_of_plain()
    style = TextStyle(plain(), float(TALL))
    by_box = {}
    for pair in PAIRS:
        first, second = plain().set_line("".join(pair), style).letters
        gap = (second.outline.bounds[0] - first.outline.bounds[2]) / TALL
        by_box[pair] = own[pair] + 0.2 - gap
    assert spread(own) < 0.85 * spread(by_box)
