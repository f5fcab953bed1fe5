"""Hold rigid stock: add bridges until no part that must be held comes apart.

A strip as wide as a bridge that runs from a worn part to the worn sheet joins the two for
certain (see `legend.stencil.bridging.necks`). So each part that still comes apart gets one
more, where that takes least paint and leaves no sliver; a part that is all but open gets it at
its mouth.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from legend.description.tables.stock import StockLimits
from legend.lettering.outlines.curve_points import Points
from legend.lettering.outlines.mouths import worn
from legend.stencil.bridging.necks import Core, half_a_bridge, meet
from legend.stencil.bridging.scan_lines import turn

#: So many parts are tied one by one, each where it takes least; more are a heap, and all are
#: tied at once in the shortest way.
_FEW = 12

#: The directions in which bridges are sought, degrees from upright, and what one costs beside
#: an upright one that takes as much paint.
_LEANS = {0.0: 1.0, 90.0: 1.3, -45.0: 1.6, 45.0: 1.6, -22.5: 1.6, 22.5: 1.6, -67.5: 1.6, 67.5: 1.6}
#: The directions in which a mouth is opened, and what a bridge costs that is bent there, or
#: stands elsewhere, beside one straight through it.
_BENT, _ELSEWHERE = 1.2, 1.5
_THROUGH = tuple(np.arange(0.0, 180.0, 15.0).tolist())
#: What is shorter is no way, mm.
_NO_WAY = 1e-6
#: A bridge may be so many times longer than the shortest.
_FAR = 4.0
#: How many lines are tried in each direction; of how many bridges the slivers are looked at;
#: and what a sliver costs beside paint.
_LINES, _LOOKED_AT, _SLIVER = 9, 8, 4.0


def openings(
    ink: BaseGeometry, held: Sequence[Core], width: float, limits: StockLimits
) -> list[shapely.Polygon]:
    """The bridges that open the mouths of what is all but open, or as good as shut."""
    made: list[shapely.Polygon] = []
    shut = [core for core in held if core.mouth]
    for core in shut:
        assert core.mouth
        sheet, apart = worn(ink, core.radius)
        loose = apart[meet(apart, [each.shape for each in held])]
        own = shapely.intersects(loose, core.shape)
        if own.any():
            part, goal = loose[own][0], shapely.union_all([sheet, *loose[~own]])
            way = _bent(core.mouth, part, goal, width)
            if len(shut) <= _FEW:
                way = _straightened(way, core.mouth, part, goal, ink, width, limits)
            made.append(way)
            ink = ink.difference(way)
    return made


def _bent(
    mouth: shapely.Point, part: BaseGeometry, goal: BaseGeometry, width: float
) -> shapely.Polygon:
    """The bridge from a worn part to its goal that bends at a mouth."""
    foot = shapely.get_coordinates(mouth)
    start, end = shapely.get_coordinates(shapely.shortest_line([part, goal], mouth))[::2]
    halves = _strips([np.vstack([start, foot]), np.vstack([foot, end])], width)
    return shapely.union_all([*halves, mouth.buffer(width / 2, quad_segs=4)])


def _straightened(
    bent: shapely.Polygon,
    mouth: shapely.Point,
    part: BaseGeometry,
    goal: BaseGeometry,
    ink: BaseGeometry,
    width: float,
    limits: StockLimits,
) -> shapely.Polygon:
    """The bridge straight through a mouth instead of a bent one, where it takes no more.

    Or one elsewhere, where that takes far less.
    """
    foot = shapely.get_coordinates(mouth)
    near = _near(mouth, math.sqrt(bent.area) * _FAR / 2, goal)
    ways = [way for lean in _THROUGH for way in _ways_along(lean, part, near, foot, True)]
    strips = [_best_way(part, goal, ink, width, limits), bent, *_strips(ways, width)]
    return _cheapest(strips, [_ELSEWHERE, _BENT, *[1.0] * len(ways)], ink, limits)


def hanging(ink: BaseGeometry, held: Sequence[Core]) -> list[Core]:
    """The cores that come apart from the sheet: they hang by less than a bridge."""
    found: list[Core] = []
    for radius in {core.radius for core in held}:
        _, apart = worn(ink, radius)
        found += (
            core
            for core in held
            if core.radius == radius and shapely.intersects(apart, core.shape).any()
        )
    return found


def lacking(
    ink: BaseGeometry, held: Sequence[Core], width: float, limits: StockLimits
) -> list[shapely.Polygon]:
    """The bridges that are lacking, until every core hangs by a bridge."""
    made: list[shapely.Polygon] = []
    for radius in sorted({core.radius for core in held}, reverse=True):
        own = [core.shape for core in held if core.radius == radius]
        # Each bridge makes one part of two: if not at first, then with round ends.
        before = 0
        for _ in range(2 * len(own)):
            sheet, apart = worn(ink, radius)
            loose = apart[meet(apart, own)]
            if not len(loose):
                break
            if radius < half_a_bridge(limits.bridge):
                sheet, _ = worn(ink, half_a_bridge(limits.bridge))
            goal = shapely.union_all([sheet, *loose[1:]])
            if len(loose) == before:
                new = [shapely.shortest_line(loose[0], goal).buffer(width / 2)]
            elif len(loose) <= _FEW:
                new = [_best_way(loose[0], goal, ink, width, limits)]
            else:
                new = _shortest_ways(sheet, loose, width)
            before = len(loose)
            made += new
            ink = ink.difference(shapely.union_all(new))
    return made


def _shortest_ways(
    sheet: BaseGeometry, loose: NDArray[np.object_], width: float
) -> list[shapely.Polygon]:
    """The shortest bridge from each of many worn parts to any other."""
    parts = np.append(loose, sheet)
    tree = shapely.STRtree(parts)
    nearest = [
        min(
            (index for index in tree.query(part, "dwithin", reach) if index != own),
            key=lambda index: float(shapely.distance(part, parts[index])),
        )
        for own, part in enumerate(loose)
        for reach in [float(shapely.distance(part, sheet)) * 1.01]
    ]
    lines = shapely.shortest_line(loose, parts[nearest])
    return _strips([shapely.get_coordinates(line) for line in lines], width)


def _best_way(
    part: BaseGeometry, goal: BaseGeometry, ink: BaseGeometry, width: float, limits: StockLimits
) -> shapely.Polygon:
    """The bridge from a worn part to its goal that takes least paint, and leaves no sliver."""
    goal = _near(part, _FAR * float(shapely.distance(part, goal)), goal)
    ways = [shapely.get_coordinates(shapely.shortest_line(part, goal))]
    costs = [1.0]
    points = shapely.get_coordinates(part)
    for degrees, factor in _LEANS.items():
        found = list(_ways_along(degrees, part, goal, _across(points, degrees)))
        ways += found
        costs += [factor] * len(found)
    return _cheapest(_strips(ways, width), costs, ink, limits)


def _cheapest(
    strips: Sequence[shapely.Polygon],
    costs: Sequence[float],
    ink: BaseGeometry,
    limits: StockLimits,
) -> shapely.Polygon:
    """The strip that takes least paint, times what it costs, and leaves no sliver."""
    cost = shapely.area(shapely.intersection(strips, ink)) * costs
    best = np.argsort(cost, kind="stable")[:_LOOKED_AT]
    radius = limits.stroke / 2
    slivers = []
    for strip in (strips[index] for index in best):
        near = _near(strip, 4 * radius, ink)
        slivers.append(max(0.0, _thin(near.difference(strip), radius) - _thin(near, radius)))
    return strips[best[(cost[best] + _SLIVER * np.array(slivers)).argmin()]]


def _near(place: BaseGeometry, reach: float, shape: BaseGeometry) -> BaseGeometry:
    """The part of a shape in the box that lies so many mm round a place."""
    x0, y0, x1, y1 = place.bounds
    return shape.intersection(shapely.box(x0 - reach, y0 - reach, x1 + reach, y1 + reach))


def _across(points: Points, degrees: float) -> Points:
    """Feet for lines that lean by so many degrees, spread evenly over the extent of points."""
    across, along = turn(-degrees)
    low, high = (points @ across).min(), (points @ across).max()
    places = low + (high - low) * (np.arange(_LINES) + 0.5) / _LINES
    feet: Points = places[:, None] * across + points.mean(axis=0) @ along * along
    return feet


def _ways_along(
    degrees: float, part: BaseGeometry, goal: BaseGeometry, through: Points, past: bool = False
) -> Iterator[Points]:
    """The ways from a part to its goal along lines that lean by so many degrees.

    The lines run through the given points; where `past` is true, so do the ways.
    """
    along = turn(-degrees)[1]
    x0, y0, x1, y1 = goal.bounds
    far = math.hypot(x1 - x0, y1 - y0)
    lines = shapely.linestrings(np.stack([through - far * along, through + far * along], axis=1))
    for line, foot in zip(lines, through, strict=True):
        own, others = ((_reaches(line, shape, foot, along)) for shape in (part, goal))
        runs = sorted([*((*run, 0) for run in own), *((*run, 1) for run in others)])
        for (_, end, which), (start, _, other) in itertools.pairwise(runs):
            if which != other and start > end and (end <= 0 <= start or not past):
                yield np.array([foot + end * along, foot + start * along])


def _reaches(
    line: BaseGeometry, shape: BaseGeometry, foot: Points, along: Points
) -> Iterator[tuple[float, float]]:
    """From where to where a line lies in a shape, by the distance from its foot."""
    for run in shapely.get_parts(line.intersection(shape)):
        if len(points := shapely.get_coordinates(run)):
            at = (points - foot) @ along
            yield float(at.min()), float(at.max())


def _strips(ways: Sequence[Points], width: float) -> list[shapely.Polygon]:
    """Strips of this width along straight ways, each from a point to another; discs at points."""
    lines = shapely.linestrings(np.reshape(ways, (-1, 2, 2)))
    caps = np.where(shapely.length(lines) > _NO_WAY, "flat", "round")
    return [line.buffer(width / 2, cap_style=cap) for line, cap in zip(lines, caps, strict=True)]


def _thin(shape: BaseGeometry, radius: float) -> float:
    """The area of what no disc of this radius reaches in a shape."""
    opened = shape.buffer(-radius, quad_segs=4).buffer(radius, quad_segs=4)
    return float(shape.area - opened.area)
