"""Draw the weeding boxes of what is to be cut: one round each thing, none over another.

The extents of things go in, and edges come out, one for each piece, with what is on it:

1. Round every thing runs a box, the margin away, its sides at whole steps from the lines that
   pieces are set off from, so that they can be set off with a rule.
2. Where two boxes overlap and there is film enough between the things, the boxes give way to
   each other: they share a side in the middle of the gap.
3. Things that stand too near to each other for that, or in each other's way, travel on one
   piece; and so does what lies in the midst of them, as what a frame encloses.
4. The edge of such a piece is the rectangle round its boxes where that is in nobody's way;
   else the joined outline of the boxes, with corners. So a piece never takes in others
   because of its size.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from legend.lettering.outlines.boolean import from_shape
from legend.lettering.outlines.connected import components
from legend.lettering.outlines.outline import Outline

Boxes = NDArray[np.float64]

#: Lengths that differ by less are the same, mm.
_SAME = 1e-6
#: Notches of an edge that are narrower than this are filled, mm: nobody trims tape so finely.
_NOTCH = 3.0


@dataclass(frozen=True, slots=True)
class Interlocked:
    """Two things that cannot be cut apart: which they are, and how far one would have to move."""

    first: int
    second: int
    move: float


@dataclass(frozen=True, slots=True)
class BoxSizes:
    """How boxes are drawn, mm: the `margin` round a thing, where another is near at the `least`
    so much, and the `step` of a rule that their sides stand on, counted from an `origin` across
    and up the panel.
    """

    margin: float
    least: float
    step: float
    origin: tuple[float, float] = (0.0, 0.0)


def weeding_boxes(
    extents: Boxes, sizes: BoxSizes
) -> tuple[list[tuple[list[int], Outline]], list[Interlocked]]:
    """The pieces that things with these extents, shape (n, 4), make: members and edge of each;
    and which of the things would not be parted.
    """
    boxes = boxes_round(extents, sizes)
    overlapping = list(_overlapping(boxes))
    interlocked = [
        Interlocked(i, j, 2 * sizes.least - apart)
        for i, j in overlapping
        if (apart := float(_apart(extents, i, j).max())) < 2 * sizes.least - _SAME
    ]
    for i, j in overlapping:
        _part(boxes, extents, i, j, sizes)
    pieces = _gathered(boxes, extents, interlocked)
    return [(members, from_shape(edge)) for members, edge in pieces], interlocked


def boxes_round(extents: Boxes, sizes: BoxSizes) -> Boxes:
    """The boxes at the margin round these extents, their sides at whole steps."""
    step, margin, origin = sizes.step, sizes.margin, np.array(sizes.origin)
    low = np.floor((extents[:, :2] - margin - origin) / step + _SAME)
    high = np.ceil((extents[:, 2:] + margin - origin) / step - _SAME)
    return np.hstack([low * step + origin, high * step + origin])


def _overlapping(boxes: Boxes) -> Iterator[tuple[int, int]]:
    """The pairs of boxes that have more than a side in common, in the order of their numbers."""
    around = shapely.box(*boxes.T)
    a, b = shapely.STRtree(around).query(around, "intersects")
    over = np.minimum(boxes[a, 2:], boxes[b, 2:]) - np.maximum(boxes[a, :2], boxes[b, :2])
    crossing = (a < b) & (over > _SAME).all(axis=1)
    yield from sorted(zip(a[crossing].tolist(), b[crossing].tolist(), strict=True))


def _apart(extents: Boxes, i: int, j: int) -> NDArray[np.float64]:
    """How far two things stand apart across and up the panel; less than 0 where they overlap."""
    one, other = extents[i], extents[j]
    apart: Boxes = np.maximum(other[:2] - one[2:], one[:2] - other[2:])
    return apart


def _part(boxes: Boxes, extents: Boxes, i: int, j: int, sizes: BoxSizes) -> None:
    """Give two boxes a side in common, across the wider gap; where there is one."""
    apart = _apart(extents, i, j)
    axis = int(apart.argmax())
    if apart[axis] < 2 * sizes.least - _SAME:
        return
    first, second = (i, j) if extents[i, axis] < extents[j, axis] else (j, i)
    middle = (extents[first, axis + 2] + extents[second, axis]) / 2
    origin = sizes.origin[axis]
    at = round((middle - origin) / sizes.step) * sizes.step + origin
    boxes[first, axis + 2] = min(boxes[first, axis + 2], at)
    boxes[second, axis] = max(boxes[second, axis], at)


def _gathered(
    boxes: Boxes, extents: Boxes, interlocked: Sequence[Interlocked]
) -> list[tuple[list[int], Polygon]]:
    """The pieces: those that interlock together, and with them what lies in their midst."""
    pairs = [(each.first, each.second) for each in interlocked]
    things = shapely.box(*extents.T)
    while True:
        a, b = np.array(pairs, dtype=int).reshape(-1, 2).T
        piece_of = components(len(boxes), a, b)
        pieces = [np.flatnonzero(piece_of == k).tolist() for k in dict.fromkeys(piece_of.tolist())]
        edges = [_joined(boxes[members]) for members in pieces]
        on, inside = shapely.STRtree(edges).query(things, "intersects")[::-1]
        within = [
            (pieces[k][0], thing)
            for k, thing in zip(on.tolist(), inside.tolist(), strict=True)
            if thing not in pieces[k] and edges[k].intersection(things[thing]).area > _SAME
        ]
        if not within:
            return list(zip(pieces, _made_plain(edges), strict=True))
        pairs += within


def _joined(boxes: Boxes) -> Polygon:
    """The joined outline of some boxes, or the rectangle round them where they do not meet."""
    joined = shapely.union_all(shapely.box(*boxes.T))
    if isinstance(joined, Polygon):
        return Polygon(joined.exterior)
    return shapely.box(*shapely.total_bounds(joined))


def _made_plain(edges: Sequence[Polygon]) -> list[Polygon]:
    """The edges with as few corners as they can have without getting in each other's way."""
    plain = list(edges)
    for index, edge in enumerate(edges):
        others = [other for k, other in enumerate(plain) if k != index]
        tree = shapely.STRtree(others)
        for simpler in (shapely.box(*edge.bounds), _without_notches(edge)):
            near = [others[k] for k in tree.query(simpler)]
            if all(simpler.intersection(other).area < _SAME for other in near):
                plain[index] = simpler
                break
    return [shapely.simplify(edge, _SAME) for edge in plain]


def _without_notches(edge: Polygon) -> Polygon:
    """An edge of upright and level sides, its narrow notches filled."""
    half = _NOTCH / 2
    filled = edge.buffer(half, join_style="mitre").buffer(-half, join_style="mitre")
    return Polygon(np.round(shapely.get_coordinates(filled.exterior), 9))
