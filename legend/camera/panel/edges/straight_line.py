"""Fit a straight line to points of which some lie astray: burrs, scratches, tape.

Each point counts the less the further off it lies, by the biweight: A. E. Beaton, J. W. Tukey, "The
fitting of power series, meaning polynomials, illustrated on band-spectroscopic data", Technometrics
16 (2), 1974.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]

#: A point so many standard deviations off counts for nothing. Beaton and Tukey's 4.685 keeps 95 %
#: of what plain least squares would give on points without any astray.
_ASTRAY = 4.685
#: The standard deviation of a normal distribution in its median absolute deviations.
_DEVIATIONS = 1.4826


@dataclass(frozen=True, slots=True, eq=False)
class StraightLine:
    """A line offset = `middle` + `slope` (along - `centre`), and how surely it lies so.

    `weights` tell how much each point counted, 0 to 1; `spread` is the standard deviation of those
    that did, and `blocks` how far means of neighbouring points lie off the line: what does not
    average out.
    """

    middle: float
    slope: float
    centre: float
    spread: float
    weights: Numbers
    cover: tuple[tuple[float, float], tuple[float, float]]

    def at(self, along: float) -> float:
        """Its offset at a place along it."""
        return self.middle + self.slope * (along - self.centre)

    def deviation(self, along: float) -> float:
        """The standard deviation of its offset at a place along it."""
        (a, b), (_, c) = self.cover
        far = along - self.centre
        return float(np.sqrt(max(a + 2 * b * far + c * far**2, 0.0)))


def straight_line(along: Numbers, offsets: Numbers, weights: Numbers, floor: float) -> StraightLine:
    """The line through points; `weights` are what they count before it is known which lie astray.

    `floor` is the least standard deviation that is believed, in the same unit as the offsets.
    """
    centre = float(np.average(along, weights=weights))
    far = along - centre
    design = np.column_stack([np.ones_like(far), far])
    counts = weights.copy()
    fit = np.array([_median(offsets, weights), 0.0])
    spread = max(_DEVIATIONS * _median(np.abs(offsets - fit[0]), weights), floor)
    for _ in range(25):
        apart = offsets - design @ fit
        spread = max(_DEVIATIONS * _median(np.abs(apart), weights), floor)
        counts = weights * np.maximum(1 - (apart / (_ASTRAY * spread)) ** 2, 0) ** 2
        normal = design.T @ (counts[:, None] * design)
        before, fit = fit, np.linalg.solve(normal, design.T @ (counts * offsets))
        if np.abs(fit - before) @ (1, np.ptp(far)) < 1e-6:
            break
    apart = offsets - design @ fit
    cover = _covariance(design, counts, apart)
    return StraightLine(
        float(fit[0]),
        float(fit[1]),
        centre,
        spread,
        counts,
        ((float(cover[0, 0]), float(cover[0, 1])), (float(cover[1, 0]), float(cover[1, 1]))),
    )


def _covariance(design: Numbers, counts: Numbers, apart: Numbers) -> Numbers:
    """How surely the line lies, with neighbouring points astray together.

    The sandwich of W. K. Newey, K. D. West, "A simple, positive semi-definite, heteroskedasticity
    and autocorrelation consistent covariance matrix", Econometrica 55 (3), 1987, over a tenth of
    the points.
    """
    inverse = np.linalg.inv(design.T @ (counts[:, None] * design))
    scores = design * (counts * apart)[:, None]
    middle = scores.T @ scores
    lags = max(1, len(apart) // 10)
    for lag in range(1, lags + 1):
        cross = scores[lag:].T @ scores[:-lag]
        middle += (1 - lag / (lags + 1)) * (cross + cross.T)
    out: Numbers = inverse @ middle @ inverse
    return out


def _median(values: Numbers, weights: Numbers) -> float:
    """The median of values that count differently."""
    order = np.argsort(values)
    summed = np.cumsum(weights[order])
    return float(values[order][np.searchsorted(summed, summed[-1] / 2)])
