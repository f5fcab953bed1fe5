"""How fine letters are: their inked shape in, least stroke, counter and gap out, in mm."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

#: A stroke is as broad as the disc that can be swept through all but this part of its area;
#: the rest is corners, which no disc reaches.
_CORNERS = 0.06

#: How finely strokes are measured, as a part of their breadth.
_FINENESS = 0.01


def least_stroke(shape: BaseGeometry) -> float:
    """Breadth of the finest stroke of a letter, mm: 0 for no ink.

    Each connected part is measured by itself, by the largest disc whose opening loses no
    more than the corners.
    """
    parts = [part for part in shapely.get_parts(shape) if part.area > 0]
    return min((_stroke_of(part) for part in parts), default=0.0)


def _stroke_of(part: BaseGeometry) -> float:
    low, high = 0.0, 2 * float(shapely.maximum_inscribed_circle(part).length) + 1e-6
    while high - low > _FINENESS * high:
        middle = (low + high) / 2
        opened = part.buffer(-middle / 2).buffer(middle / 2)
        if opened.area >= (1 - _CORNERS) * part.area:
            low = middle
        else:
            high = middle
    return low


def counters(shape: BaseGeometry) -> list[BaseGeometry]:
    """The enclosed parts of letters as polygons."""
    return [
        shapely.Polygon(ring)
        for part in shapely.get_parts(shape)
        if part.geom_type == "Polygon"
        for ring in part.interiors
    ]


def across(shape: BaseGeometry) -> float:
    """Diameter of the largest disc that goes into a shape, mm."""
    return 2 * float(shapely.maximum_inscribed_circle(shape).length)


def least_gap(shape: BaseGeometry) -> float:
    """Least distance between parts that follow each other from left to right, mm.

    Infinite where there is only one part.
    """
    parts = shapely.get_parts(shape)
    if len(parts) < 2:
        return float("inf")
    parts = parts[np.argsort(shapely.bounds(parts)[:, 0])]
    return float(shapely.distance(parts[:-1], parts[1:]).min())
