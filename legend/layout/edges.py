"""Make outlines of edges, true or offset by a constant distance.

An edge beside another at a constant distance is again made of straight lines and arcs. It is
worked out exactly, and measured against what it is to be; where parts of it would vanish or
meet others, which is rare at the few tenths that are asked for, it is made of short straight
lines instead.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import shapely

from legend.description.shapes.edge import SAME, Arc, Edge, Line, Point
from legend.lettering.outlines.boolean import from_shape
from legend.lettering.outlines.curve_points import arc_points
from legend.lettering.outlines.outline import Contour, Outline

#: A corner that would grow into a point further off than so many times what it grows is rounded.
_LONGEST_POINT = 4.0
#: Straight lines that stand for a quarter of a circle, where the exact edge cannot be had.
_IN_A_QUARTER = 64
#: How far the edge may be from the distance that is asked for, mm.
_EXACT = 0.01

_Side = Line | Arc


def outline_of(edge: Edge) -> Outline:
    """The outline of what an edge encloses."""
    runs = [
        arc_points(arc.centre, arc.radius, arc.begin, arc.end)
        if arc.radius
        else np.array([arc.centre], dtype=float)
        for arc in edge.arcs
    ]
    codes, points = "C" * (len(runs[0]) // 3), [runs[0]]
    for before, run in pairwise(runs):
        apart = math.dist(before[-1], run[0]) > SAME
        codes += "L" * apart + "C" * (len(run) // 3)
        points.append(run if apart else run[1:])
    return Outline((Contour(codes, np.vstack(points)),))


def grown(edge: Edge, by: float) -> Outline:
    """The outline of an edge that is larger by so many mm all round, or smaller where `by` < 0.

    A sharp corner stays sharp, but for one that points inwards of an edge that shrinks: it is
    rounded, so that the distance is even there as well. Nothing is left of an edge without
    room for that: an empty outline.
    """
    if not by:
        return outline_of(edge)
    beside = _beside(edge, by)
    if beside is not None:
        outline = outline_of(beside)
        if _is_beside(outline, edge, by):
            return outline
    parts = shapely.get_parts(
        shapely.buffer(
            outline_of(edge).shape,
            by,
            quad_segs=_IN_A_QUARTER,
            join_style="mitre" if by > 0 else "round",
            mitre_limit=_LONGEST_POINT,
        )
    )
    largest = max(parts, key=lambda part: part.area, default=shapely.Polygon())
    return from_shape(shapely.Polygon(largest.exterior) if by > 0 else largest)


def _is_beside(outline: Outline, edge: Edge, by: float) -> bool:
    """Whether an outline is one that stands beside an edge, and does not cross itself."""
    made, was = outline.shape, outline_of(edge).shape
    outer, inner = (made, was) if by > 0 else (was, made)
    return bool(
        isinstance(made, shapely.Polygon)  # one that crosses itself falls into several
        and made.is_valid
        and outer.contains(inner)
        and abs(outer.exterior.distance(inner.exterior) - abs(by)) < _EXACT
    )


def _beside(edge: Edge, by: float) -> Edge | None:
    """The edge beside another; None where it is not as simple as this makes it.

    1. Every line and arc is moved outwards by itself. An arc that has no radius left vanishes.
    2. Where two that follow each other do not meet any more, they are cut off, or run on,
       where they cross; about a corner that opens too wide for that, an arc joins them.
    3. What is then the wrong way round has vanished between its neighbours: too much is asked.
    """
    was = list(edge.sides)
    kept = [(side, moved) for side in was if (moved := _outwards(side, by)) is not None]
    if not kept:
        return None
    made = [moved for _, moved in kept]
    joints: list[Arc | None] = [None] * len(kept)
    for k, (side, _) in enumerate(kept):
        before, _ = kept[k - 1]
        if math.dist(made[k - 1].last, made[k].first) <= SAME:
            continue
        corner = side.first if math.dist(before.last, side.first) <= SAME else None
        turns = _turn(before, side)
        met = _crossing(made[k - 1], made[k], corner or made[k].first)
        if corner and turns * by > 0 and (by < 0 or _is_far(met, corner, by)):
            joints[k] = _about(corner, made[k - 1].last, made[k].first, by)
        elif met is None:
            return None
        else:
            made[k - 1], made[k] = _ended(made[k - 1], met), _begun(made[k], met)
    if any(not _runs_on(moved, kept[k][1]) for k, moved in enumerate(made)):
        return None
    return Edge(tuple(_arcs(made, joints)))


def _outwards(side: _Side, by: float) -> _Side | None:
    if isinstance(side, Arc):
        radius = side.radius + (by if side.sweep < 0 else -by)
        return replace(side, radius=radius) if radius > SAME else None
    (x0, y0), (x1, y1) = side.first, side.last
    dx, dy = (y1 - y0) / side.length * by, (x0 - x1) / side.length * by
    return Line((x0 + dx, y0 + dy), (x1 + dx, y1 + dy))


def _way(side: _Side, at_end: bool) -> Point:
    """The direction in which a side begins or ends."""
    if isinstance(side, Line):
        (x0, y0), (x1, y1) = side.first, side.last
        return (x1 - x0) / side.length, (y1 - y0) / side.length
    turn = math.radians(side.end if at_end else side.begin)
    onward = math.copysign(1.0, side.sweep)
    return onward * math.cos(turn), -onward * math.sin(turn)


def _turn(before: _Side, after: _Side) -> float:
    """More than 0 where the edge turns left between two sides, as at a corner that stands out."""
    (ux, uy), (vx, vy) = _way(before, at_end=True), _way(after, at_end=False)
    return ux * vy - uy * vx


def _is_far(met: Point | None, corner: Point, by: float) -> bool:
    return met is None or math.dist(met, corner) > _LONGEST_POINT * abs(by)


def _about(corner: Point, begin: Point, end: Point, by: float) -> Arc:
    """The arc about a corner from one point beside it to another."""
    (x, y) = corner
    first, last = (math.degrees(math.atan2(px - x, py - y)) for px, py in (begin, end))
    sweep = (last - first) % 360
    return Arc(corner, abs(by), first, first + (sweep if by < 0 else sweep - 360))


def _crossing(one: _Side, other: _Side, near: Point) -> Point | None:
    """Where two sides cross if they run on, nearest to a point; None where they never do.

    Nor does a line of which nothing is left, since it has no direction.
    """
    if any(isinstance(side, Line) and side.length <= SAME for side in (one, other)):
        return None
    if isinstance(one, Line) and isinstance(other, Line):
        found = _of_lines(one, other)
    elif isinstance(one, Line):
        found = _of_line_and_circle(one, other)  # type: ignore[arg-type]
    elif isinstance(other, Line):
        found = _of_line_and_circle(other, one)
    else:
        found = _of_circles(one, other)
    return min(found, key=lambda point: math.dist(point, near), default=None)


def _of_lines(one: Line, other: Line) -> list[Point]:
    (ux, uy), (vx, vy) = _way(one, at_end=True), _way(other, at_end=True)
    sine = ux * vy - uy * vx
    if abs(sine) < SAME:
        return []
    (x0, y0), (x1, y1) = one.first, other.first
    along = ((x1 - x0) * vy - (y1 - y0) * vx) / sine
    return [(x0 + along * ux, y0 + along * uy)]


def _of_line_and_circle(line: Line, arc: Arc) -> list[Point]:
    (ux, uy), (x0, y0), (cx, cy) = _way(line, at_end=True), line.first, arc.centre
    along = (cx - x0) * ux + (cy - y0) * uy
    foot = x0 + along * ux, y0 + along * uy
    square = arc.radius**2 - (foot[0] - cx) ** 2 - (foot[1] - cy) ** 2
    if square < 0:
        return []
    half = math.sqrt(square)
    return [(foot[0] + s * half * ux, foot[1] + s * half * uy) for s in (-1, 1)]


def _of_circles(one: Arc, other: Arc) -> list[Point]:
    (x0, y0), (x1, y1) = one.centre, other.centre
    apart = math.dist(one.centre, other.centre)
    if apart < SAME:
        return []
    ux, uy = (x1 - x0) / apart, (y1 - y0) / apart
    along = (apart**2 + one.radius**2 - other.radius**2) / (2 * apart)
    square = one.radius**2 - along**2
    if square < 0:
        return []
    half = math.sqrt(square)
    return [(x0 + along * ux - s * half * uy, y0 + along * uy + s * half * ux) for s in (-1, 1)]


def _angle(arc: Arc, point: Point, near: float) -> float:
    """The direction of a point from the centre of an arc, as that nearest to an angle."""
    (x, y), (px, py) = arc.centre, point
    angle = math.degrees(math.atan2(px - x, py - y))
    return angle + 360 * round((near - angle) / 360)


def _ended(side: _Side, at: Point) -> _Side:
    if isinstance(side, Line):
        return replace(side, last=at)
    return replace(side, end=_angle(side, at, side.end))


def _begun(side: _Side, at: Point) -> _Side:
    if isinstance(side, Line):
        return replace(side, first=at)
    return replace(side, begin=_angle(side, at, side.begin))


def _runs_on(now: _Side, was: _Side) -> bool:
    """Whether a side that was cut off still runs the way it did."""
    if isinstance(now, Arc) and isinstance(was, Arc):
        return now.sweep * was.sweep > 0
    (x0, y0), (x1, y1) = now.first, now.last
    ux, uy = _way(was, at_end=True)
    return (x1 - x0) * ux + (y1 - y0) * uy > SAME


def _arcs(sides: Sequence[_Side], joints: Sequence[Arc | None]) -> Iterator[Arc]:
    """The arcs and the corners of sides, with the arcs that join some to the side before."""
    for k, side in enumerate(sides):
        joint = joints[k]
        if joint is not None:
            yield joint
        elif isinstance(side, Line) and isinstance(sides[k - 1], Line):
            yield Arc(side.first)
        if isinstance(side, Arc):
            yield side
