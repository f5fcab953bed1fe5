"""Write the sheets for the cutter: one SVG file a sheet.

Width and height are in mm and the viewBox has one unit a millimetre; there are only paths,
in absolute coordinates. One `g` a piece bears its number, `piece-12`, because a bare number
is no lawful XML name; a spare is `piece-12-copy-2`. Every path is one shape with its
contours in knife order, and says by its class what it is for. Every contour is closed by a
Z; with an overrun none is, because each ends past its start. Open are the sides of a weeding box
alone, where a neighbour's box has the others. Sheets have y upwards; it is turned over here, and
all is drawn larger or smaller by what the cutter was found to be out.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path as FilePath
from typing import Any

import numpy as np

from legend.drawing.svg import svg_file
from legend.layout.artwork import Artwork
from legend.lettering.outlines.outline import Contour
from legend.stencil.order.overrun import run_on, run_past
from legend.stencil.sheet import Lines, Path, Placed, Sheet
from legend.writing import MARK, write_all, write_whole

#: Width of the lines in which cuts are drawn, mm.
_HAIRLINE = 0.1

#: How finely coordinates are written, in decimals of a mm.
_DECIMALS = 4

#: How stencils are called, and those of pieces that are cut again, of whatever run.
STENCILS = re.compile(r"stencil-\d+\.svg")
RECUT_STENCILS = re.compile(r"cut-again-\d+\.svg")


def write_stencils(sheets: Sequence[Sheet], artwork: Artwork, folder: FilePath) -> list[FilePath]:
    """Write `stencil-1.svg` and so on, and remove those of an earlier run that had more sheets.

    All are written, or none. Errors: as `write_all`.
    """
    return write_all(folder, stencil_files(sheets, artwork), STENCILS)


def stencil_files(
    sheets: Sequence[Sheet], artwork: Artwork, stem: str = "stencil"
) -> dict[str, bytes]:
    """The files of a stencil by their names; a comment at the head of each names the panel."""
    called, count = artwork.description.called, len(sheets)
    return {
        f"{stem}-{sheet.number}.svg": sheet_file(
            sheet, f"{called}, sheet {sheet.number} of {count}"
        )
        for sheet in sheets
    }


def write_coupon(sheet: Sheet, path: FilePath) -> FilePath:
    """Write a test coupon. Errors: as `write_whole`."""
    return write_whole(path, coupon_file(sheet))


def coupon_file(sheet: Sheet) -> bytes:
    """The bytes of the file of a test coupon."""
    return sheet_file(sheet, "Test coupon")


def sheet_file(sheet: Sheet, says: str) -> bytes:
    """The bytes of the file of one sheet; a comment at its head `says` what it is."""
    return svg_file(sheet_svg(sheet), f"{says}: {MARK}")


def sheet_svg(sheet: Sheet) -> str:
    """One sheet as the text of one `svg` element."""
    import svgwrite

    across, along = sheet.stretch
    width, height = (f"{v:.8g}" for v in (sheet.size[0] * across, sheet.size[1] * along))
    drawing = svgwrite.Drawing(
        size=(f"{width}mm", f"{height}mm"),
        viewBox=f"0 0 {width} {height}",
        debug=False,
        fill="none",
        stroke="#000",
        stroke_width=_HAIRLINE,
    )
    drawing.elements.remove(drawing.defs)
    for placed in sheet.placed:
        group = drawing.g(id=_id(placed))
        _add(drawing, group, placed.paths, sheet)
        drawing.add(group)
    _add(drawing, drawing, sheet.test_squares, sheet)
    return str(drawing.tostring())


def _id(placed: Placed) -> str:
    spare = f"-copy-{placed.copy}" if placed.copy > 1 else ""
    return f"piece-{placed.piece.number}{spare}"


def _add(drawing: Any, group: Any, paths: Sequence[Path | Lines], sheet: Sheet) -> None:
    for path, d in zip(paths, _path_data(paths, sheet), strict=True):
        group.add(drawing.path(d, class_=path.cut.value))


# --- Path data ---


def _path_data(paths: Sequence[Path | Lines], sheet: Sheet) -> list[str]:
    """The `d` of each path, y running down from the top of the sheet."""
    if not paths:
        return []
    contours = [_gone_along(path, sheet.overrun) for path in paths]
    closed = [isinstance(path, Path) and not sheet.overrun for path in paths]
    across, along = sheet.stretch
    points = np.concatenate([contour.points for each in contours for contour in each])
    # Adding 0 turns -0 into 0.
    points = points * (across, -along) + (0, sheet.size[1] * along)
    points = np.round(points, _DECIMALS) + 0.0
    numbers = points.ravel().tolist()
    data = []
    at = 0
    for each, comes_home in zip(contours, closed, strict=True):
        end = at + 2 * sum([len(contour.points) for contour in each])
        form = "".join([_form(contour.codes, comes_home) for contour in each])
        data.append(form % tuple(numbers[at:end]))
        at = end
    return data


def _gone_along(path: Path | Lines, overrun: float) -> Sequence[Contour]:
    """What the knife goes along, with what it runs on by."""
    if isinstance(path, Lines):
        rows = [run_past(row, path.past) for row in path.rows]
        return [Contour("L" * (len(row) - 1), row) for row in rows]
    if overrun:
        return [run_on(contour, overrun) for contour in path.outline.contours]
    return path.outline.contours


_OPERATORS = {
    "L": "L%.8g %.8g",
    "Q": "Q%.8g %.8g %.8g %.8g",
    "C": "C%.8g %.8g %.8g %.8g %.8g %.8g",
}


@lru_cache(maxsize=4096)
def _form(codes: str, closed: bool) -> str:
    """A contour with these segments as a form to fill in; the last line, home, is the Z."""
    return "M%.8g %.8g" + "".join([_OPERATORS[code] for code in codes]) + ("Z" if closed else "")
