"""An independent judge of rigid stencils: a shape before and after bridging in, faults out.

It looks at flattened outlines with shapely alone and shares nothing with the program. Stock is
worn down by half a bridge less five per cent; no former island may then come apart from the
sheet, unless its necks add up to two bridges. Every contour is simple, and none meets another.
"""

from __future__ import annotations

import shapely

from legend.lettering.outlines.outline import Outline

#: A worn part of an island that is smaller, mm², or than this part of its largest, is a bay.
_SMALL, _BAY = 0.005, 0.004


def faults(before: Outline, after: Outline, bridge: float) -> list[str]:
    """What is wrong with the bridges of a shape, in words; nothing where all is well."""
    found = []
    rings = [shapely.LinearRing(contour.flat) for contour in after.contours]
    if not shapely.is_simple(rings).all():
        found.append("a contour touches or crosses itself")
    one, other = shapely.STRtree(rings).query(rings, "intersects")
    if (one != other).any():
        found.append("two contours meet")
    if after.shape.difference(before.shape.buffer(0.01)).area > 1e-3:
        found.append("there is more ink than before")
    stock = _stock(after.shape, before)
    if len(_polygons(stock)) > 1:
        found.append("an island is loose")
    radius = 0.95 * bridge / 2
    worn = _polygons(stock.buffer(-radius))
    for part in worn:
        if part is not max(worn, key=lambda part: part.area) and _was_island(part, before, radius):
            rest = shapely.union_all([each for each in worn if each is not part])
            if _necks(stock, part, rest, radius) < 2 * bridge:
                found.append(f"an island hangs by a hair near {part.centroid}")
    return found


def islands(shape: shapely.Geometry) -> list[shapely.Polygon]:
    """The parts of the stock that ink encloses, less the ink in them."""
    outside, *enclosed = sorted(
        _polygons(shapely.box(*shape.bounds).buffer(1, join_style="mitre").difference(shape)),
        key=lambda part: -shapely.box(*part.bounds).area,
    )
    return enclosed


def _was_island(part: shapely.Polygon, before: Outline, radius: float) -> bool:
    """Whether a worn part of the stock is of what was an island, and no mere bay of one."""
    for island in islands(before.shape):
        if part.intersects(island):
            cores = _polygons(island.buffer(-radius))
            least = max(_SMALL, _BAY * max((core.area for core in cores), default=0.0))
            return any(core.area > least and core.intersects(part) for core in cores)
    return False


def _stock(ink: shapely.Geometry, before: Outline) -> shapely.Geometry:
    return shapely.box(*before.bounds).buffer(3, join_style="mitre").difference(ink)


def _polygons(shape: shapely.Geometry) -> list[shapely.Polygon]:
    return [part for part in shapely.get_parts(shape) if part.area > 1e-9]


def _necks(
    stock: shapely.Geometry, part: shapely.Geometry, rest: shapely.Geometry, radius: float
) -> float:
    """How wide the necks are together by which a worn part hangs on to the rest, mm."""
    own, others = part.buffer(1.02 * radius), rest.buffer(1.02 * radius)
    total = 0.0
    for neck in _polygons(stock.difference(own.union(others))):
        if neck.distance(own) < 1e-6 and neck.distance(others) < 1e-6:
            whole, low, high = shapely.union_all([neck, own, others]), 0.0, radius
            while high - low > 0.002:
                middle = (low + high) / 2
                left = [each for each in _polygons(whole.buffer(-middle)) if each.intersects(part)]
                holds = any(each.intersects(rest) for each in left)
                low, high = (middle, high) if holds else (low, middle)
            total += 2 * low
    return total
