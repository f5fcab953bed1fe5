"""Find where the strokes of a letter can be bridged.

A bridge is sought across each strip of ink that runs between two rings, in one direction at
a time: the letter is turned so that the bridge would stand upright.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from legend.lettering.outlines.curve_points import Points
from legend.stencil.bridging.joints import joint_places
from legend.stencil.bridging.scan_lines import (
    HAIR,
    Floats,
    Rings,
    Spans,
    Strip,
    over_bays,
    spans,
    strips,
    turn,
)

#: Lines drawn to either side of the middle of a bridge, to find where it may stand; and drawn to
#: either side of all holes, to see what their strokes end against.
_HALF, _BEYOND = 4, 40

#: How far a bridge runs on into the stock at both ends, mm, so that no film of opening is left.
_OVERRUN = 0.02
#: So many times as far as it runs on, its corner keeps off an edge that it begins at.
_OFF_EDGE = 1.2

#: The steepest that a stroke may climb across a bridge: the tangent of 50 degrees; and where it
#: climbs to a stem, of 68 degrees, as the diagonal of a 4 does.
STEEPEST, STEEPEST_AT_STEM = 1.2, 2.5

#: How far a bridge at a joint keeps off the stroke that passes, mm, lest it shave its edge.
_CLEAR = 0.012

#: So many times cheaper a bridge is at a joint of two strokes than one that severs a stroke: more
#: than any direction costs, so that a joint is always taken first.
_JOINT = 5.0

#: What is added to the cost of a bridge at the edge of the hole it holds, beside the middle;
#: and to that of one which leads to stock of no width at all.
_OFF_CENTRE, _CRAMPED = 0.6, 4.0


@dataclass(frozen=True, slots=True)
class Bridge:
    """A bridge `width` wide along the line at `x`, from `low` to `high`, in a turned polygon.

    The polygon was turned counter-clockwise by `degrees` to make the bridge stand upright.
    `rings` are the two that it joins; `cost` is the paint it takes in mm², weighted. A bridge
    `over_bay` crosses stock that can hold nothing, from one stroke to another. At a `joint` it
    costs less than elsewhere.

    `side` is the lower and the upper end of a side that is laid along the edge of a stroke beside
    it, in the turned polygon, and whether that edge begins there; empty where it is upright.
    """

    degrees: float
    x: float
    low: float
    high: float
    width: float
    rings: tuple[int, int]
    cost: float
    over_bay: bool = False
    joint: bool = False
    side: tuple[tuple[float, float, bool], ...] = ()

    @property
    def cost_elsewhere(self) -> float:
        """What it would cost if it were at no joint."""
        return self.cost * (_JOINT if self.joint else 1.0)

    @property
    def corners(self) -> Points:
        """The rectangle to take away, a little longer than the stroke is wide, from the polygon
        as it was."""
        x0, x1 = self.x - self.width / 2, self.x + self.width / 2
        low, high = self.low - _OVERRUN, self.high + _OVERRUN
        upright = np.array([(x0, low), (x1, low), (x1, high), (x0, high)])
        return (self._beside if self.side else upright) @ turn(-self.degrees)

    @property
    def foot(self) -> float:
        """Where the left edge of the bridge is at most, in the turned polygon."""
        return float((self.corners @ turn(self.degrees))[:, 0].min())

    @property
    def along(self) -> Points:
        """Which way the bridge runs, in the polygon as it was."""
        upright = np.array([0.0, 1.0])
        if self.side:
            (x0, y0, _), (x1, y1, _) = self.side
            upright = np.array([x1 - x0, y1 - y0]) / math.hypot(x1 - x0, y1 - y0)
        along: Points = upright @ turn(-self.degrees)
        return along

    @property
    def _beside(self) -> Points:
        """The corners of a bridge that runs along its side, in the turned polygon.

        Where an edge begins at the end of the side, the bridge begins there too, and what it is
        longer than the stroke is wide lies clear of the edge.
        """
        (x0, y0, _), (x1, y1, _) = self.side
        lean = (x1 - x0) / (y1 - y0)
        way = 1.0 if self.x > (x0 + x1) / 2 else -1.0
        across = way * self.width * math.hypot(1.0, lean)
        found: list[tuple[float, float]] = []
        for (x, y, begins), end, out in zip(self.side, (self.low, self.high), (-1, 1), strict=True):
            to = out * max(out * end, out * y) + out * _OVERRUN
            on_line = x + lean * (to - y)
            clear = x + way * min(_OFF_EDGE * abs(to - y), self.width / 2)
            near = [(x, y), (clear, to)] if begins else [(on_line, to)]
            own = [*near, (on_line + across, to)]
            found += own if out < 0 else own[::-1]
        return np.array(found)

    @property
    def middle(self) -> Points:
        """The point in the middle of the bridge, in the polygon as it was."""
        return self._at((self.low + self.high) / 2)

    @property
    def upper_end(self) -> Points:
        """The point where the bridge leaves the ink at `high`, in the polygon as it was."""
        return self._at(self.high)

    def _at(self, y: float) -> Points:
        point: Points = np.array([self.x, y]) @ turn(-self.degrees)
        return point

    def into_holes(self, by: float) -> Bridge:
        """The same bridge, running further into the holes that it holds."""
        below, above = (by if ring else 0.0 for ring in self.rings)
        return replace(self, low=self.low - below, high=self.high + above)

    def is_in_line(self, other: Bridge) -> bool:
        """Whether another bridge stands in the same line."""
        return self.degrees == other.degrees and abs(self.x - other.x) < self.width / 8


@dataclass(frozen=True, slots=True, eq=False)
class Crossing:
    """A strip of ink where a bridge may stand: for each place of its middle, its ends and cost.

    `ends` is where the strip itself begins and ends; `climb` the tangent by which the stroke
    climbs at each place; `joint` tells at which places it ends against another stroke.
    """

    degrees: float
    width: float
    rings: tuple[int, int]
    x: Floats
    low: Floats
    high: Floats
    cost: Floats
    climb: Floats
    joint: NDArray[np.bool_]
    ends: tuple[float, float]
    over_bay: bool = False

    def bridge(self, index: int, factor: float) -> Bridge:
        """The bridge at the place with this index, its cost times a factor."""
        return Bridge(
            self.degrees,
            float(self.x[index]),
            float(self.low[index]),
            float(self.high[index]),
            self.width,
            self.rings,
            float(self.cost[index]) * factor,
            self.over_bay,
            bool(self.joint[index]),
        )

    def without(self, bridges: Iterable[Bridge]) -> Crossing:
        """The same strip less the places where these bridges stand."""
        left = np.ones(len(self.x), dtype=bool)
        for bridge in bridges:
            if bridge.degrees == self.degrees and bridge.rings == self.rings:
                left &= np.abs(self.x - bridge.x) > self.width / 2
        return self.at(left)

    def at(self, chosen: NDArray[np.bool_]) -> Crossing:
        """The same strip at the chosen places only."""
        if chosen.all():
            return self
        low, high, cost = self.low[chosen], self.high[chosen], self.cost[chosen]
        x, climb, joint = self.x[chosen], self.climb[chosen], self.joint[chosen]
        return replace(self, x=x, low=low, high=high, cost=cost, climb=climb, joint=joint)


def crossings(rings: Rings, degrees: float, width: float, joints: bool) -> Iterator[Crossing]:
    """The places for bridges of this width across the strokes of a letter.

    The rings have been turned, so that bridges that lean by `degrees` stand upright. With `joints`
    the places where a stroke ends against another are made much cheaper: see
    `legend.stencil.bridging.joints`.

    1. Upright lines are drawn through the letter, an eighth of a bridge apart, from left to
       right of all its holes, one of them through the middle of the largest.
    2. The spans of ink along each are gathered into strips, which run between two rings.
    3. A place in a strip takes the spans of a whole bridge's width, from the lowest to the
       highest of them; a strip that is narrower has one place, in its middle.
    4. A place costs the paint that is taken away, more where the stroke climbs or the stock
       beside it is narrow, and more towards the edge of the hole, but not at a joint.
    """
    step = width / (2 * _HALF)
    holes = [rings.extent(ring) for ring in range(1, int(rings.ring.max()) + 1)]
    left, right = min(low[0] for low, _ in holes), max(high[0] for _, high in holes)
    middle = sum(side[0] for side in max(holes, key=lambda h: (h[1] - h[0]).prod())) / 2
    beyond = _BEYOND if joints else _HALF
    begin = math.floor((left - middle) / step) - beyond
    end = math.ceil((right - middle) / step) + beyond
    xs = middle + HAIR + step * np.arange(begin, end + 1)
    found = spans(rings, xs)
    longer = over_bays(found)
    for of in (found, longer):
        for strip in strips(of):
            crossing = (
                _across(strip, xs, width)
                if len(strip.low) > 2 * _HALF
                else _across_narrow(strip, of, xs, width, holes)
            )
            if crossing is not None and len(crossing.x):
                off = sum(_off_centre(crossing.x, holes[ring - 1]) for ring in _holes_of(strip))
                cost = crossing.cost * (1 + _OFF_CENTRE * off)
                crossing = replace(crossing, degrees=degrees, cost=cost, over_bay=of is longer)
                yield _with_joints(crossing, strip, of, xs) if joints else crossing


def _with_joints(crossing: Crossing, strip: Strip, found: Spans, xs: Floats) -> Crossing:
    """A crossing whose places at joints are known, and cheaper.

    What is held there may be as narrow as a corner, since it widens from it; stock outside that is
    narrower than the bridge makes no joint worth its while.
    """
    x, low, high = crossing.x, crossing.low, crossing.high
    places, joint, cost = x.copy(), crossing.joint.copy(), crossing.cost.copy()
    is_level = crossing.degrees == 90
    for at, way in joint_places(strip, found, crossing.width, x, low, high, xs, is_level):
        line = int(np.abs(xs - x[at]).argmin()) - strip.first
        rooms = ((strip.below, strip.room_below), (strip.above, strip.room_above))
        across = slice(max(0, line - _HALF), line + _HALF + 1)
        if all(room[across].max() >= crossing.width for ring, room in rooms if not ring):
            paint = (high[at] - low[at]) * crossing.width * (1 + crossing.climb[at])
            joint[at], cost[at] = True, paint / _JOINT
            places[at] -= way * _CLEAR
    return replace(crossing, x=places, joint=joint, cost=cost)


def _holes_of(strip: Strip) -> list[int]:
    """The rings of a strip that are holes."""
    return [ring for ring in (strip.below, strip.above) if ring]


def _off_centre(x: Floats, hole: tuple[Floats, Floats]) -> Floats:
    """How far off the middle of a hole: 0 there, 1 at its edge."""
    low, high = hole[0][0], hole[1][0]
    off: Floats = ((2 * x - low - high) / max(high - low, 0.1)) ** 2
    return off


def _across(strip: Strip, xs: Floats, width: float) -> Crossing:
    """Bridges whose whole width lies within the strip."""
    rings = (strip.below, strip.above)
    # A hole may be as small as it is; stock outside should be as wide as the bridge.
    needed_below, needed_above = (width / 2 if ring else width for ring in rings)
    room = np.minimum(strip.room_below / needed_below, strip.room_above / needed_above)
    across = np.array([strip.low, -strip.high, room])
    bottom, top, room = sliding_window_view(across, 2 * _HALF + 1, axis=1).min(axis=2)
    low, high, far = strip.low, strip.high, 2 * _HALF
    climb = np.abs(low[far:] - low[:-far] + high[far:] - high[:-far]) / (2 * width)
    # A stroke that is not crossed squarely costs more: the whole rectangle, and its climb. So
    # does a bridge to stock that is itself narrower.
    cramped = np.maximum(1 - room, 0)
    cost = -(bottom + top) * width * (1 + climb) * (1 + _CRAMPED * cramped)
    first = strip.first + _HALF
    ends = (float(xs[strip.first]), float(xs[strip.first + len(strip.low) - 1]))
    places = xs[first : first + len(climb)]
    none = np.zeros(len(climb), dtype=bool)
    crossing = Crossing(0.0, width, rings, places, bottom, -top, cost, climb, none, ends)
    return crossing.at((climb <= STEEPEST_AT_STEM) & ~strip.bay[_HALF:-_HALF])


def _across_narrow(
    strip: Strip, found: Spans, xs: Floats, width: float, holes: Sequence[tuple[Floats, Floats]]
) -> Crossing | None:
    """A bridge at the middle of a strip that is narrower than the bridge, as by a small hole.

    It takes a hole that is as short as it is narrow with it, so that no jagged rest is left.
    """

    def reach(ring: int) -> float:
        low, high = holes[ring - 1]
        depth = float(high[1] - low[1])
        return depth if depth <= 1.5 * width else width / 3

    at = len(strip.low) // 2
    if strip.bay[at]:
        return None
    line = strip.first + at
    begin, end = np.searchsorted(found.line, (line - _HALF, line + _HALF + 1))
    middle = (strip.low[at] + strip.high[at]) / 2
    hit = slice(begin, end)
    beside = (found.low[hit] < middle) & (middle < found.high[hit])
    lows, highs = found.low[hit][beside], found.high[hit][beside]
    low, high = strip.low[at], strip.high[at]
    low = low - reach(strip.below) if strip.below else lows.min()
    high = high + reach(strip.above) if strip.above else highs.max()
    if high - low > strip.high[at] - strip.low[at] + 3 * width:
        return None
    paint = (np.minimum(highs, high) - np.maximum(lows, low)).sum() * width / (2 * _HALF)
    rings = (strip.below, strip.above)
    here = float(xs[line])
    return Crossing(
        0.0,
        width,
        rings,
        np.array([here]),
        np.array([low]),
        np.array([high]),
        np.array([paint]),
        np.array([0.0]),
        np.array([False]),
        (here, here),
    )
