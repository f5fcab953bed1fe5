"""Scan a polygon with parallel lines, and find where they run through ink.

To find where a bridge may stand, a polygon is turned so that the bridge would stand upright,
and cut by many upright lines. The stretches of ink on neighbouring lines that run between
the same two rings, one beside the other, make a `Strip`: a part of a stroke that a bridge
can cross.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from legend.lettering.outlines.curve_points import Points

Floats = NDArray[np.floating[Any]]

#: Lines are drawn so far off where they are wanted, mm, lest one run through the very corner of
#: a letter.
HAIR = 1e-7
#: The stock beyond the last ring on a line, mm: without end.
_ENDLESS = 1e3
#: How far apart lines are thought to be, mm, so that places on all of them can be put in order.
_APART = 1e6


@dataclass(frozen=True, slots=True, eq=False)
class Rings:
    """The edges of a polygon's rings: shape (n, 2), from and to, and the ring of each.

    Ring 0 is the outside; the others are the holes of the polygon in their order. `cramped`
    are the edges that no disc of the least bridge can touch. `free` are the edges, shape
    (n, 2, 2), of where the middles of such discs may lie that come from the sheet; None where
    they get everywhere. Stock where there is no free edge is a bay, which can hold nothing.
    """

    begin: Points
    end: Points
    ring: NDArray[np.int64]
    cramped: NDArray[np.bool_]
    free: Points | None = None

    @classmethod
    def of(cls, polygon: shapely.Polygon) -> Rings:
        """The rings of a polygon, no edge of them cramped."""
        points = [shapely.get_coordinates(r) for r in (polygon.exterior, *polygon.interiors)]
        ring = np.repeat(np.arange(len(points)), [len(p) - 1 for p in points])
        return cls(
            np.vstack([p[:-1] for p in points]),
            np.vstack([p[1:] for p in points]),
            ring,
            np.zeros(len(ring), dtype=bool),
        )

    def turned(self, degrees: float) -> Rings:
        """The rings turned counter-clockwise: what leans to the right by `degrees` is upright."""
        if not degrees:
            return self
        matrix = turn(degrees)
        free = None if self.free is None else self.free @ matrix
        return replace(self, begin=self.begin @ matrix, end=self.end @ matrix, free=free)

    def extent(self, ring: int) -> tuple[Floats, Floats]:
        """The lower left and the upper right corner of a ring's box."""
        points = self.begin[self.ring == ring]
        return points.min(axis=0), points.max(axis=0)


def simplified(polygon: shapely.Polygon, tolerance: float) -> shapely.Polygon:
    """A polygon of fewer points, none of its edges further off than this, mm; no hole is lost."""
    quick = polygon.simplify(tolerance, preserve_topology=False)
    if (
        quick.geom_type == "Polygon"
        and quick.is_valid
        and len(quick.interiors) == len(polygon.interiors)
    ):
        return quick
    slow = polygon.simplify(tolerance)
    return slow if slow.geom_type == "Polygon" and slow.is_valid else polygon


