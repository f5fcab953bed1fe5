"""Order the cuts of a piece for the knife: innermost first, and with short travel.

Inside a piece the innermost comes first, so that nothing shifts in a part already cut loose:
what lies in a counter or a frame before the letter or the frame itself, a counter before the
outside. Within that, travel is short, from where the knife comes. Where it begins with each
contour, `legend.stencil.order.starts` tells.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from legend.lettering.outlines.curve_points import Points
from legend.lettering.outlines.outline import Contour, Outline
from legend.standards import BLADE_SETTLES
from legend.stencil.contours import holders, holds
from legend.stencil.order.starts import begun
from legend.stencil.order.travel import tour
from legend.stencil.sheet import Path

#: So many pieces are looked at at once: enough to be quick, few enough to be small.
_BATCH = 64
#: What stands for the piece itself among what holds others.
_PIECE = -1


@dataclass(frozen=True, slots=True, eq=False)
class Cuts:
    """The cuts of a piece, each contour begun where it should; and for each that others lie in,
    which: they come before it.
    """

    paths: tuple[Path, ...]
    within: Mapping[int, Sequence[int]]

    def in_order(self, begin: Points | None = None) -> tuple[Path, ...]:
        """The paths in knife order, from the place where the knife comes from, if it is known."""
        return tuple(self.paths[i] for i in self._of(_PIECE, begin))

    def _of(self, holder: int, begin: Points | None) -> list[int]:
        """What lies in a holder, each with all that lies in it, the innermost first."""
        members = self.within.get(holder, ())
        runs = [[*self._of(i, None), i] if i in self.within else [i] for i in members]
        entry = np.array([self._entered(run[0]) for run in runs]).reshape(-1, 2)
        leave = np.array([self._left(run[-1]) for run in runs]).reshape(-1, 2)
        order: list[int] = []
        for k in tour(entry, leave, begin):
            place = self._left(order[-1]) if order else begin
            order += [*self._of(members[k], place), members[k]] if len(runs[k]) > 1 else runs[k]
        return order

    def _entered(self, index: int) -> Points:
        place: Points = self.paths[index].outline.contours[0].points[0]
        return place

    def _left(self, index: int) -> Points:
        return left_at(self.paths[index])


def left_at(path: Path) -> Points:
    """Where the knife is lifted after a shape."""
    place: Points = path.outline.contours[-1].points[0]
    return place


def in_knife_order(
    pieces: Sequence[Sequence[Path]], before: float = BLADE_SETTLES
) -> list[tuple[Path, ...]]:
    """The paths of each piece in knife order; `before` as of `cuts_of`."""
    return [cuts.in_order() for cuts in cuts_of(pieces, before)]


def cuts_of(pieces: Sequence[Sequence[Path]], before: float) -> list[Cuts]:
    """The cuts of each piece, each contour begun `before` mm before the end of a straight run."""
    begins = range(0, len(pieces), _BATCH)
    return [each for k in begins for each in _cuts_of(pieces[k : k + _BATCH], before)]


def _cuts_of(pieces: Sequence[Sequence[Path]], before: float) -> Iterator[Cuts]:
    paths = [path for piece in pieces for path in piece]
    which = np.repeat(np.arange(len(pieces)), [len(piece) for piece in pieces])
    cut = _innermost_first(begun(paths, before))
    holder_of = _enclosing_shapes([path.outline for path in paths], which) if paths else []
    at = 0
    for piece in pieces:
        end = at + len(piece)
        within: dict[int, list[int]] = {}
        for index, holder in enumerate(holder_of[at:end]):
            within.setdefault(holder - at if holder >= 0 else _PIECE, []).append(index)
        yield Cuts(tuple(cut[at:end]), within)
        at = end


# --- What lies in what ---


def _enclosing_shapes(outlines: Sequence[Outline], which: NDArray[np.int64]) -> list[int]:
    """For each shape the innermost of its piece that it lies in a hole of, or -1."""
    contours = [contour for outline in outlines for contour in outline.contours]
    owner = np.repeat(np.arange(len(outlines)), [len(outline.contours) for outline in outlines])
    points = np.vstack([contour.points for contour in contours])
    sizes = np.array([len(contour.points) for contour in contours])
    firsts = np.cumsum(sizes) - sizes
    low, high = np.minimum.reduceat(points, firsts), np.maximum.reduceat(points, firsts)
    of_owner = np.flatnonzero(np.diff(owner, prepend=-1))
    own_low, own_high = np.minimum.reduceat(low, of_owner), np.maximum.reduceat(high, of_owner)
    boxes = shapely.box(*low.T, *high.T)
    ring, inside = shapely.STRtree(shapely.box(*own_low.T, *own_high.T)).query(boxes)
    sound = (which[owner[ring]] == which[inside]) & (owner[ring] != inside)
    sound &= (low[ring] < own_low[inside]).all(axis=1) & (high[ring] > own_high[inside]).all(axis=1)
    ring, inside = ring[sound], inside[sound]
    found = [-1] * len(outlines)
    for k in np.argsort(-shapely.area(boxes[ring]), kind="stable"):
        if holds(contours[ring[k]].points, outlines[inside[k]].contours[0].points[0]):
            found[inside[k]] = int(owner[ring[k]])
    return found


def _innermost_first(paths: Sequence[Path]) -> list[Path]:
    """Each path with its contours from the innermost out, from left to right."""
    return [
        path
        if len(path.outline.contours) == 1
        else Path(path.cut, Outline(tuple(_nested(path.outline.contours))))
        for path in paths
    ]


def _nested(contours: Sequence[Contour]) -> list[Contour]:
    """Contours of one shape: left to right, each after all that lies in it."""
    left = [tuple(contour.points.min(axis=0).tolist()) for contour in contours]
    members: dict[int, list[int]] = {}
    holder_of = holders(contours)
    for index in sorted(range(len(contours)), key=left.__getitem__):
        members.setdefault(holder_of[index], []).append(index)

    def unrolled(outer: int) -> list[int]:
        return [i for inner in members.get(outer, []) for i in (*unrolled(inner), inner)]

    return [contours[i] for i in unrolled(-1)]
