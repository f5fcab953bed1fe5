"""Read the light of a picture between its pixels, as one number that tells hole from panel.

Steps are found on the square root of linear light, in which noise is even all over, and placed
on linear light, in which blur leaves them where they are.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from legend.camera.opencv import shrunk_to
from legend.camera.picture import LUMINANCE, Picture, Pixels, linear_light
from legend.camera.view import Points, View

Floats = NDArray[np.float64]

#: Fewer pixels tell no tone.
_FEWEST = 40


@dataclass(frozen=True, slots=True, eq=False)
class Light:
    """The light of a picture as one number: `shares` of its red, green and blue.

    `blur` is that of the picture, px, as a standard deviation, where steps on the panel tell it.
    """

    picture: Picture
    shares: tuple[float, float, float] = LUMINANCE
    blur: float | None = None

    def at(self, pixels: Points) -> tuple[Floats, Floats]:
        """Linear light at points of the picture, and the shares of its square roots.

        Between pixels, and as at the border beyond it: bilinear.
        """
        linear, shares = self.picture.linear_at(pixels), np.array(self.shares)
        return linear @ shares, np.sqrt(linear) @ shares

    def root_of(self, rgb: Pixels, step: int) -> NDArray[np.float32]:
        """The shares of the square roots of linear light, of squares of so many pixels."""
        blocks = shrunk_to(linear_light()[rgb], (rgb.shape[1] // step, rgb.shape[0] // step))
        out: NDArray[np.float32] = np.sqrt(blocks) @ np.array(self.shares, np.float32)
        return out


#: How far beside the panel's edge its tone and that of what it lies on are taken, mm.
_BESIDE = (1.5, 3.0, 4.5)
#: Red, green or blue alone is taken where it tells the two apart so many times better than
#: luminance; where what is behind is lighter, sooner: in the panel's shadow it darkens, and then
#: it should not be as dark as the panel.
_BETTER, _BETTER_LIGHTER = 1.8, 1.1
#: That what is behind is darker counts for so much more than that it is lighter.
_LIGHTER_COUNTS = 0.6


def light_of(picture: Picture, view: View, edge: Points) -> Light:
    """The light of a picture by which the panel, whose edge is given in mm, is told from what it
    lies on: the luminance, or a colour in which both differ more."""
    import shapely

    panel = shapely.Polygon(edge)
    inside, outside = (
        np.concatenate([_along(panel.buffer(way * far), view) for far in _BESIDE])
        for way in (-1, 1)
    )
    height, width = picture.rgb.shape[:2]
    tones = []
    for pixels in (inside, outside):
        column, row = np.rint(pixels).astype(int).T
        seen = (column >= 0) & (row >= 0) & (column < width) & (row < height)
        if seen.sum() < _FEWEST:
            return Light(picture)
        colours = np.sqrt(linear_light()[picture.rgb[row[seen], column[seen]]])
        tones.append(np.median(colours, axis=0))
    apart = tones[0] - tones[1]
    mixtures = [LUMINANCE, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)]
    told = [float(apart @ np.array(each)) for each in mixtures]
    told = [each if each > 0 else -_LIGHTER_COUNTS * each for each in told]
    best = int(np.argmax(told))
    better = _BETTER if apart @ np.array(LUMINANCE) > 0 else _BETTER_LIGHTER
    return Light(picture, mixtures[best] if told[best] > better * told[0] else LUMINANCE)


def _along(shape: Any, view: View) -> Points:
    """Points along an outline, one each millimetre or two, as they are seen."""
    if shape.is_empty or shape.geom_type != "Polygon":
        return np.empty((0, 2))
    import shapely

    return view.to_picture(np.array(shapely.segmentize(shape.exterior, 1.5).coords))
