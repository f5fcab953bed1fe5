"""Tell where a camera sees the wall of a hole, since what is stepped to there may not be the rim.

The front of the panel lies in the plane that a view measures. The rim at its back lies deeper, and
so is seen nearer to the point that the camera stands over: by the thickness over the height of the
camera, times the way from there. On the side of a hole that is away from the camera one looks upon
its wall, between the front rim and the back one; on the near side the panel hides both.
"""

from __future__ import annotations

import numpy as np

from legend.camera.holes.light import Floats
from legend.camera.view import USUAL_THICKNESS, Points, View

#: The thickness of the thickest panel that is reckoned with, mm. Common practice, no source.
MOST_THICKNESS = 3.2
#: Up to so much of a wall leaves a step where it is, mm: what blur and noise do to it anyway.
_HARMLESS = 0.03


def wall_seen(view: View, points: Points, ways: Points, thickness: float) -> Floats:
    """How much of the wall is seen beyond points of the front rim, in mm of the view; or 0.

    `ways` are the unit ways outwards. A scanner sees no wall.

    1. From the point that the eye stands over to the point of the rim.
    2. As far as that goes outwards, the back rim is seen further in, by its depth over its depth
       below the eye.
    """
    if view.eye is None:
        return np.zeros(len(points))
    x, y, height = view.eye
    outwards = ((points - (x, y)) * ways).sum(axis=1)
    out: Floats = np.maximum(outwards, 0) * thickness / (height + thickness)
    return out


def trust_in(view: View, points: Points, ways: Points) -> Floats:
    """How far the step along each ray can be trusted, 0 to 1: as one over its variance.

    Where a wall is seen, the step may be anywhere on it, or on the back rim.
    """
    seen = wall_seen(view, points, ways, USUAL_THICKNESS)
    out: Floats = _HARMLESS**2 / (_HARMLESS**2 + (seen / 2) ** 2)
    return out


def sunk(view: View, at: tuple[float, float], depth: float) -> tuple[float, float]:
    """How far a point so deep below the front is seen from where it is, mm right and up."""
    if view.eye is None:
        return 0.0, 0.0
    x, y, height = view.eye
    part = -depth / (height + depth)
    return (at[0] - x) * part, (at[1] - y) * part
