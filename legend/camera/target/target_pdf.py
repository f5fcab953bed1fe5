"""Print the page that a panel is photographed on, as a PDF file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations, product
from pathlib import Path
from typing import Literal

import shapely

from legend.camera.opencv import marker_bits
from legend.camera.target.target_page import RUN, RUNS, TargetPage
from legend.description.shapes.edge import Edge
from legend.drawing.pdf.cut_lanes import InTheWay
from legend.drawing.pdf.drafting_pen import Line, Pen, Point, pdf
from legend.drawing.pdf.ground import Taken
from legend.drawing.pdf.label_places import grown as grown_box
from legend.drawing.pdf.paper import Paper, Tiling, tiled
from legend.drawing.pdf.sheets import NOTE_PITCH, NOTE_PRINT, Drawing, print_beside, printed
from legend.layout.edges import grown, outline_of
from legend.lettering.faces.finding import BUILT_IN, load_face
from legend.lettering.outlines.outline import Box, Outline

#: What lies on the page: a light panel on black, or a dark one on white.
Under = Literal["light", "dark"]

#: The line that the panel is laid over runs so far within its edge, mm: a panel that is laid by
#: eye covers it, and nothing but the flat tone is seen beside the panel.
_COVERED = 1.5
#: Room above the squares for the arrows, and the capital height of the words between them, mm.
_ARROWS, _UP_PRINT = 7.0, 2.5
#: From the squares down to the words, mm; the longest lines that these are set in, which are
#: tried in turn.
_BENEATH, _LINES = 3.0, (250.0, 150.0, 110.0)
#: Room round all of it, where it is framed on each of several sheets and that needs no more of
#: them, mm; and from its left end to
#: the first arrow there, which is to be on the first sheet.
_BESIDE, _ARROW_AT = 3.0, 12.0
#: How bad it is for a lane to cut a marker, or the words; and for print to stand on the page.
_CUTS_MARKER, _CUTS_WORDS, _ON_PAGE = 10.0, 100.0, 100.0
#: Lanes keep so far off what is in their way, mm. Between markers there is hardly more room.
_LANES_KEEP_OFF = 1.0


@dataclass(frozen=True, slots=True)
class ForPanel:
    """What the page is for: the edge of the panel, in panel coordinates; what the panel is called,
    its size in words, and what it is like."""

    edge: Edge
    title: str
    size: str
    under: Under = "light"

    @property
    def words(self) -> tuple[str, ...]:
        """What to do with the page, step by step."""
        line = "white" if self.under == "light" else "black"
        return (
            "1  Print on matt paper and lay it flat on a board. Lay the panel on it face up, its "
            f"top to the arrows, so that it covers the {line} line all round.",
            "2  Light it evenly from two sides, without flash: nothing bright mirrored in the "
            "panel, no shadow on the page.",
            "3  Photograph it from straight above its middle, so near that the squares fill the "
            "picture, all of them in it and sharp; not with a wide-angle lens.",
        )


@dataclass(frozen=True, slots=True)
class _Words:
    """Lines of words beneath the squares, and the box that they take up."""

    lines: tuple[str, ...]
    box: Box


def target_pdf(page: TargetPage, panel: ForPanel, paper: Paper = "A4") -> bytes:
    """The bytes of the file: on one sheet of the paper where that holds it, else on several.

    Errors: PaperError for a paper that will not do; PlainError where OpenCV is not installed.
    """
    drawing, tiling = target_sheets(page, panel, paper)
    return printed(drawing, tiling, (0.0, 0.0))


def target_sheets(page: TargetPage, panel: ForPanel, paper: Paper) -> tuple[Drawing, Tiling]:
    """The page as a drawing, and how it is shared out over sheets. Errors: as `target_pdf`.

    The words of what to do stand beneath the squares; where one sheet holds the page but not
    these, they stand with the bars, wherever there is room.
    """
    x0, y0, x1, y1 = page.border
    bare = (x0, y0, x1, y1 + _ARROWS)
    for longest in _LINES:
        words = _beneath(bare, _wrapped(panel.words, longest))
        tiling = tiled(_round(bare, words), paper)
        if len(tiling.tiles) == 1 and tiling.has_strips:
            return _drawing(page, panel, tiling, words), tiling
    tiling = tiled(bare, paper)
    if len(tiling.tiles) == 1:
        for longest in _LINES:
            drawing = replace(
                _drawing(page, panel, tiling, None), notes=_wrapped(panel.words, longest)
            )
            if _stand_clear(print_beside(drawing, tiling), tiling, bare):
                return drawing, tiling
    several = []
    for longest, by in product(_LINES[1:], (_BESIDE, 0.0)):
        words = _beneath(bare, _wrapped(panel.words, longest))
        things = _in_the_way(page, words)
        several.append((tiled(grown_box(_round(bare, words), by), paper, things=things), words))
    tiling, words = min(several, key=lambda each: (len(each[0].tiles), each[0].legends_cut))
    return _drawing(page, panel, tiling, words), tiling


def _in_the_way(page: TargetPage, words: _Words) -> list[InTheWay]:
    """What the lanes between sheets keep off: the markers, and the words."""
    things = [InTheWay(words.box, _CUTS_WORDS, legend=True)]
    for cell in page.marked:
        x0, y0, x1, y1 = page.marker_box(cell)
        off = _LANES_KEEP_OFF
        things.append(InTheWay((x0 + off, y0 + off, x1 - off, y1 - off), _CUTS_MARKER))
    return things


# --- Words ---


def _wrapped(paragraphs: Sequence[str], longest: float) -> tuple[str, ...]:
    """Paragraphs in lines of so many mm at the most."""
    lines: list[str] = []
    with pdf((longest, longest), "", "", None) as (pen, _):
        for paragraph in paragraphs:
            line = ""
            for word in paragraph.split(" "):
                longer = f"{line} {word}" if line else word
                if line and pen.width_of(longer, NOTE_PRINT) > longest:
                    lines.append(line)
                    longer = f"    {word}"
                line = longer
            lines.append(line)
    return tuple(lines)


def _beneath(bare: Box, lines: tuple[str, ...]) -> _Words:
    """The lines beneath the squares: from their left end, or to their middle where longer."""
    with pdf((1.0, 1.0), "", "", None) as (pen, _):
        width = max(pen.width_of(line, NOTE_PRINT) for line in lines)
    x0, y0, x1, _ = bare
    left = min(x0 + 1, (x0 + x1 - width) / 2)
    top = y0 - _BENEATH
    return _Words(lines, (left, top - len(lines) * NOTE_PITCH, left + width, top))


def _round(bare: Box, words: _Words) -> Box:
    """The box round the squares and the words."""
    x0, y0, x1, y1 = bare
    left, bottom, right, _ = words.box
    return min(x0, left), min(y0, bottom), max(x1, right), y1


def _stand_clear(print_: Sequence[Box], tiling: Tiling, bare: Box) -> bool:
    """Whether bars, notes and heading stand beside the page and each other, and on the sheet."""
    (tile,) = tiling.tiles
    dx, dy = (view - at for view, at in zip(tile.view[:2], tile.at, strict=True))
    sheet = shapely.box(dx, dy, tiling.size[0] + dx, tiling.size[1] + dy)
    boxes = [shapely.box(*box) for box in print_]
    pairs = combinations([shapely.box(*bare), *boxes], 2)
    return all(sheet.contains(box) for box in boxes) and not any(
        one.intersects(other) for one, other in pairs
    )


# --- Drawing ---


def _drawing(page: TargetPage, panel: ForPanel, tiling: Tiling, words: _Words | None) -> Drawing:
    """The page as it is printed on the sheets of a tiling."""
    x0, y0, x1, y1 = page.border
    taken: Taken = [shapely.box(x0, y0, x1, y1 + _ARROWS)], [_ON_PAGE]

    def draw(pen: Pen, _extent: Box, _reserved: Sequence[Box]) -> None:
        _draw_tone(pen, page, panel)
        _draw_squares(pen, page, tiling)
        _draw_arrows(pen, page, centred=len(tiling.tiles) == 1)
        if words:
            left, _, _, top = words.box
            for k, line in enumerate(words.lines):
                pen.text(line, (left, top - NOTE_PRINT - k * NOTE_PITCH), NOTE_PRINT)

    return Drawing(
        panel.title,
        f"Page to photograph the panel on, {panel.size}",
        load_face(BUILT_IN, Path()),
        (0.0, 0.0, *page.panel),
        lambda: taken,
        draw,
    )


def _draw_tone(pen: Pen, page: TargetPage, panel: ForPanel) -> None:
    """The flat tone, and on it the line that the panel is to cover."""
    if panel.under == "light":
        pen.filled([Outline.rectangle(*page.tone)])
    line = grown(panel.edge, -_COVERED) or outline_of(panel.edge)
    pen.shapes(Line.ON_BLACK if panel.under == "light" else Line.EDGE, [line])


def _draw_squares(pen: Pen, page: TargetPage, tiling: Tiling) -> None:
    """The black squares, and the markers in the white ones."""
    # As one shape: what draws a PDF may move a rectangle to the nearest dots, but no other shape.
    pen.filled([Outline.gathered(Outline.rectangle(*box) for box in page.black)])
    for place, cell in enumerate(page.marked):
        x0, y0, x1, y1 = page.marker_box(cell)
        run = _run_of((x0 + x1) / 2, (y0 + y1) / 2, tiling)
        pen.filled([_marker(RUN * run + place, (x0, y0), x1 - x0)])


def _run_of(x: float, y: float, tiling: Tiling) -> int:
    """Which run of markers the sheet has on which a place is seen: another than those beside it."""
    across, up = tiling.lanes
    return (sum(lane < x for lane in across) + sum(lane > y for lane in up)) % RUNS


def _marker(number: int, at: Point, side: float) -> Outline:
    """What is black of a marker: a frame one cell broad, and cells within it."""
    bits = marker_bits(number)
    cell = side / (len(bits) + 2)
    white = [
        shapely.box(k * cell, j * cell, (k + 1) * cell, (j + 1) * cell)
        for j, row in enumerate(bits[::-1], start=1)
        for k, bit in enumerate(row, start=1)
        if bit
    ]
    black = shapely.difference(shapely.box(0, 0, side, side), shapely.union_all(white))
    rings = [
        Outline.polygon(shapely.get_coordinates(ring)[:-1])
        for part in shapely.get_parts(black)
        for ring in (part.exterior, *part.interiors)
    ]
    return Outline.gathered(rings).moved(*at)


def _draw_arrows(pen: Pen, page: TargetPage, centred: bool) -> None:
    """Which way up: arrows above the squares, and what they point to."""
    x0, _, x1, y1 = page.border
    words, base = "top of the panel", y1 + 2.5
    half = pen.width_of(words, _UP_PRINT, bold=True) / 2 + 4
    middle = (x0 + x1) / 2 if centred else x0 + _ARROW_AT + half
    pen.text(words, (middle, base), _UP_PRINT, "centre", bold=True)
    for x in (middle - half, middle + half):
        pen.solid((x - 1.6, base - 0.3), (x + 1.6, base - 0.3), (x, base + 3.3))
