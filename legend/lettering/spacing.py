"""Spacing by geometry: the shapes of two neighbours in, the distance between their pens out.

No table of pairs. The white between two letters is measured in level bands over the capital
height; what lies deep inside an open letter counts only in part. It is made equal to the
white between two upright stems at the given space. Inked edges never come nearer than a
stroke width.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from legend.lettering.outline import Outline

#: Bands over the capital height; as many again reach below the baseline and above.
_BANDS = 40


class Profile(NamedTuple):
    """How far a letter reaches to the left and right in each band, and at most, mm."""

    left: float
    right: float
    lefts: NDArray[np.float64]
    rights: NDArray[np.float64]
    points: NDArray[np.float64]


def profile_of(outline: Outline, height: float) -> Profile:
    """The profile of a letter whose capital height is `height`; bands without ink are NaN."""
    rings = [contour.flat for contour in outline.contours]
    starts = np.vstack([ring[:-1] for ring in rings])
    stops = np.vstack([ring[1:] for ring in rings])
    levels = (np.arange(_BANDS) + 0.5) / _BANDS * height
    x0, y0 = starts.T
    x1, y1 = stops.T
    rise = np.where(y1 == y0, 1.0, y1 - y0)
    part = (levels[:, None] - y0) / rise
    crosses = (np.minimum(y0, y1) <= levels[:, None]) & (np.maximum(y0, y1) > levels[:, None])
    x = x0 + part * (x1 - x0)
    lefts = np.where(crosses, x, np.inf).min(axis=1)
    rights = np.where(crosses, x, -np.inf).max(axis=1)
    return Profile(float(starts[:, 0].min()), float(starts[:, 0].max()), lefts, rights, starts)


def pair_space(before: Profile, after: Profile, between: float, least: float) -> float:
    """From the pen of one letter to the pen of the next, mm."""
    depth = 1.4 * between
    whites = np.minimum(before.right - before.rights, depth) + np.minimum(
        after.lefts - after.left, depth
    )
    whites = np.minimum(whites, depth * 1.5)
    space = max(between - float(whites.mean()), -0.3 * between * 5)
    pen = before.right - after.left + space
    near_before = before.points[before.points[:, 0] > before.right - 4 * between]
    near_after = after.points[after.points[:, 0] < after.left + 4 * between]
    for _ in range(3):
        apart = near_before[:, None] - (near_after + np.array([pen, 0.0]))
        distance = float(np.sqrt((apart**2).sum(axis=2)).min()) if apart.size else least
        if distance >= least - 1e-3:
            break
        pen += least - distance
    return pen
