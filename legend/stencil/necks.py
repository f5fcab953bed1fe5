"""Necks of rigid stock: ink in; the parts of the stock that hang by too little, and what cures it.

Stock is worn down by half a bridge all round, in thought: a part that then comes apart from
the sheet hangs by necks that are narrower than a bridge. What was an island must not, whatever
the bridges look like that were made to hold it; nor may what is all but an island, because its
mouth is no wider than a hair. The rectangle of one more bridge that runs from the worn part
to the worn sheet joins the two for certain.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from legend.description.stock import StockLimits
from legend.lettering.outline import Points
from legend.standards import SHUT_MOUTH
from legend.stencil.sections import turn

#: What is left on when stock is worn down by half a bridge, mm: what bridges are planned on is
#: as rough.
_GRACE = 0.008
#: Arcs of worn edges are drawn with so many lines to a quarter.
_ROUND = 8
#: A part that is narrower than a bridge is to hang by this part of its width.
_ALL_BUT = 0.99
#: Ink between two parts of stock that is no wider than this may as well be no ink, mm.
_NO_INK = 0.05
#: So many parts are tied one by one, each where it takes least; more are a heap, and all are
#: tied at once in the shortest way.
_FEW = 12

#: The directions in which bridges are sought, degrees from upright, and what one costs beside
#: an upright one that takes as much paint.
_LEANS = {0.0: 1.0, 90.0: 1.3, -45.0: 1.6, 45.0: 1.6, -22.5: 1.6, 22.5: 1.6, -67.5: 1.6, 67.5: 1.6}
#: What a bridge costs that stands at the mouth.
_AT_THE_MOUTH = 0.5
#: How many lines are tried in each direction; of how many bridges the slivers are looked at;
#: and what a sliver costs beside paint.
_LINES, _LOOKED_AT, _SLIVER = 9, 8, 4.0


@dataclass(frozen=True, slots=True, eq=False)
class Core:
    """What is left of a part of the stock when it is worn by `radius`, mm, all round."""

    shape: BaseGeometry
    radius: float

    def moved(self, by: Points) -> Core:
        """The same core, moved by (dx, dy)."""
        return Core(shapely.transform(self.shape, lambda points: points + by), self.radius)


def worn(ink: BaseGeometry, radius: float) -> tuple[BaseGeometry, NDArray[np.object_]]:
    """The sheet round some ink, worn by so many mm, and the parts that come apart from it."""
    x0, y0, x1, y1 = ink.bounds
    room = 4 * radius + 1
    around = shapely.box(x0 - room, y0 - room, x1 + room, y1 + room)
    broad = ink.buffer(radius, quad_segs=_ROUND) if radius else ink
    parts = shapely.get_parts(around.difference(broad))
    is_sheet = shapely.intersects(parts, shapely.Point(x0 - room, y0 - room))
    return parts[is_sheet][0], parts[~is_sheet]


def half_a_bridge(bridge: float) -> float:
    """By how much stock is worn to see what hangs by less than a bridge, mm."""
    return bridge / 2 - _GRACE


def cores(ink: BaseGeometry, bridge: float) -> list[Core]:
    """The core of each island that ink encloses, and of each bay that is as good as shut."""
    radius = half_a_bridge(bridge)
    _, islands = worn(ink, 0.0)
    _, apart = worn(ink, radius)
    found = []
    for island in islands:
        own = apart[shapely.intersects(apart, island)]
        if len(own):
            found.append(Core(own[shapely.area(own).argmax()], radius))
        else:
            found.append(_small_core(island))
    if len(apart):
        _, shut = worn(ink, bridge * SHUT_MOUTH / 2)
        for bay in apart[~_meet(apart, islands)]:
            if shapely.intersects(shut, bay).any():
                found.append(Core(bay, radius))
    return found


def _small_core(island: BaseGeometry) -> Core:
    """The core of an island that is narrower than a bridge: where it is widest."""
    widest = shapely.maximum_inscribed_circle(island)
    return Core(shapely.get_point(widest, 0), _ALL_BUT * float(widest.length))


def _meet(shapes: NDArray[np.object_], others: Sequence[BaseGeometry]) -> NDArray[np.bool_]:
    """Which of some shapes meet any of some others."""
    met = np.zeros(len(shapes), dtype=bool)
    met[shapely.STRtree(others).query(shapes, "intersects")[0]] = True
    return met


# --- Bridges that hold ---


def mouths(
    ink: BaseGeometry, wanted: Sequence[Core], width: float, limits: StockLimits
) -> list[Points]:
    """The corners of bridges that open what is all but shut, where it is all but open."""
    made: list[Points] = []
    hair = limits.bridge * SHUT_MOUTH
    shut = [core for core in wanted if core.radius == half_a_bridge(limits.bridge)]
    for core in shut:
        sheet, apart = worn(ink, hair / 2)
        own = shapely.intersects(apart, core.shape)
        if not own.any():
            continue
        narrowest = shapely.shortest_line(apart[own][0], shapely.union_all([sheet, *apart[~own]]))
        if narrowest.length > hair + _NO_INK:
            continue
        sheet, apart = worn(ink, core.radius)
        loose = apart[_meet(apart, [each.shape for each in shut])]
        own = shapely.intersects(loose, core.shape)
        part, goal = loose[own][0], shapely.union_all([sheet, *loose[~own]])
        found = [_best_way(part, goal, ink, width, limits)]
        mouth = narrowest.centroid
        found.append(_through(mouth, part, goal, width))
        taken = [shapely.union_all(shapely.polygons(way)) for way in found]
        paint = shapely.area(shapely.intersection(taken, ink)) * (1.0, _AT_THE_MOUTH)
        made += [*found[paint.argmin()]]
        ink = ink.difference(taken[paint.argmin()])
    return made


def _through(
    mouth: shapely.Point, part: BaseGeometry, goal: BaseGeometry, width: float
) -> NDArray[np.float64]:
    """The corners of a bridge, bent at a mouth, from a worn part through it to its goal."""
    middle = shapely.get_coordinates(mouth)
    ends = shapely.get_coordinates(shapely.shortest_line([part, goal], mouth))[::2]
    along = middle - ends
    beyond = middle + along / np.hypot(*along.T)[:, None] * width / 2
    return _strips(np.stack([ends, beyond], axis=1), width)


def ties(
    ink: BaseGeometry, wanted: Sequence[Core], width: float, limits: StockLimits
) -> list[Points]:
    """The corners of the bridges that are lacking, until every core hangs by a bridge."""
    made: list[Points] = []
    for radius in sorted({core.radius for core in wanted}, reverse=True):
        own = [core.shape for core in wanted if core.radius == radius]
        # Each bridge makes one part of two.
        for _ in range(2 * len(own)):
            sheet, apart = worn(ink, radius)
            loose = apart[_meet(apart, own)]
            if not len(loose):
                break
            if radius < half_a_bridge(limits.bridge):
                sheet, _ = worn(ink, half_a_bridge(limits.bridge))
            if len(loose) <= _FEW:
                goal = shapely.union_all([sheet, *loose[1:]])
                new = [*_best_way(loose[0], goal, ink, width, limits)]
            else:
                new = _shortest_ways(sheet, loose, width)
            made += new
            ink = ink.difference(shapely.union_all(shapely.polygons(new)))
    return made


def _shortest_ways(sheet: BaseGeometry, loose: NDArray[np.object_], width: float) -> list[Points]:
    """The corners of the shortest bridge from each of many worn parts to any other."""
    parts = np.append(loose, sheet)
    tree = shapely.STRtree(parts)
    nearest = [
        min(
            (index for index in tree.query(part, "dwithin", reach) if index != own),
            key=lambda index: float(shapely.distance(part, parts[index])),
        )
        for own, part in enumerate(loose)
        for reach in [float(shapely.distance(part, sheet)) + _NO_INK]
    ]
    lines = shapely.shortest_line(loose, parts[nearest])
    return [*_strips(shapely.get_coordinates(lines).reshape(-1, 2, 2), width)]


def _best_way(
    part: BaseGeometry, goal: BaseGeometry, ink: BaseGeometry, width: float, limits: StockLimits
) -> NDArray[np.float64]:
    """The corners, shape (1, 4, 2), of the bridge from a worn part to its goal that takes least: paint, and look."""
    ways = [shapely.get_coordinates(shapely.shortest_line(part, goal))]
    costs = [1.0]
    for degrees, factor in _LEANS.items():
        found = list(_ways_along(degrees, part, goal))
        ways += found
        costs += [factor] * len(found)
    corners = _strips(np.array(ways), width)
    strips = shapely.polygons(corners)
    cost = shapely.area(shapely.intersection(strips, ink)) * costs
    best = np.argsort(cost, kind="stable")[:_LOOKED_AT]
    thin = limits.stroke / 2
    slivers = _thin(shapely.difference(ink, strips[best]), thin) - _thin(np.array([ink]), thin)
    chosen = best[(cost[best] + _SLIVER * np.maximum(slivers, 0.0)).argmin()]
    return corners[[chosen]]


def _ways_along(degrees: float, part: BaseGeometry, goal: BaseGeometry) -> Iterator[Points]:
    """The ways from a part to its goal along lines that lean by so many degrees."""
    along, across = turn(-degrees)[1], turn(-degrees)[0]
    x0, y0, x1, y1 = goal.bounds
    far = math.hypot(x1 - x0, y1 - y0)
    points = shapely.get_coordinates(part)
    places = points @ across
    middle = (points.min(axis=0) + points.max(axis=0)) / 2 @ along
    low, high = places.min(), places.max()
    starts = low + (high - low) * (np.arange(_LINES) + 0.5) / _LINES
    feet = starts[:, None] * across + middle * along
    lines = shapely.linestrings(np.stack([feet - far * along, feet + far * along], axis=1))
    for line, foot in zip(lines, feet, strict=True):
        own, others = ((_reaches(line, shape, foot, along)) for shape in (part, goal))
        runs = sorted([*((*run, 0) for run in own), *((*run, 1) for run in others)])
        for (_, end, which), (start, _, other) in itertools.pairwise(runs):
            if which != other and start > end:
                yield np.array([foot + end * along, foot + start * along])


def _reaches(
    line: BaseGeometry, shape: BaseGeometry, foot: Points, along: Points
) -> Iterator[tuple[float, float]]:
    """From where to where a line lies in a shape, by the distance from its foot."""
    for run in shapely.get_parts(line.intersection(shape)):
        at = (shapely.get_coordinates(run) - foot) @ along
        yield float(at.min()), float(at.max())


def _strips(ways: NDArray[np.float64], width: float) -> NDArray[np.float64]:
    """The corners of strips of this width along straight ways, shape (n, 2, 2): (n, 4, 2)."""
    start, end = ways[:, 0], ways[:, 1]
    along = end - start
    along = along / np.hypot(*along.T)[:, None]
    side = np.column_stack([-along[:, 1], along[:, 0]]) * width / 2
    return np.stack([start - side, end - side, end + side, start + side], axis=1)


def _thin(shapes: NDArray[np.object_], radius: float) -> NDArray[np.float64]:
    """The area of what no disc of this radius reaches in each of some shapes."""
    opened = shapely.buffer(shapely.buffer(shapes, -radius, quad_segs=4), radius, quad_segs=4)
    thin: NDArray[np.float64] = shapely.area(shapes) - shapely.area(opened)
    return thin
