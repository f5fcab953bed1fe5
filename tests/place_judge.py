"""Judge where the page for a phone says that pieces go, by where they lie on the sheets."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
import shapely

from legend.layout.artwork import Artwork
from legend.stencil.sheet import Cut, Sheet

_SECTION = re.compile(r'<section [^>]*data-number="(\d+)">(.*?)</section>', re.DOTALL)
_FIGURE = re.compile(r"<b[^>]*>([^<]*) <small>(mm|in)</small></b> <span>([^<]*)</span>")


def printed(page: str) -> dict[int, list[tuple[str, str, str]]]:
    """Of each piece on the page for a phone both figures, each with its unit and from where."""
    return {int(number): _FIGURE.findall(section) for number, section in _SECTION.findall(page)}


def exactly(figure: str, unit: str) -> Fraction:
    """A figure in mm."""
    return sum(map(Fraction, figure.split())) * (Fraction("25.4") if unit == "in" else 1)


def boxes_on_the_panel(artwork: Artwork, sheets: tuple[Sheet, ...]) -> dict[int, shapely.Geometry]:
    """The weeding box of every piece, brought to the panel by its own marks.

    A mark of a sheet is looked for among those of the panel by where the piece would then lie:
    what is cut of it, moved back, must cover marks of the artwork.
    """
    inked = shapely.union_all([mark.outline.shape for mark in artwork.marks])
    inked = shapely.union(inked, shapely.union_all([d.outline.shape for d in artwork.bare_discs]))
    found = {}
    for placed in (placed for sheet in sheets for placed in sheet.placed):
        shapes = {kind: [p.outline.shape for p in placed.shapes if p.cut is kind] for kind in Cut}
        (box,) = shapes[Cut.WEEDING]
        a, b, c, d, e, f = placed.affine
        back = [d, -c, -b, a, c * f - d * e, b * e - a * f]  # a turn and a shift, undone
        ink = shapely.union_all(shapes[Cut.MARK] + shapes[Cut.BARE])
        on_panel = shapely.affinity.affine_transform(ink, back)
        assert on_panel.difference(inked.buffer(0.02)).area < 0.02 * on_panel.area
        found[placed.piece.number] = shapely.affinity.affine_transform(box, back)
    return found


def judge_places(artwork: Artwork, sheets: tuple[Sheet, ...], html: str) -> None:
    """What is printed is where the pieces of the sheets lie, in divisions of a rule."""
    units = artwork.description.units
    boxes = boxes_on_the_panel(artwork, sheets)
    page = printed(html)
    assert page.keys() == boxes.keys()
    left, bottom, right, top = artwork.panel.shape.bounds
    across, up = (left + right) / 2, (bottom + top) / 2
    for number, box in boxes.items():
        x0, y0, x1, y1 = box.bounds
        true = {
            "from the left edge": x0 - left,
            "from the right edge": right - x1,
            "from the bottom edge": y0 - bottom,
            "from the top edge": top - y1,
            "left of the upright centre line, to its left side": across - x0,
            "left of the upright centre line, to its right side": across - x1,
            "right of the upright centre line, to its left side": x0 - across,
            "below the level centre line, to its bottom side": up - y0,
            "below the level centre line, to its top side": up - y1,
            "above the level centre line, to its bottom side": y0 - up,
        }
        assert len(page[number]) == 2
        for figure, unit, whence in page[number]:
            assert unit == units
            mm = exactly(figure, unit)
            division = Fraction("25.4") / 32 if unit == "in" else Fraction(1, 2)
            assert (mm / division).denominator == 1, f"{figure} is no division of a rule"
            assert float(mm) == pytest.approx(true[whence], abs=1e-3)
