"""Write a sheet for the cutter as SVG.

Width and height are in mm and the viewBox has one unit a millimetre; there are only paths,
in absolute coordinates. One `g` a piece bears its number, `piece-12`, because a bare number
is no lawful XML name; a spare is `piece-12-copy-2`. Every path is one shape with its
contours in knife order, and says by its class what it is for. Every contour is closed by a
Z; with an overrun none is, because each ends past its start. Open are the sides of a weeding box
alone, where a neighbour's box has the others. Sheets have y upwards; it is turned over here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

import numpy as np

from legend.drawing.colours import Colour, css
from legend.drawing.cut_files.cut_sheet import CutShape, CutSheet
from legend.drawing.svg import svg_file
from legend.writing import MARK

#: Width of the lines in which cuts are drawn, mm.
_HAIRLINE = 0.1

#: How finely coordinates are written, in decimals of a mm.
_DECIMALS = 4


def sheet_file(sheet: CutSheet, says: str, colours: Mapping[str, Colour] | None = None) -> bytes:
    """The bytes of the file of one sheet; a comment at its head `says` what it is.

    `colours` are those of lines by what these are for; the others are black.
    """
    return svg_file(sheet_svg(sheet, colours), f"{says}: {MARK}")


def sheet_svg(sheet: CutSheet, colours: Mapping[str, Colour] | None = None) -> str:
    """One sheet as the text of one `svg` element."""
    import svgwrite

    width, height = (f"{side:.8g}" for side in sheet.size)
    drawing = svgwrite.Drawing(
        size=(f"{width}mm", f"{height}mm"),
        viewBox=f"0 0 {width} {height}",
        debug=False,
        fill="none",
        stroke="#000",
        stroke_width=_HAIRLINE,
    )
    drawing.elements.remove(drawing.defs)
    strokes = {kind: {"stroke": css(colour)} for kind, colour in (colours or {}).items()}
    for group in sheet.groups:
        if not group.name:
            _add(drawing, drawing, group.shapes, sheet, strokes)
            continue
        element = drawing.g(id=group.name)
        _add(drawing, element, group.shapes, sheet, strokes)
        drawing.add(element)
    return str(drawing.tostring())


def _add(
    drawing: Any,
    element: Any,
    shapes: Sequence[CutShape],
    sheet: CutSheet,
    strokes: Mapping[str, Mapping[str, str]],
) -> None:
    for shape, d in zip(shapes, _path_data(shapes, sheet), strict=True):
        element.add(drawing.path(d, class_=shape.kind, **strokes.get(shape.kind, {})))


# --- Path data ---


def _path_data(shapes: Sequence[CutShape], sheet: CutSheet) -> list[str]:
    """The `d` of each shape, y running down from the top of the sheet."""
    if not shapes:
        return []
    points = np.concatenate([line.contour.points for shape in shapes for line in shape.lines])
    # Adding 0 turns -0 into 0.
    points = points * (1, -1) + (0, sheet.size[1])
    points = np.round(points, _DECIMALS) + 0.0
    numbers = points.ravel().tolist()
    data = []
    at = 0
    for shape in shapes:
        end = at + 2 * sum([len(line.contour.points) for line in shape.lines])
        form = "".join([_form(line.contour.codes, line.closed) for line in shape.lines])
        data.append(form % tuple(numbers[at:end]))
        at = end
    return data


_OPERATORS = {
    "L": "L%.8g %.8g",
    "Q": "Q%.8g %.8g %.8g %.8g",
    "C": "C%.8g %.8g %.8g %.8g %.8g %.8g",
}


@lru_cache(maxsize=4096)
def _form(codes: str, closed: bool) -> str:
    """A contour with these segments as a form to fill in; the last line, home, is the Z."""
    return "M%.8g %.8g" + "".join([_OPERATORS[code] for code in codes]) + ("Z" if closed else "")
