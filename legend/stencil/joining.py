"""Join what touches, so that no line is cut twice: shapes in, shapes that stand apart out."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from legend.lettering.curves import united
from legend.lettering.outline import Outline


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


def touching(outlines: Sequence[Outline]) -> list[list[int]]:
    """Which of the shapes touch or overlap: lists of indices, most of them of one alone."""
    if not outlines:
        return []
    shapes = [outline.shape for outline in outlines]
    a, b = shapely.STRtree(shapes).query(shapes, "intersects")
    members: dict[int, list[int]] = {}
    for index, part in enumerate(components(len(shapes), a, b).tolist()):
        members.setdefault(part, []).append(index)
    return list(members.values())


def joined(outlines: Sequence[Outline]) -> list[Outline]:
    """The shapes, those that touch or overlap united into one."""
    return [united([outlines[i] for i in part]).outline for part in touching(outlines)]
