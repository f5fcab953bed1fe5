"""Find the islands of a letter and plan the bridges that hold them.

Each hole is tied across the stroke to the stock outside, or to another hole that is, and all but
small ones on two sides. Where the bridges go is decided in `habits`. A plan that leaves a sliver of
opening too thin to paint is made again without the bridge that left it.
"""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass, replace

import shapely

from legend.description.tables.stock import StockLimits
from legend.lettering.outlines.mouths import worn
from legend.stencil.bridging.crossings import Bridge
from legend.stencil.bridging.habits import ANY_WAY, HABITS, HABITS_OF_SYMBOLS, Column, hold
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

#: How many plans of a habit are tried for one that leaves no sliver; what is none, mm²; and
#: what part of the sliver of a better habit a plan must stay under to be taken instead.
_TRIED, _NOTHING, _MUCH_LESS = 3, 0.06, 0.5


@dataclass(frozen=True, slots=True)
class Plan:
    """Bridges; and where tongues of stock are that no good bridge reaches, so that they lift."""

    bridges: tuple[Bridge, ...] = ()
    loose: tuple[tuple[float, float], ...] = ()


def plan(
    polygon: shapely.Polygon,
    width: float,
    limits: StockLimits,
    tied: Collection[int] = (),
    waist: float | None = None,
) -> Plan:
    """Bridges of this width that tie every hole of a polygon to its outside.

    `waist` is the height at which level bridges are cut through the letters of a face, None for
    what is no letter.

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
    letter = BridgedLetter(polygon, rings, width, limits, waist)
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
    for habit in HABITS_OF_SYMBOLS if letter.waist is None else HABITS:
        for _ in range(_TRIED):
            bridges = habit(replace(column, struck=struck))
            if bridges is None or (habit is not ANY_WAY and not hold(column, bridges)):
                break
            bridges = letter.flush(bridges)
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
