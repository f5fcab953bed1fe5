"""Find the mark, and the letter of it, that a part of a stencil belongs to."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from legend.layout.artwork import Artwork, Mark
from legend.lettering.outlines.curve_points import Points

#: How near to a letter its edge is, mm.
_NEAR = 0.005


def owners_at(artwork: Artwork, points: Sequence[Points]) -> list[tuple[Mark | None, str]]:
    """For each point, the mark of the smallest part of any that holds it, and the letter of that.

    The letter is "" of a line or a symbol; the mark is None where no mark is at the point.
    """
    spots = shapely.STRtree(shapely.points(np.reshape(points, (-1, 2))))
    marks = [mark for mark in artwork.marks if mark.outline]
    boxes = shapely.box(*np.reshape([mark.outline.bounds for mark in marks], (-1, 4)).T)
    found: list[tuple[Mark | None, str]] = [(None, "")] * len(points)
    least = np.full(len(points), np.inf)
    # Mark by mark: the letters of a large panel take much room, and few have a point in them.
    for index in np.unique(spots.query(boxes, "dwithin", _NEAR)[0]):
        mark = marks[index]
        named = [(each.text, each.outline.shape) for each in mark.letters]
        named = named or [("", mark.outline.shape)]
        shapes, which = shapely.get_parts([shape for _, shape in named], return_index=True)
        filled = shapely.polygons(shapely.get_exterior_ring(shapes))
        areas = shapely.area(filled)
        for part, point in spots.query(filled, "dwithin", _NEAR).T:
            if areas[part] <= least[point]:
                least[point] = areas[part]
                found[point] = mark, named[which[part]][0]
    return found
