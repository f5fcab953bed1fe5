"""Find loose tongues: long, narrow parts of the stock that would lift.

The stock inside a "C", or between the ring of an "@" and its "a", is no island, but where it
is long and narrow, or hangs by a narrow neck, it lifts and lets paint under. A tongue is
loose where it is `LONGEST_TONGUE` times longer than it, or its neck, is wide.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from enum import Enum

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from legend.description.tables.stock import StockLimits
from legend.lettering.outlines.curve_points import Points
from legend.standards import LONGEST_TONGUE
from legend.stencil.bridging.scan_lines import Rings, simplified

#: How much narrower than a bridge stock may be, at either side, mm.
_GRACE = 0.015

#: How roughly stock is looked at first, to see whether it may have tongues, mm; and how near
#: to being one a part must come to be looked at closely.
_ROUGH, _NEARLY = 0.03, 0.8

#: A distance that is nothing beside the width of stock, mm.
_HAIR = 0.01

#: No tongue is narrower than this part of a bridge.
_SLIGHT = 0.4

#: Stock is looked at for tongues where it is narrower than this many bridges.
_NARROW = 2.0


class Narrow(Enum):
    """How far stock runs on that is narrow."""

    NOWHERE = 0
    BRIEFLY = 1
    FAR = 2


def narrow_stock(polygon: shapely.Polygon, limits: StockLimits) -> Narrow:
    """Where the stock round a polygon is narrow, those in its holes left out, roughly."""
    narrow = _NARROW * limits.bridge
    solid = simplified(shapely.Polygon(polygon.exterior), _ROUGH)
    if solid.convex_hull.area - solid.area < narrow**2:
        return Narrow.NOWHERE
    closed = solid.buffer(narrow / 2, quad_segs=4).buffer(-narrow / 2, quad_segs=4)
    if closed.area - solid.area < _SLIGHT * LONGEST_TONGUE * limits.bridge**2:
        return Narrow.NOWHERE
    # A little more than the letter is taken away: edges that coincide would be slow to part.
    parts = shapely.get_parts(closed.difference(solid.buffer(_HAIR, quad_segs=1)))
    parts = parts[shapely.area(parts) > (narrow / 4) ** 2]
    if not len(parts):
        return Narrow.NOWHERE
    long = [part for part in parts if _length(part) > _NEARLY * LONGEST_TONGUE * limits.bridge]
    deep = any(_length(part) > _NEARLY * LONGEST_TONGUE * _open_edge(part, solid) for part in long)
    # What was closed to may be in several parts, where the letter is of hair lines.
    rings = shapely.get_num_interior_rings(shapely.get_parts(closed)).sum()
    return Narrow.FAR if deep or rings else Narrow.BRIEFLY


def _open_edge(part: shapely.Polygon, solid: shapely.Polygon) -> float:
    """How much of the edge of a narrow part is not along the letter, mm."""
    points = shapely.get_coordinates(part.exterior)
    middles = shapely.points((points[1:] + points[:-1]) / 2)
    is_open = ~shapely.dwithin(solid, middles, 2 * _HAIR)
    return float(np.hypot(*np.diff(points, axis=0)[is_open].T).sum())


def loose_tongues(polygon: shapely.Polygon, limits: StockLimits) -> list[shapely.Polygon]:
    """The loose parts of the stock round a polygon, those in its holes left out."""
    narrow = _NARROW * limits.bridge
    solid = shapely.Polygon(polygon.exterior)
    around = shapely.box(*solid.bounds).buffer(2 * narrow, join_style="mitre")
    stock = around.difference(solid)
    wide = shapely.get_parts(stock.buffer(-narrow / 2, quad_segs=8).buffer(narrow / 2, quad_segs=8))
    thin = shapely.get_parts(stock.difference(shapely.union_all(wide).buffer(1e-3)))
    thin = thin[shapely.area(thin) > (narrow / 4) ** 2]
    if not len(thin):
        return []
    root = int(shapely.distance(wide, shapely.Point(around.bounds[:2])).argmin())
    which, neighbour = shapely.STRtree(wide).query(thin, "dwithin", 3e-3)
    loose = []
    for index, part in enumerate(thin):
        beside = set(neighbour[which == index].tolist())
        if len(beside) != 1 or (length := _length(part)) < LONGEST_TONGUE * limits.bridge:
            continue
        mouth = _mouth(part, wide[beside.pop()])
        if length > LONGEST_TONGUE * mouth.length:
            loose.append(_far_half(part, mouth))
    for index, lobe in enumerate(wide):
        necks = thin[which[neighbour == index]]
        if index == root or len(necks) != 1:
            continue
        mouth = _mouth(lobe, necks[0])
        if _length(lobe) > LONGEST_TONGUE * mouth.length:
            loose.append(_far_half(lobe, mouth))
    return loose


def _mouth(part: shapely.Polygon, other: shapely.Polygon) -> shapely.Geometry:
    """The line along which two parts meet."""
    return part.boundary.intersection(other.buffer(5e-3))


def _length(part: shapely.Polygon) -> float:
    """The length of a strip, straight or bent, that has this area and this outline."""
    quarter = part.length / 4
    return float(quarter + math.sqrt(max(quarter**2 - part.area, 0.0)))


def _far_half(part: shapely.Polygon, mouth: shapely.Geometry) -> shapely.Polygon:
    """The half of a strip that is further from its mouth."""
    points = shapely.points(shapely.get_coordinates(part.segmentize(0.1)))
    reach = float(shapely.distance(points, mouth).max())
    parts = shapely.get_parts(part.difference(mouth.buffer(reach / 2, quad_segs=8)))
    return parts[shapely.area(parts).argmax()]


def with_cramped(rings: Rings, reached: BaseGeometry, limits: StockLimits) -> Rings:
    """The rings, those edges of the outside marked that no disc of the least bridge touches.

    `reached` is where the middles of such discs may lie that come from the sheet.
    """
    shapely.prepare(reached)
    points = shapely.points((rings.begin + rings.end) / 2)
    far = ~shapely.dwithin(reached, points, limits.bridge / 2 + _GRACE)
    edges = [shapely.get_coordinates(ring) for ring in shapely.get_rings(reached)]
    free = np.vstack([np.stack([ring[:-1], ring[1:]], axis=1) for ring in edges])
    return replace(rings, cramped=(rings.ring == 0) & far, free=free)


def labelled(rings: Rings, tongues: Iterable[shapely.Polygon]) -> Rings:
    """The rings, the edges of the outside along each tongue as a ring of their own.

    A tongue will be tied, so that it can hold what is tied to it.
    """
    ring, cramped = rings.ring.copy(), rings.cramped.copy()
    middles: Points = (rings.begin + rings.end) / 2
    points = shapely.points(middles)
    following = int(ring.max()) + 1
    for tongue in tongues:
        along = (rings.ring == 0) & shapely.intersects(tongue.buffer(0.1), points)
        if np.count_nonzero(along):
            ring[along] = following
            cramped[along] = False
            following += 1
    return replace(rings, ring=ring, cramped=cramped)
