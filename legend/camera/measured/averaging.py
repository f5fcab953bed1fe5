"""Join what several pictures show of one hole: the mean, by how sure each is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from legend.camera.holes.found_hole import Doubt, FoundHole
from legend.description.shapes.hole_shapes import Drilled

#: Pictures agree where they are no further apart than this many times what they are unsure by.
_AGREE = 1.5
#: Pictures of one panel have some of what misleads them in common, as a burr: no more pictures
#: make it surer than this part of the surest.
_SUREST = 0.6


def mean_of(found: Sequence[FoundHole]) -> FoundHole:
    """One hole as several pictures show it: sure where most of them are."""
    if len(found) == 1:
        return found[0]
    weight = np.array([1 / max(hole.uncertainty, 1e-3) ** 2 for hole in found])
    places = np.array([hole.at for hole in found])
    x, y = (weight @ places / weight.sum()).tolist()
    best = min(found, key=lambda hole: (len(hole.doubts), hole.uncertainty))
    apart = max(math.dist(one.at, other.at) for one in found for other in found)
    unsure = max(hole.uncertainty for hole in found)
    uncertainty = max(
        1 / math.sqrt(float(weight.sum())), _SUREST * min(hole.uncertainty for hole in found)
    )
    doubts = set(best.doubts)
    if apart > _AGREE * math.sqrt(2) * unsure:
        doubts.add(Doubt.APART)
        uncertainty = max(uncertainty, apart)
    shape = best.shape
    if all(isinstance(hole.shape, Drilled) for hole in found):
        each = np.array([1 / max(hole.size_uncertainty, 1e-3) ** 2 for hole in found])
        shape = Drilled(drill=float(each @ [hole.width for hole in found] / each.sum()))
    return replace(
        best, at=(x, y), shape=shape, uncertainty=uncertainty, doubts=tuple(sorted(doubts))
    )
