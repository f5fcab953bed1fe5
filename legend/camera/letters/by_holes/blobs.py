"""Find what may be a hole in a photograph: compact spots that stand out from all round them.

Holes are seen darker or lighter than the base coat, whatever lies behind, and so are letters: what
of it is a hole is told by the pattern that they stand in. Sizes and places are rough.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.camera.opencv import Grey, rings_round, shrunk_to
from legend.camera.picture import Picture
from legend.camera.view import Points

#: The longer side of the small picture in which spots are sought, px.
_LONGER_SIDE = 1600
#: At so many levels of each colour the picture is parted into darker and lighter.
_LEVELS = 14
#: Rings of fewer pixels are passed over.
_SHORTEST = 14
#: The least and the largest spot, as parts of the picture.
_LEAST, _LARGEST = 2.5e-5, 0.12
#: How nearly a spot must fill the ellipse with its second moments: a rectangle has 3 / π of it.
_FULLEST, _COMPACT = 1.03, 0.88
#: Spots whose middles are nearer than this part of their size, and as large to so much, are one.
_SAME_PLACE, _SAME_SIZE = 0.35, 0.45
#: Of more spots only those are kept that stand out the most.
_MOST = 160


@dataclass(frozen=True, slots=True, eq=False)
class Blobs:
    """Spots of a picture: the middle of each, px, its area, px², and at how many levels it is."""

    middles: Points
    areas: NDArray[np.float64]
    levels: NDArray[np.intp]


def blobs_in(picture: Picture) -> Blobs:
    """The compact spots of a picture, those that stand out most first."""
    width, height = picture.size
    factor = max(1.0, max(width, height) / _LONGER_SIDE)
    small = picture.rgb
    if factor > 1:
        small = shrunk_to(small, (round(width / factor), round(height / factor)))
    found = np.concatenate([_at_levels(small[:, :, channel]) for channel in range(3)])
    scale = np.array([width / small.shape[1], height / small.shape[0]])
    middles = (found[:, :2] + 0.5) * scale - 0.5
    return _gathered(middles, found[:, 2] * scale.prod())


def _at_levels(grey: Grey) -> NDArray[np.float64]:
    """Middle and area of each compact spot, at each level once; shape (n, 3)."""
    low, high = np.percentile(grey[::4, ::4], (0.5, 99.5))
    rings = []
    for level in np.linspace(low, high, _LEVELS + 2)[1:-1]:
        rings += rings_round(grey > level, _SHORTEST)
    if not rings:
        return np.empty((0, 3))
    x, y, area, filling = _moments(rings)
    keep = (area > _LEAST * grey.size) & (area < _LARGEST * grey.size)
    keep &= (filling > _COMPACT) & (filling < _FULLEST)
    return np.column_stack([x, y, area])[keep]


def _moments(rings: Sequence[Points]) -> tuple[NDArray[np.float64], ...]:
    """Middles and areas of polygons, and their areas by those of the ellipses with their moments.

    By Green's theorem; second moments are meant.
    """
    begins = np.cumsum([0, *map(len, rings[:-1])])
    firsts = np.repeat([ring[0] for ring in rings], [len(ring) for ring in rings], axis=0)
    points = np.concatenate(rings) - firsts
    after = np.roll(points, -1, axis=0)
    after[np.append(begins[1:], len(points)) - 1] = 0  # each begins at 0, 0
    (x, y), (u, v) = points.T, after.T
    cross = x * v - u * y
    of = [cross, (x + u) * cross, (y + v) * cross]
    of += [(x * x + x * u + u * u) * cross, (y * y + y * v + v * v) * cross]
    of += [(x * v + 2 * x * y + 2 * u * v + u * y) * cross]
    a, ax, ay, axx, ayy, axy = (np.add.reduceat(each, begins) for each in of)
    area = np.where(np.abs(a) < 2, 1e9, a / 2)
    mx, my = ax / (6 * area), ay / (6 * area)
    xx, yy = axx / (12 * area) - mx * mx, ayy / (12 * area) - my * my
    spread = np.maximum(xx * yy - (axy / (24 * area) - mx * my) ** 2, 1e-9)
    filling = np.abs(area) / (4 * np.pi * np.sqrt(spread))
    starts = np.array([ring[0] for ring in rings])
    return mx + starts[:, 0], my + starts[:, 1], np.abs(area), filling


def _gathered(middles: Points, areas: NDArray[np.float64]) -> Blobs:
    """Spots found at several levels, each once: the median of what was found of it."""
    left = np.ones(len(areas), dtype=bool)
    groups = []
    for index in np.argsort(-areas):
        if not left[index]:
            continue
        reach = _SAME_PLACE * np.sqrt(areas[index] / np.pi)
        near = np.hypot(*(middles - middles[index]).T) < reach
        alike = np.abs(np.log(areas / areas[index])) < _SAME_SIZE
        members = np.flatnonzero(left & near & alike)
        left[members] = False
        groups.append(members)
    groups.sort(key=lambda members: -len(members))
    groups = groups[:_MOST]
    return Blobs(
        np.array([np.median(middles[g], axis=0) for g in groups]).reshape(-1, 2),
        np.array([np.median(areas[g]) for g in groups]),
        np.array([len(g) for g in groups], dtype=np.intp),
    )
