"""Unite, subtract and simplify outlines: the one module that uses skia-pathops.

The engine keeps curves as curves, in single precision. Each result is checked against
the area that shapely finds for the flattened shapes; where the two disagree, the shapely
result is taken instead, as straight lines, and the caller is told.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

import numpy as np
import pathops
import shapely
from numpy.typing import NDArray
from shapely.errors import GEOSException
from shapely.geometry.base import BaseGeometry

from legend.lettering.outlines.connected import touching
from legend.lettering.outlines.curve_points import Points, winding
from legend.lettering.outlines.excessive import cross_more_often
from legend.lettering.outlines.outline import ADDS, FLATNESS, Contour, Outline
from legend.limits import MOST_CROSSINGS

#: Areas agree when they differ by less than this part of the larger, or by 0.002 mm².
_AREA_TOLERANCE = 2e-3
_AREA_FLOOR = 2e-3
#: A contour with less than this part of the whole area is a sliver.
_SLIVER = 1e-6
#: Crossings past which the engine would take more than half a second to join shapes, and a
#: number of contours with which they are not reached.
_MOST_JOINED, _FEW = 12_000, 40
#: Contours that come as near as this touch, as they may be written down, mm; and they are parted
#: by so much to either side of the place, or by more where they touch for a while.
_SAME, _HAIRS = 4e-4, (4e-3, 8e-3, 16e-3)
#: A contour turns about where it comes back within a degree: its cosine.
_ABOUT = -0.99985
#: A straight piece that goes no further than this, mm across and up together, is a speck.
_SPECK = 2e-5


class TangleError(ValueError):
    """Curves that no clean shape can be made of in good time; the text goes on from "it"."""


class Combined(NamedTuple):
    """A combined outline, and whether it had to be made of straight lines."""

    outline: Outline
    flattened: bool


def flattened_curves(of: str) -> str:
    """The sentence that tells of curves that had to be made of straight lines."""
    return (
        f"Some curves of {of} could not be joined as curves; short straight lines "
        f"within {FLATNESS} mm of them stand in."
    )


def united(outlines: Iterable[Outline]) -> Combined:
    """All shapes joined into one; overlaps vanish."""
    outlines = list(outlines)
    if len(outlines) == 1:
        return Combined(outlines[0], False)
    wanted = shapely.union_all([outline.shape for outline in outlines])
    if _is_heap(outlines):
        return Combined(from_shape(wanted), True)
    return _checked(lambda: _drawn(outlines), wanted)


def _is_heap(outlines: Sequence[Outline]) -> bool:
    """Whether shapes lie over each other in so many places that the engine takes very long."""
    rings = [ring for outline in outlines for ring in outline.rings]
    return len(rings) > _FEW and cross_more_often(rings, _MOST_JOINED)


def joined(outlines: Sequence[Outline]) -> Combined:
    """Shapes as one outline: those that touch are united, the others stay curve for curve."""
    if len(outlines) == 1:
        return Combined(outlines[0], False)
    groups = touching(outlines, [outline.control_box for outline in outlines])
    if len(groups) == len(outlines):
        return Combined(Outline.gathered(outlines), False)
    parts = [united([outlines[member] for member in group]) for group in groups]
    outline = Outline.gathered(part.outline for part in parts)
    return Combined(outline, any(part.flattened for part in parts))


def less(outline: Outline, cutters: Sequence[Outline]) -> Combined:
    """A shape with the shapes of `cutters` taken away."""
    cutters = [each for each in cutters if each.shape.intersects(outline.shape)]
    if not cutters:
        return Combined(outline, False)

    def taken_away() -> pathops.Path:
        cutter = _drawn(cutters)
        cutter.simplify(fix_winding=True)
        return pathops.op(_drawn([outline]), cutter, pathops.PathOp.DIFFERENCE)

    wanted = outline.shape.difference(shapely.union_all([each.shape for each in cutters]))
    return _checked(taken_away, wanted)


def cleaned(contours: Iterable[Contour]) -> Combined:
    """Contours that may overlap or cross, themselves or each other, as one clean shape.

    Filled by the nonzero rule, which is what fonts and strokes mean, whichever way round
    they run. Where nothing crosses, the curves are kept point for point.
    Error: TangleError where they cross in more places than any letter does.
    """
    outline = Outline(tuple(contours))
    both = zip(outline.contours, outline.rings, strict=True)
    enclosing = [(contour, ring) for contour, ring in both if len(ring) > 3]
    if not enclosing:
        return Combined(Outline(()), False)
    contours, rings = zip(*enclosing, strict=True)
    if _are_apart(rings):
        return Combined(Outline(_boundaries(contours, rings)), False)
    if cross_more_often(rings):
        raise TangleError(f"crosses itself in more than {MOST_CROSSINGS} places")
    return _checked(lambda: _drawn([Outline(contours)]), _filled(rings))


def _boundaries(contours: Sequence[Contour], rings: Sequence[Points]) -> tuple[Contour, ...]:
    """Of contours that do not cross, those that part ink from none, the ink on their left."""
    turns = np.array([1 if contour.signed_area > 0 else -1 for contour in contours])
    if len(rings) == 1:
        return (contours[0] if turns[0] > 0 else contours[0].reversed(),)
    polygons = np.array([shapely.polygons(ring) for ring in rings])
    firsts = np.array([ring[0] for ring in rings])
    inside = shapely.contains_xy(polygons[:, None], firsts[:, 0], firsts[:, 1])
    np.fill_diagonal(inside, False)
    around = turns @ inside
    kept = []
    for contour, turn, outer in zip(contours, turns, around, strict=True):
        has_ink_within = outer + turn != 0
        if has_ink_within != (outer != 0):
            kept.append(contour if (turn > 0) == has_ink_within else contour.reversed())
    return tuple(kept)


def _filled(rings: Sequence[Points]) -> BaseGeometry:
    """What rings that cross fill by the nonzero rule."""
    faces = shapely.get_parts(shapely.polygonize([shapely.union_all(_lines(rings))]))
    points = shapely.get_coordinates(shapely.point_on_surface(faces))
    windings = sum(winding(ring, points) for ring in rings)
    return shapely.union_all(faces[windings != 0])


def from_shape(shape: BaseGeometry) -> Outline:
    """A shapely polygon or multipolygon as an outline of straight lines."""
    contours = []
    for part in shapely.get_parts(shape):
        if part.geom_type != "Polygon" or part.is_empty:
            continue
        part = shapely.geometry.polygon.orient(part)
        for ring in (part.exterior, *part.interiors):
            points = shapely.get_coordinates(ring)[:-1]
            contours.append(Contour("L" * (len(points) - 1), points))
    return Outline(tuple(contours))


def _checked(combine: Callable[[], pathops.Path], wanted: BaseGeometry) -> Combined:
    """The engine's path as a clean outline, or the shape it should have had."""
    try:
        path = combine()
        path.simplify(fix_winding=True, keep_starting_points=False)
        outline = _without_slivers(_read(path))
        if abs(outline.area - wanted.area) < max(_AREA_TOLERANCE * wanted.area, _AREA_FLOOR):
            for mend in (None, _parted):  # which takes long, and is seldom needed
                each = mend(outline) if mend else outline
                if _are_apart(each.rings) and _is_alike(each, wanted):
                    return Combined(each, False)
    except (pathops.PathOpsError, GEOSException):  # no result, or one that cannot be measured
        pass
    return Combined(_parted(from_shape(wanted), curved=False), True)


