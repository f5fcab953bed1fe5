"""Measure a letter to be bridged: its holes, and where bridges may stand.

Ring 0 is its outside, the rings after it are its holes, and the rings after these
are loose tongues of the stock outside, which are tied as holes are.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely

from legend.description.tables.stock import StockLimits
from legend.standards import LONGEST_TONGUE_BRIDGE
from legend.stencil.bridging.crossings import STEEPEST, Bridge, Crossing, crossings
from legend.stencil.bridging.flush import Edges
from legend.stencil.bridging.scan_lines import Floats, Rings, simplified, spans

#: Two bridges hold an island on two sides where they leave it at least this far apart, degrees.
_APART = 80.0

#: A letter is the same on both sides of its axis where its edges at some levels (as parts of
#: its height) are no further off their counterparts than this part of its width. A hole is on
#: the axis where it is off it by no more than the other part.
_LEVELS = np.linspace(0.04, 0.96, 14)
_UNLIKE, _OFF_AXIS = 0.025, 0.015
_ABOVE_TAIL = _LEVELS[_LEVELS > 0.45]

#: A stem's edge is straight along this part of a hole's height at least, within that part of
#: it; and another's beside the same stem, which may be waisted, is no further off than the third.
_STRAIGHT, _EDGE = 0.6, 0.02
_SAME_STEM = 0.08

#: So much of the height of a hole, all but its ends, a stem beside it is looked at; and at how many
#: levels.
_BESIDE, _MANY = 0.8, 12

#: A hole is a triangle where it strays from one by no more than this part of its size. It tapers
#: where near its top it is less than that part of what it is near its foot, so far from each as
#: parts of its height.
_TRIANGULAR = 0.12
_TAPERS, _NEAR_ENDS = 0.6, 0.15

#: Holes lie side by side where they overlap by this part of their height.
_SIDE_BY_SIDE = 0.25

#: A hole is the same on both sides where it and its mirror image differ by no more than this part
#: of its area.
_MIRRORED = 0.06

#: What a disc of radius 1 leaves in the four corners beside a straight bridge, and the grace
#: given to a letter for corners that are sharper than square.
_CORNERS, _GRACE = 0.86, 2.0

#: How roughly a letter is looked at for slivers, mm, and discs are drawn, sides to a quarter.
_ROUGH, _ROUND = 0.02, 5

#: What a part that is a sliver altogether counts as, mm².
_CRUMB = 1.0

#: Bridges in one line are no further out of it than this, mm.
_IN_LINE = 0.008

#: How far within an opening a thick place must reach for it to be the opening's own, mm.
_WITHIN = 0.05


@dataclass(frozen=True, slots=True)
class Stem:
    """Where the edge of a stem is, and on which side of it the holes are: 1 to its right, -1 to its
    left; and whether these are round there, and bounded by no straight edge.
    """

    edge: float
    side: int
    is_round: bool


class BridgedLetter:
    """A polygon whose holes are to be tied by bridges `width` wide.

    `waist` is the height at which bridges that lie level are cut in all letters of its face, that
    they may line up; None for what is no letter of a text.
    """

    def __init__(
        self,
        polygon: shapely.Polygon,
        rings: Rings,
        width: float,
        limits: StockLimits,
        waist: float | None = None,
    ) -> None:
        self.width = width
        self.waist = waist
        self._polygon = polygon
        self._rings = rings
        self._holes = len(polygon.interiors)
        self._thin = limits.stroke * 0.49
        self._rough = simplified(polygon, _ROUGH)
        self._core = self._rough.buffer(-self._thin, quad_segs=_ROUND)
        self._worn = _worn(self._rough, self._core, self._thin)
        self._extents = [self._rings.extent(k) for k in range(int(self._rings.ring.max()) + 1)]
        self._edges = Edges(polygon, limits.stroke)
        self._crossings: dict[float, list[Crossing]] = {}

    # --- Its holes ---

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

    def extent(self, ring: int) -> tuple[Floats, Floats]:
        """The lower left and the upper right corner of a ring's box."""
        return self._extents[ring]

    def is_tongue(self, ring: int) -> bool:
        """Whether a ring is no hole but a loose tongue."""
        return ring > self._holes

    def middle(self, ring: int) -> tuple[float, float]:
        """The middle of a ring's box."""
        x, y = ((self._extents[ring][0] + self._extents[ring][1]) / 2).tolist()
        return x, y

    def longest_side(self, ring: int) -> float:
        """The longer side of a ring's box, mm; none of a tongue, which needs but one bridge."""
        low, high = self._extents[ring]
        return 0.0 if self.is_tongue(ring) else float((high - low).max())

    def size(self, ring: int) -> float:
        """How large a hole is, in widths of its bridges; a tongue needs but one, as if small.

        What tapers upwards in a letter, as in an "A", hangs by its foot, and counts by its width.
        """
        if self.is_tongue(ring):
            return 0.0
        low, high = self._extents[ring]
        size = high[0] - low[0] if self.tapers(ring) else (high - low).max()
        return float(size / self.width)

    def axis(self, column: Sequence[int]) -> float | None:
        """The upright axis of a letter that is the same on both sides, if these holes lie on it."""
        low, high = self._extents[0]
        axis = float(low[0] + high[0]) / 2
        off = _OFF_AXIS * float(high[0] - low[0])
        if all(abs(self.middle(ring)[0] - axis) <= off for ring in column):
            return axis if self._is_alike(axis, _LEVELS) else None
        # A "Q" is an "O" but for its tail.
        own = self.axis_of_holes(column) if self.waist is not None else None
        return own if own is not None and self._is_alike(own, _ABOVE_TAIL) else None

    def _is_alike(self, axis: float, levels: Floats) -> bool:
        """Whether the letter is the same on both sides of an upright axis, at these levels."""
        low, high = self._extents[0]
        levels = low[1] + (high[1] - low[1]) * levels
        found = spans(self._on_side, np.sort(-levels))
        left = np.column_stack([found.low, found.high]).ravel()
        line = np.repeat(found.line, 2)
        right = 2 * axis - left[np.lexsort((-left, line))]
        return bool(np.abs(left - right).max() < _UNLIKE * (high[0] - low[0]))

    def is_triangular(self, ring: int) -> bool:
        """Whether a hole is a triangle, as in an "A" or a "4"."""
        if self.is_tongue(ring):
            return False
        low, high = self._extents[ring]
        hole = shapely.Polygon(self._polygon.interiors[ring - 1])
        corners = hole.simplify(_TRIANGULAR * float((high - low).min())).exterior.coords
        return len(corners) <= 4

    def is_slashed(self, column: Sequence[int]) -> bool:
        """Whether holes lie side by side, so that a stroke runs slantwise between them."""
        if any(self.is_tongue(ring) for ring in column):
            return False
        low, high = (np.array([self.extent(ring)[k][1] for ring in column]) for k in (0, 1))
        return bool(high.min() - low.max() > _SIDE_BY_SIDE * (high.max() - low.min()))

    def tapers(self, ring: int) -> bool:
        """Whether a hole of a letter is much narrower near its top than near its foot, between two
        legs that lean towards each other.
        """
        return self.waist is not None and not self.is_tongue(ring) and self._tapering[ring - 1]

    @cached_property
    def _tapering(self) -> list[bool]:
        """Which of the holes taper upwards."""
        return [_tapers(shapely.Polygon(hole)) for hole in self._polygon.interiors]

    def axis_of_holes(self, column: Sequence[int]) -> float | None:
        """The upright axis of holes that are each the same on both sides of it."""
        if any(self.is_tongue(ring) for ring in column):
            return None
        middles = [self.middle(ring)[0] for ring in column]
        holes = (shapely.Polygon(self._polygon.interiors[ring - 1]) for ring in column)
        if max(middles) - min(middles) > self._slack(column[0]):
            return None
        return middles[0] if all(map(_is_mirrored, holes)) else None

    def stem(self, column: Sequence[int]) -> Stem | None:
        """The stem of a "B" or a "d", which bounds all these holes on the same side, upright and
        straight; None where there is none, or one on both sides.
        """
        if any(self.is_tongue(ring) for ring in column):
            return None
        at: list[Stem] = []
        for sign, side in ((1, 0), (-1, 1)):
            edges = [self._stem_edge(ring, side) for ring in column]
            is_round = any(edge is None for edge in edges)
            if is_round:
                edges = [self._edge_beside_stem(ring, side) for ring in column]
            found = [edge for edge in edges if edge is not None]
            low, high = self._extents[column[0]]
            apart = _SAME_STEM * float(high[1] - low[1])
            if len(found) == len(edges) and max(found) - min(found) < apart:
                at.append(Stem(min(found) if side else max(found), sign, is_round))
        return at[0] if len(at) == 1 else None

    def _edge_beside_stem(self, ring: int, side: int) -> float | None:
        """The x of the left (0) or right (1) edge of a round hole beside a stem, as in a "b".

        The stem is told by its far side, which is upright and straight.
        """
        if self.waist is None:
            return None
        low, high = self._extents[ring]
        middle, half = (low[1] + high[1]) / 2, _BESIDE * (high[1] - low[1]) / 2
        levels = np.linspace(middle - half, middle + half, _MANY)
        found = spans(self._on_side, np.sort(-levels))
        beside = (found.below, found.above)[1 - side] == ring
        far = (found.high if side else found.low)[beside]
        lines = found.line[beside]
        if len(np.unique(lines)) < _MANY or np.ptp(far) > self._slack(ring):
            return None
        return float((low, high)[side][0])

    @cached_property
    def _on_side(self) -> Rings:
        return self._rings.turned(90.0)

    def _stem_edge(self, ring: int, side: int) -> float | None:
        """The x of the left (0) or right (1) edge of a hole, if it is straight and upright.

        Of a stem that is waisted, it is where the stem is broadest.
        """
        low, high = self._extents[ring]
        x = float((low, high)[side][0])
        along = self._rings.ring == ring
        begin, end = self._rings.begin[along], self._rings.end[along]
        slack = self._slack(ring)
        upright = (np.abs(begin[:, 0] - x) < slack) & (np.abs(end[:, 0] - x) < slack)
        length = np.abs(end[upright, 1] - begin[upright, 1]).sum()
        if length < _STRAIGHT * (high[1] - low[1]):
            return None
        return float(begin[upright, 0].min() if side else begin[upright, 0].max())

    def _slack(self, ring: int) -> float:
        low, high = self._extents[ring]
        return _EDGE * float(high[1] - low[1])

    # --- Its bridges ---

    def places(
        self, degrees: float, struck: Sequence[Bridge] = (), steepest: float = STEEPEST
    ) -> Iterator[Crossing]:
        """Where bridges that lean by these degrees may stand, less where those struck stood.

        No stroke climbs more steeply there than by this tangent.
        """
        if degrees not in self._crossings:
            turned = self._rings.turned(degrees)
            found = crossings(turned, degrees, self.width, self.waist is not None)
            self._crossings[degrees] = [
                self._good_for_tongue(crossing) if self._frees_tongue(crossing) else crossing
                for crossing in found
            ]
        for crossing in self._crossings[degrees]:
            left = crossing.without(struck) if struck else crossing
            left = left.at(left.climb <= steepest)
            if len(left.x):
                yield left

    def _frees_tongue(self, crossing: Crossing) -> bool:
        return min(crossing.rings) == 0 and self.is_tongue(max(crossing.rings))

    def _good_for_tongue(self, crossing: Crossing) -> Crossing:
        """Short bridges that leave a least stroke on both sides: no tongue is tied at its tip."""
        margin = self.width / 2 + 2 * self._thin
        first, last = crossing.ends
        good = (crossing.x >= first + margin) & (crossing.x <= last - margin)
        return crossing.at(
            good & (crossing.high - crossing.low <= LONGEST_TONGUE_BRIDGE * self.width)
        )

    def flush(self, bridges: Sequence[Bridge]) -> list[Bridge]:
        """The bridges of a letter, each along the edge of the stroke beside it; others as they
        are.
        """
        if self.waist is None:
            return [*bridges]
        laid = [self._edges.flush(bridge) for bridge in bridges]
        # Bridges in one line, as beside a stem that is waisted, stay in line with each other;
        # at a joint the edge of the stroke comes first.
        return [
            bridge
            if not bridge.joint
            and any(
                not own.joint and own.is_in_line(bridge) and abs(other.foot - each.foot) > _IN_LINE
                for own, other in zip(bridges, laid, strict=True)
            )
            else each
            for bridge, each in zip(bridges, laid, strict=True)
        ]

    def on_two_sides(self, ring: int, bridges: Sequence[Bridge]) -> bool:
        """Whether these bridges leave a hole in ways that are well apart."""
        own = [bridge for bridge in bridges if ring in bridge.rings]
        return any(self._are_apart(ring, a, b) for a, b in itertools.combinations(own, 2))

    def is_another_side(self, ring: int, bridge: Bridge, bridges: Sequence[Bridge]) -> bool:
        """Whether a bridge holds a hole on another side than one of these does."""
        return any(self._are_apart(ring, bridge, other) for other in bridges if ring in other.rings)

    def _are_apart(self, ring: int, one: Bridge, other: Bridge) -> bool:
        """Whether two bridges hold a hole on two sides; what tapers stands on both ends of its
        foot.
        """
        if _apart(self._way(ring, one), self._way(ring, other)) >= _APART:
            return True
        middle, _ = self.middle(ring)
        left, right = sorted((float(one.middle[0]), float(other.middle[0])))
        return self.tapers(ring) and left < middle < right

    def _way(self, ring: int, bridge: Bridge) -> float:
        """The direction in which a bridge leaves a hole, degrees."""
        low, high = self._extents[ring]
        x, y = bridge.middle - (low + high) / 2
        return math.degrees(math.atan2(y, x))

    def sliver(self, bridges: Sequence[Bridge]) -> float:
        """How much opening too thin to paint these bridges leave, mm²; a crumb is much too much.

        Corners do not count: a disc of the least width leaves a little in each of them too.
        """
        taken = shapely.union_all([shapely.Polygon(bridge.corners) for bridge in bridges])
        left = self._rough.difference(taken)
        core = left.buffer(-self._thin, quad_segs=_ROUND)
        parts = shapely.get_parts(left)
        thin = parts[~shapely.intersects(core, parts)]
        # What was as thin before, such as a hair line, is no sliver, unless it is a crumb.
        was_thick = shapely.intersects(self._core, shapely.buffer(thin, -_WITHIN))
        crumbs = thin[was_thick | (shapely.area(thin) < 4 * self._thin**2)]
        allowed = (_CORNERS * len(bridges) + _GRACE) * self._thin**2
        worn = _worn(left, core, self._thin) - self._worn - allowed
        return _CRUMB * len(crumbs) + max(0.0, worn)


def _tapers(hole: shapely.Polygon) -> bool:
    """Whether a hole is much narrower near its top than near its foot."""
    x0, y0, x1, y1 = hole.bounds
    near = _NEAR_ENDS * (y1 - y0)
    foot, top = (
        shapely.LineString([(x0 - 1, y), (x1 + 1, y)]).intersection(hole).length
        for y in (y0 + near, y1 - near)
    )
    return bool(top < _TAPERS * foot)


def _is_mirrored(hole: shapely.Polygon) -> bool:
    """Whether a hole is the same on both sides of the middle of its box."""
    x0, _, x1, _ = hole.bounds
    other = shapely.transform(hole, lambda points: points * (-1, 1) + (x0 + x1, 0))
    return bool(hole.symmetric_difference(other).area < _MIRRORED * hole.area)


def _worn(shape: shapely.Geometry, core: shapely.Geometry, radius: float) -> float:
    """The area inside a shape of what a disc cannot reach whose middle keeps to the core."""
    return float(shape.area - core.buffer(radius, quad_segs=_ROUND).area)


def _apart(a: float, b: float) -> float:
    """The angle between two directions, degrees."""
    return abs((a - b + 180) % 360 - 180)
