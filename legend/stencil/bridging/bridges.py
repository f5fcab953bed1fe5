"""Bridge the islands of rigid stock: shapes to cut in, shapes that leave no island out.

A bridge is a rectangle taken away from the curves of the shape, which stay as they are.
Where the bridges of a letter go is decided in `legend.stencil.bridging.planning`, those of frames
and long lines in `legend.stencil.bridging.ties`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from legend.description.tables.stock import StockLimits
from legend.lettering.outlines.boolean import from_shape, less
from legend.lettering.outlines.connected import touching
from legend.lettering.outlines.outline import Contour, Outline, Points
from legend.standards import BRIDGE_PER_HEIGHT, SHUT_MOUTH
from legend.stencil.bridging.holding import mouths, ties
from legend.stencil.bridging.necks import Core, cores
from legend.stencil.bridging.planning import Plan, plan
from legend.stencil.bridging.scan_lines import simplified
from legend.stencil.bridging.ties import tie
from legend.stencil.contours import parts

#: How far the flattened shape that bridges are planned on may lie from the true one, mm.
_ROUGH = 0.008
#: So many digits of a mm are the same, wherever a shape stands.
_DIGITS = 6
#: The most islands that a word has whose letters are all joined, that lines leave which cross
#: each other, and that are held by the ties of their long edges. What leaves more is a heap of
#: things drawn over each other: it is bridged in the shortest way, since to look for the best
#: would take minutes, and there is no beauty to be kept in it. Common practice, no source.
_MOST_IN_WORDS, _MOST_IN_LINES, _MOST_TIED = 50, 12, 50


@dataclass(frozen=True, slots=True, eq=False)
class Bridged:
    """A shape with its bridges; and where tongues of stock are that none of them holds.

    `flattened` tells that some of its curves are made of short straight lines; `cores` are
    those of the islands that its bridges hold.
    """

    outline: Outline
    loose: tuple[tuple[float, float], ...] = ()
    flattened: bool = False
    cores: tuple[Core, ...] = ()

    def moved(self, by: Points) -> Bridged:
        """The same shape and its bridges, moved by (dx, dy)."""
        contours = (Contour(each.codes, each.points + by) for each in self.outline.contours)
        dx, dy = by
        loose = tuple((x + dx, y + dy) for x, y in self.loose)
        cores = tuple(core.moved(by) for core in self.cores)
        return Bridged(Outline(tuple(contours)), loose, self.flattened, cores)

    def less(self, bridges: Sequence[shapely.Polygon]) -> Bridged:
        """The same shape with more bridges."""
        cut, flattened = less(self.outline, [from_shape(bridge) for bridge in bridges])
        return replace(self, outline=cut, flattened=self.flattened or flattened)


def bridged(
    outlines: Sequence[Outline], heights: Sequence[float], limits: StockLimits
) -> list[Bridged]:
    """The shapes with bridges to every island, for capital heights of `heights` mm (0: none)."""
    known: dict[object, Bridged | None] = {}
    done = []
    for outline, height in zip(outlines, heights, strict=True):
        cut = [_bridged(each, height, limits, known) for each in _bound(outline, limits)]
        if len(cut) > 1:
            cut = _tied_together(cut, _width(height, limits), limits)
        done.append(
            Bridged(
                Outline.gathered(each.outline for each in cut),
                tuple(place for each in cut for place in each.loose),
                any(each.flattened for each in cut),
                tuple(core for each in cut for core in each.cores),
            )
        )
    return done


def _width(height: float, limits: StockLimits) -> float:
    """How wide the bridges of letters of this capital height are, mm."""
    return max(limits.bridge, BRIDGE_PER_HEIGHT * height)


def _bound(outline: Outline, limits: StockLimits) -> list[Outline]:
    """The parts of a shape that bound the same stock: they lie in each other, or all but touch."""
    found = parts(outline)
    if len(found) == 1:
        return found
    filled = [Outline(part.contours[:1]) for part in found]
    hair = limits.bridge * SHUT_MOUTH
    boxes = np.array([each.control_box for each in filled]) + hair * np.array([-1, -1, 1, 1]) / 2
    groups = touching(filled, boxes, hair)
    return [Outline(tuple(c for i in group for c in found[i].contours)) for group in groups]


def _tied_together(cut: list[Bridged], width: float, limits: StockLimits) -> list[Bridged]:
    """Bridged shapes side by side, with more bridges where the stock between them is narrow."""
    whole = shapely.multipolygons(shapely.get_parts([each.outline.shape for each in cut]))
    corner = np.array(whole.bounds[:2])
    cores = [core.moved(-corner) for each in cut for core in each.cores]
    whole = shapely.transform(whole, lambda points: _from(corner, points))
    lacking = ties(whole, cores, width, limits)
    if not lacking:
        return cut
    lacking = [shapely.transform(bridge, lambda points: points + corner) for bridge in lacking]
    return [each.less(lacking) for each in cut]


def _bridged(
    shape: Outline, height: float, limits: StockLimits, known: dict[object, Bridged | None]
) -> Bridged:
    """A shape that bounds stock of its own, bridged; `known` keeps letters, which come again."""
    points = np.vstack([contour.points for contour in shape.contours])
    corner = points.min(axis=0)
    short = float((points.max(axis=0) - corner).max()) <= limits.free_edge
    if short and len(shape.contours) == 1 and _is_bar(shape.contours[0]):
        return Bridged(shape)
    codes = (contour.codes for contour in shape.contours)
    key = (height, *codes, np.round(points - corner, 3).tobytes())
    if key not in known:
        own = (Contour(each.codes, _from(corner, each.points)) for each in shape.contours)
        known[key] = _with_bridges(Outline(tuple(own)), height, limits)
    cut = known[key]
    return Bridged(shape) if cut is None else cut.moved(corner)


def _from(corner: Points, points: Points) -> Points:
    """Points as they are seen from a corner: the same wherever it lies, to the last digit."""
    return np.round(points - corner, _DIGITS)


def _is_bar(contour: Contour) -> bool:
    """Whether a contour is a triangle or a four-sided bar, as most graduations are."""
    return len(contour.points) <= 5 and set(contour.codes) == {"L"}


def _with_bridges(shape: Outline, height: float, limits: StockLimits) -> Bridged | None:
    """The shape, bridged, or None where it needs no bridges.

    1. What is all but shut is opened at its mouth.
    2. Each connected part is bridged as a stencil cutter would.
    3. What still hangs by less than a bridge gets another.
    """
    width = _width(height, limits)
    held = cores(shape.shape, limits.bridge)
    opened = Bridged(shape, cores=tuple(held)).less(mouths(shape.shape, held, width, limits))
    bridges: list[shapely.Polygon] = []
    loose: list[tuple[float, float]] = []
    for part in shapely.get_parts(opened.outline.shape):
        made, untied = _planned(part, width, height, limits)
        bridges += (shapely.Polygon(corners) for corners in made)
        loose += untied
    ink = shapely.difference(opened.outline.shape, shapely.union_all(bridges))
    bridges += ties(ink, held, width, limits)
    if not held and not bridges and not loose:
        return None
    return replace(opened.less(bridges), loose=tuple(loose))


def _planned(
    part: shapely.Polygon, width: float, height: float, limits: StockLimits
) -> tuple[list[Points], tuple[tuple[float, float], ...]]:
    """The corners of the bridges of a connected part; and where tongues are left loose."""
    polygon = shapely.orient_polygons(simplified(part, _ROUGH))
    islands = len(polygon.interiors)
    corners, tied = tie(polygon, limits, height) if islands <= _MOST_TIED else ([], set())
    is_heap = islands > (_MOST_IN_WORDS if height else _MOST_IN_LINES)
    planned = Plan() if is_heap else plan(polygon, width, limits, tied)
    return [*corners, *(bridge.corners for bridge in planned.bridges)], planned.loose
