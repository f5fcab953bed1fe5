"""Say what of holes a place is measured by: whole rims, or the ends of slots and the corners of
windows.

A long hole tells more than its middle does. Where there are few holes, or all in one line, each of
its ends or corners is measured for itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from legend.camera.view import Points
from legend.layout.artwork import Opening

#: How far apart rays across the rim are, mm; the most rays, and the fewest round a whole hole.
_BETWEEN_RAYS, _MOST_RAYS, _FEWEST_RAYS = 0.15, 160, 24
#: A hole is parted that is longer than this, mm; into corners, where it is as wide as that too.
_LONG, _WIDE = 10.0, 10.0
#: How far from an end or a corner its rim goes, mm, as parts of the hole's length and width.
_OF_LENGTH, _OF_WIDTH = 0.3, 2.0
#: Places whose spread one way is less than this part of that the other way are nearly in line.
_NEARLY_IN_LINE = 0.04


@dataclass(frozen=True, slots=True, eq=False)
class Landmark:
    """A rim, or a part of it, that has a place of its own: where, mm on the panel.

    `points` are on its edge, and `normals` say which way is out of the hole there. `is_whole` says
    that it is all of the hole's rim, and `at` its middle.
    """

    opening: Opening
    at: tuple[float, float]
    points: Points
    normals: Points
    is_whole: bool = True


def whole_rims(openings: Iterable[Opening]) -> list[Landmark]:
    """Each hole as one."""
    return [_whole(opening) for opening in openings]


def parted_rims(openings: Iterable[Opening]) -> list[Landmark]:
    """The ends and corners of long holes, and the others whole."""
    return [part for opening in openings for part in _parted(opening)]


def are_in_one_line(landmarks: Iterable[Landmark]) -> bool:
    """Whether they stand too near to one line to carry a view; so do fewer than three."""
    places = np.array([each.at for each in landmarks], dtype=float)
    if len(places) < 3:
        return True
    spread = np.linalg.svd(places - places.mean(axis=0), compute_uv=False)
    return bool(spread[1] < _NEARLY_IN_LINE * spread[0])


def _whole(opening: Opening) -> Landmark:
    x, y = opening.centre
    points, normals = _rays(opening, _FEWEST_RAYS)
    every = np.linspace(0, len(points), min(len(points), _MOST_RAYS), endpoint=False).astype(int)
    return Landmark(opening, (x, y), points[every], normals[every])


def _parted(opening: Opening) -> Iterator[Landmark]:
    width, length = sorted(opening.hole.shape.size)
    if length < _LONG or (length < 1.5 * width and width < _WIDE) or _is_round(opening):
        yield _whole(opening)
        return
    box = shapely.get_coordinates(shapely.oriented_envelope(opening.outline.shape))[:4]
    if width < _WIDE:
        ends = np.roll(box, -1, axis=0) - box
        short = np.hypot(*ends.T) < (width + length) / 2
        box = (box + ends / 2)[short]
    reach = min(_OF_LENGTH * length, _OF_WIDTH * width)
    points, normals = _rays(opening, _FEWEST_RAYS)
    for x, y in box.tolist():
        near = np.flatnonzero(np.hypot(*(points - (x, y)).T) < reach)
        near = near[:: -(-len(near) // _MOST_RAYS)]
        yield Landmark(opening, (x, y), points[near], normals[near], is_whole=False)


def _is_round(opening: Opening) -> bool:
    """Whether a hole has no corners and no ends: it fills less than a slot does of its box."""
    shape = opening.outline.shape
    return bool(shape.area < 0.85 * shapely.oriented_envelope(shape).area)


def _rays(opening: Opening, fewest: int) -> tuple[Points, Points]:
    """Points on the edge of an opening, and which way is out of it."""
    line = shapely.get_exterior_ring(opening.outline.shape)
    count = max(int(line.length / _BETWEEN_RAYS), fewest)
    at = (np.arange(count) + 0.5) * line.length / count
    points = shapely.get_coordinates(shapely.line_interpolate_point(line, at))
    before = shapely.get_coordinates(shapely.line_interpolate_point(line, at - 0.02))
    after = shapely.get_coordinates(shapely.line_interpolate_point(line, (at + 0.02) % line.length))
    tangent = after - before
    tangent /= np.hypot(*tangent.T)[:, None]
    out = np.column_stack([tangent[:, 1], -tangent[:, 0]])
    return points, out if shapely.is_ccw(line) else -out
