"""Bridge the islands of rigid stock: shapes to cut in, shapes that leave no island out.

A bridge is a rectangle taken away from the curves of the shape, which stay as they are.
Where the bridges of a letter go is decided in `legend.stencil.planning`, those of frames
and long lines in `legend.stencil.ties`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from legend.description.stock import StockLimits
from legend.lettering.curves import less
from legend.lettering.outline import Contour, Outline
from legend.standards import BRIDGE_PER_HEIGHT
from legend.stencil.contours import parts
from legend.stencil.planning import Plan, plan
from legend.stencil.sections import simplified
from legend.stencil.ties import tie
from legend.stencil.tongues import Narrow, narrow_stock

#: How far the flattened shape that bridges are planned on may lie from the true one, mm.
_ROUGH = 0.008
#: Rings no further apart than this meet, mm.
_MEETING = 1e-6
#: The most islands that a word has whose letters are all joined, that lines leave which cross
#: each other, and that are held by the ties of their long edges. What leaves more is a heap of
#: things drawn over each other: it is bridged in the shortest way, since to look for the best
#: would take minutes, and there is no beauty to be kept in it. Common practice, no source.
_MOST_IN_WORDS, _MOST_IN_LINES, _MOST_TIED = 50, 12, 50


@dataclass(frozen=True, slots=True, eq=False)
class Bridged:
    """A shape with its bridges; and where tongues of stock are that none of them holds.

    `flattened` tells that some of its curves are made of short straight lines.
    """

    outline: Outline
    loose: tuple[tuple[float, float], ...] = ()
    flattened: bool = False


def bridged(
    outlines: Sequence[Outline], heights: Sequence[float], limits: StockLimits
) -> list[Bridged]:
    """The shapes with bridges to every island, for capital heights of `heights` mm (0: none)."""
    known: dict[object, Bridged | None] = {}
    done = []
    for outline, height in zip(outlines, heights, strict=True):
        cut = [_bridged(part, height, limits, known) for part in parts(outline)]
        done.append(
            Bridged(
                Outline.gathered(each.outline for each in cut),
                tuple(place for each in cut for place in each.loose),
                any(each.flattened for each in cut),
            )
        )
    return done


def _bridged(
    part: Outline, height: float, limits: StockLimits, known: dict[object, Bridged | None]
) -> Bridged:
    """A connected shape, bridged; `known` keeps letters, which come again and again."""
    corner = part.contours[0].points.min(axis=0)
    extent = float((part.contours[0].points.max(axis=0) - corner).max())
    short = extent <= limits.free_edge
    if short and len(part.contours) == 1 and _is_bar(part.contours[0]):
        return Bridged(part)
    key = (
        height,
        *(contour.codes for contour in part.contours),
        np.round(np.vstack([contour.points for contour in part.contours]) - corner, 3).tobytes(),
    )
    if key not in known:
        moved = part.moved(*-corner)
        flat = short and height > 0 and _lies_flat(moved, limits)
        known[key] = None if flat else _with_bridges(moved, height, limits)
    cut = known[key]
    if cut is None:
        return Bridged(part)
    x, y = corner
    contours = [Contour(contour.codes, contour.points + corner) for contour in cut.outline.contours]
    loose = tuple((x + dx, y + dy) for dx, dy in cut.loose)
    return Bridged(Outline(tuple(contours)), loose, cut.flattened)


def _lies_flat(part: Outline, limits: StockLimits) -> bool:
    """Whether a small shape, at a rough look, leaves neither an island nor a tongue of stock."""
    return (
        len(part.contours) == 1
        and narrow_stock(shapely.Polygon(part.contours[0].flat), limits) is not Narrow.FAR
    )


def _is_bar(contour: Contour) -> bool:
    """Whether a contour is a triangle or a four-sided bar, as most graduations are."""
    return len(contour.points) <= 5 and set(contour.codes) == {"L"}


def _with_bridges(part: Outline, height: float, limits: StockLimits) -> Bridged | None:
    """The shape, bridged, or None where it needs no bridges."""
    width = max(limits.bridge, BRIDGE_PER_HEIGHT * height)
    polygon = shapely.orient_polygons(simplified(part.shape, _ROUGH))
    islands = len(polygon.interiors)
    rectangles, tied = tie(polygon, limits, height) if islands <= _MOST_TIED else ([], set())
    is_heap = islands > (_MOST_IN_WORDS if height else _MOST_IN_LINES)
    planned = Plan() if is_heap else plan(polygon, width, limits, tied)
    rectangles += [bridge.corners for bridge in planned.bridges]
    if not rectangles and not len(polygon.interiors):
        return Bridged(part, planned.loose) if planned.loose else None
    cut, flattened = less(part, [Outline.polygon(corners) for corners in rectangles])
    while forced := _tied_by_force(cut, width):
        cut, again = less(cut, forced)
        flattened |= again
    return Bridged(cut, planned.loose, flattened)


def _tied_by_force(outline: Outline, width: float) -> list[Outline]:
    """A bridge by the shortest way from each island that is still loose; none where none is."""
    forced = []
    for polygon in shapely.get_parts(outline.shape):
        rings = [polygon.exterior, *polygon.interiors]
        for index in range(1, len(rings)):
            others = shapely.multilinestrings(rings[:index] + rings[index + 1 :])
            p, q = shapely.get_coordinates(shapely.shortest_line(rings[index], others))
            apart = math.dist(p, q)  # nothing where the rings meet in a point
            along = (q - p) / apart if apart > _MEETING else np.array([1.0, 0.0])
            end, beyond = p - along * width / 2, q + along * width / 2
            forced.append(Outline.line_stroke(end, beyond, width))
    return forced
