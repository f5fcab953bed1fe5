"""Define the pieces of a stencil, and the sheets of pieces in knife order.

A `Piece` is in panel coordinates, so that it can be drawn over the panel as it will lie.
A `Sheet` has its own: mm, x right, y up, origin at the lower left corner of the stock.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from legend.layout.artwork import Finding
from legend.lettering.outlines.curve_points import Points
from legend.lettering.outlines.outline import Affine, Box, Outline, mapped


def round_box(box: Box) -> Outline:
    """The contour along the sides of a box, the line home written out: a knife goes it."""
    return along(Outline.rectangle(*box))


def along(edge: Outline) -> Outline:
    """The contour along an edge of one contour, the line home written out."""
    return Outline((edge.contours[0].closed(),))


class Cut(StrEnum):
    """What a cut line is for; also its `class` in the SVG."""

    MARK = "mark"
    BARE = "bare"
    REGISTRATION = "registration"
    WEEDING = "weeding"
    TEST_SQUARE = "test-square"


@dataclass(frozen=True, slots=True, eq=False)
class Path:
    """One closed shape to cut: its contours in the order the knife takes them."""

    cut: Cut
    outline: Outline


@dataclass(frozen=True, slots=True, eq=False)
class Lines:
    """Lines to cut that enclose nothing by themselves: the stretches of a weeding box that it
    does not share with one that is cut later.

    Each is a row of points, from corner to corner. A knife that lags begins so much before them,
    and goes on so much beyond them, as `past` says, mm.
    """

    cut: Cut
    rows: tuple[Points, ...]
    past: float


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """Marks that travel together on one piece of transfer tape.

    `number` is the one on the overlay, the sheet and the job card. `name` says in words what
    it is. `owners` are the holes it belongs to. `edge` is its weeding box, mostly a rectangle.
    `paths` are in knife order, the weeding box last. `corner_marks` are those of its registration
    marks that a rule is laid to, where it has no hole to be laid by; `join_marks` those that meet
    the ones of the pieces beside it, where it is a part of what was larger than the stock.
    """

    number: int
    name: str
    owners: tuple[str, ...]
    edge: Outline
    paths: tuple[Path, ...]
    corner_marks: tuple[Outline, ...] = ()
    join_marks: tuple[Outline, ...] = ()

    @property
    def box(self) -> Box:
        """The rectangle round its weeding box: left, bottom, right, top."""
        return self.edge.bounds


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """A piece on a sheet: `affine` takes it from the panel to the sheet.

    `copy` counts the spares from 1; `turned` tells that it lies a quarter turn clockwise. `sides`
    are what is cut of its weeding box, on the sheet, where it shares the rest with a neighbour
    that is cut later; None where it is cut whole.
    """

    piece: Piece
    affine: Affine
    copy: int
    turned: bool
    sides: Lines | None = None

    @property
    def box(self) -> Box:
        """The rectangle round its weeding box where it lies on the sheet."""
        left, bottom, right, top = self.piece.box
        x0, y0 = mapped(self.affine, (left, bottom))
        x1, y1 = mapped(self.affine, (right, top))
        return min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)

    @property
    def paths(self) -> tuple[Path | Lines, ...]:
        """The cuts where they lie on the sheet, in knife order; each line is cut once."""
        if self.sides is None:
            return self.shapes
        within = tuple(path for path in self.shapes if path.cut is not Cut.WEEDING)
        return (*within, self.sides) if self.sides.rows else within

    @property
    def shapes(self) -> tuple[Path, ...]:
        """The same, the weeding box whole whether it shares sides or not."""
        return tuple(Path(p.cut, p.outline.transformed(self.affine)) for p in self.piece.paths)


@dataclass(frozen=True, slots=True, eq=False)
class Sheet:
    """Pieces packed on one length of stock, in the order the knife takes them.

    `size` is the width and the length that is used, mm. `test_squares` belong to no piece.
    All sizes are those of what is to come out; the cutter's file is drawn `stretch` times
    larger, across and along, because the cutter cuts that much too small, and every closed cut
    in it runs on past where it begins by `overrun` mm, which has the lead-in in it.
    """

    number: int
    size: tuple[float, float]
    placed: tuple[Placed, ...]
    test_squares: tuple[Path, ...] = ()
    stretch: tuple[float, float] = (1.0, 1.0)
    overrun: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Stencils:
    """All that is cut for a panel: its sheets, and what could not be done as asked."""

    sheets: tuple[Sheet, ...]
    findings: tuple[Finding, ...] = ()


def pieces_of(sheets: Iterable[Sheet]) -> list[Piece]:
    """Every piece once, spares left out, in the order of their numbers."""
    pieces = {placed.piece.number: placed.piece for sheet in sheets for placed in sheet.placed}
    return [pieces[number] for number in sorted(pieces)]
