"""Plan the bridges of one letter: a polygon with holes in, `Bridge`s that tie each hole out.

Each hole is tied across the stroke to the stock outside, or to another hole that is. Bridges
are placed as a stencil cutter places them: upright, in one line through the letter, at the
middle of what they hold; all but small holes are held on two sides. Level and slanting
bridges are for strokes that no upright one crosses well. Where several places will do, the
one that takes the least paint is taken, unless it would leave a sliver of opening too thin
to paint.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Iterable, Iterator, Sequence

import numpy as np
import shapely

from legend.description.stock import StockLimits
from legend.stencil.crossings import Bridge, Crossing, crossings
from legend.stencil.sections import Rings
from legend.stencil.tongues import labelled, loose_tongues

#: An island wider than this many bridges is held on two sides. One wider than the second
#: number is too, where the second bridge costs no more than `_AS_MUCH` times the first: it is
#: for the eye, because a "b" with one gap reads as "h", and an "o" as "u".
_TWO_SIDED, _MAYBE_TWO_SIDED, _AS_MUCH = 3, 2, 1.5

#: Two bridges hold an island on two sides where they leave it at least this far apart, degrees.
_APART = 80.0

#: What a bridge costs beside an upright one in line that takes as much paint: one out of
#: line, a level one, a slanting one.
_OUT_OF_LINE, _LEVEL, _SLANTING = 1.5, 3.5, 4.5

#: The directions that bridges lean in: square to the letter, and where that does not do, all.
_SQUARE = (0.0, 90.0)
_ALL = (*_SQUARE, -45.0, 45.0, -22.5, 22.5, -67.5, 67.5)

#: How many plans are tried for one that leaves no sliver, and what is none, mm².
_TRIED, _NOTHING = 6, 1e-3


def plan(
    polygon: shapely.Polygon, width: float, limits: StockLimits, tied: Collection[int] = ()
) -> list[Bridge]:
    """Bridges of this width that tie every hole of a polygon to its outside.

    So are loose tongues of the stock outside. `tied` are the holes, counted from 1, that are
    tied already. A hole that no straight bridge reaches is left out; the caller sees to it.
    """
    tongues = loose_tongues(polygon, limits)
    if not tongues and len(tied) == len(polygon.interiors):
        return []
    letter = _Letter(polygon, tongues, width, limits)
    bridges: list[Bridge] = []
    held = {0, *tied}
    for column in letter.columns(held):
        bridges += letter.tie(column, held)
        held |= set(column)
    return bridges


class _Letter:
    """A polygon whose holes are to be tied, and the places where it can be bridged."""

    def __init__(
        self,
        polygon: shapely.Polygon,
        tongues: Sequence[shapely.Polygon],
        width: float,
        limits: StockLimits,
    ) -> None:
        self._polygon = polygon
        self._width = width
        self._rings = labelled(Rings.of(polygon), tongues)
        self._holes = len(polygon.interiors)
        self._thin = limits.stroke * 0.49
        self._worn = _worn(polygon, self._thin)
        self._extents = [self._rings.extent(k) for k in range(int(self._rings.ring.max()) + 1)]
        self._crossings: dict[float, list[Crossing]] = {}

    def columns(self, held: Collection[int]) -> Iterator[list[int]]:
        """Holes that one upright line can run through, column by column from the left.

        Those that are held already are left out.
        """
        column: list[int] = []
        right = -math.inf
        loose = set(range(1, len(self._extents))) - set(held)
        order = sorted(loose, key=lambda ring: self._extents[ring][0][0])
        for ring in order:
            low, high = self._extents[ring]
            if column and (low[0] + high[0]) / 2 > right:
                yield column
                column, right = [], -math.inf
            column.append(ring)
            right = max(right, float(high[0]))
        if column:
            yield column

    def tie(self, column: Sequence[int], held: Collection[int]) -> list[Bridge]:
        """The bridges of a column of holes, in one line where that can be.

        Where a bridge leaves a sliver, its place is struck off and the column planned anew.
        """
        leans: Sequence[float] = _SQUARE
        struck: list[Bridge] = []
        best: list[Bridge] = []
        least = math.inf
        for _ in range(_TRIED):
            bridges = self._cheapest(column, held, leans, struck)
            if leans is _SQUARE and (bridges is None or not self._holds(bridges, column)):
                leans = _ALL
                bridges = self._cheapest(column, held, leans, struck)
            if bridges is None:
                break
            sliver = self._sliver(bridges)
            if sliver < least - _NOTHING:
                best, least = bridges, sliver
            if sliver < _NOTHING:
                break
            guilty = [bridge for bridge in bridges if self._sliver([bridge]) > _NOTHING]
            struck += guilty or bridges
            leans = _ALL
        return best

    def _places(self, degrees: float) -> list[Crossing]:
        """Where bridges that lean by these degrees may stand."""
        if degrees not in self._crossings:
            turned = self._rings.turned(degrees)
            found = crossings(turned, degrees, self._width)
            self._crossings[degrees] = [
                self._well_inside(crossing) if self._frees_tongue(crossing) else crossing
                for crossing in found
            ]
        return self._crossings[degrees]

    def _frees_tongue(self, crossing: Crossing) -> bool:
        return min(crossing.rings) == 0 and max(crossing.rings) > self._holes

    def _well_inside(self, crossing: Crossing) -> Crossing:
        """The places that leave a least stroke on both sides: a tongue is not tied at its tip."""
        margin = self._width / 2 + 2 * self._thin
        first, last = crossing.ends
        return crossing.at((crossing.x >= first + margin) & (crossing.x <= last - margin))

    def _cheapest(
        self,
        column: Sequence[int],
        held: Collection[int],
        leans: Iterable[float],
        struck: Sequence[Bridge],
    ) -> list[Bridge] | None:
        """The cheapest plan of all lines that the bridges may stand in; None where none is."""
        allowed = {*column, *held}
        upright: list[Crossing] = []
        anywhere: list[Bridge] = []
        for degrees in leans:
            factor = _OUT_OF_LINE if not degrees else _LEVEL if degrees == 90 else _SLANTING
            for place in self._places(degrees):
                crossing = place.without(struck) if struck else place
                if allowed.issuperset(crossing.rings) and len(crossing.x):
                    anywhere.append(crossing.bridge(int(crossing.cost.argmin()), factor))
                    upright += [] if degrees else [crossing]
        cheapest, least = None, math.inf
        for x in self._lines(column, upright):
            in_line = []
            for crossing in upright:
                index = int(np.abs(crossing.x - x).argmin())
                if abs(crossing.x[index] - x) <= self._width / 8:
                    in_line.append(crossing.bridge(index, 1.0))
            candidates = sorted([*in_line, *anywhere], key=lambda bridge: bridge.cost)
            bridges = self._chosen(column, held, candidates)
            if bridges is not None and (cost := sum(b.cost for b in bridges)) < least:
                cheapest, least = bridges, cost
        return cheapest

    def _lines(self, column: Sequence[int], upright: Sequence[Crossing]) -> list[float]:
        """The lines to try: across each hole, and where each strip is bridged most cheaply."""
        found: list[float] = []
        for ring in column:
            low, high = self._extents[ring]
            middle, half = (low[0] + high[0]) / 2, (high[0] - low[0]) / 2
            found += (middle + half * np.linspace(-0.75, 0.75, 7)).tolist()
        found += [float(c.x[c.cost.argmin()]) for c in upright]
        return found

    def _chosen(
        self, column: Sequence[int], held: Collection[int], candidates: Sequence[Bridge]
    ) -> list[Bridge] | None:
        """The cheapest bridges that tie a column, wide holes on two sides; None if none do."""
        part = {ring: ring if ring in column else 0 for ring in (*column, *held)}
        chosen: list[Bridge] = []
        for bridge in candidates:
            a, b = (part[ring] for ring in bridge.rings)
            if a != b:
                chosen.append(bridge)
                part = {ring: min(a, b) if of in (a, b) else of for ring, of in part.items()}
        if any(part.values()):
            return None
        for ring in column:
            size = self._size(ring)
            if size > _MAYBE_TWO_SIDED and not self._on_two_sides(ring, chosen):
                more = self._second(ring, chosen, candidates)
                most = min(bridge.cost for bridge in chosen if ring in bridge.rings) * _AS_MUCH
                if more and (size > _TWO_SIDED or more.cost <= most):
                    chosen.append(more)
        return chosen

    def _size(self, ring: int) -> float:
        """How large a hole is, in widths of its bridges; a tongue needs but one, as if small."""
        if ring > self._holes:
            return 0.0
        low, high = self._extents[ring]
        return float((high - low).max() / self._width)

    def _holds(self, bridges: Sequence[Bridge], column: Sequence[int]) -> bool:
        """Whether every hole that needs it is held on two sides."""
        large = (ring for ring in column if self._size(ring) > _TWO_SIDED)
        return all(self._on_two_sides(ring, bridges) for ring in large)

    def _on_two_sides(self, ring: int, bridges: Sequence[Bridge]) -> bool:
        ways = [self._way(ring, bridge) for bridge in bridges if ring in bridge.rings]
        return any(_apart(a, b) >= _APART for a, b in itertools.combinations(ways, 2))

    def _second(
        self, ring: int, chosen: Sequence[Bridge], candidates: Sequence[Bridge]
    ) -> Bridge | None:
        """The cheapest bridge that holds a hole on another side than those it has."""
        ways = [self._way(ring, bridge) for bridge in chosen if ring in bridge.rings]
        for bridge in candidates:
            if ring in bridge.rings:
                way = self._way(ring, bridge)
                if any(_apart(way, other) >= _APART for other in ways):
                    return bridge
        return None

    def _way(self, ring: int, bridge: Bridge) -> float:
        """The direction in which a bridge leaves a hole, degrees."""
        low, high = self._extents[ring]
        x, y = bridge.middle - (low + high) / 2
        return math.degrees(math.atan2(y, x))

    def _sliver(self, bridges: Sequence[Bridge]) -> float:
        """How much opening too thin to paint these bridges leave, mm².

        Corners do not count: a disc of the least width leaves a little in each of them too.
        """
        taken = shapely.union_all(shapely.polygons([bridge.corners for bridge in bridges]))
        left = self._polygon.difference(taken)
        parts = shapely.area(shapely.get_parts(left))
        crumbs = float(parts[parts < 4 * self._thin**2].sum())
        allowed = (_CORNERS * len(bridges) + _GRACE) * self._thin**2
        return crumbs + max(0.0, _worn(left, self._thin) - self._worn - allowed)


#: What a disc of radius 1 leaves in the four corners beside a straight bridge, and the grace
#: given to a letter for corners that are sharper than square.
_CORNERS, _GRACE = 0.86, 2.0


def _worn(shape: shapely.Geometry, thin: float) -> float:
    """The area of what a disc of this radius cannot reach inside a shape."""
    reached = shape.buffer(-thin, quad_segs=6).buffer(thin, quad_segs=6)
    return float(shape.area - reached.area)


def _apart(a: float, b: float) -> float:
    """The angle between two directions, degrees."""
    return abs((a - b + 180) % 360 - 180)
