"""Read the light of a picture between its pixels, as one number that tells hole from panel.

Steps are found on the square root of linear light, in which noise is even all over, and placed
on linear light, in which blur leaves them where they are.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.camera.picture import Picture, Pixels
from legend.camera.view import Points

Floats = NDArray[np.float64]

#: Shares of red, green and blue in luminance. IEC 61966-2-1 (sRGB), after ITU-R BT.709.
LUMINANCE = (0.2126, 0.7152, 0.0722)


@dataclass(frozen=True, slots=True, eq=False)
class Light:
    """The light of a picture as one number: `shares` of its red, green and blue."""

    picture: Picture
    shares: tuple[float, float, float] = LUMINANCE

    def at(self, pixels: Points) -> tuple[Floats, Floats]:
        """Linear light at points of the picture, and the shares of its square roots.

        Between pixels, and as at the border beyond it: bilinear.
        """
        rgb = self.picture.rgb
        height, width = rgb.shape[:2]
        x = np.clip(pixels[:, 0], 0, width - 1.001)
        y = np.clip(pixels[:, 1], 0, height - 1.001)
        column, row = x.astype(np.intp), y.astype(np.intp)
        right, down = (x - column)[:, None], (y - row)[:, None]
        first = row * width + column
        flat = rgb.reshape(-1, 3)
        linear = np.zeros((len(pixels), 3))
        for step, share in (
            (0, (1 - right) * (1 - down)),
            (1, right * (1 - down)),
            (width, (1 - right) * down),
            (width + 1, right * down),
        ):
            linear += share * _LINEAR[flat[first + step]]
        shares = np.array(self.shares)
        return linear @ shares, np.sqrt(linear) @ shares

    def root_of(self, rgb: Pixels, step: int) -> NDArray[np.float32]:
        """The shares of the square roots of linear light, of squares of so many pixels."""
        rows, columns = rgb.shape[0] // step, rgb.shape[1] // step
        linear = _LINEAR.astype(np.float32)[rgb]
        blocks = linear.reshape(rows, step, columns, step, 3).mean(axis=(1, 3))
        out: NDArray[np.float32] = np.sqrt(blocks) @ np.array(self.shares, np.float32)
        return out


def _curve() -> Floats:
    """Linear light for each of the 256 values. IEC 61966-2-1, 5.2."""
    value = np.arange(256) / 255
    out: Floats = np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)
    return out


_LINEAR = _curve()
