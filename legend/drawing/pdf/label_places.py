"""Find places for the labels of a drawing: beside what they name, and on nothing else."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from legend.lettering.outlines.outline import Box, Outline

#: How far a shape may be from its true edge where small print looks for its place, mm.
_COARSE = 0.05

#: How bad it is, as part of its weight, that a thing lies between small print and what it names.
_BETWEEN = 0.2
#: How bad it is to stand on other small print, and to run off the drawing.
_ON_OTHERS, _BEYOND = 10.0, 50.0

#: Where small print is tried: directions from what it names, degrees, and distances, mm.
_DIRECTIONS = (
    45,
    135,
    315,
    225,
    90,
    270,
    0,
    180,
    67.5,
    112.5,
    292.5,
    247.5,
    22.5,
    157.5,
    337.5,
    202.5,
)
_AWAY = (0.2, 1.2, 3.0, 5.5, 9.0, 13.0, 17.0, 21.0)
#: Nearer than this no leader is needed, mm.
CLOSE_BY = 2.0
#: How bad it is for small print to stand a mm further off, and for its leader to run along a
#: centre line, of which it would be taken for a part.
_FAR, _ALONG_CENTRE_LINE = 0.25, 2.0


class Room:
    """What is taken on a drawing that reaches no further than `extent`.

    Shapes have a weight: a label may cross a line where there is no other place, but not
    stand on a letter.
    """

    def __init__(
        self, shapes: Sequence[BaseGeometry], weights: Sequence[float], extent: Box
    ) -> None:
        self._extent = extent
        self._tree = shapely.STRtree(shapely.simplify(shapes, _COARSE, preserve_topology=False))
        self._weights = np.asarray(weights, dtype=float)
        self._boxes = np.empty((64, 4))
        self._count = 0

    def take(self, box: Box) -> None:
        """Keep this box clear from now on."""
        if self._count == len(self._boxes):
            self._boxes = np.concatenate([self._boxes, np.empty_like(self._boxes)])
        self._boxes[self._count] = box
        self._count += 1

    def best(
        self,
        boxes: NDArray[np.float64],
        dislike: NDArray[np.float64] | None = None,
        named: tuple[float, float] | None = None,
    ) -> Box:
        """The first of the boxes, shape (n, 4), that stands on the least; it is taken then.

        `dislike` is the cost of each box as such, where they are not all as good. `named` is
        the point that the small print belongs to: nothing should lie between the two.
        """
        which, on = self._tree.query(shapely.box(*boxes.T), predicate="intersects")
        cost = np.bincount(which, self._weights[on], minlength=len(boxes)).astype(float)
        if named:
            middles = (boxes[:, :2] + boxes[:, 2:]) / 2
            ways = np.stack([np.broadcast_to(named, middles.shape), middles], axis=1)
            which, on = self._tree.query(shapely.linestrings(ways), predicate="intersects")
            between = np.bincount(which, self._weights[on], minlength=len(boxes))
            cost += _BETWEEN * between
        left, bottom, right, top = self._extent
        beyond = (boxes[:, :2] < (left, bottom)).any(axis=1) | (boxes[:, 2:] > (right, top)).any(
            axis=1
        )
        cost += _BEYOND * beyond
        if dislike is not None:
            cost += dislike
        x0, y0, x1, y1 = self._near(boxes).T
        over = (
            (boxes[:, None, 0] < x1)
            & (boxes[:, None, 2] > x0)
            & (boxes[:, None, 1] < y1)
            & (boxes[:, None, 3] > y0)
        )
        cost += _ON_OTHERS * over.sum(axis=1)
        x0, y0, x1, y1 = boxes[np.argmin(cost)].tolist()
        self.take((x0, y0, x1, y1))
        return x0, y0, x1, y1

    def _near(self, boxes: NDArray[np.float64]) -> NDArray[np.float64]:
        """Those of the boxes taken that can meet any of these."""
        taken = self._boxes[: self._count]
        (left, bottom), (right, top) = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
        x0, y0, x1, y1 = taken.T
        near: NDArray[np.float64] = taken[(x0 < right) & (x1 > left) & (y0 < top) & (y1 > bottom)]
        return near


def places_around(
    outline: Outline, width: float, height: float, angle: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Places for a label round a shape turned by `angle`, the nearest first; how bad each is."""
    x0, y0, x1, y1 = outline.bounds
    half = np.array([(x1 - x0) / 2, (y1 - y0) / 2])
    turns = np.radians(_DIRECTIONS)
    ways = np.column_stack([np.sin(turns), np.cos(turns)])
    is_disc = np.ptp(half) < 0.01 and outline.area < 0.8 * 4 * half.prod()
    reach = half[0] if is_disc else (half / np.maximum(np.abs(ways), 1e-9)).min(axis=1)
    away = np.repeat(_AWAY, len(ways))
    # The label's near corner, or the middle of its near side, lies on the direction.
    size = np.array([width, height])
    at_edge = (x0 + half[0], y0 + half[1]) + ways * np.reshape(reach, (-1, 1))
    corners = at_edge + (np.clip(2 * ways, -1, 1) - 1) * size / 2
    corners = np.tile(corners, (len(_AWAY), 1)) + np.tile(ways, (len(_AWAY), 1)) * away[:, None]
    on_centre_line = np.tile((np.array(_DIRECTIONS) - angle) % 90 == 0, len(_AWAY))
    along = on_centre_line & (away >= CLOSE_BY)
    return np.hstack([corners, corners + size]), _FAR * away + _ALONG_CENTRE_LINE * along


def grown(box: Box, by: float) -> Box:
    """A box with `by` more on every side."""
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by
