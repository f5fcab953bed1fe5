"""Write a sheet for the cutter as HP-GL, in steps of 0.025 mm.

The file sets the cutter to what it is when switched on, takes tool 1, goes along every line in
knife order, lifting the tool between two (PU) and lowering it for each (PD), and at last lifts it,
goes home and puts it away. Curves are straight stretches that lie within `WITHIN` of them. The seal
of this program is a comment (CO) after all that, of HP-GL/2; plain HP-GL passes over it, its tool
put away.

Source: PCL 5 Printer Language Technical Reference Manual, part II, HP-GL/2 (IN,
SP, PU, PD, CO; a plotter unit is 0.025 mm).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from legend.drawing.cut_files.cut_sheet import CutSheet
from legend.drawing.cut_files.polylines import Polyline, polylines

#: Steps to the millimetre.
STEPS = 40
#: How far plain HP-GL counts, in steps: 819 mm. HP-GL/2 counts further.
FARTHEST = 32767
#: So many points are given to the cutter at once, for those that can keep few.
_AT_ONCE = 50


def plt_file(sheet: CutSheet, origin: str = "lower left", turn: int = 0) -> bytes:
    """The bytes of the file of one sheet, turned clockwise by `turn` degrees.

    `origin` is the corner of the sheet as it then lies, or its centre, that places count from.
    """
    lines = polylines([line for shape in sheet.shapes for line in shape.lines], with_arcs=False)
    drawn = "".join(_drawn(_steps(line, sheet.size, origin, turn)) for line in lines)
    return f"IN;SP1;\n{drawn}PU0,0;SP0;\n".encode()


def reaches(sheet: CutSheet, origin: str = "lower left", turn: int = 0) -> int:
    """How far from the origin a file of the sheet goes, across or along, in steps."""
    corners = np.array([(0, 0), sheet.size])
    return int(np.abs(_placed(corners, sheet.size, origin, turn)).max())


def _placed(
    points: NDArray[np.float64], size: tuple[float, float], origin: str, turn: int
) -> NDArray[np.intp]:
    """Points in steps from the origin."""
    width, length = size
    x, y = points.T
    turned = {
        0: (x, y, width, length),
        90: (y, width - x, length, width),
        180: (width - x, length - y, width, length),
        270: (length - y, x, length, width),
    }
    x, y, across, along = turned[turn]
    if origin == "centre":
        left, below = across / 2, along / 2
    else:
        left = across if origin.endswith("right") else 0.0
        below = along if origin.startswith("upper") else 0.0
    steps: NDArray[np.intp] = np.rint(np.column_stack([x - left, y - below]) * STEPS).astype(int)
    return steps


def _steps(
    line: Polyline, size: tuple[float, float], origin: str, turn: int
) -> list[tuple[int, int]]:
    """The places of a line, each but once; two at least, so that every line is cut."""
    placed = _placed(line.points, size, origin, turn)
    if line.closed:
        placed = np.vstack([placed, placed[:1]])
    moves = np.append(True, (np.diff(placed, axis=0) != 0).any(axis=1))
    rows: list[tuple[int, int]] = [(x, y) for x, y in placed[moves].tolist()]
    return rows if len(rows) > 1 else rows * 2


def _drawn(steps: Sequence[tuple[int, int]]) -> str:
    """The tool up to where a line begins, and down along it."""
    (x, y), rest = steps[0], steps[1:]
    parts = [rest[at : at + _AT_ONCE] for at in range(0, len(rest), _AT_ONCE)]
    down = "".join(f"PD{','.join(f'{x},{y}' for x, y in part)};\n" for part in parts)
    return f"PU{x},{y};\n{down}"
