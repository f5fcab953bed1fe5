"""Cut bridges through the shapes of rigid stock, so that no island is left.

A bridge is a strip taken away from the curves of the shape, which stay as they are. Where the
bridges of a letter go is decided in `planning`, those of frames and long lines in `ties`;
whether they hold, and what is lacking, in `holding`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
import shapely
from shapely.affinity import translate

from legend.description.tables.stock import StockLimits
from legend.lettering.faces.face import Frame, Letter
from legend.lettering.outlines.boolean import from_shape, less
from legend.lettering.outlines.connected import touching
from legend.lettering.outlines.curve_points import Points
from legend.lettering.outlines.outline import Contour, Outline
from legend.standards import SHUT_MOUTH
from legend.stencil.bridging.frames import Leaning, is_lettering, letters_in, waist_of
from legend.stencil.bridging.holding import hanging, lacking, openings
from legend.stencil.bridging.necks import Core, cores
from legend.stencil.bridging.planning import plan
from legend.stencil.bridging.scan_lines import simplified, turn
from legend.stencil.bridging.ties import tie
from legend.stencil.contours import parts
from legend.vector import Vector

#: How far the flattened shape that bridges are planned on may lie from the true one, mm.
_ROUGH = 0.008
#: So many times bridges that are lacking are made, and what is left is looked at again.
_TRIES = 3
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
    those of the islands that its bridges hold; `weak` is where one hangs by less all the same.
    `cuts` are the bridges.
    """

    outline: Outline
    loose: tuple[tuple[float, float], ...] = ()
    flattened: bool = False
    cores: tuple[Core, ...] = ()
    weak: tuple[tuple[float, float], ...] = ()
    cuts: tuple[shapely.Polygon, ...] = ()

    @classmethod
    def gathered(cls, parts: Sequence[Bridged]) -> Bridged:
        """Several shapes with their bridges as one."""
        return cls(
            Outline.gathered(each.outline for each in parts),
            tuple(place for each in parts for place in each.loose),
            any(each.flattened for each in parts),
            tuple(core for each in parts for core in each.cores),
            tuple(place for each in parts for place in each.weak),
            tuple(cut for each in parts for cut in each.cuts),
        )

    def moved(self, by: Points) -> Bridged:
        """The same shape and its bridges, moved by (dx, dy)."""
        return self._mapped(lambda points: points + by)

    def turned(self, degrees: float) -> Bridged:
        """The same shape and its bridges, turned clockwise about the origin."""
        matrix = turn(-degrees)
        return self._mapped(lambda points: points @ matrix)

    def _mapped(self, to: Callable[[Points], Points]) -> Bridged:
        contours = (Contour(each.codes, to(each.points)) for each in self.outline.contours)
        loose, weak = (
            tuple((x, y) for x, y in to(np.reshape(each, (-1, 2))).tolist())
            for each in (self.loose, self.weak)
        )
        cores = tuple(core.mapped(to) for core in self.cores)
        cuts = tuple(shapely.transform(self.cuts, to)) if self.cuts else ()
        return Bridged(Outline(tuple(contours)), loose, self.flattened, cores, weak, cuts)

    def less(self, bridges: Sequence[shapely.Polygon]) -> Bridged:
        """The same shape with more bridges."""
        cut, flattened = less(self.outline, [from_shape(bridge) for bridge in bridges])
        cuts = (*self.cuts, *bridges)
        return replace(self, outline=cut, flattened=self.flattened or flattened, cuts=cuts)


def bridged(
    outlines: Sequence[Outline],
    heights: Sequence[float],
    limits: StockLimits,
    letters: Sequence[Sequence[Letter]] = (),
) -> list[Bridged]:
    """The shapes with bridges to every island, for capital heights of `heights` mm (0: none).

    `letters` are those of each shape, where they stand: each is bridged as it would be by itself,
    upright, whatever it stands beside and however it is turned. Where they are left out, what has a
    capital height is taken for upright letters.
    """
    known: dict[object, Bridged | None] = {}
    done = []
    own = letters or [[]] * len(outlines)
    for outline, height, of in zip(outlines, heights, own, strict=True):
        bound = _bound(outline, limits)
        cut = []
        for part, found in zip(bound, letters_in(bound, of), strict=True):
            if not of and height:
                x0, y0, *_ = part.bounds
                cut.append(_standing(part, height, limits, known, Frame((x0, y0))))
            elif len(found) == 1 and is_lettering(found[0]):
                cut.append(_standing(part, height, limits, known, found[0].frame))
            elif found and all(map(is_lettering, found)):
                cut.append(_joined(part, height, limits, known, found))
            else:
                cut.append(_bridged(part, height, limits, known))
        whole = Bridged.gathered(cut)
        # The stock between shapes side by side may be narrow.
        done.append(_held(whole, _width(height, limits), limits) if len(cut) > 1 else whole)
    return done


def _standing(
    shape: Outline,
    height: float,
    limits: StockLimits,
    known: dict[object, Bridged | None],
    frame: Frame,
) -> Bridged:
    """A letter, or a part of one, bridged as it is when it stands upright."""
    if not frame.turned:
        return _bridged(shape, height, limits, known, frame)
    x, y = Vector(*frame.foot).turned(-frame.turned)
    upright = Frame((x, y), 0.0, frame.lean)
    own = shape.turned(-frame.turned)
    return _bridged(own, height, limits, known, upright).turned(frame.turned)


