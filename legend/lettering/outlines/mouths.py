"""Find the bays that ink all but encloses, and measure the width of their mouths.

A bay is a part of the stock that ink all but encloses, as inside an "e" or an "S". Stock is
worn down all round, in thought: what then comes apart from the sheet hangs by a narrow mouth,
or is an island, that is, hangs by nothing at all.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

#: Arcs of worn edges are drawn with so many lines to a quarter.
_ROUND = 8
#: How nearly the width of a mouth is found, mm.
_NEARLY = 0.005


def worn(ink: BaseGeometry, radius: float) -> tuple[BaseGeometry, NDArray[np.object_]]:
    """The sheet round some ink, worn by so many mm, and the parts that come apart from it."""
    if ink.is_empty:
        return ink, np.empty(0, dtype=object)
    x0, y0, x1, y1 = ink.bounds
    room = 4 * radius + 1
    around = shapely.box(x0 - room, y0 - room, x1 + room, y1 + room)
    broad = ink.buffer(radius, quad_segs=_ROUND) if radius else ink
    parts = shapely.get_parts(around.difference(broad))
    is_sheet = shapely.intersects(parts, shapely.Point(x0 - room, y0 - room))
    return parts[is_sheet][0], parts[~is_sheet]


def narrowest_mouth(ink: BaseGeometry, above: float, below: float) -> float:
    """Width of the narrowest mouth of a bay, mm, between two limits; infinity where none is.

    Bays that no disc goes into as wide as the upper limit are left out.
    """
    sheet, apart = worn(ink, below / 2)
    if not len(apart):
        return math.inf
    _, islands = worn(ink, 0.0)
    bays = apart[~shapely.intersects(shapely.union_all(islands), apart)]
    narrowest = math.inf
    for bay in bays:
        near = ink.intersection(bay.buffer(below).envelope)
        low, high = above, min(below, narrowest)
        if not _is_open(bay, sheet, near, low):
            continue
        if high < below and _is_open(bay, sheet, near, high):
            continue
        while high - low > _NEARLY:
            middle = (low + high) / 2
            low, high = (middle, high) if _is_open(bay, sheet, near, middle) else (low, middle)
        narrowest = low
    return narrowest


def _is_open(bay: BaseGeometry, sheet: BaseGeometry, ink: BaseGeometry, width: float) -> bool:
    """Whether a bay hangs together with the sheet by a mouth at least so wide."""
    around, apart = worn(ink, width / 2)
    parts = np.append(apart, around)
    return bool((shapely.intersects(parts, bay) & shapely.intersects(parts, sheet)).any())
