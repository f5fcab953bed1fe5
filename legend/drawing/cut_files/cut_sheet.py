"""Tell what the knife goes along on a sheet, in order, as every kind of file takes it.

A sheet of pieces goes in; out come its lines, by piece and by what they are for: in mm, y upwards,
the origin at the lower left corner of the sheet, all larger or smaller by what the cutter was
found to be out, and with what they run on by.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from legend.lettering.outlines.curve_points import Points
from legend.lettering.outlines.outline import Contour
from legend.stencil.order.overrun import run_on, run_past
from legend.stencil.sheet import Lines, Path, Placed, Sheet

#: What the marks are called by which files of one class each are laid over each other.
CORNER_MARK = "corner-mark"
#: How long the legs of such a mark are, mm.
_LEG = 5.0


@dataclass(frozen=True, slots=True, eq=False)
class CutLine:
    """One line for the knife, without a lift. Where it is closed, it ends where it began, and a
    straight stretch home that its segments lack is understood."""

    contour: Contour
    closed: bool


@dataclass(frozen=True, slots=True, eq=False)
class CutShape:
    """The lines of one shape, in knife order. `kind` is what they are for: its `class` in SVG, its
    layer in DXF."""

    kind: str
    lines: tuple[CutLine, ...]


@dataclass(frozen=True, slots=True, eq=False)
class CutGroup:
    """The shapes of one piece, in knife order; `name` is empty where they belong to none."""

    name: str
    shapes: tuple[CutShape, ...]


@dataclass(frozen=True, slots=True, eq=False)
class CutSheet:
    """All that is cut on one sheet, in knife order; `size` is its width and its length, mm."""

    number: int
    size: tuple[float, float]
    groups: tuple[CutGroup, ...]

    @property
    def shapes(self) -> list[CutShape]:
        """The shapes of all groups."""
        return [shape for group in self.groups for shape in group.shapes]

    @property
    def kinds(self) -> list[str]:
        """What its lines are for, each once, in the order in which they are met."""
        return list(dict.fromkeys(shape.kind for shape in self.shapes))


def cut_sheet(sheet: Sheet) -> CutSheet:
    """What is cut on a sheet."""
    across, along = sheet.stretch
    groups = [CutGroup(_name(placed), _shapes(placed.paths, sheet)) for placed in sheet.placed]
    if sheet.test_squares:
        groups.append(CutGroup("", _shapes(sheet.test_squares, sheet)))
    return CutSheet(sheet.number, (sheet.size[0] * across, sheet.size[1] * along), tuple(groups))


def _name(placed: Placed) -> str:
    spare = f"-copy-{placed.copy}" if placed.copy > 1 else ""
    return f"piece-{placed.piece.number}{spare}"


def _shapes(paths: Sequence[Path | Lines], sheet: Sheet) -> tuple[CutShape, ...]:
    return tuple(CutShape(path.cut.value, tuple(_lines(path, sheet))) for path in paths)


def _lines(path: Path | Lines, sheet: Sheet) -> list[CutLine]:
    closed = isinstance(path, Path) and not sheet.overrun
    stretch = np.array(sheet.stretch)
    return [
        CutLine(Contour(contour.codes, contour.points * stretch), closed)
        for contour in _gone_along(path, sheet.overrun)
    ]


def _gone_along(path: Path | Lines, overrun: float) -> Sequence[Contour]:
    """What the knife goes along, with what it runs on by."""
    if isinstance(path, Lines):
        rows = [run_past(row, path.past) for row in path.rows]
        return [Contour("L" * (len(row) - 1), row) for row in rows]
    if overrun:
        return [run_on(contour, overrun) for contour in path.outline.contours]
    return path.outline.contours


# --- A file for each class ---


def of_kind(sheet: CutSheet, kind: str) -> CutSheet:
    """The lines of one kind alone, and before them the marks that all such files have alike.

    They are two angles, at the lower left and the upper right corner of the sheet, so that all
    files of a sheet are equally large, wherever a program puts what it opens.
    """
    groups = [
        replace(group, shapes=tuple(shape for shape in group.shapes if shape.kind == kind))
        for group in sheet.groups
    ]
    marks = CutGroup("", (CutShape(CORNER_MARK, tuple(_corner_marks(*sheet.size))),))
    return replace(sheet, groups=(marks, *(group for group in groups if group.shapes)))


def _corner_marks(width: float, length: float) -> list[CutLine]:
    leg = min(_LEG, width / 4, length / 4)
    at_corners: list[Points] = [
        np.array([(0, leg), (0, 0), (leg, 0)], dtype=float),
        np.array([(width, length - leg), (width, length), (width - leg, length)], dtype=float),
    ]
    return [CutLine(Contour("LL", points), False) for points in at_corners]
