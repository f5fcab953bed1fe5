"""Cut the sides once that weeding boxes have in common: a Sheet in, the same Sheet out.

Of two pieces that lie side against side, the one that is cut later cuts what they share. So no
line beside a piece is cut before all its letters are, though nothing would be lost otherwise:
film that is cut loose still sticks to its backing. What is left to the earlier piece of its box
are open lines; of one that shares nothing, the box is whole.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, permutations, product

import numpy as np
import shapely
from numpy.typing import NDArray

from legend.lettering.outlines.curve_points import Points
from legend.lettering.outlines.outline import mapped
from legend.stencil.sheet import Cut, Lines, Placed, Sheet

#: Lines no further apart than this are one, and shorter ones none, mm: a hundredth of what the eye
#: or the knife can tell.
_SAME = 1e-3

#: Of so many rows of lines, all orders are tried.
_FEW = 3


def with_sides_cut_once(sheet: Sheet, further: float) -> Sheet:
    """The sheet with each stretch of side cut by the last of the pieces along it alone.

    Of a knife that lags, open lines run on like all others, by `further` mm; but on both sides,
    since they do not come back to where they began, and no further than half way to a letter.
    """
    past = min(further, min(map(_stock_round, sheet.placed)) / 2) if further else 0.0
    rings = [_ring(placed) for placed in sheet.placed]
    every = [_Sides.of(ring) for ring in rings]
    ends = [_last_place(placed) for placed in sheet.placed]
    laid = []
    for index, placed in enumerate(sheet.placed):
        later = _Sides.joined(every[index + 1 :])
        rows = list(_left_of(rings[index], later))
        if len(rows) == 1 and len(rows[0]) == len(rings[index]) and _meet(rows[0][0], rows[0][-1]):
            laid.append(placed)
        else:
            onward = sheet.placed[index + 1 : index + 2]
            goal = _first_place(onward[0]) if onward else ends[index]
            rows = _in_short_travel(rows, ends[index], goal)
            laid.append(replace(placed, sides=Lines(Cut.WEEDING, tuple(rows), past)))
    return replace(sheet, placed=tuple(laid))


def _ring(placed: Placed) -> Points:
    """The corners of the weeding box as it lies on the sheet, the first again at the end."""
    (contour,) = placed.piece.edge.contours
    corners = contour.closed().points.tolist()
    return np.array([mapped(placed.affine, (x, y)) for x, y in corners])


def _stock_round(placed: Placed) -> float:
    """How near any other cut of a piece comes to its weeding box, mm."""
    cuts = [path.outline.shape for path in placed.piece.paths if path.cut is not Cut.WEEDING]
    return float(shapely.distance(placed.piece.edge.shape.exterior, cuts).min(initial=np.inf))


def _last_place(placed: Placed) -> Points:
    """Where the knife comes from to the weeding box."""
    paths = placed.piece.paths
    x, y = paths[-2 if len(paths) > 1 else -1].outline.contours[-1].points[0].tolist()
    return np.array(mapped(placed.affine, (x, y)))


def _first_place(placed: Placed) -> Points:
    """Where the knife begins with a piece."""
    x, y = placed.piece.paths[0].outline.contours[0].points[0].tolist()
    return np.array(mapped(placed.affine, (x, y)))


@dataclass(frozen=True, slots=True)
class _Sides:
    """Upright and level sides: along which axis each runs, at what place across it, from where
    to where along it.
    """

    axis: NDArray[np.intp]
    at: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]

    @classmethod
    def of(cls, ring: Points) -> _Sides:
        begin, end = ring[:-1], ring[1:]
        axis = np.abs(end - begin).argmax(axis=1)
        rows = np.arange(len(axis))
        along = begin[rows, axis], end[rows, axis]
        return cls(axis, begin[rows, 1 - axis], np.minimum(*along), np.maximum(*along))

    @classmethod
    def joined(cls, parts: Sequence[_Sides]) -> _Sides:
        none = np.empty(0)
        return cls(
            np.concatenate([none.astype(int), *(part.axis for part in parts)]),
            np.concatenate([none, *(part.at for part in parts)]),
            np.concatenate([none, *(part.low for part in parts)]),
            np.concatenate([none, *(part.high for part in parts)]),
        )

    def over(self, begin: Points, end: Points) -> list[tuple[float, float]]:
        """The stretches of a side that these lie on, from low to high."""
        axis = int(np.abs(end - begin).argmax())
        low, high = sorted((begin[axis], end[axis]))
        on = (self.axis == axis) & (np.abs(self.at - begin[1 - axis]) < _SAME)
        on &= (self.low < high - _SAME) & (self.high > low + _SAME)
        return sorted(zip(self.low[on].tolist(), self.high[on].tolist(), strict=True))


def _left_of(ring: Points, later: _Sides) -> Iterator[Points]:
    """What later pieces leave of a box, as rows of points: as long as they go without a break."""
    rows: list[list[Points]] = []
    for begin, end in pairwise(ring):
        for first, last in _left_of_side(begin, end, later):
            if rows and _meet(rows[-1][-1], first):
                rows[-1].append(last)
            else:
                rows.append([first, last])
    if len(rows) > 1 and _meet(rows[-1][-1], rows[0][0]):
        rows[0] = [*rows.pop(), *rows[0][1:]]
    return (np.array(row) for row in rows)


def _left_of_side(begin: Points, end: Points, later: _Sides) -> Iterator[tuple[Points, Points]]:
    """What is left of one side, in the direction in which it runs."""
    axis = int(np.abs(end - begin).argmax())
    backward = bool(end[axis] < begin[axis])
    reached, furthest = sorted((float(begin[axis]), float(end[axis])))
    free = []
    for low, high in [*later.over(begin, end), (furthest, furthest)]:
        if low > reached + _SAME:
            free.append((reached, low))
        reached = max(reached, high)
    for pair in reversed(free) if backward else free:
        places = np.array([begin, begin])
        places[:, axis] = pair[::-1] if backward else pair
        yield places[0], places[1]


def _meet(one: Points, other: Points) -> bool:
    return bool(np.abs(one - other).max() < _SAME)


def _in_short_travel(rows: Sequence[Points], place: Points, goal: Points) -> list[Points]:
    """The rows one after the other, either way round, with short travel from place to goal."""
    if len(rows) > _FEW:
        return list(_nearest_first(rows, place))
    either = [(row, row[::-1]) for row in rows]
    ways = (list(way) for order in permutations(either) for way in product(*order))
    return min(ways, key=lambda way: _travel(way, place, goal))


def _travel(rows: Sequence[Points], place: Points, goal: Points) -> float:
    begins = np.array([*(row[0] for row in rows), goal])
    ends = np.array([place, *(row[-1] for row in rows)])
    return float(np.hypot(*(begins - ends).T).sum())


def _nearest_first(rows: Sequence[Points], place: Points) -> Iterator[Points]:
    """The rows, each time the one that begins, or ends, nearest."""
    left = list(rows)
    while left:
        ways = [np.hypot(*(row[[0, -1]] - place).T) for row in left]
        nearest = min(range(len(left)), key=lambda i: float(ways[i].min()))
        row = left.pop(nearest)
        row = row if ways[nearest][0] <= ways[nearest][1] else row[::-1]
        yield row
        place = row[-1]
