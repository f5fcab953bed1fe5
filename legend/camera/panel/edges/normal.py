"""The normal distribution: how a blurred step rises."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def normal_cumulative(z: NDArray[np.float64]) -> NDArray[np.float64]:
    """The normal distribution's cumulative function, to 1.5e-7.

    M. Abramowitz, I. A. Stegun, "Handbook of Mathematical Functions", 1964, 7.1.26.
    """
    x = np.abs(z) / np.sqrt(2)
    t = 1 / (1 + 0.3275911 * x)
    series = (
        (((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592
    ) * t
    half = series * np.exp(-(x**2)) / 2
    out: NDArray[np.float64] = np.where(z > 0, 1 - half, half)
    return out
