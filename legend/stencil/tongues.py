"""Find loose tongues: a letter in, the parts of the stock round it that hang by too little out.

The stock inside a "C", or between the ring of an "@" and its "a", is no island, but where it
is long and narrow, or hangs by a narrow neck, it lifts and lets paint under. A tongue is
loose where it is `RATIO` times longer than it, or its neck, is wide.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
import shapely

from legend.description.stock import StockLimits
from legend.lettering.outline import Points
from legend.stencil.sections import Rings

#: How many times its width a tongue may be long. Common practice, no source.
RATIO = 4.0

#: Stock is looked at for tongues where it is narrower than this many bridges.
_NARROW = 2.0


def loose_tongues(polygon: shapely.Polygon, limits: StockLimits) -> list[shapely.Polygon]:
    """The loose parts of the stock round a polygon, those in its holes left out."""
    narrow = _NARROW * limits.bridge
    solid = shapely.Polygon(polygon.exterior)
    if solid.convex_hull.area - solid.area < narrow**2:
        return []
    x0, y0, x1, y1 = solid.bounds
    around = shapely.box(x0, y0, x1, y1).buffer(2 * narrow, join_style="mitre")
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
        if len(beside) != 1 or (length := _length(part)) < RATIO * limits.bridge:
            continue
        mouth = _mouth(part, wide[beside.pop()])
        if length > RATIO * mouth.length:
            loose.append(_far_half(part, mouth))
    for index, lobe in enumerate(wide):
        necks = thin[which[neighbour == index]]
        if index == root or len(necks) != 1:
            continue
        mouth = _mouth(lobe, necks[0])
        if _length(lobe) > RATIO * mouth.length:
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


def labelled(rings: Rings, tongues: Iterable[shapely.Polygon]) -> Rings:
    """The rings, the edges of the outside along each tongue as a ring of their own."""
    ring = rings.ring.copy()
    middles: Points = (rings.begin + rings.end) / 2
    points = shapely.points(middles)
    following = int(ring.max()) + 1
    for tongue in tongues:
        along = (rings.ring == 0) & shapely.intersects(tongue.buffer(0.1), points)
        if np.count_nonzero(along):
            ring[along] = following
            following += 1
    return Rings(rings.begin, rings.end, ring)
