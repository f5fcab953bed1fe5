"""Find what may be a hole in a photograph: compact spots that stand out from all round them.

Holes are seen darker or lighter than the base coat, whatever lies behind, and so are letters: what
of it is a hole is told by the pattern that they stand in. Sizes and places are rough.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.camera.opencv import Grey, rings_round, shrunk
from legend.camera.picture import Picture
from legend.camera.view import Points

#: The longer side of the small picture in which spots are sought, px.
_LONGER_SIDE = 1600
#: At so many levels of each colour the picture is parted into darker and lighter.
_LEVELS = 14
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
        small = shrunk(small, (round(width / factor), round(height / factor)))
    rows = [row for channel in range(3) for row in _at_levels(small[:, :, channel])]
    found = np.array(rows).reshape(-1, 3)
    scale = np.array([width / small.shape[1], height / small.shape[0]])
    middles = (found[:, :2] + 0.5) * scale - 0.5
    return _gathered(middles, found[:, 2] * scale.prod())


def _at_levels(grey: Grey) -> list[tuple[float, float, float]]:
    """Middle and area of each compact spot, at each level once."""
    low, high = np.percentile(grey[::4, ::4], (0.5, 99.5))
    most = grey.size
    found = []
    for level in np.linspace(low, high, _LEVELS + 2)[1:-1]:
        for ring in rings_round(grey > level):
            if len(ring) < 8 or np.ptp(ring, axis=0).min() < 4:
                continue
            x, y, area, filling = _moments(ring)
            if _LEAST * most < area < _LARGEST * most and _COMPACT < filling < _FULLEST:
                found.append((x, y, area))
    return found


def _moments(ring: Points) -> tuple[float, float, float, float]:
    """Middle and area of a polygon, and its area by that of the ellipse with its second moments.

    By Green's theorem.
    """
    first = ring[0]
    x, y = (ring - first).T
    u, v = np.roll(x, -1), np.roll(y, -1)
    cross = x * v - u * y
    area = cross.sum() / 2
    if abs(area) < 1:
        return 0.0, 0.0, 0.0, 0.0
    mx, my = ((x + u) * cross).sum() / (6 * area), ((y + v) * cross).sum() / (6 * area)
    xx = ((x * x + x * u + u * u) * cross).sum() / (12 * area) - mx * mx
    yy = ((y * y + y * v + v * v) * cross).sum() / (12 * area) - my * my
    xy = ((x * v + 2 * x * y + 2 * u * v + u * y) * cross).sum() / (24 * area) - mx * my
    spread = max(float(xx * yy - xy * xy), 1e-9)
    filling = abs(area) / (4 * np.pi * np.sqrt(spread))
    return float(mx + first[0]), float(my + first[1]), float(abs(area)), float(filling)


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
