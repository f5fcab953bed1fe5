"""Measure where each piece goes: its two distances, and in which order pieces are laid.

A piece is set off from two lines, edges of the panel or scribed centre lines, to the side of its
weeding box that is nearest to each. These sides stand on divisions of a rule, so that what is
said is exact: to a tenth of a millimetre, or as a fraction of an inch.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import chain

import shapely

from legend.description.tables.panel import Panel
from legend.length_words import Lengths
from legend.lettering.outlines.outline import Box
from legend.standards import BOX_STEP
from legend.stencil.pieces.reference_lines import ReferenceLine, reference_lines
from legend.stencil.sheet import Cut, Piece

#: Lengths that differ by less are the same, mm.
_SAME = 1e-6
#: The sides of a box, and how they may lie to a centre line, by axis.
_SIDES = (("left", "right"), ("bottom", "top"))
_BESIDE = (("left", "right"), ("below", "above"))


@dataclass(frozen=True, slots=True)
class Distance:
    """How far a side of a weeding box stands off the line that it is measured from.

    `at` is where that side stands on the axis of the line, mm in panel coordinates; `end` is 0
    where it is the left or the lower side, 1 where it is the right or the upper one. `figure` is
    what is read off the rule, without a unit or a sign.
    """

    line: ReferenceLine
    at: float
    end: int
    figure: str

    @property
    def mm(self) -> float:
        """How far it is; below 0 where the box reaches beyond the edge of the panel."""
        off = self.at - self.line.at
        if not self.line.is_edge:
            return abs(off)
        return -off if self.end else off

    @property
    def signed(self) -> str:
        """The figure with a minus sign, where the box reaches beyond the edge of the panel."""
        return f"−{self.figure}" if self.mm < -_SAME else self.figure

    @property
    def side(self) -> str:
        """Which side of the box it is."""
        return _SIDES[self.line.axis][self.end]

    @property
    def whence(self) -> str:
        """From where it is measured, to stand behind the figure: from the left edge."""
        if self.line.is_edge:
            return f"{'beyond' if self.mm < -_SAME else 'from'} the {self.line.called}"
        if not self.beside:
            return f"on the {self.line.called}"
        of = " of" if self.line.axis == 0 else ""
        return f"{self.beside}{of} the {self.line.called}"

    @property
    def beside(self) -> str:
        """On which side of a centre line it is; "" on the line itself, and for an edge."""
        if self.line.is_edge or self.mm < _SAME:
            return ""
        return _BESIDE[self.line.axis][self.at > self.line.at]


@dataclass(frozen=True, slots=True)
class PiecePlace:
    """A piece and its distances from the upright and from the level line."""

    piece: Piece
    across: Distance
    up: Distance

    @property
    def distances(self) -> tuple[Distance, Distance]:
        """Both of them."""
        return self.across, self.up


def piece_places(panel: Panel, pieces: Sequence[Piece], lengths: Lengths) -> list[PiecePlace]:
    """Where each of these pieces goes on a panel, in the order of the pieces."""
    lines = reference_lines(panel)
    return [
        PiecePlace(piece, *(_distance(piece.box, line, lengths) for line in lines))
        for piece in pieces
    ]


def _distance(box: Box, line: ReferenceLine, lengths: Lengths) -> Distance:
    """To the side of a box that is nearest to an edge, or to a centre line.

    Where a centre line runs through the box, to its left or its lower side.
    """
    low, high = box[line.axis], box[line.axis + 2]
    if line.is_edge:
        end = 1 if line.side in ("right", "top") else 0
    else:
        end = 1 if high <= line.at + _SAME else 0
    at = high if end else low
    return Distance(line, at, end, _figure(abs(at - line.at), lengths))


def _figure(mm: float, lengths: Lengths) -> str:
    """What is read off the rule; finer, where it is no division of one."""
    step = BOX_STEP[lengths.units]
    is_on_one = abs(mm - round(mm / step) * step) < _SAME
    return lengths(mm) if is_on_one else lengths.exact(mm)


# --- In what order they are laid ---


def goes_on_first(piece: Piece) -> bool:
    """Whether a piece goes on before the base coat, to keep metal bare."""
    return any(path.cut is Cut.BARE for path in piece.paths)


def in_laying_order(places: Sequence[PiecePlace]) -> list[PiecePlace]:
    """The pieces so that neither rule nor hand lies on what was laid before.

    First those that go on before the base coat. Of each sort the furthest from the lines that are
    measured from, so that a piece follows those beyond it: the rule reaches to it over bare panel
    only. Of several that could be next, the one furthest up, and there the one furthest on.
    """
    order: list[PiecePlace] = []
    for first in (True, False):
        order += _furthest_first([p for p in places if goes_on_first(p.piece) is first])
    return order


def _furthest_first(places: Sequence[PiecePlace]) -> list[PiecePlace]:
    edges = [place.piece.edge.shape for place in places]
    tree = shapely.STRtree(edges)
    after: list[set[int]] = [set() for _ in places]
    for index, place in enumerate(places):
        for way in _measured_over(place):
            for under in tree.query(way, "intersects").tolist():
                if under != index and edges[under].intersection(way).area > _SAME:
                    after[index].add(under)
    waiting = Counter(chain.from_iterable(after))
    wished = sorted(range(len(places)), key=lambda k: [-d.mm for d in places[k].distances[::-1]])
    rank = {index: place for place, index in enumerate(wished)}
    free = [rank[k] for k in wished if not waiting[k]]
    order: dict[int, None] = {}
    while len(order) < len(places):
        # Pieces with corners may wait for each other; then any of them is next.
        chosen = wished[heappop(free)] if free else next(k for k in wished if k not in order)
        if chosen in order:
            continue
        order[chosen] = None
        for under in after[chosen]:
            waiting[under] -= 1
            if not waiting[under]:
                heappush(free, rank[under])
    return [places[k] for k in order]


def _measured_over(place: PiecePlace) -> list[shapely.Polygon]:
    """What a rule lies on while a piece is set off: from each line to its box, as wide as that."""
    left, bottom, right, top = place.piece.box
    x, y = place.across, place.up
    return [
        shapely.box(min(x.line.at, x.at), bottom, max(x.line.at, x.at), top),
        shapely.box(left, min(y.line.at, y.at), right, max(y.line.at, y.at)),
    ]
