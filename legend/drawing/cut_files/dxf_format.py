"""Write a sheet for the cutter as DXF.

Lengths are in mm, y upwards. Every line of the cut is one entity, in knife order, on a layer that
is called by what it is for, as the `class` in SVG is: a circle where it is one that is gone round
once; else a polyline, in which arcs are arcs and other curves are straight stretches that lie
within `WITHIN` of them. The unit is said by `$INSUNITS`, which R12 does not have; there it is said
by a comment.

Source: the DXF Reference that its maker publishes: group codes 999 (comment), 8 (layer), 42
(bulge); $INSUNITS 4 is millimetres.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import numpy as np

from legend.drawing.cut_files.cut_sheet import CutSheet
from legend.drawing.cut_files.polylines import Polyline, polylines
from legend.writing import MARK

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

#: The release that has no word for the unit.
WITHOUT_UNIT = "R12"
#: The code of the millimetre in $INSUNITS, and that of metric units in $MEASUREMENT.
_MM, _METRIC = 4, 1
#: How finely coordinates are written, in decimals of a mm.
_DECIMALS = 6


def dxf_file(sheet: CutSheet, says: str, version: str = "R2000") -> bytes:
    """The bytes of the file of one sheet, R2000 or R12; a comment at its head `says` what it is."""
    with _quiet():
        drawing = _drawn(sheet, version)
        text = io.StringIO()
        drawing.write(text)
    comment = " ".join(f"{says}: {MARK}; unit: millimetre".split())
    return f"999\n{comment}\n{text.getvalue()}".encode(drawing.encoding, "dxfreplace")


def _drawn(sheet: CutSheet, version: str) -> Drawing:
    from ezdxf.filemanagement import new

    drawing = new(version)
    drawing.header["$MEASUREMENT"] = _METRIC
    if version != WITHOUT_UNIT:
        drawing.header["$INSUNITS"] = _MM
    for kind in sheet.kinds:
        drawing.layers.add(kind)
    space = drawing.modelspace()
    lines = iter(polylines([line for each in sheet.shapes for line in each.lines], with_arcs=True))
    for shape in sheet.shapes:
        for _ in shape.lines:
            _add(space, next(lines), shape.kind, version)
    _show_all(drawing, sheet.size)
    return drawing


def _add(space: Modelspace, line: Polyline, layer: str, version: str) -> None:
    on = {"layer": layer}
    if circle := line.circle():
        (x, y), radius = circle
        space.add_circle((round(x, _DECIMALS), round(y, _DECIMALS)), radius, dxfattribs=on)
        return
    numbers = np.column_stack([np.round(line.points, _DECIMALS) + 0.0, line.bulges]).tolist()
    if version == WITHOUT_UNIT:
        space.add_polyline2d(numbers, format="xyb", close=line.closed, dxfattribs=on)
    else:
        space.add_lwpolyline(numbers, format="xyb", close=line.closed, dxfattribs=on)


def _show_all(drawing: Drawing, size: tuple[float, float]) -> None:
    """Have the whole sheet seen when the drawing is opened."""
    width, length = size
    space = drawing.modelspace()
    space.reset_extents((0, 0, 0), (width, length, 0))
    space.reset_limits((0, 0), (width, length))
    drawing.header["$EXTMIN"], drawing.header["$EXTMAX"] = (0, 0, 0), (width, length, 0)
    drawing.header["$LIMMIN"], drawing.header["$LIMMAX"] = (0, 0), (width, length)
    drawing.set_modelspace_vport(height=1.1 * max(width, length), center=(width / 2, length / 2))


@contextmanager
def _quiet() -> Iterator[None]:
    """Have the same drawing always give the same bytes, and nothing said of what R12 lacks."""
    import logging

    import ezdxf

    log, options = logging.getLogger("ezdxf"), ezdxf.options  # type: ignore[attr-defined]
    before = log.level, options.write_fixed_meta_data_for_testing
    log.setLevel(logging.CRITICAL)
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        log.setLevel(before[0])
        options.write_fixed_meta_data_for_testing = before[1]