def _joined(
    shape: Outline,
    height: float,
    limits: StockLimits,
    known: dict[object, Bridged | None],
    letters: Sequence[Letter],
) -> Bridged:
    """Letters that touch: each has its own bridges, and what else lacks some gets them."""
    cuts: list[shapely.Polygon] = []
    for letter in letters:
        for part in _bound(letter.outline, limits):
            cuts += _standing(part, height, limits, known, letter.frame).cuts
    return _with_bridges(shape, height, limits, letters[0].frame, cuts) or Bridged(shape)


def _width(height: float, limits: StockLimits) -> float:
    """How wide the bridges of letters of this capital height are, mm."""
    return max(limits.bridge, limits.bridge_per_height * height)


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


def _bridged(
    shape: Outline,
    height: float,
    limits: StockLimits,
    known: dict[object, Bridged | None],
    frame: Frame | None = None,
) -> Bridged:
    """A shape that bounds stock of its own, bridged; `known` keeps letters, which come again.

    `frame` is that of a letter, which is not turned; None for what is no letter.
    """
    points = np.vstack([contour.points for contour in shape.contours])
    corner = points.min(axis=0)
    short = float((points.max(axis=0) - corner).max()) <= limits.free_edge
    if short and len(shape.contours) == 1 and _is_bar(shape.contours[0]):
        return Bridged(shape)
    codes = (contour.codes for contour in shape.contours)
    if frame:
        x, y = np.round(np.array(frame.foot) - corner, 3).tolist()
        frame = Frame((x, y), 0.0, round(frame.lean, 4))
    # Where the foot of a letter is does not matter, but how high it stands.
    stands = (frame.foot[1], frame.lean) if frame else ()
    key = (height, stands, *codes, np.round(points - corner, 3).tobytes())
    if key not in known:
        own = (Contour(each.codes, _from(corner, each.points)) for each in shape.contours)
        known[key] = _with_bridges(Outline(tuple(own)), height, limits, frame)
    cut = known[key]
    return Bridged(shape) if cut is None else cut.moved(corner)


def _from(corner: Points, points: Points) -> Points:
    """Points as they are seen from a corner: the same wherever it lies, to the last digit."""
    return np.round(points - corner, _DIGITS)


def _is_bar(contour: Contour) -> bool:
    """Whether a contour is a triangle or a four-sided bar, as most graduations are."""
    return len(contour.points) <= 5 and set(contour.codes) == {"L"}


def _with_bridges(
    shape: Outline,
    height: float,
    limits: StockLimits,
    frame: Frame | None,
    first: Sequence[shapely.Polygon] = (),
) -> Bridged | None:
    """The shape, bridged, or None where it needs no bridges.

    1. Of letters that touch, each gets its own bridges, `first`.
    2. What is all but shut is opened at its mouth.
    3. Each connected part is bridged as a stencil cutter would.
    4. What still hangs by less than a bridge gets another.
    """
    width = _width(height, limits)
    held = cores(shape.shape, limits.bridge)
    begun = Bridged(shape, cores=tuple(held))
    begun = begun.less(first) if first else begun
    opened = begun.less(openings(begun.outline.shape, held, width, limits))
    bridges: list[shapely.Polygon] = []
    loose: list[tuple[float, float]] = []
    for part in shapely.get_parts(opened.outline.shape):
        if part.area:
            made, untied = _planned(part, width, height, limits, frame)
            bridges += (shapely.Polygon(corners) for corners in made)
            loose += untied
    if not held and not bridges and not loose:
        return None
    return _held(replace(opened.less(bridges), loose=tuple(loose)), width, limits)


def _held(cut: Bridged, width: float, limits: StockLimits) -> Bridged:
    """A bridged shape with the bridges that are lacking; what hangs by less even so is told."""
    for _ in range(_TRIES):
        if not cut.cores or not cut.outline:
            return cut
        x, y = corner = np.array(cut.outline.bounds[:2])
        ink = shapely.transform(cut.outline.shape, partial(_from, corner))
        more = lacking(ink, [core.moved(-corner) for core in cut.cores], width, limits)
        if not more:
            return cut
        cut = cut.less([translate(bridge, x, y) for bridge in more])
    left = hanging(cut.outline.shape, cut.cores)
    places = shapely.get_coordinates(shapely.point_on_surface([core.shape for core in left]))
    return replace(cut, weak=tuple((x, y) for x, y in places.tolist()))


def _planned(
    part: shapely.Polygon, width: float, height: float, limits: StockLimits, frame: Frame | None
) -> tuple[list[Points], tuple[tuple[float, float], ...]]:
    """The corners of the bridges of a connected part; and where tongues are left loose.

    Those of a letter that leans are planned as if it were upright, and then lean as it does.
    """
    polygon = shapely.orient_polygons(simplified(part, _ROUGH))
    islands = len(polygon.interiors)
    corners, tied = tie(polygon, limits, height) if islands <= _MOST_TIED else ([], set())
    if islands > (_MOST_IN_WORDS if height else _MOST_IN_LINES):
        return corners, ()
    if frame is None:
        planned = plan(polygon, width, limits, tied)
        return [*corners, *(bridge.corners for bridge in planned.bridges)], planned.loose
    leaning = Leaning(frame.lean, frame.foot[1])
    upright = leaning.upright(polygon)
    low, high = upright.bounds[1::2]
    waist = waist_of(high, frame.foot[1], height) if height else (low + high) / 2
    planned = plan(upright, width, limits, tied, waist)
    loose = leaning.leaned(np.reshape(planned.loose, (-1, 2))).tolist()
    made = [leaning.corners(bridge) for bridge in planned.bridges]
    return [*corners, *made], tuple((x, y) for x, y in loose)
