"""Find the two lines that pieces are set off from: edges of the panel, or scribed centre lines.

A side of the panel is measured from where a square can be held against it: where enough of it is
straight. The sides that meet at the datum come first, since the holes were set off from them.
Where there are none, as on a round panel, two centre lines are scribed: through the datum, where
that is the centre; else half-way between the points that are furthest out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from legend.description.tables.panel import Panel
from legend.lettering.outlines.outline import Box

#: What part of the panel's width or height must be straight for a square to be held against it.
#: Common practice, no source.
_STRAIGHT_ENOUGH = 0.25
#: What lies so near to the side of the rectangle round a panel lies on it, mm.
_ON_IT = 1e-6

#: Which edge of the panel a line is; or that it is none.
Side = Literal["left", "right", "bottom", "top", "centre"]


@dataclass(frozen=True, slots=True)
class ReferenceLine:
    """A line that distances are measured from, at right angles to it.

    `axis` is 0 for an upright line, from which is measured across the panel, and 1 for a level
    one. `at` is where it stands on that axis, mm in panel coordinates.
    """

    axis: Literal[0, 1]
    at: float
    side: Side

    @property
    def is_edge(self) -> bool:
        """Whether it is an edge of the panel, and no scribed line."""
        return self.side != "centre"

    @property
    def short(self) -> str:
        """What it is called where it is seen which way it runs."""
        return f"{self.side} edge" if self.is_edge else "centre line"

    @property
    def called(self) -> str:
        """What it is called, to stand behind "the"."""
        if self.is_edge:
            return f"{self.side} edge"
        return f"{'level' if self.axis else 'upright'} centre line"


def reference_lines(panel: Panel) -> tuple[ReferenceLine, ReferenceLine]:
    """The upright and the level line that pieces of this panel are set off from."""
    box = panel.edge.box
    from_right, from_top = "right" in panel.datum, "upper" in panel.datum
    across: list[Side] = ["right", "left"] if from_right else ["left", "right"]
    up: list[Side] = ["top", "bottom"] if from_top else ["bottom", "top"]
    return _line(panel, 0, across, box), _line(panel, 1, up, box)


def _line(panel: Panel, axis: Literal[0, 1], sides: list[Side], box: Box) -> ReferenceLine:
    for side in sides:
        at = box[axis + 2] if side in ("right", "top") else box[axis]
        if _straight(panel, axis, at) >= _STRAIGHT_ENOUGH * (box[3 - axis] - box[1 - axis]):
            return ReferenceLine(axis, at, side)
    middle = (box[axis] + box[axis + 2]) / 2
    if panel.datum == "centre":
        middle = panel.from_datum((0.0, 0.0))[axis]
    return ReferenceLine(axis, middle, "centre")


def _straight(panel: Panel, axis: int, at: float) -> float:
    """How much of the panel's edge runs along a side of the rectangle round it, mm."""
    return sum(
        line.length
        for line in panel.edge.lines
        if all(abs(point[axis] - at) < _ON_IT for point in (line.first, line.last))
    )
