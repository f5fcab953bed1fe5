"""Every printable character of four faces, bridged, against two judges from outside.

The sheet is judged by shapely, as polygons, and by scikit-image, as the connected parts of a
picture that resvg has drawn. The faces are the built-in one and three that come as Python
packages: matplotlib (DejaVu Sans), font-source-serif-pro (a serif), font-manrope (a bold).
"""

from __future__ import annotations

import io
import math
import unicodedata
from collections.abc import Iterator
from functools import cache

import numpy as np
import pytest
import resvg_py
import shapely
from font_files import style_of
from PIL import Image
from skimage import measure

from legend.description.tables.description import Stencil
from legend.description.tables.stock import limits
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import set_text
from legend.stencil.bridging.bridges import bridged
from legend.stencil.contours import parts

SHEET = limits(Stencil(method="paint-through", stock="sheet"))
#: ASCII and Latin-1, less what is blank or a control.
CHARACTERS = [
    chr(code)
    for code in (*range(0x21, 0x7F), *range(0xA1, 0x100))
    if unicodedata.category(chr(code))[0] not in "CZ"
]
#: Of bridges as wide as the stock asks, and as wide as the height does; `test_sweep.py` has those
#: between, and the hard letters of each face at the other height.
SIZES = [("plain", 3.0), ("plain", 12.0), ("sans", 3.0), ("serif", 12.0), ("bold", 3.0)]


def letters(face: str, height: float) -> Iterator[tuple[str, Outline]]:
    style = style_of(face, height)
    for character in CHARACTERS:
        if style.face.has(character):
            outline = set_text(character, style).outline
            if outline:
                yield character, outline


@cache
def cut(face: str, height: float) -> list[tuple[str, Outline, Outline]]:
    found = list(letters(face, height))
    after = bridged([outline for _, outline in found], [height] * len(found), SHEET)
    return [(c, before, new.outline) for (c, before), new in zip(found, after, strict=True)]


def stock_round(outline: Outline) -> shapely.Geometry:
    return shapely.box(*outline.bounds).buffer(3, join_style="mitre").difference(outline.shape)


@pytest.mark.parametrize(("face", "height"), SIZES)
def test_no_letter_leaves_an_island(
    face: str, height: float, record_property: pytest.RecordProperty
) -> None:
    found = cut(face, height)
    assert len(found) > 170
    loose = [c for c, _, after in found if stock_round(after).geom_type != "Polygon"]
    assert not loose
    islands = sum(len(p.interiors) for _, b, _ in found for p in shapely.get_parts(b.shape))
    assert islands > 60, "there was something to bridge"
    removed = 1 - sum(a.area for _, _, a in found) / sum(b.area for _, b, _ in found)
    record_property("paint removed, per cent", round(100 * removed, 2))
    assert 0 < removed < 0.08


@pytest.mark.parametrize(("face", "height"), SIZES)
def test_a_picture_of_the_sheet_is_in_one_piece(face: str, height: float) -> None:
    """The stock as resvg draws it, by scikit-image's labels of what is connected."""
    found = cut(face, height)
    columns = math.isqrt(len(found)) + 1
    cell = 1.8 * height
    paths = []
    for index, (_, _, outline) in enumerate(found):
        x0, y0, x1, y1 = outline.bounds
        row, column = divmod(index, columns)
        dx = (column + 0.5) * cell - (x0 + x1) / 2
        dy = (row + 0.5) * cell + (y0 + y1) / 2
        rings = [c.flat * (1, -1) + (dx, dy) for c in outline.contours]
        paths.append("".join("M" + "L".join(f"{x:.4f} {y:.4f}" for x, y in r) + "Z" for r in rings))
    side = columns * cell
    width = max(SHEET.bridge, 0.06 * height)
    pixels = round(side / width * 4)  # four pixels to a bridge
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{pixels}" height="{pixels}" '
        f'viewBox="0 0 {side} {side}"><path fill-rule="evenodd" d="{"".join(paths)}"/></svg>'
    )
    picture = resvg_py.svg_to_bytes(svg_string=svg, background="#fff")
    stock = np.asarray(Image.open(io.BytesIO(bytes(picture))).convert("L")) > 127
    labels, count = measure.label(stock, return_num=True, connectivity=1)
    assert count >= 1
    sizes = np.bincount(labels.ravel())[1:]
    # A speck of a pixel or two is the stair of a slanting edge, no island.
    assert (sizes > 3).sum() == 1


@pytest.mark.parametrize(("face", "height"), SIZES)
def test_islands_hang_by_the_least_bridge(face: str, height: float) -> None:
    """Worn down by just under half a bridge all round, the sheet still holds its islands.

    Each part of a letter by itself, so that a narrow place between two letters is no bridge.
    """
    wear = SHEET.bridge / 2 - 0.02
    for character, outline, whole in cut(face, height):
        for before in (alone := parts(outline)):
            if len(before.contours) == 1:
                continue
            is_all = len(alone) == 1
            after = whole if is_all else bridged([before], [height], SHEET)[0].outline
            worn = shapely.get_parts(stock_round(after).buffer(-wear))
            rest = worn[shapely.area(worn).argmax()]
            for ring in before.shape.interiors:
                core = shapely.Polygon(ring).buffer(-wear)
                assert core.area < 0.05 or rest.intersects(core), character


@pytest.mark.parametrize(("face", "height"), SIZES)
def test_openings_are_no_thinner_than_the_letter_was(face: str, height: float) -> None:
    """Each part that is left holds the disc of the least stroke, where the letter held it there."""
    radius = 0.49 * SHEET.stroke
    for character, before, after in cut(face, height):
        thick = before.shape.buffer(-radius)
        for part in shapely.get_parts(after.shape):
            if part.buffer(-radius).is_empty:
                assert not thick.intersects(part.buffer(-0.05)), character
