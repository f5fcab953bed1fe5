"""Bridge the islands of rigid stock: shapes to cut in, shapes that leave no island out.

A bridge is a rectangle taken away from the curves of the shape, which stay as they are.
Where the bridges of a letter go is decided in `legend.stencil.planning`, those of frames
and long lines in `legend.stencil.ties`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from legend.description.stock import StockLimits
from legend.lettering.curves import less
from legend.lettering.outline import Contour, Outline
from legend.stencil.contours import parts
from legend.stencil.planning import plan
from legend.stencil.sections import simplified
from legend.stencil.ties import tie
from legend.stencil.tongues import Narrow, narrow_stock

#: Width of a bridge over capital height, where that is more than the stock's least.
#: Common practice, no source.
BRIDGE_PER_HEIGHT = 0.06

#: How far the flattened shape that bridges are planned on may lie from the true one, mm.
_ROUGH = 0.008


def bridged(
    outlines: Sequence[Outline], heights: Sequence[float], limits: StockLimits
) -> list[Outline]:
    """The shapes with bridges to every island, for capital heights of `heights` mm (0: none)."""
    known: dict[object, Outline | None] = {}
    return [
        Outline(
            tuple(
                contour
                for part in parts(outline)
                for contour in _bridged(part, height, limits, known)
            )
        )
        for outline, height in zip(outlines, heights, strict=True)
    ]


def _bridged(
    part: Outline, height: float, limits: StockLimits, known: dict[object, Outline | None]
) -> Iterator[Contour]:
    """The contours of a connected shape; `known` keeps letters, which come again and again."""
    corner = part.contours[0].points.min(axis=0)
    extent = float((part.contours[0].points.max(axis=0) - corner).max())
    short = extent <= limits.free_edge
    if short and len(part.contours) == 1 and _is_bar(part.contours[0]):
        yield part.contours[0]
        return
    key = (
        height,
        *(contour.codes for contour in part.contours),
        np.round(np.vstack([contour.points for contour in part.contours]) - corner, 3).tobytes(),
    )
    if key not in known:
        moved = part.moved(*-corner)
        cut = moved if short and _lies_flat(moved, limits) else _with_bridges(moved, height, limits)
        known[key] = None if cut is moved else cut
    bridged_one = known[key]
    if bridged_one is None:
        yield from part.contours
        return
    for contour in bridged_one.contours:
        yield Contour(contour.codes, contour.points + corner)


def _lies_flat(part: Outline, limits: StockLimits) -> bool:
    """Whether a small shape, at a rough look, leaves neither an island nor a tongue of stock."""
    return (
        len(part.contours) == 1
        and narrow_stock(shapely.Polygon(part.contours[0].flat), limits) is not Narrow.FAR
    )


def _is_bar(contour: Contour) -> bool:
    """Whether a contour is a triangle or a four-sided bar, as most graduations are."""
    return len(contour.points) <= 5 and set(contour.codes) == {"L"}


def _with_bridges(part: Outline, height: float, limits: StockLimits) -> Outline:
    width = max(limits.bridge, BRIDGE_PER_HEIGHT * height)
    polygon = shapely.orient_polygons(simplified(part.shape, _ROUGH))
    rectangles, tied = tie(polygon, limits)
    rectangles += [bridge.corners for bridge in plan(polygon, width, limits, tied)]
    if not rectangles and not len(polygon.interiors):
        return part
    cut = less(part, [Outline.polygon(corners) for corners in rectangles]).outline
    while (forced := _tie_by_force(cut, width)) is not None:
        cut = less(cut, [forced]).outline
    return cut


def _tie_by_force(outline: Outline, width: float) -> Outline | None:
    """A bridge by the shortest way to an island that is still loose, or None where none is."""
    for polygon in shapely.get_parts(outline.shape):
        if len(polygon.interiors):
            rings = [polygon.exterior, *polygon.interiors]
            line = shapely.shortest_line(rings[1], shapely.multilinestrings(rings[:1] + rings[2:]))
            p, q = shapely.get_coordinates(line)
            along = (q - p) / max(math.dist(p, q), 1e-9)
            return Outline.line_stroke(p - along * width / 2, q + along * width / 2, width)
    return None
