"""Windings: a point, a ray and edges of contours in, how often they go round the point out.

A contour that goes counter-clockwise round the point counts one, one that goes clockwise
takes one away. Counted is how often edges cross a ray that leaves the point, a unit vector
that must not run along any of them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from legend.lettering.meetings import Edge, holds
from legend.lettering.skeleton import Arc, Bend, Point, Straight, bend_at, slope_at


def winding(point: Point, ray: Point, edges: Sequence[Edge]) -> int:
    """How many times the contours go counter-clockwise round a point, counted along a ray."""
    times = 0
    for edge in edges:
        segment = edge.segment
        if isinstance(segment, Arc):
            times += _of_arc(point, ray, segment)
        elif isinstance(segment, Straight):
            times += _of_line(point, ray, segment)
        else:
            times += _of_bend(point, ray, segment, edge.chords)
    return times


def _of_bend(point: Point, ray: Point, bend: Bend, chords: Sequence[Straight]) -> int:
    px, py = point
    ux, uy = ray
    sides = [ux * (y - py) - uy * (x - px) > 0 for x, y in bend]
    if all(sides) or not any(sides):
        return 0
    reaches = [ux * (x - px) + uy * (y - py) for x, y in bend]
    if max(reaches) <= 0:
        return 0
    if min(reaches) > 0:
        return sides[3] - sides[0]
    times = 0
    for index, chord in enumerate(chords):
        (x0, y0), (x1, y1) = chord
        s0, s1 = ux * (y0 - py) - uy * (x0 - px), ux * (y1 - py) - uy * (x1 - px)
        if (s0 > 0) == (s1 > 0):
            continue
        t = (index + s0 / (s0 - s1)) / len(chords)
        for _ in range(4):  # from the chord onto the curve
            (x, y), (dx, dy) = bend_at(bend, t), slope_at(bend, t)
            t -= (ux * (y - py) - uy * (x - px)) / (ux * dy - uy * dx or 1.0)
        x, y = bend_at(bend, t)
        if ux * (x - px) + uy * (y - py) > 0:
            times += 1 if s1 > s0 else -1
    return times


def _of_line(point: Point, ray: Point, line: Straight) -> int:
    px, py = point
    ux, uy = ray
    (x0, y0), (x1, y1) = line
    x0, y0, x1, y1 = x0 - px, y0 - py, x1 - px, y1 - py
    s0 = ux * y0 - uy * x0
    s1 = ux * y1 - uy * x1
    if (s0 > 0) == (s1 > 0):
        return 0
    t = s0 / (s0 - s1)
    if ux * (x0 + t * (x1 - x0)) + uy * (y0 + t * (y1 - y0)) <= 0:
        return 0
    return 1 if s1 > s0 else -1


def _of_arc(point: Point, ray: Point, arc: Arc) -> int:
    ux, uy = ray
    cx, cy = arc.centre[0] - point[0], arc.centre[1] - point[1]
    away = ux * cy - uy * cx
    radius = arc.radius
    if away >= radius or away <= -radius:
        return 0
    middle = ux * cx + uy * cy
    half = math.sqrt(radius * radius - away * away)
    times = 0
    turn = 1 if arc.sweep > 0 else -1
    for reach, sign in ((middle + half, turn), (middle - half, -turn)):
        if reach > 0 and holds(arc, math.atan2(uy * reach - cy, ux * reach - cx)):
            times += sign
    return times