def _is_alike(outline: Outline, wanted: BaseGeometry) -> bool:
    """Whether a shape is as it was wanted, but for hairs along its edge.

    The engine may fill a small hole, or leave out a thin part, of a shape so large that its area
    does not tell.
    """
    hair = _HAIRS[-1] + FLATNESS
    other = shapely.get_parts(outline.shape.symmetric_difference(wanted))
    wide = other[shapely.area(other) > hair**2]  # no smaller one holds a disc of that radius
    return bool(shapely.is_empty(shapely.buffer(wide, -hair)).all())


def _parted(outline: Outline, curved: bool = True) -> Outline:
    """The outline with a hair of room made where its contours touch themselves or each other.

    The engine makes it, or shapely where the outline is not `curved`.
    """
    for hair in _HAIRS:
        if not len(places := _meetings(outline.rings)):
            break
        room = from_shape(shapely.union_all(shapely.box(*(places - hair).T, *(places + hair).T)))
        if curved:
            parted = pathops.op(_drawn([outline]), _drawn([room]), pathops.PathOp.DIFFERENCE)
            outline = _without_slivers(_read(parted))
        else:
            outline = from_shape(outline.shape.difference(room.shape))
    return outline


def _are_apart(rings: Sequence[Points]) -> bool:
    """Whether rings neither touch nor cross, themselves or each other."""
    return bool(shapely.is_simple(shapely.multilinestrings(_lines(rings)))) and not len(
        _meetings(rings)
    )


