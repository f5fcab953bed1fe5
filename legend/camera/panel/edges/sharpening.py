"""Take back how a camera or a scanner sharpened the light across an edge.

To the values of a file it adds, times an amount, how they differ from themselves blurred by a pixel
or two. So a light line is left within a light panel's edge, and a fainter dark one beyond it, which
are no bevel and no shadow. It is done to the values as they are written, on the curve of the file
(IEC 61966-2-1), so that in linear light the line on the light side is the higher by far.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from legend.camera.srgb import encoded, linear

Numbers = NDArray[np.float64]

#: The amounts that are tried.
AMOUNTS = np.linspace(0.0, 1.0, 6)
#: By how many pixels values are blurred to sharpen them. Common practice, no source.
OVER = 1.3


def unsharpened(offsets: Numbers, light: Numbers, pixel: float) -> Numbers:
    """Linear light across an edge before it was sharpened by each of `AMOUNTS`.

    `offsets` are where it was taken, mm, `pixel` the width of one. The shape is amounts × offsets ×
    colours.
    """
    apart = (offsets[:, None] - offsets) / (OVER * pixel)
    bell = np.exp(-0.5 * apart**2) * np.gradient(offsets)
    bell /= bell.sum(axis=1, keepdims=True)
    whole = np.eye(len(offsets))
    back = np.linalg.inv(whole + AMOUNTS[:, None, None] * (whole - bell))
    values = back @ encoded(np.maximum(light, 0))
    return np.asarray(linear(np.maximum(values, 0)), float)


def sharpened_blur(blur: Numbers, sharp: Numbers, pixel: float) -> Numbers:
    """How blurred a step seems, by its height and its steepest slope, that was sharpened."""
    return np.asarray(blur / (1 + sharp * (1 - blur / np.hypot(blur, OVER * pixel))))
