"""Find the islands of a letter and plan the bridges that hold them.

Each hole is tied across the stroke to the stock outside, or to another hole that is. Bridges
are placed as a stencil cutter places them, who has a habit for every build of letter, so that
a word looks as if one hand had cut it:

- across both legs of an "A", level with each other;
- on the axis of an "O" or an "8";
- along the stem of a "B", "D", "P", "R" or "d";
- otherwise upright and in one line, at the middle of what they hold.

All but small holes are held on two sides. Level and slanting bridges are for strokes that no
upright one crosses well. Where several places will do, the one that takes the least paint is
taken. The next habit is tried where the one before would leave a sliver of opening too thin
to paint.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from legend.description.tables.stock import StockLimits
from legend.lettering.outlines.mouths import worn
from legend.stencil.bridging.crossings import Bridge, Crossing
from legend.stencil.bridging.letter import BridgedLetter
from legend.stencil.bridging.necks import half_a_bridge
from legend.stencil.bridging.scan_lines import Rings
from legend.stencil.bridging.tongues import (
    Narrow,
    labelled,
    loose_tongues,
    narrow_stock,
    with_cramped,
)

#: An island wider than this many bridges is held on two sides. One wider than the second
#: number is too, where the second bridge stands in line with the first and costs no more than
#: `_AS_MUCH` times as much: it is for the eye, because a "b" with one gap reads as "h", and an
#: "o" as "u".
_TWO_SIDED, _MAYBE_TWO_SIDED, _AS_MUCH = 3, 2, 1.5

#: What a bridge costs beside an upright one in line that takes as much paint: one out of
#: line, a level one, a slanting one.
_OUT_OF_LINE, _LEVEL, _SLANTING = 1.5, 2.5, 4.5

#: A bridge of no more than so many widths is short, whatever it holds.
_SHORT = 3.0

#: Bridges across two legs match where one is no longer than so many times the other.
_MATCHED = 2.5

#: The directions that bridges lean in: square to the letter, and where that does not do, all.
_SQUARE = (0.0, 90.0)
_ALL = (*_SQUARE, -45.0, 45.0, -22.5, 22.5, -67.5, 67.5)

#: How many plans of a habit are tried for one that leaves no sliver; what is none, mm²; and
#: what part of the sliver of a better habit a plan must stay under to be taken instead.
_TRIED, _NOTHING, _MUCH_LESS = 3, 0.06, 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Column:
    """Holes of a letter that one upright line can run through, to be tied together.

    `rings` are the holes; `held` are the rings that are held already, the outside among them;
    `struck` are bridges that would leave a sliver, whose places are struck off.
    """

    letter: BridgedLetter
    rings: Sequence[int]
    held: Collection[int]
    struck: Sequence[Bridge] = ()

    def places(self, degrees: float) -> Iterator[Crossing]:
        """Where bridges that lean by these degrees may tie these holes."""
        joined = {*self.rings, *self.held}
        places = self.letter.places(degrees, self.struck)
        return (place for place in places if joined.issuperset(place.rings))


#: The bridges of a column by one habit, or None where the habit does not fit it.
Habit = Callable[[Column], list[Bridge] | None]


@dataclass(frozen=True, slots=True)
class Plan:
    """Bridges; and where tongues of stock are that no good bridge reaches, so that they lift."""

    bridges: tuple[Bridge, ...] = ()
    loose: tuple[tuple[float, float], ...] = ()


def plan(
    polygon: shapely.Polygon, width: float, limits: StockLimits, tied: Collection[int] = ()
) -> Plan:
    """Bridges of this width that tie every hole of a polygon to its outside.

    So are loose tongues of the stock outside whose mouth is as wide as a bridge, where a bridge
    reaches them that is short and leaves no sliver; others are bays, and left as they are.
    `tied` are the holes, counted from 1, that are tied already. A hole that no straight bridge
    reaches is left out; the caller sees to it.
    """
    narrow = narrow_stock(polygon, limits)
    loose_ones = loose_tongues(polygon, limits) if narrow is Narrow.FAR else []
    if not loose_ones and len(tied) == len(polygon.interiors):
        return Plan()
    half = half_a_bridge(limits.bridge)
    reached, bays = worn(shapely.Polygon(polygon.exterior), half)
    tongues = [each for each in loose_ones if each.intersects(reached)]
    shut = [each for each in loose_ones if not each.intersects(reached)]
    loose = [_place(slit) for slit in shut if slit.buffer(-half).is_empty]
    if narrow is Narrow.NOWHERE and not len(bays):
        rings = Rings.of(polygon)
    else:
        # In short edges, so that each lies along a tongue or does not.
        rings = Rings.of(polygon.segmentize(limits.bridge))
        rings = labelled(with_cramped(rings, reached, limits), tongues)
    letter = BridgedLetter(polygon, rings, width, limits)
    bridges: list[Bridge] = []
    held = {0, *tied}
    for column in letter.columns(held):
        found, sliver = _tied(Column(letter, column, held))
        untied = [ring for ring in column if letter.is_tongue(ring)]
        if untied and (not found or sliver > _NOTHING):
            loose += (letter.middle(ring) for ring in untied)
            held |= set(untied)
            holes = [ring for ring in column if ring not in untied]
            found = _tied(Column(letter, holes, held))[0] if holes else []
        bridges += found
        held |= set(column)
    return Plan(tuple(bridges), tuple(loose))


def _place(slit: shapely.Polygon) -> tuple[float, float]:
    """A point in a slit."""
    x, y = shapely.get_coordinates(shapely.point_on_surface(slit))[0].tolist()
    return x, y


def _tied(column: Column) -> tuple[list[Bridge], float]:
    """The bridges of a column of holes, and how much of a sliver they leave.

    Where a bridge leaves a sliver, its place is struck off and the column planned anew, but
    not about holes that are smaller than a bridge: there every place leaves one.
    """
    letter = column.letter
    tiny = all(letter.size(ring) <= 1 and not letter.is_tongue(ring) for ring in column.rings)
    best: list[Bridge] = []
    least = math.inf
    struck: list[Bridge] = []
    habits: tuple[Habit, ...] = (_across_legs, _on_axis, _by_stem, _square, _any_way)
    for habit in habits:
        for _ in range(_TRIED):
            bridges = habit(replace(column, struck=struck))
            if bridges is None or (habit is not _any_way and not _hold(column, bridges)):
                break
            sliver = 0.0 if tiny else letter.sliver(bridges)
            if sliver < least * _MUCH_LESS:
                best, least = bridges, sliver
            if sliver < _NOTHING:
                return best, sliver
            struck += _guilty(letter, bridges)
    return best, least


def _guilty(letter: BridgedLetter, bridges: list[Bridge]) -> list[Bridge]:
    """Those of the bridges that by themselves leave a sliver, or else all."""
    if len(bridges) == 1:
        return bridges
    return [bridge for bridge in bridges if letter.sliver([bridge]) > _NOTHING] or bridges


def _hold(column: Column, bridges: Sequence[Bridge]) -> bool:
    """Whether every hole that needs it is held on two sides."""
    letter = column.letter
    large = (ring for ring in column.rings if letter.size(ring) > _TWO_SIDED)
    return all(letter.on_two_sides(ring, bridges) for ring in large)


# --- Habits ---


def _across_legs(column: Column) -> list[Bridge] | None:
    """Two bridges level with each other, for one hole that is a triangle."""
    letter = column.letter
    hole, *more = column.rings
    if more or letter.size(hole) <= _MAYBE_TWO_SIDED or not letter.is_triangular(hole):
        return None
    middle = sum(side[0] for side in letter.extent(hole)) / 2
    best, least = None, math.inf
    legs = [place for place in column.places(90.0) if set(place.rings) == {0, hole}]
    left = [leg for leg in legs if leg.high.min() < middle]
    right = [leg for leg in legs if leg.low.max() > middle]
    for a in left:
        for b in right:
            _, i, j = np.intersect1d(a.x, b.x, return_indices=True)
            if len(i):
                k = int((a.cost[i] + b.cost[j]).argmin())
                pair = [a.bridge(i[k], 1.0), b.bridge(j[k], 1.0)]
                short, long = sorted(bridge.high - bridge.low for bridge in pair)
                if long < _MATCHED * short and (cost := _cost(pair)) < least:
                    best, least = pair, cost
    return best


def _on_axis(column: Column) -> list[Bridge] | None:
    """Upright bridges on the axis of a letter that is the same on its left and its right."""
    axis = column.letter.axis(column.rings)
    return None if axis is None else _in_one_line(column, axis, axis)


def _by_stem(column: Column) -> list[Bridge] | None:
    """Upright bridges along a stem, each hole held on two sides."""
    letter = column.letter
    at = letter.beside_stem(column.rings)
    bridges = None if at is None else _in_one_line(column, *at)
    if not bridges or not all(letter.on_two_sides(ring, bridges) for ring in column.rings):
        return None
    return [bridge.into_holes(letter.width / 2) for bridge in bridges]


def _in_one_line(column: Column, x: float, looked_at: float) -> list[Bridge] | None:
    """Upright bridges at `x`, as long as strokes are wide at another place near by.

    None is longer than its hole is large: across so much ink there is a shorter way.
    """
    letter = column.letter
    found = [b for place in column.places(0.0) for b in _on_line(letter, place, looked_at)]
    longest = max(_SHORT, *map(letter.size, column.rings)) * letter.width
    candidates = [replace(b, x=x) for b in found if b.high - b.low < longest]
    return _best(column, [candidates])


def _square(column: Column) -> list[Bridge] | None:
    """The cheapest plan of upright and level bridges."""
    return _cheapest(column, _SQUARE)


def _any_way(column: Column) -> list[Bridge] | None:
    """The cheapest plan of bridges in whatever direction."""
    return _cheapest(column, _ALL)


def _cheapest(column: Column, leans: Iterable[float]) -> list[Bridge] | None:
    """The cheapest plan of all lines that the bridges may stand in; None where none is."""
    upright: list[Crossing] = []
    anywhere: list[Bridge] = []
    for degrees in leans:
        factor = _OUT_OF_LINE if not degrees else _LEVEL if degrees == 90 else _SLANTING
        for place in column.places(degrees):
            anywhere.append(place.bridge(int(place.cost.argmin()), factor))
            upright += [] if degrees else [place]
    choices = (
        [*(bridge for place in upright for bridge in _on_line(column.letter, place, x)), *anywhere]
        for x in _lines(column, upright)
    )
    return _best(column, choices)


def _lines(column: Column, upright: Sequence[Crossing]) -> list[float]:
    """The lines to try: across each hole, and where each strip is bridged most cheaply."""
    letter = column.letter
    found: list[float] = []
    for ring in column.rings:
        low, high = letter.extent(ring)
        middle, half = (low[0] + high[0]) / 2, (high[0] - low[0]) / 2
        found += (middle + half * np.linspace(-0.75, 0.75, 7)).tolist()
    found += [float(c.x[c.cost.argmin()]) for c in upright]
    # Lines nearer together than places are would give the same bridges.
    return list({round(8 * x / letter.width): x for x in found}.values())


def _on_line(letter: BridgedLetter, place: Crossing, x: float) -> Iterator[Bridge]:
    """The bridge on an upright line across a strip, if the strip can be bridged there."""
    index = int(np.abs(place.x - x).argmin())
    if abs(place.x[index] - x) <= letter.width / 8:
        yield replace(place.bridge(index, 1.0), x=x)


# --- The choice among candidates ---


def _best(column: Column, choices: Iterable[list[Bridge]]) -> list[Bridge] | None:
    """The plan that holds most and costs least, of those that these candidates give."""
    letter = column.letter
    best, least = None, (math.inf, math.inf)
    for candidates in choices:
        candidates.sort(key=_worth)
        bridges = _chosen(column, candidates)
        if bridges is None:
            continue
        once = sum(
            letter.size(ring) > _TWO_SIDED and not letter.on_two_sides(ring, bridges)
            for ring in column.rings
        )
        if (rank := (once, _cost(bridges))) < least:
            best, least = bridges, rank
    return best


def _chosen(column: Column, candidates: Sequence[Bridge]) -> list[Bridge] | None:
    """The cheapest bridges that tie a column, wide holes on two sides; None if none do."""
    letter = column.letter
    part = {ring: ring if ring in column.rings else 0 for ring in (*column.rings, *column.held)}
    chosen: list[Bridge] = []
    for bridge in candidates:
        a, b = (part[ring] for ring in bridge.rings)
        if a != b:
            chosen.append(bridge)
            part = {ring: min(a, b) if of in (a, b) else of for ring, of in part.items()}
    if any(part.values()):
        return None
    for ring in column.rings:
        size = letter.size(ring)
        if size > _MAYBE_TWO_SIDED and not letter.on_two_sides(ring, chosen):
            others = (b for b in candidates if ring in b.rings and not b.over_bay)
            own = [bridge for bridge in chosen if ring in bridge.rings]
            more = next((b for b in others if letter.is_another_side(ring, b, own)), None)
            most = _AS_MUCH * min(bridge.cost for bridge in own)
            if more and (
                size > _TWO_SIDED or (more.cost <= most and any(map(more.is_in_line, own)))
            ):
                chosen.append(more)
    return chosen


def _cost(bridges: Iterable[Bridge]) -> float:
    return sum(bridge.cost for bridge in bridges)


def _worth(bridge: Bridge) -> tuple[float, float]:
    """What to sort candidates by: the cheapest first; of equals, the lower."""
    return round(bridge.cost, 3), bridge.low
