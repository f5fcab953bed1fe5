"""Choose steps of scales, 1, 2 or 5 times a power of ten, and list their multiples.

Multiples are counted from zero, so that a scale about zero is alike on both sides.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from decimal import Decimal

from legend.standards import GRADUATION_STEPS


def steps_within(span: float, parts: int = 50) -> Iterator[float]:
    """Steps of 1, 2 or 5 times a power of ten, from a `parts`-th of the span up to the span."""
    power = math.floor(math.log10(span / parts))
    while True:
        for digit in GRADUATION_STEPS:
            step = clean(digit * 10.0**power)
            if step > span * (1 + 1e-9):
                return
            if step >= span / parts * (1 - 1e-9):
                yield step
        power += 1


def is_usual(step: float) -> bool:
    """Whether a step is 1, 2 or 5 times a power of ten."""
    digit = step / 10.0 ** math.floor(math.log10(step) + 1e-9)
    return any(math.isclose(digit, usual, rel_tol=1e-6) for usual in GRADUATION_STEPS)


def multiples(step: float, low: float, high: float) -> Iterator[float]:
    """Multiples of the step strictly between two values."""
    first = math.floor(low / step + 1e-6) + 1
    last = math.ceil(high / step - 1e-6) - 1
    return (clean(i * step) for i in range(first, last + 1))


def is_multiple(value: float, step: float) -> bool:
    """Whether a value is a whole number of steps."""
    return abs(value / step - round(value / step)) < 1e-6


def places(value: float) -> int:
    """Decimal places that a value is written with."""
    return max(0, -int(Decimal(f"{value:.10g}").normalize().as_tuple().exponent))


def clean(value: float) -> float:
    """The value without floating dust."""
    return float(f"{value:.12g}")


def same_value(one: float, other: float) -> bool:
    """Whether two values are one but for floating dust."""
    return clean(one) == clean(other)
