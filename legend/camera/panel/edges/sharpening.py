"""Take back how a camera or a scanner sharpened the light across an edge.

To the values of a file it adds, times an amount, how they differ from themselves blurred by a pixel
or two. So a light line is left within a light panel's edge, and a fainter dark one beyond it, which
are no bevel and no shadow. It is done to the values as they are written, on the curve of the file
(IEC 61966-2-1), so that in linear light the line on the light side is the higher by far.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

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
    return _linear(back @ _encoded(light))


def sharpened_blur(blur: Numbers, sharp: Numbers, pixel: float) -> Numbers:
    """How blurred a step seems, by its height and its steepest slope, that was sharpened."""
    return np.asarray(blur / (1 + sharp * (1 - blur / np.hypot(blur, OVER * pixel))))


def _encoded(light: Numbers) -> Numbers:
    light = np.maximum(light, 0)
    curve = 1.055 * light ** (1 / 2.4) - 0.055
    return np.asarray(np.where(light <= 0.0031308, 12.92 * light, curve))


def _linear(values: Numbers) -> Numbers:
    values = np.maximum(values, 0)
    return np.asarray(
        np.where(values <= 0.04045, values / 12.92, ((values + 0.055) / 1.055) ** 2.4)
    )
