"""Group outlines that touch each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from legend.lettering.outlines.outline import Outline

_Indices = NDArray[np.intp]

#: So many shapes are compared with all others at once.
_AT_ONCE = 256


def touching(outlines: Sequence[Outline], boxes: ArrayLike, near: float = 0.0) -> list[list[int]]:
    """Which of some shapes touch or overlap: lists of indices, most of them of one alone.

    `boxes` has a box round each, left, bottom, right, top; only shapes whose boxes meet are
    flattened. Shapes that are no more than `near` mm apart count as touching.
    """
    if not outlines:
        return []
    around = shapely.box(*np.asarray(boxes, dtype=float).T)
    a, b = shapely.STRtree(around).query(around)
    a, b = a[a < b], b[a < b]
    meets = [
        shapely.dwithin(outlines[i].shape, outlines[j].shape, near)
        for i, j in zip(a, b, strict=True)
    ]
    members: dict[int, list[int]] = {}
    for index, part in enumerate(components(len(outlines), a[meets], b[meets]).tolist()):
        members.setdefault(part, []).append(index)
    return list(members.values())


def pairs_that_meet(shapes: NDArray[np.object_]) -> Iterator[tuple[_Indices, _Indices]]:
    """The pairs of shapes that touch or overlap, by their numbers, each pair once.

    They come a few shapes at a time, so that those of a heap need not be in memory together.
    """
    tree = shapely.STRtree(shapes)
    for first in range(0, len(shapes), _AT_ONCE):
        one, other = tree.query(shapes[first : first + _AT_ONCE], "intersects")
        one += first
        yield one[one < other], other[one < other]


def components(count: int, a: NDArray[np.int64], b: NDArray[np.int64]) -> NDArray[np.int64]:
    """For each of `count` things the number of the connected part it is in.

    `a` and `b` are the pairs of things that are connected.
    """
    root = list(range(count))

    def top(i: int) -> int:
        while root[i] != i:
            root[i] = root[root[i]]
            i = root[i]
        return i

    for i, j in zip(a.tolist(), b.tolist(), strict=True):
        root[max(top(i), top(j))] = min(top(i), top(j))
    return np.unique([top(i) for i in range(count)], return_inverse=True)[1]
