"""Turn the values of a file to linear light and back, on the curve of IEC 61966-2-1, 5.2."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.floating]


def linear(values: Numbers) -> Numbers:
    """Linear light of values, both 0 to 1."""
    low, high = values / 12.92, ((values + 0.055) / 1.055) ** 2.4
    return np.where(values <= 0.04045, low, high)


def encoded(light: Numbers) -> Numbers:
    """Values of linear light, both 0 to 1."""
    low, high = 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055
    return np.where(light <= 0.0031308, low, high)
