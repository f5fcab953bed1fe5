"""An independent judge of where bridges stand: a letter before and after bridging in, runs cut out.

It looks at flattened outlines with shapely alone and shares nothing with the program. A gap takes a
stretch out of a stroke and leaves two faces. It stands at a joint where the ink beyond one of the
faces is another stroke that passes: it spreads at once to more than the breadth of the face, and
ends, on the way that the stroke went, after no more than a stroke's breadth. Else it severs a run.
"""

from __future__ import annotations

import math

import numpy as np
import shapely

from legend.lettering.outlines.outline import Outline

#: Smaller gaps are no bridges, mm²; and faces shorter than this part of the gap's longest.
_SLIGHT, _SHORT = 0.01, 0.25
#: Within this part of a face's length the ink beyond it spreads to so many times that length; and
#: ends within so many times the breadth of a broad stroke of the letter.
_AT_ONCE, _SPREADS, _ENDS = 0.75, 1.4, 1.9
_HAIR = 0.01


def bridges(before: Outline, after: Outline) -> list[shapely.Polygon]:
    """What the bridges took, each by itself."""
    taken = before.shape.difference(after.shape).buffer(-_HAIR / 2)
    return [part for part in shapely.get_parts(taken) if part.area > _SLIGHT]


def severed(before: Outline, after: Outline) -> list[shapely.Polygon]:
    """The bridges that cut a stroke elsewhere than at a joint."""
    ink = before.shape
    broad = 2 * shapely.maximum_inscribed_circle(ink).length
    return [gap for gap in bridges(before, after) if not _is_at_joint(gap, ink, broad)]


def _is_at_joint(gap: shapely.Polygon, ink: shapely.Geometry, broad: float) -> bool:
    faces = _faces(gap, ink)
    if len(faces) != 2:
        return len(faces) < 2  # at the end of a stroke, or across a crossing
    middles = [face.interpolate(0.5, normalized=True) for face in faces]
    (x0, y0), (x1, y1) = (shapely.get_coordinates(point)[0] for point in middles)
    way = np.array([x1 - x0, y1 - y0]) / math.hypot(x1 - x0, y1 - y0)
    return any(
        _passes(face, np.array([x, y]), sign * way, ink, broad)
        for face, (x, y), sign in zip(faces, ((x0, y0), (x1, y1)), (-1, 1), strict=True)
    )


def _faces(gap: shapely.Polygon, ink: shapely.Geometry) -> list[shapely.LineString]:
    """The parts of the edge of a gap along which it cuts through ink."""
    cut = gap.exterior.difference(shapely.boundary(ink).buffer(3 * _HAIR))
    lines = shapely.get_parts(shapely.line_merge(cut))
    straight = [shapely.LineString(shapely.get_coordinates(line)[[0, -1]]) for line in lines]
    longest = max((line.length for line in straight), default=0.0)
    return [line for line in straight if line.length > _SHORT * longest]


def _passes(
    face: shapely.LineString,
    middle: np.ndarray,
    way: np.ndarray,
    ink: shapely.Geometry,
    broad: float,
) -> bool:
    """Whether another stroke passes beyond a face."""
    ray = shapely.LineString([middle + 2 * _HAIR * way, middle + 20 * broad * way])
    runs = [run for run in shapely.get_parts(ray.intersection(ink)) if run.length]
    if not runs or shapely.get_coordinates(runs[0]).size == 0:
        return False
    first = min(runs, key=lambda run: run.distance(shapely.Point(middle)))
    if first.length > _ENDS * broad:
        return False
    (ax, ay), (bx, by) = shapely.get_coordinates(face)
    along = np.array([bx - ax, by - ay]) / face.length
    for step in np.linspace(0.1, 1, 10) * min(_AT_ONCE * face.length, first.length):
        at = middle + step * way
        line = shapely.LineString([at - 20 * broad * along, at + 20 * broad * along])
        crossed = [
            run
            for run in shapely.get_parts(line.intersection(ink))
            if run.distance(shapely.Point(at)) < _HAIR
        ]
        if crossed and crossed[0].length > _SPREADS * face.length:
            return True
    return False