def _meetings(rings: Sequence[Points]) -> Points:
    """The places where rings touch or cross, or as good as do, and where they turn about."""
    # All lines are cut where they meet: there, more than two ends come together.
    pieces = shapely.get_parts(shapely.union_all(_lines(rings), grid_size=_SAME))
    ends = shapely.get_coordinates([shapely.get_point(pieces, 0), shapely.get_point(pieces, -1)])
    places, count = np.unique(ends, axis=0, return_counts=True)
    return np.vstack([places[count > 2], *map(_spikes, rings)])


def _spikes(ring: Points) -> Points:
    """The points at which a ring turns about."""
    step = np.diff(ring, axis=0)
    length = np.hypot(*step.T)
    at, step = ring[:-1][length > 0], step[length > 0] / length[length > 0, None]
    spikes: Points = at[(step * np.roll(step, 1, axis=0)).sum(axis=1) < _ABOUT]
    return spikes


def _lines(rings: Sequence[Points]) -> NDArray[np.object_]:
    counts = [len(ring) for ring in rings]
    indices = np.repeat(np.arange(len(rings)), counts)
    points = np.vstack([np.empty((0, 2)), *rings])
    lines: NDArray[np.object_] = shapely.linearrings(points, indices=indices)
    return lines


def _without_slivers(outline: Outline) -> Outline:
    """The outline without contours that enclose next to nothing, which the engine can leave."""
    areas = [abs(area) for area in outline.signed_areas]
    least = _SLIVER * sum(areas)
    return Outline(
        tuple(c for c, area in zip(outline.contours, areas, strict=True) if area >= least)
    )


def _drawn(outlines: Iterable[Outline]) -> pathops.Path:
    path = pathops.Path()
    for contour in (contour for outline in outlines for contour in outline.contours):
        path.moveTo(*contour.points[0])
        at = 1
        points = contour.points.tolist()
        for code in contour.codes:
            if code == "L":
                path.lineTo(*points[at])
                at += 1
            elif code == "Q":
                path.quadTo(*points[at], *points[at + 1])
                at += 2
            else:
                path.cubicTo(*points[at], *points[at + 1], *points[at + 2])
                at += 3
        path.close()
    return path


_CODES = {pathops.PathVerb.LINE: "L", pathops.PathVerb.QUAD: "Q", pathops.PathVerb.CUBIC: "C"}


def _read(path: pathops.Path) -> Outline:
    contours: list[Contour] = []
    codes: list[str] = []
    points: list[tuple[float, float]] = []
    for verb, args in path:
        if verb == pathops.PathVerb.MOVE:
            codes, points = [], list(args)
        elif verb == pathops.PathVerb.CLOSE:
            if len(codes) > 1 or (codes and codes[0] != "L"):
                contours.append(_without_specks(codes, points))
        else:
            codes.append(_CODES[verb])
            points.extend(args)
    return Outline(tuple(contours))


def _without_specks(codes: list[str], points: list[tuple[float, float]]) -> Contour:
    """The contour without straight pieces too short to see, which the engine can leave."""
    kept_codes: list[str] = []
    kept = [points[0]]
    at = 1
    for code in codes:
        step = ADDS[code]
        piece = points[at : at + step]
        at += step
        (x0, y0), (x1, y1) = kept[-1], piece[-1]
        if code != "L" or abs(x1 - x0) + abs(y1 - y0) >= _SPECK:
            kept_codes.append(code)
            kept.extend(piece)
    return Contour("".join(kept_codes), np.array(kept, dtype=float))
