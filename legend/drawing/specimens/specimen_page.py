"""Lay out the sections of a type specimen as a page, and draw it as SVG or PNG.

A page has the width of A4 and its height, or more where the sections need it. Sections stand
under each other between rules, their captions in a column at the left. Lengths are in mm; y
runs upwards from the top of the page, so that everything on it lies below 0.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from legend.drawing.colours import css
from legend.drawing.pdf.paper import PAPER
from legend.drawing.picture import check_size, drawn, png_file
from legend.drawing.proofs.coverage import Edges, Floats, Grid
from legend.drawing.segments import SVG, path_texts
from legend.drawing.svg import svg_file, without_unused_namespaces
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.stroke_face import plain
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import set_text
from legend.standards import INCH, STROKE_LIGHT_ON_DARK
from legend.writing import MARK

_WIDTH, _LEAST_HEIGHT = PAPER["A4"]
_MARGIN = 14.0
#: Where the column of the sections begins, and how wide it is.
_COLUMN = 42.0
COLUMN_WIDTH = _WIDTH - _MARGIN - _COLUMN
#: The whole width between the margins.
FULL_WIDTH = _WIDTH - 2 * _MARGIN

_CAPTION_HEIGHT = 1.8
_HEAVY_RULE, _RULE = 0.5, 0.12
#: From a rule to the ink under it, and from ink to the rule under it: at least and at most.
_UNDER_RULE = 3.2
_OVER_RULE = (2.6, 5.0)
#: Ink of two rows is never closer than this.
_BETWEEN_ROWS = 1.6


class Tone(IntEnum):
    """How dark something is printed on the white page: 0 black, 255 white."""

    LETTERS = 20
    CAPTION = 105
    RULE = 190


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """Outlines on one baseline, at y = 0, from the left edge of the column, at x = 0.

    `pitch` is how far the baseline is at least below the one above, and `height` how much
    room there is at least above the baseline. `caption` stands beside it in the margin.
    """

    outlines: Sequence[Outline]
    height: float
    pitch: float
    caption: str = ""
    captions: Sequence[Outline] = ()

    @property
    def top(self) -> float:
        """How far it reaches above the baseline."""
        return max([self.height, *(outline.bounds[3] for outline in self._ink)])

    @property
    def bottom(self) -> float:
        """How far it reaches above the baseline at its foot: below 0 where letters descend."""
        return min([0.0, *(outline.bounds[1] for outline in self._ink)])

    @property
    def _ink(self) -> Iterator[Outline]:
        return (outline for outline in (*self.outlines, *self.captions) if outline)


@dataclass(frozen=True, slots=True, eq=False)
class Section:
    """Rows that belong together, under a rule; `name` is the `id` of their group.

    A `full` section begins at the margin, and has no captions beside it.
    """

    name: str
    rows: Sequence[Row]
    full: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Page:
    """What is printed where: groups of outlines, each with its name and its tone."""

    title: str
    height: float
    groups: Sequence[tuple[str, Tone, Sequence[Outline]]]

    @property
    def width(self) -> float:
        """The width of the page, mm."""
        return _WIDTH


def caption(text: str) -> Outline:
    """The small print of a page, its ink beginning at x = 0, its baseline at y = 0."""
    outline = set_text(
        text, TextStyle(plain(), _CAPTION_HEIGHT, stroke=STROKE_LIGHT_ON_DARK[0], tracking=0.04)
    ).outline
    return outline.moved(-outline.bounds[0], 0)


def page_of(title: str, sections: Sequence[Section]) -> Page:
    """Place sections under each other, with as much air between them as the page allows."""
    heights = [_extent(section) for section in sections]
    gaps = len(sections) - 1
    room = _LEAST_HEIGHT - 2 * _MARGIN - sum(heights) - gaps * _UNDER_RULE
    air = min(max(room / gaps, _OVER_RULE[0]), _OVER_RULE[1]) if gaps else 0.0
    groups: list[tuple[str, Tone, Sequence[Outline]]] = []
    rules = []
    y = -_MARGIN
    for number, section in enumerate(sections):
        if number:
            y -= air
            weight = _RULE if number > 1 else _HEAVY_RULE
            rules.append(Outline.rectangle(_MARGIN, y - weight, _WIDTH - _MARGIN, y))
            y -= _UNDER_RULE
        groups += _placed(section, y)
        y -= heights[number]
    groups.append(("rules", Tone.RULE, rules))
    return Page(title, max(_LEAST_HEIGHT, math.ceil(_MARGIN - y)), groups)


def _baselines(section: Section) -> list[float]:
    """How far each row's baseline is below the top of the section's ink."""
    depths: list[float] = []
    for number, row in enumerate(section.rows):
        if number:
            above = section.rows[number - 1]
            clear = depths[-1] - above.bottom + _BETWEEN_ROWS + row.top
            depths.append(max(depths[-1] + row.pitch, clear))
        else:
            depths.append(row.top)
    return depths


def _extent(section: Section) -> float:
    """From the top to the foot of a section's ink."""
    return _baselines(section)[-1] - section.rows[-1].bottom


