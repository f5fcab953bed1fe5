"""Find how the contours of an outline nest, and its connected parts.

Only the points of the curves are looked at, so that nothing needs to be flattened: a contour
that lies in another is well inside it, and no two contours cross.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from legend.lettering.outlines.curve_points import Points, winding
from legend.lettering.outlines.outline import Contour, Outline


def holders(contours: Sequence[Contour]) -> list[int]:
    """For each contour the index of the innermost one that it lies in, or -1."""
    if len(contours) < 2:
        return [-1] * len(contours)
    low = np.array([contour.points.min(axis=0) for contour in contours])
    high = np.array([contour.points.max(axis=0) for contour in contours])
    in_box = (low[:, None] > low[None]).all(axis=2) & (high[:, None] < high[None]).all(axis=2)
    size = (high - low).prod(axis=1)
    found = [-1] * len(contours)
    for inner, outer in sorted(np.argwhere(in_box).tolist(), key=lambda pair: -size[pair[1]]):
        if holds(contours[outer].points, contours[inner].points[0]):
            found[inner] = outer
    return found


def holds(ring: Points, point: Points) -> bool:
    """Whether a point lies inside a ring of points."""
    return bool(winding(ring, point[None])[0])


def parts(outline: Outline) -> list[Outline]:
    """The connected parts of a shape, each its outside and then its holes."""
    contours = outline.contours
    if len(contours) == 1:
        return [outline]
    holder = holders(contours)
    depth = [0] * len(contours)
    for index in range(len(contours)):
        at = index
        while (at := holder[at]) >= 0:
            depth[index] += 1
    members: dict[int, list[Contour]] = {
        index: [contour] for index, contour in enumerate(contours) if depth[index] % 2 == 0
    }
    for index, contour in enumerate(contours):
        if depth[index] % 2:
            members[holder[index]].append(contour)
    return [Outline(tuple(each)) for each in members.values()]
