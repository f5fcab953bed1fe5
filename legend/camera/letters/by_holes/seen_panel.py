"""Look at places of the panel in a photograph: points in mm in, linear light out."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from legend.camera.grids import seen_on
from legend.camera.opencv import resampled
from legend.camera.picture import Light, Picture
from legend.camera.view import Points, View
from legend.drawing.proofs.coverage import Grid

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
        x, y = self.view.to_picture(places.reshape(-1, 2)).T.reshape(2, h, w).astype(np.float32)
        return self._light(x, y)

    def light_on(self, grid: Grid) -> Light:
        """The same for all pixels of a grid on the panel."""
        return self._light(*seen_on(self.view, grid))

    def _light(self, x: Light, y: Light) -> Light:
        """The light at places of the picture, px."""
        width, height = self.picture.size
        inside = np.asarray((x > -0.5) & (y > -0.5) & (x < width - 0.5) & (y < height - 0.5))
        if not inside.any():
            return np.full((*x.shape, 3), np.nan, np.float32)
        x0, y0 = (max(int(each[inside].min()) - _AROUND, 0) for each in (x, y))
        x1, y1 = (int(each[inside].max()) + _AROUND + 1 for each in (x, y))
        near = replace(self.picture, rgb=self.picture.rgb[y0:y1, x0:x1]).linear
        light = resampled(near, x - np.float32(x0), y - np.float32(y0))
        light[~inside] = np.nan
        return light

    def is_inside(self, places: Points) -> NDArray[np.bool_]:
        """Which points of the panel, shape (n, 2), mm, are in the picture."""
        seen = self.view.to_picture(places)
        width, height = self.picture.size
        inside = (seen > 0) & (seen < (width - 1, height - 1))
        return np.asarray(inside.all(axis=1), bool)