def turn(degrees: float) -> Floats:
    """The matrix that turns points, one a row, counter-clockwise."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return np.array([[c, s], [-s, c]])


@dataclass(frozen=True, slots=True, eq=False)
class Spans:
    """Where upright lines run through ink, line by line and from the bottom up.

    For each span: the index of its line, its ends, the rings it lies between, how much stock
    there is on the line below and above it, none where that is cramped, and whether that is
    a bay.
    """

    line: NDArray[np.int64]
    low: Floats
    high: Floats
    below: NDArray[np.int64]
    above: NDArray[np.int64]
    room_below: Floats
    room_above: Floats
    bay_below: NDArray[np.bool_]
    bay_above: NDArray[np.bool_]


def spans(rings: Rings, xs: Floats) -> Spans:
    """The spans of the upright lines at these places."""
    line, y, edge = _crossed(rings.begin, rings.end, xs)
    ring, roomy = rings.ring[edge], ~rings.cramped[edge]
    line, low, high = line[::2], y[::2], y[1::2]
    between = np.where(line[1:] == line[:-1], low[1:] - high[:-1], _ENDLESS)
    room_below = np.insert(between, 0, _ENDLESS) * roomy[::2]
    room_above = np.append(between, _ENDLESS) * roomy[1::2]
    ring_below, ring_above = ring[::2], ring[1::2]
    bay_below, bay_above = _bays(rings.free, xs, line, low, high)
    return Spans(
        line,
        low,
        high,
        ring_below,
        ring_above,
        room_below,
        room_above,
        bay_below & (ring_below == 0),
        bay_above & (ring_above == 0),
    )


def _bays(
    free: Points | None, xs: Floats, line: NDArray[np.intp], low: Floats, high: Floats
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Whether there is no free edge on its line between each span and the one below or above."""
    if free is None:
        none = np.zeros(len(line), dtype=bool)
        return none, none
    free_line, free_y, _ = _crossed(free[:, 0], free[:, 1], xs)
    free_places = free_line * _APART + free_y
    at_low = np.searchsorted(free_places, line * _APART + low)
    at_high = np.searchsorted(free_places, line * _APART + high)
    before = np.searchsorted(free_line, line)
    after = np.searchsorted(free_line, line, side="right")
    same = line[1:] == line[:-1]
    before[1:][same], after[:-1][same] = at_high[:-1][same], at_low[1:][same]
    return before == at_low, after == at_high


def over_bays(found: Spans) -> Spans:
    """Those spans as one, with the stock between them, that have nothing but a bay between."""
    joins = (found.line[1:] == found.line[:-1]) & found.bay_above[:-1] & found.bay_below[1:]
    first, last = np.append(True, ~joins), np.append(~joins, True)
    longer = np.flatnonzero(first) < np.flatnonzero(last)
    first, last = np.flatnonzero(first)[longer], np.flatnonzero(last)[longer]
    return Spans(
        found.line[first],
        found.low[first],
        found.high[last],
        found.below[first],
        found.above[last],
        found.room_below[first],
        found.room_above[last],
        found.bay_below[first],
        found.bay_above[last],
    )


def _crossed(
    begin: Points, end: Points, xs: Floats
) -> tuple[NDArray[np.intp], Floats, NDArray[np.intp]]:
    """Where upright lines cross edges: the line, how high, and the edge, from the bottom up."""
    x0, x1 = begin[:, 0], end[:, 0]
    edge, line = np.nonzero((x0[:, None] <= xs) != (x1[:, None] <= xs))
    part = (xs[line] - x0[edge]) / (x1[edge] - x0[edge])
    y0, y1 = begin[edge, 1], end[edge, 1]
    y = y0 + part * (y1 - y0)
    order = np.lexsort((y, line))
    return line[order], y[order], edge[order]


@dataclass(frozen=True, slots=True, eq=False)
class Strip:
    """Spans of neighbouring lines between the same two rings: `first` is their first line.

    `bay` is whether they end in one, line by line.
    """

    below: int
    above: int
    first: int
    low: Floats
    high: Floats
    room_below: Floats
    room_above: Floats
    bay: NDArray[np.bool_]


def strips(found: Spans) -> Iterator[Strip]:
    """The strips of ink that run between two different rings."""
    between = np.flatnonzero(found.below != found.above)
    bay = found.bay_below | found.bay_above
    growing: list[tuple[int, int, int, list[int]]] = []
    rows = zip(
        between.tolist(),
        found.line[between].tolist(),
        found.low[between].tolist(),
        found.high[between].tolist(),
        found.below[between].tolist(),
        found.above[between].tolist(),
        strict=True,
    )
    ends: list[tuple[float, float]] = []
    for index, line, low, high, below, above in rows:
        for number, (last_below, last_above, first, members) in enumerate(growing):
            last_low, last_high = ends[number]
            follows = first + len(members) == line and last_low < high and low < last_high
            if follows and last_below == below and last_above == above:
                members.append(index)
                ends[number] = (low, high)
                break
        else:
            growing.append((below, above, line, [index]))
            ends.append((low, high))
    for below, above, first, at in growing:
        room_below, room_above = found.room_below[at], found.room_above[at]
        low, high = found.low[at], found.high[at]
        yield Strip(below, above, first, low, high, room_below, room_above, bay[at])
