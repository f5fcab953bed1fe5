"""Where the small print of a drawing goes: beside what it names, and on nothing else."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

#: Left, bottom, right, top, mm.
Box = tuple[float, float, float, float]


class Room:
    """What is taken on a drawing, and by how much it is to be kept clear.

    Shapes have a weight: a label may cross a line where there is no other place, but not
    stand on a letter.
    """

    def __init__(self, shapes: Sequence[BaseGeometry], weights: Sequence[float]) -> None:
        self._tree = shapely.STRtree(shapes)
        self._weights = np.asarray(weights, dtype=float)
        self._taken: list[Box] = []

    def take(self, box: Box) -> None:
        """Keep this box clear from now on."""
        self._taken.append(box)

    def best(self, candidates: Sequence[Box], dislike: Sequence[float] = ()) -> Box:
        """The first of the boxes that stands on the least, which is taken then.

        `dislike` is the cost of each box as such, where they are not all as good.
        """
        boxes = np.array(candidates)
        which, on = self._tree.query(shapely.box(*boxes.T), predicate="intersects")
        cost = np.bincount(which, self._weights[on], minlength=len(boxes)).astype(float)
        if dislike:
            cost += dislike
        if self._taken:
            x0, y0, x1, y1 = np.array(self._taken).T
            over = (
                (boxes[:, None, 0] < x1)
                & (boxes[:, None, 2] > x0)
                & (boxes[:, None, 1] < y1)
                & (boxes[:, None, 3] > y0)
            )
            cost += 10.0 * over.sum(axis=1)
        best = candidates[int(np.argmin(cost))]
        self.take(best)
        return best


def grown(box: Box, by: float) -> Box:
    """A box with `by` more on every side."""
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def joined(boxes: Iterable[Box]) -> Box:
    """The box round all boxes."""
    x0, y0, x1, y1 = np.array(list(boxes)).T
    return float(x0.min()), float(y0.min()), float(x1.max()), float(y1.max())
