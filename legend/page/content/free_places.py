"""Find a place on the panel that is free, for what is put in before it is measured."""

from __future__ import annotations

import numpy as np
import shapely

from legend.layout.artwork import Artwork
from legend.lettering.outlines.outline import Box
from legend.standards import INCH

#: How many places are looked at along the longer side of the panel.
_TRIED = 60
#: A place is rounded to whole parts of these, mm.
_STEP = {"mm": 1.0, "cm": 1.0, "in": INCH / 16}


def free_place(artwork: Artwork, room: Box) -> tuple[float, float]:
    """The place where a room about it is furthest from all that is on the panel, mm.

    Where there is no such room, the place that is itself furthest from all. Of several as good, the
    lowest, and the one furthest to the left.
    """
    boxes = [mark.outline.bounds for mark in artwork.marks if mark.outline]
    boxes += [keep_out.shape.bounds for keep_out in artwork.keep_outs]
    things = [*(shapely.box(*box) for box in boxes), artwork.panel.shape.boundary]
    x0, y0, x1, y1 = artwork.panel.bounds
    pitch = max(x1 - x0, y1 - y0) / _TRIED
    xs, ys = np.arange(x0 + pitch / 2, x1, pitch), np.arange(y0 + pitch / 2, y1, pitch)
    centres = np.array([(x, y) for y in ys for x in xs])
    tree = shapely.STRtree(things)
    shapely.prepare(artwork.panel.shape)
    for left, low, right, high in (room, (0.0, 0.0, 0.0, 0.0)):
        (x, y) = centres.T
        rooms = shapely.box(x + left, y + low, x + right, y + high)
        _, near = tree.query_nearest(rooms, return_distance=True, all_matches=False)
        on_it = shapely.contains(artwork.panel.shape, shapely.points(centres))
        apart = np.where(on_it, np.round(near, 3), -1.0)
        if apart.max() > 0:
            break
    best = centres[int(np.argmax(apart))]
    step = _STEP[artwork.description.units]
    measuring = artwork.description.panel.measuring
    x, y = measuring.measured((float(best[0]), float(best[1])))
    return measuring.on_panel((round(x / step) * step, round(y / step) * step))
