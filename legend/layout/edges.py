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

from legend.description.shapes.edge import SAME, Arc, Edge, Line
from legend.lettering.outlines.boolean import from_shape
from legend.lettering.outlines.curve_points import arc_points
from legend.lettering.outlines.outline import Contour, Outline
from legend.vector import Vector

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
    aside = _way(side, at_end=False).right * by
    return Line(side.first + aside, side.last + aside)


def _way(side: _Side, at_end: bool) -> Vector:
    """The direction in which a side begins or ends."""
    if isinstance(side, Line):
        return (side.last - side.first) / side.length
    return side.way(side.end if at_end else side.begin)


def _turn(before: _Side, after: _Side) -> float:
    """More than 0 where the edge turns left between two sides, as at a corner that stands out."""
    return _way(before, at_end=True).cross(_way(after, at_end=False))


def _is_far(met: Vector | None, corner: Vector, by: float) -> bool:
    return met is None or math.dist(met, corner) > _LONGEST_POINT * abs(by)


def _about(corner: Vector, begin: Vector, end: Vector, by: float) -> Arc:
    """The arc about a corner from one point beside it to another."""
    first, last = ((point - corner).degrees for point in (begin, end))
    sweep = (last - first) % 360
    return Arc(corner, abs(by), first, first + (sweep if by < 0 else sweep - 360))


def _crossing(one: _Side, other: _Side, near: Vector) -> Vector | None:
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


def _of_lines(one: Line, other: Line) -> list[Vector]:
    u, v = _way(one, at_end=True), _way(other, at_end=True)
    sine = u.cross(v)
    if abs(sine) < SAME:
        return []
    return [one.first + u * ((other.first - one.first).cross(v) / sine)]


def _of_line_and_circle(line: Line, arc: Arc) -> list[Vector]:
    way = _way(line, at_end=True)
    foot = line.first + way * (arc.centre - line.first).dot(way)
    square = arc.radius**2 - (foot - arc.centre).dot(foot - arc.centre)
    if square < 0:
        return []
    half = way * math.sqrt(square)
    return [foot - half, foot + half]


def _of_circles(one: Arc, other: Arc) -> list[Vector]:
    apart = one.centre.distance(other.centre)
    if apart < SAME:
        return []
    way = (other.centre - one.centre) / apart
    along = (apart**2 + one.radius**2 - other.radius**2) / (2 * apart)
    square = one.radius**2 - along**2
    if square < 0:
        return []
    foot, half = one.centre + way * along, way.left * math.sqrt(square)
    return [foot - half, foot + half]


def _angle(arc: Arc, point: Vector, near: float) -> float:
    """The direction of a point from the centre of an arc, as that nearest to an angle."""
    angle = (point - arc.centre).degrees
    return angle + 360 * round((near - angle) / 360)


def _ended(side: _Side, at: Vector) -> _Side:
    if isinstance(side, Line):
        return replace(side, last=at)
    return replace(side, end=_angle(side, at, side.end))


def _begun(side: _Side, at: Vector) -> _Side:
    if isinstance(side, Line):
        return replace(side, first=at)
    return replace(side, begin=_angle(side, at, side.begin))


def _runs_on(now: _Side, was: _Side) -> bool:
    """Whether a side that was cut off still runs the way it did."""
    if isinstance(now, Arc) and isinstance(was, Arc):
        return now.sweep * was.sweep > 0
    return (now.last - now.first).dot(_way(was, at_end=True)) > SAME


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
