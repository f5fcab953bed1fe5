"""Write sheets for the cutter as PDF: at true size, each sheet a page, every cut a hairline.

A page is as large as its sheet. Lines are curves as they are, in knife order, those of one shape
one path.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from legend.drawing.colours import Colour
from legend.drawing.cut_files.cut_sheet import CutLine, CutShape, CutSheet
from legend.drawing.pdf.drafting_pen import pdf
from legend.failures import PlainError
from legend.length_words import Lengths
from legend.lettering.outlines.outline import cubics_of
from legend.standards import PDF_POINT

#: Width of the lines in which cuts are drawn, mm: a thousandth of an inch, which programs for
#: cutters take for a line to follow. Common practice, no source.
_HAIRLINE = 0.0254
#: How finely coordinates are written, in decimals of a mm.
_DECIMALS = 4
#: The longest side of a page, mm: 14,400 points (ISO 32000-1, Annex C).
_LONGEST_PAGE = 14400 * PDF_POINT
_BLACK: Colour = (0, 0, 0)


def pdf_file(
    sheets: Sequence[CutSheet], says: str, colours: Mapping[str, Colour], lengths: Lengths
) -> bytes:
    """The bytes of the file of some sheets; its title `says` what it is.

    `colours` are those of lines by what these are for; the others are black. Error: PlainError
    for a sheet that is longer than a page can be.
    """
    if max(side for sheet in sheets for side in sheet.size) > _LONGEST_PAGE:
        raise PlainError(
            f"A sheet is longer than {lengths.short_said(_LONGEST_PAGE)}, which is the most that a "
            "page of a PDF can be; give a shorter stencil.stock_size, or have it cut as another "
            "kind of file."
        )
    with pdf(sheets[0].size, says, "for the cutter", None) as (pen, data):
        for sheet in sheets:
            pen.size_sheet(sheet.size)
            with pen.placed(1 / PDF_POINT, 0, 0, 1 / PDF_POINT, 0, 0):
                for shape in sheet.shapes:
                    pen.trace(_path(shape), _HAIRLINE, colours.get(shape.kind, _BLACK))
            pen.next_sheet()
    return data.getvalue()


def _path(shape: CutShape) -> str:
    """The lines of a shape as the operators of a path."""
    return "".join(_line(line) for line in shape.lines)


def _line(line: CutLine) -> str:
    contour = line.contour.closed() if line.closed else line.contour
    cubics, straight, _ = cubics_of([contour])
    rows = np.round(cubics, _DECIMALS) + 0.0
    x, y = rows[0, 0].tolist()
    text = [f"{x:.8g} {y:.8g} m\n"]
    for points, is_straight in zip(rows[:, 1:].tolist(), straight.tolist(), strict=True):
        wanted = points[2:] if is_straight else points
        numbers = " ".join(f"{x:.8g} {y:.8g}" for x, y in wanted)
        text.append(f"{numbers} {'l' if is_straight else 'c'}\n")
    return "".join(text) + ("h\n" if line.closed else "")