def _placed(section: Section, top: float) -> Iterator[tuple[str, Tone, Sequence[Outline]]]:
    letters: list[Outline] = []
    captions: list[Outline] = []
    x = _MARGIN if section.full else _COLUMN
    for row, depth in zip(section.rows, _baselines(section), strict=True):
        y = top - depth
        letters += [outline.moved(x, y) for outline in row.outlines if outline]
        captions += [outline.moved(x, y) for outline in row.captions if outline]
        if row.caption:
            captions.append(caption(row.caption).moved(_MARGIN, y))
    yield section.name, Tone.LETTERS, letters
    yield f"{section.name}-caption", Tone.CAPTION, captions


# --- Writing ---


def svg_of(page: Page) -> bytes:
    """The page as an SVG drawing in mm, paths only, one `g` a section, a line of text a path."""
    from svgwrite import Drawing

    size = f"{page.width:g}", f"{page.height:g}"
    drawing = Drawing(
        size=(f"{size[0]}mm", f"{size[1]}mm"), viewBox=f"0 0 {size[0]} {size[1]}", debug=False
    )
    drawing.set_desc(title=page.title, desc=MARK)
    drawing.elements.remove(drawing.defs)
    drawing.add(drawing.path(d=f"M0 0H{size[0]}V{size[1]}H0Z", fill="#fff", class_="paper"))
    for name, tone, outlines in page.groups:
        if outlines:
            group = drawing.add(drawing.g(id=name, fill=css((tone, tone, tone))))
            for text in path_texts(outlines, SVG, 0.0):
                group.add(drawing.path(d=text, class_=tone.name.lower()))
    return svg_file(without_unused_namespaces(drawing.tostring()).replace("><", ">\n<"))


def png_of(page: Page, dpi: float) -> bytes:
    """The page as a picture in greys, at true size for `dpi`.

    Error: PictureError where so many dots to the inch are too many.
    """
    check_size(page.width, page.height, dpi)
    scale = dpi / INCH
    size = round(page.width * scale), round(page.height * scale)
    edges = Edges([outlines for _, _, outlines in page.groups], Grid(*size, scale, 0.0, 0.0))
    darkness = np.array([[255 - tone] for _, tone, _ in page.groups])

    def greys(cover: Floats) -> NDArray[np.uint8]:
        values = 255 - (np.clip(cover, 0, 1) * darkness).sum(axis=0)
        rounded: NDArray[np.uint8] = np.clip(np.round(values), 0, 255).astype(np.uint8)
        return rounded

    picture = drawn("L", size, (runs.drawn(greys(cover)) for runs, cover in edges.bands()))
    return png_file(picture, dpi, page.title)
