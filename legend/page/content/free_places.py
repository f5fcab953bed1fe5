"""Find a place on the panel that is free, for what is put in before it is measured."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from legend.layout.artwork import Artwork
from legend.standards import INCH

#: How many places are looked at along the longer side of the panel.
_TRIED = 60
#: A place is rounded to whole parts of these, mm.
_STEP = {"mm": 1.0, "cm": 1.0, "in": INCH / 16}


def free_place(artwork: Artwork, spots: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """The place from which these spots are furthest from all that is on the panel, mm.

    The spots are told from it. Of several as good, the one that is nearest to the lower left.
    """
    things = [mark.outline.shape for mark in artwork.marks]
    things += [keep_out.shape for keep_out in artwork.keep_outs]
    things += [opening.outline.shape for opening in artwork.openings]
    things.append(artwork.panel.shape.boundary)
    x0, y0, x1, y1 = artwork.panel.bounds
    pitch = max(x1 - x0, y1 - y0) / _TRIED
    xs, ys = np.arange(x0 + pitch / 2, x1, pitch), np.arange(y0 + pitch / 2, y1, pitch)
    centres = np.array([(x, y) for y in ys for x in xs])
    apart = np.full(len(centres), np.inf)
    tree = shapely.STRtree(things)
    shapely.prepare(artwork.panel.shape)
    for spot in spots:
        points = shapely.points(centres + spot)
        (_, _), near = tree.query_nearest(points, return_distance=True, all_matches=False)
        on_it = shapely.contains(artwork.panel.shape, points)
        apart = np.minimum(apart, np.where(on_it, near, -1.0))
    best = centres[int(np.argmax(np.round(apart, 3)))]
    step = _STEP[artwork.description.units]
    measuring = artwork.description.panel.measuring
    x, y = measuring.measured((float(best[0]), float(best[1])))
    return measuring.on_panel((round(x / step) * step, round(y / step) * step))
