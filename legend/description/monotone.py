"""Lay a monotone cubic through measured points, and find its way back."""

from __future__ import annotations

import bisect
import itertools
import math
from collections.abc import Sequence


class DomainError(ValueError):
    """A value for which a law has no place; the message says why."""


class Monotone:
    """A monotone cubic through measured points: Fritsch and Carlson, with Butland's slopes.

    `points` are (x, y) with x rising and y rising or falling throughout.
    F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300.
    """

    def __init__(self, points: Sequence[tuple[float, float]]) -> None:
        self.x = [p[0] for p in points]
        self.y = [p[1] for p in points]
        h = [b - a for a, b in itertools.pairwise(self.x)]
        if len(points) < 2 or any(s <= 0 for s in h):
            raise DomainError(
                "a table needs at least two pairs, and the first numbers of all must differ"
            )
        d = [(b - a) / s for a, b, s in zip(self.y, self.y[1:], h, strict=False)]
        if not (all(0 < s < math.inf for s in d) or all(-math.inf < s < 0 for s in d)):
            raise DomainError("the second numbers of a table must rise, or fall, throughout")
        self._d = self._slopes(h, d)

    @staticmethod
    def _slopes(h: list[float], d: list[float]) -> list[float]:
        if len(d) == 1:
            return [d[0], d[0]]
        inner = []
        for i in range(1, len(d)):
            w1, w2 = 2 * h[i] + h[i - 1], h[i] + 2 * h[i - 1]
            inner.append((w1 + w2) / (w1 / d[i - 1] + w2 / d[i]))
        return [_end_slope(h[0], h[1], d[0], d[1]), *inner, _end_slope(h[-1], h[-2], d[-1], d[-2])]

    def __call__(self, x: float) -> float:
        if not self.x[0] <= x <= self.x[-1]:
            raise DomainError(
                f"{x:g} lies outside the table, which runs from {self.x[0]:g} to {self.x[-1]:g}"
            )
        i = min(bisect.bisect_right(self.x, x), len(self.x) - 1) - 1
        low, high = sorted(self.y[i : i + 2])
        y = self._at(i, (x - self.x[i]) / (self.x[i + 1] - self.x[i]))
        return min(max(y, low), high)  # rounding alone would leave the two ends

    def _at(self, i: int, t: float) -> float:
        h = self.x[i + 1] - self.x[i]
        return (
            self.y[i] * (1 + 2 * t) * (1 - t) ** 2
            + h * self._d[i] * t * (1 - t) ** 2
            + self.y[i + 1] * t * t * (3 - 2 * t)
            + h * self._d[i + 1] * t * t * (t - 1)
        )

    def inverse(self, y: float) -> float:
        """The x at which the curve has the value y, by bisection to the last bit."""
        rising = self.y[-1] > self.y[0]
        low, high = (self.y[0], self.y[-1]) if rising else (self.y[-1], self.y[0])
        if not low <= y <= high:
            raise DomainError(f"{y:g} lies outside the table, which runs from {low:g} to {high:g}")
        i = next(
            i
            for i in range(len(self.x) - 1)
            if min(self.y[i], self.y[i + 1]) <= y <= max(self.y[i], self.y[i + 1])
        )
        a, b = 0.0, 1.0
        for _ in range(60):
            middle = (a + b) / 2
            if (self._at(i, middle) < y) == rising:
                a = middle
            else:
                b = middle
        return self.x[i] + (a + b) / 2 * (self.x[i + 1] - self.x[i])


def _end_slope(h0: float, h1: float, d0: float, d1: float) -> float:
    """The three-point end slope, kept from overshooting."""
    slope = ((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1)
    if slope * d0 <= 0:
        return 0.0
    return slope
