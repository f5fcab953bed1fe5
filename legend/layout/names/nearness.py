"""Measure how near parts are to each other and to legends."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from legend.layout.artwork import KeepOut
from legend.lettering.outlines.outline import Box

#: How much nearer to another part than to its own a legend may stand, mm, before anyone sees it.
#: Common practice, no source.
UNSEEN = 0.25


class Parts:
    """All parts that are fitted on a panel, for asking which of them is near."""

    def __init__(self, covers: Iterable[KeepOut]) -> None:
        fitted = [cover for cover in covers if cover.fitted]
        self._owners: NDArray[np.object_] = np.array([c.owner for c in fitted], dtype=object)
        self._tree = shapely.STRtree([cover.shape for cover in fitted])

    def strays(self, box: Box, *owners: str, family: Sequence[BaseGeometry] = ()) -> float:
        """How much nearer a legend in this box stands to another part than to its own, mm.

        0 where its own is the nearest, or one of several. `family` are the other legends of its
        own, which count as well.
        """
        legend = shapely.box(*box)
        parts = self._tree.geometries
        own = float(
            shapely.distance(legend, [*parts[np.isin(self._owners, owners)], *family]).min()
        )
        near = self._tree.query(legend, predicate="dwithin", distance=own)
        near = near[~np.isin(self._owners[near], owners)]
        if not len(near):
            return 0.0
        return own - float(shapely.distance(legend, parts[near]).min())

    def pitch(self, owner: str) -> float:
        """How far it is, across, from a part to the next that stands beside it, mm."""
        boxes = shapely.bounds(self._tree.geometries)
        own = boxes[self._owners == owner][0]
        beside = (boxes[:, 1] < own[3]) & (boxes[:, 3] > own[1]) & (self._owners != owner)
        middles = (boxes[beside, 0] + boxes[beside, 2]) / 2
        return float(np.abs(middles - (own[0] + own[2]) / 2).min(initial=np.inf))
