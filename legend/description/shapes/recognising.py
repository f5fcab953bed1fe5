"""Recognise the shape of a hole in a drawn edge: a slot, a rectangle, a hexagon and so on.

It is told by its sides alone, within what drawing programs round to: a slot has two half
circles, a rectangle four right angles with equal radii, and so on. What has straight sides
and rounded corners, and is nothing better known, is a polygon.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from legend.description.shapes.edge import Arc, Edge, Line
from legend.limits import MOST_CORNERS
from legend.vector import Vector

#: How far two lengths may be apart that are one, mm, and two angles, degrees.
_ALIKE, _PARALLEL = 0.01, 0.1


@dataclass(frozen=True, slots=True)
class Drawn:
    """A hole as it is drawn: its middle, how far it is turned, and the keys of its shape, in mm."""

    at: Vector
    angle: float
    shape: dict[str, Any]


def recognised(edge: Edge) -> Drawn | None:
    """What a drawn edge is; None where it is no hole that can be described."""
    sides = _joined(list(edge.sides))
    arcs = [side for side in sides if isinstance(side, Arc)]
    lines = [side for side in sides if isinstance(side, Line)]
    return _round(arcs, lines) or _keyed(sides) or _slot(arcs, lines) or _cornered(sides)


def _joined(sides: list[Line | Arc]) -> list[Line | Arc]:
    """The sides, those that go on from the one before as one with it."""
    kept: list[Line | Arc] = []
    for side in sides:
        if kept and _goes_on(kept[-1], side):
            kept[-1] = _as_one(kept[-1], side)
        else:
            kept.append(side)
    if len(kept) > 1 and _goes_on(kept[-1], kept[0]):
        kept[0] = _as_one(kept.pop(), kept[0])
    return kept


def _goes_on(before: Line | Arc, after: Line | Arc) -> bool:
    if isinstance(before, Arc) and isinstance(after, Arc):
        return _one_circle(before, after) and before.sweep * after.sweep > 0
    if isinstance(before, Line) and isinstance(after, Line):
        return abs(_turn(before, after)) < _PARALLEL
    return False


def _as_one(before: Line | Arc, after: Line | Arc) -> Line | Arc:
    if isinstance(before, Arc) and isinstance(after, Arc):
        return replace(before, end=before.end + after.sweep)
    return Line(before.first, after.last)


def _one_circle(one: Arc, other: Arc) -> bool:
    return one.centre.distance(other.centre) < _ALIKE and abs(one.radius - other.radius) < _ALIKE


def _bearing(begin: Vector, end: Vector) -> float:
    """The direction from one point to another, degrees clockwise from the top."""
    return (end - begin).degrees


def _turn(before: Line, after: Line) -> float:
    """How far an edge turns left between two lines, degrees, from -180 to 180."""
    turn = _bearing(before.first, before.last) - _bearing(after.first, after.last)
    return (turn + 180) % 360 - 180


def _within(angle: float, whole: float) -> float:
    """An angle of something that looks the same after a turn by `whole`, the nearest to 0."""
    return round((angle + whole / 2) % whole - whole / 2, 6) + 0.0


# --- Holes that are more or less round ---


def _round(arcs: Sequence[Arc], lines: Sequence[Line]) -> Drawn | None:
    """A circle, or what flats leave of one."""
    if not arcs or not all(_one_circle(arcs[0], arc) for arc in arcs) or len(lines) > 2:
        return None
    centre, radius = arcs[0].centre, arcs[0].radius
    if not lines:
        return Drawn(centre, 0.0, {"drill": 2 * radius})
    flats = [line.middle for line in lines]
    heights = [centre.distance(flat) for flat in flats]
    angle = _bearing(centre, flats[0])
    if len(lines) == 1 and arcs[0].sweep < -180:
        return Drawn(centre, _within(angle, 360), {"single_d": [2 * radius, radius + heights[0]]})
    apart = abs(_turn(*lines)) if len(lines) == 2 else 0.0
    if abs(apart - 180) < _PARALLEL and abs(heights[0] - heights[1]) < _ALIKE:
        return Drawn(centre, _within(angle, 180), {"double_d": [2 * radius, sum(heights)]})
    return None


def _keyed(sides: Sequence[Line | Arc]) -> Drawn | None:
    """A round hole with a notch whose bottom is level and whose sides are upright."""
    begin = next((k for k, side in enumerate(sides) if isinstance(side, Arc)), 0)
    arc, *notch = [*sides[begin:], *sides[:begin]]
    lines = [side for side in notch if isinstance(side, Line)]
    if not isinstance(arc, Arc) or arc.sweep > -180 or len(notch) != 3 or len(lines) != 3:
        return None
    if any(abs(_turn(*two) - 90) > _PARALLEL for two in pairwise(lines)):
        return None
    up, bottom, down = lines
    if abs(up.length - down.length) > _ALIKE:
        return None
    angle = _bearing(arc.centre, bottom.middle)
    if abs(_within(angle - _bearing(up.first, up.last), 360)) > _PARALLEL:
        return None
    depth = arc.centre.distance(bottom.middle) - arc.radius
    keyed = {"keyed": [2 * arc.radius, bottom.length, depth]}
    return Drawn(arc.centre, _within(angle, 360), keyed)


def _slot(arcs: Sequence[Arc], lines: Sequence[Line]) -> Drawn | None:
    if len(arcs) != 2 or len(lines) != 2 or abs(arcs[0].radius - arcs[1].radius) > _ALIKE:
        return None
    if any(abs(arc.sweep + 180) > _PARALLEL for arc in arcs):
        return None
    axis = Line(arcs[0].centre, arcs[1].centre)
    width = arcs[0].radius + arcs[1].radius
    angle = _within(_bearing(axis.first, axis.last) - 90, 180)
    return Drawn(axis.middle, angle, {"slot": [axis.length + width, width]})


# --- Holes with sides and corners ---


@dataclass(frozen=True, slots=True)
class _Corner:
    """A corner as if it were sharp, how far the edge turns there, degrees, and its radius."""

    point: Vector
    turn: float
    radius: float


def _cornered(sides: Sequence[Line | Arc]) -> Drawn | None:
    corners = _corners(sides)
    if corners is None or not 3 <= len(corners) <= MOST_CORNERS:
        return None
    return _rectangle(corners) or _hexagon(corners) or _polygon(corners)


def _corners(sides: Sequence[Line | Arc]) -> list[_Corner] | None:
    """The corners between lines; None where an arc is no rounded corner."""
    first = next((k for k, side in enumerate(sides) if isinstance(side, Line)), None)
    if first is None:
        return None
    around = [*sides[first:], *sides[: first + 1]]
    corners = []
    for k, (before, after) in enumerate(pairwise(around)):
        if isinstance(before, Line) and isinstance(after, Line):
            corners.append(_Corner(after.first, _turn(before, after), 0.0))
        elif isinstance(before, Arc):
            line = around[k - 1]
            if not isinstance(line, Line) or not isinstance(after, Line):
                return None
            turn = _turn(line, after)
            if abs(turn + before.sweep) > _PARALLEL or abs(turn) > 179:
                return None
            half = math.radians(turn / 2)
            sharp = replace(before, radius=before.radius / math.cos(half))
            point = sharp.at((before.begin + before.end) / 2)
            corners.append(_Corner(point, turn, before.radius))
    return corners


def _rectangle(corners: Sequence[_Corner]) -> Drawn | None:
    if len(corners) != 4 or any(abs(corner.turn - 90) > _PARALLEL for corner in corners):
        return None
    radius = corners[0].radius
    if any(abs(corner.radius - radius) > _ALIKE for corner in corners):
        return None
    a, b, c, _ = (corner.point for corner in corners)
    angle = _bearing(a, b) - 90
    width, height = a.distance(b), b.distance(c)
    nearest = _within(angle, 90)
    if round((angle - nearest) / 90) % 2:
        width, height = height, width
    rounded = {"corner_radius": radius} if radius else {}
    return Drawn((a + c) / 2, nearest, {"cutout": [width, height]} | rounded)


def _hexagon(corners: Sequence[_Corner]) -> Drawn | None:
    points = [corner.point for corner in corners]
    sides = [a.distance(b) for a, b in pairwise([*points, points[0]])]
    regular = max(sides) - min(sides) < _ALIKE and all(
        abs(corner.turn - 60) < _PARALLEL and not corner.radius for corner in corners
    )
    if len(corners) != 6 or not regular:
        return None
    middle = sum(points, start=Vector(0.0, 0.0)) / 6
    angle = _within(_bearing(points[0], points[1]) - 90, 60)
    return Drawn(middle, angle, {"hexagon": sum(sides) / 6 * math.sqrt(3)})


def _polygon(corners: Sequence[_Corner]) -> Drawn:
    import shapely

    shape = shapely.Polygon([corner.point for corner in corners])
    within = shape.centroid if shape.contains(shape.centroid) else shape.representative_point()
    middle = Vector(within.x, within.y)
    listed = [
        [*(corner.point - middle), *([corner.radius] if corner.radius else [])]
        for corner in corners
    ]
    return Drawn(middle, 0.0, {"polygon": listed})
