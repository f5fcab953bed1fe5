"""Measure the rim of a listed hole once more as one whose size is not known, chamfer and all.

A chamfer's ring is seen round the hole, or the hole's own rim below it: which of both steps is the
front is told by how they lie to each other. Where that goes wrong, the listed size is the better
guide, so that the other holes are left to choose.
"""

from __future__ import annotations

import numpy as np

from legend.camera.holes.light import Light
from legend.camera.holes.rims import RoundRim, ShapedRim, begun
from legend.camera.holes.rings import front_rim
from legend.camera.letters.by_holes.landmarks import Landmark
from legend.camera.letters.by_holes.rims import Rim
from legend.camera.letters.by_holes.seen_panel import SeenPanel
from legend.description.shapes.hole_shapes import Drilled

#: So much of a rim must be seen; and so near to its listed size must it be, mm, in its radius.
_LEAST_SUPPORT, _LIKE_LISTED = 0.5, 0.15
#: How well the best of them is measured, mm, as a standard deviation.
_AT_BEST = 0.01


def chamfered_rim(panel: SeenPanel, landmark: Landmark, near: Rim) -> Rim | None:
    """The front rim of a whole opening, its place on the plane of the front; None where it is not
    seen, or not as large as listed.
    """
    if not landmark.is_whole:
        return None
    opening = landmark.opening
    shape = opening.hole.shape
    x, y = (np.array(opening.centre) + near.off).tolist()
    round_ = isinstance(shape, Drilled)
    radius = min(shape.size) / 2
    rough = (
        RoundRim((x, y), radius) if round_ else ShapedRim((x, y), opening.hole.angle, begun(shape))
    )
    found = front_rim(Light(panel.picture), panel.view, rough)
    if found is None or found.ring.support < _LEAST_SUPPORT:
        return None
    numbers = found.ring.rim.numbers
    larger = float(numbers[2]) - radius if round_ else 0.0
    if abs(larger) > _LIKE_LISTED:
        return None
    covariance = found.ring.covariance[:2, :2] + _AT_BEST**2 * np.eye(2)
    return Rim(numbers[:2] - opening.centre, covariance, larger, near.support, near.spread)
