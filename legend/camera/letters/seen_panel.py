"""Look at places of the panel in a photograph: points in mm in, linear light out."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from legend.camera.opencv import resampled
from legend.camera.picture import Light, Picture
from legend.camera.view import Points, View

#: So many pixels round what is looked at are worked out with it.
_AROUND = 4


@dataclass(frozen=True, slots=True, eq=False)
class SeenPanel:
    """A photograph, and how it sees the panel."""

    picture: Picture
    view: View

    def light_at(self, places: NDArray[np.float64]) -> Light:
        """Red, green and blue in linear light at points of the panel, shape (h, w, 2), mm.

        Shape (h, w, 3); what is not in the picture is not a number.
        """
        h, w, _ = places.shape
        seen = self.view.to_picture(places.reshape(-1, 2))
        width, height = self.picture.size
        inside = ((seen > -0.5) & (seen < (width - 0.5, height - 0.5))).all(axis=1)
        if not inside.any():
            return np.full((h, w, 3), np.nan, np.float32)
        x0, y0 = np.maximum(np.floor(seen[inside].min(axis=0)).astype(int) - _AROUND, 0).tolist()
        x1, y1 = (np.ceil(seen[inside].max(axis=0)).astype(int) + _AROUND + 1).tolist()
        near = replace(self.picture, rgb=self.picture.rgb[y0:y1, x0:x1]).linear
        x, y = (seen - (x0, y0)).T.reshape(2, h, w).astype(np.float32)
        light = resampled(near, x, y)
        light[~inside.reshape(h, w)] = np.nan
        return light

    def is_inside(self, places: Points) -> NDArray[np.bool_]:
        """Which points of the panel, shape (n, 2), are in the picture."""
        seen = self.view.to_picture(places)
        width, height = self.picture.size
        out: NDArray[np.bool_] = ((seen > 0) & (seen < (width - 1, height - 1))).all(axis=1)
        return out
