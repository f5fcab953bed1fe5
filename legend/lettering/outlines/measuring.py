"""Measure the finest strokes, counters and gaps of letters, in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from legend.standards import PLOTTER_STEP

#: Sizes are let pass that are this part of what they should be: neither eye nor blade knows less.
LET_PASS = 0.99
#: Parts of a letter that are no further apart touch, mm.
TOUCHING = 0.02
#: What is smaller than a step of the cutter each way is dirt in a font, mm².
_SPECK = PLOTTER_STEP**2
#: Edges are the two sides of a stroke where they turn away from each other by no more than
#: this from straight; the sides of a corner turn further.
_OPPOSITE = math.cos(math.radians(180 - 15))
#: A thin place shorter than this many times its breadth is a joint between strokes, held by
#: the heavier ink at its ends, and no stroke.
_STROKE_LENGTH = 2.0
#: How many places of an edge are measured along the mean breadth of its strokes.
_PLACES = 4
#: Places that lie no deeper in the ink than this are level with the edge, mm.
_NO_DEPTH = 1e-9
#: How far up its capital the legs of an H are measured: clear of its serifs and its bar.
_LEG = 1 / 4
#: How far up it is looked at to see whether it leans, clear of serifs and the bar; and by how
#: little of the height such a side strays from a straight line, and one that leans from upright.
_SIDE = np.array([0.25, 0.35, 0.65, 0.75])
_STRAIGHT = 0.01
#: The most places measured on one connected part, and the most pairs of them held at once.
_MOST_PLACES = 2000
_MOST_PAIRS = 1_000_000


def has_ink(shape: BaseGeometry) -> bool:
    """Whether anything of some letters is more than dirt."""
    return any(part.area > _SPECK for part in shapely.get_parts(shape))


def least_stroke(shape: BaseGeometry) -> float:
    """Breadth of the finest stroke of some letters, mm: infinite for no ink.

    The breadth at a place on the edge is the diameter of the largest disc that touches the
    edge there and stays in the ink, where it is held between two opposite edges.
    """
    parts = [part for part in shapely.get_parts(shape) if part.area > _SPECK]
    return min((_stroke_of(part) for part in parts), default=math.inf)


def _stroke_of(part: BaseGeometry) -> float:
    """The breadth than which a connected part has only joints that are finer.

    A part without strokes, such as a dot, is as broad as the largest disc that goes into it.
    """
    breadths, lengths = _breadths(part)
    order = np.argsort(breadths)
    breadths, edge = breadths[order], np.cumsum(lengths[order])
    long_enough = edge >= 2 * _STROKE_LENGTH * breadths
    return float(breadths[long_enough.argmax()]) if long_enough.any() else across(part)


def _breadths(part: BaseGeometry) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Breadths where edges are opposite, and the length of edge that each holds for, mm."""
    step = max(2 * part.area / part.length / _PLACES, part.length / _MOST_PLACES)
    places, inwards, lengths = _edge_places(part, step)
    places -= places.mean(axis=0)
    square, own_depth = (places**2).sum(axis=1), (places * inwards).sum(axis=1)
    breadths = np.empty(len(places))
    opposite = np.empty(len(places), dtype=bool)
    rows = max(1, _MOST_PAIRS // len(places))
    for start in range(0, len(places), rows):
        at = slice(start, start + rows)
        # The disc that touches the edge at p and passes through q has this diameter: the square
        # of the distance of q from p, over how deep q lies in the ink from p.
        apart = square[at, None] + square - 2 * (places[at] @ places.T)
        depth = inwards[at] @ places.T - own_depth[at, None]
        depth[depth <= _NO_DEPTH] = _NO_DEPTH**2
        diameters = np.divide(apart, depth, out=apart)
        np.fill_diagonal(diameters[:, start:], np.inf)
        touched = diameters.argmin(axis=1)
        breadths[at] = diameters[np.arange(len(touched)), touched]
        opposite[at] = (inwards[at] * inwards[touched]).sum(axis=1) < _OPPOSITE
    return breadths[opposite], lengths[opposite]


def _edge_places(part: BaseGeometry, step: float) -> tuple[NDArray[np.float64], ...]:
    """Places along the edges no further apart than `step`: each, which way the ink lies as a
    unit vector, and the length of edge that it stands for."""
    rings = shapely.get_rings(part)
    ink_is_left = shapely.is_ccw(rings)
    ink_is_left[1:] = ~ink_is_left[1:]
    points, ring = shapely.get_coordinates(rings, return_index=True)
    along = np.diff(points, axis=0)
    lengths = np.hypot(along[:, 0], along[:, 1])
    drawn = (ring[1:] == ring[:-1]) & (lengths > 1e-9)
    points, along, lengths = points[:-1][drawn], along[drawn], lengths[drawn]
    side = np.where(ink_is_left[ring[:-1][drawn]], 1.0, -1.0) / lengths
    inwards = np.column_stack([-along[:, 1] * side, along[:, 0] * side])
    count = np.maximum(1, np.ceil(lengths / step)).astype(np.intp)
    which = np.repeat(np.arange(len(count)), count)
    number = np.arange(len(which)) - (np.cumsum(count) - count)[which]
    places = points[which] + along[which] * ((number + 0.5) / count[which])[:, None]
    share = (lengths / count)[which]
    every = -(-len(places) // _MOST_PLACES)
    return places[::every], inwards[which][::every], share[::every] * every


def counters(shape: BaseGeometry) -> list[BaseGeometry]:
    """The enclosed parts of letters as polygons."""
    enclosed = [
        shapely.Polygon(ring)
        for part in shapely.get_parts(shape)
        if part.geom_type == "Polygon"
        for ring in part.interiors
    ]
    return [counter for counter in enclosed if counter.area > _SPECK]


def across(shape: BaseGeometry) -> float:
    """Diameter of the largest disc that goes into a shape, mm."""
    return 2 * float(shapely.maximum_inscribed_circle(shape).length)


def leg(shape: BaseGeometry) -> float:
    """Breadth of the leg of an H, or of another letter with upright strokes, mm: 0 for none."""
    left, bottom, right, top = shape.bounds
    level = bottom + (top - bottom) * _LEG
    return _crossed(shape, (left - 1, level), (right + 1, level))


def foot(shape: BaseGeometry, up: float) -> float:
    """Breadth of the foot of a letter with upright strokes, so many mm above its lowest point."""
    left, bottom, right, _ = shape.bounds
    return _crossed(shape, (left - 1, bottom + up), (right + 1, bottom + up))


def leans_by(shape: BaseGeometry) -> float:
    """How far the left side of an H, or of another letter with upright strokes, leans to the right
    for its height; 0 for one that is upright, or has no such side."""
    left, bottom, right, top = shape.bounds
    levels = bottom + (top - bottom) * _SIDE
    level, x = [], []
    for y in levels.tolist():
        crossed = shapely.LineString([(left - 1, y), (right + 1, y)]).intersection(shape)
        if crossed:
            level.append(y)
            x.append(crossed.bounds[0])
    if len(level) < len(levels):
        return 0.0
    slope, at = np.polyfit(level, x, 1)
    strayed = np.abs(np.polyval([slope, at], level) - x).max()
    return (
        float(slope) if strayed < _STRAIGHT * (top - bottom) < abs(slope) * (top - bottom) else 0.0
    )


def bar(shape: BaseGeometry) -> float:
    """Breadth of the bar of an H, mm: 0 for none."""
    left, bottom, right, top = shape.bounds
    middle = (left + right) / 2
    return _crossed(shape, (middle, bottom - 1), (middle, top + 1))


def _crossed(shape: BaseGeometry, start: tuple[float, float], end: tuple[float, float]) -> float:
    """The shortest stretch of ink that a line crosses, mm: 0 where it crosses none."""
    crossed = shapely.get_parts(shapely.LineString([start, end]).intersection(shape))
    return float(shapely.length(crossed).min()) if len(crossed) else 0.0


def least_gap(shape: BaseGeometry, below: float = math.inf) -> float:
    """Least distance between any two parts of some letters, mm, where it is less than `below`.

    Infinite where no two parts are so near.
    """
    *_, apart = _near(shapely.get_parts(shape), below)
    return float(apart.min(initial=math.inf))


def gaps_of_letters(
    shape: BaseGeometry, letters: Sequence[BaseGeometry], below: float
) -> tuple[float, float]:
    """Least distances, mm, between parts of different letters, and between those of one.

    Each is infinite where none is less than `below`. Parts of one letter that touch are one.
    """
    parts = shapely.get_parts(shape)
    first, second, apart = _near(parts, below)
    between, inside = math.inf, math.inf
    for one, other, distance in zip(first, second, apart.tolist(), strict=True):
        own = shapely.intersects(letters, parts[one]) & shapely.intersects(letters, parts[other])
        if not own.any():
            between = min(between, distance)
        elif distance > TOUCHING:
            inside = min(inside, distance)
    return between, inside


def _near(
    parts: NDArray[np.object_], below: float
) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.float64]]:
    """The pairs of parts that are less than `below` apart, and how far they are."""
    left, bottom, right, top = shapely.bounds(parts).T
    beside = np.maximum(left[:, None] - right, left - right[:, None])
    above = np.maximum(bottom[:, None] - top, bottom - top[:, None])
    first, second = np.nonzero(np.triu(np.maximum(beside, above) < below, 1))
    apart = shapely.distance(parts[first], parts[second])
    near = apart < below
    return first[near], second[near], apart[near]
