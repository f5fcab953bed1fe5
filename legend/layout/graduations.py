"""Which values of a scale are marked, and which are numbered: a law in, graduations out.

Steps are 1, 2 or 5 times a power of ten, with at most nine graduations between numbered
ones and at most three lengths (MIL-HDBK-759B, 5.2.2.3.1.4.1). How close neighbours may
stand is for the caller to say, in parts of the travel.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from enum import IntEnum
from functools import partial
from itertools import groupby, pairwise
from typing import NamedTuple

from legend.description.laws import Law
from legend.standards import GRADUATION_STEPS, MOST_BETWEEN_NUMBERED

#: Most numbered values that one even step is allowed to give, both ends included.
#: Common practice, no source.
_MOST_NUMBERED = 13
#: The same on a full circle, which is often numbered by twenties of degrees.
_MOST_ROUND = 20
#: Most values of an even step that may be left out where an uneven scale closes up.
_MOST_CROWDED = 2

#: Fewest numbered values for which whole numbers are kept to. Common practice, no source.
_FEWEST_NUMBERED = 5

#: How much further apart the farthest numbers may stand than the closest before a scale is
#: numbered in steps of its own in each part. Common practice, no source.
_UNEVENNESS = 2.0

#: Values inside a decade that are numbered, richest first. Common practice, no source.
_DECADE_PATTERNS = ((2, 3, 4, 5, 6, 7, 8, 9), (2, 3, 5), (2, 5), (3,))


class Length(IntEnum):
    """The three lengths of a graduation."""

    MINOR = 0
    MEDIUM = 1
    MAJOR = 2


class Graduation(NamedTuple):
    """A marked value, the part of the travel where it stands, its length, and if it is numbered."""

    value: float
    fraction: float
    length: Length
    numbered: bool


#: Whether the numerals of two values, next to each other, have room.
Fits = Callable[[float, float], bool]


def graduate(
    law: Law,
    begin: float,
    end: float,
    fits: Fits,
    least_pitch: float,
    *,
    major: Sequence[float] = (),
    step: float | None = None,
    closed: bool = False,
) -> tuple[Graduation, ...]:
    """The graduations of a scale from `begin` to `end`, in that order.

    `fits` tells whether two numerals may be neighbours; `least_pitch` is the least part of
    the travel between graduations. `major` gives the numbered values and `step` the finest
    step where the user has chosen them; `closed` tells of a full circle, whose ends meet.
    Error: DomainError for a value the law has no place for.
    """
    low, high = sorted((begin, end))
    numbered = sorted({low, high, *major}) if major else _numbered(law, low, high, fits, closed)
    marks = dict.fromkeys(numbered, Length.MAJOR)
    if step is not None:
        marks = dict.fromkeys(_multiples(step, low, high), Length.MINOR) | marks
        for value in _multiples(_coarser(step), low, high):
            if marks.get(value) == Length.MINOR:
                marks[value] = Length.MEDIUM
    else:
        for intervals in _alike(law, numbered):
            alike = _divided(law, intervals, (low, high), least_pitch)
            for interval in [] if alike else intervals:
                alike |= _divided(law, [interval], (low, high), least_pitch)
            marks |= alike
    ordered = sorted(marks, reverse=begin > end)
    return tuple(
        Graduation(value, law.fraction(value), marks[value], value in numbered) for value in ordered
    )


# --- Numbered values ---


def _numbered(law: Law, low: float, high: float, fits: Fits, closed: bool) -> list[float]:
    if law.name == "log":
        return _numbered_in_decades(low, high, fits)
    values = _numbered_evenly(law, low, high, fits, closed)
    return values if _even_enough(law, values) else _refined(values, fits)


def _numbered_evenly(law: Law, low: float, high: float, fits: Fits, closed: bool) -> list[float]:
    """One step for the whole scale: the finest that fits, in whole numbers where it can be.

    A full circle takes a step that goes into it without a rest, if there is one.
    """
    even: list[tuple[float, list[float]]] = []
    most = _MOST_ROUND if closed else _MOST_NUMBERED
    for step in _steps(high - low):
        inner = list(_multiples(step, low, high))
        if len(inner) + 2 > most:
            continue
        inner = _thinned_at_ends(inner, low, high, fits, partial(_is_multiple, step=step))
        if law.name != "linear":
            inner = _thinned_where_crowded(inner, low, high, fits)
        if _all_fit([low, *inner, high], fits):
            even.append((step, [low, *inner, high]))
    if closed:
        even = [e for e in even if _is_multiple(high - low, e[0])] or even
    places = max(_places(low), _places(high))
    plain = [v for step, v in even if _places(step) <= places and len(v) >= _FEWEST_NUMBERED]
    return plain[0] if plain else even[0][1] if even else [low, high]


def _thinned_where_crowded(inner: list[float], low: float, high: float, fits: Fits) -> list[float]:
    """The values without up to two that have no room where an uneven scale closes up."""
    crowded = [b for a, b in pairwise([low, *inner]) if not fits(a, b)]
    crowded = crowded or [a for a, b in pairwise([*inner, high]) if not fits(a, b)]
    return [v for v in inner if v not in crowded] if len(crowded) <= _MOST_CROWDED else inner


def _places(value: float) -> int:
    """Decimal places that a value is written with."""
    return max(0, -int(Decimal(f"{value:.10g}").normalize().as_tuple().exponent))


def _numbered_in_decades(low: float, high: float, fits: Fits) -> list[float]:
    first, last = math.floor(math.log10(low)), math.ceil(math.log10(high))
    for pattern in (*_DECADE_PATTERNS, ()):
        every = [
            _clean(digit * 10.0**decade)
            for decade in range(first, last + 1)
            for digit in (1, *pattern)
        ]
        inner = [v for v in every if low < v < high]
        inner = _thinned_at_ends(inner, low, high, fits, set(every).__contains__)
        if _all_fit([low, *inner, high], fits):
            return [low, *inner, high]
    return _spread([low, *inner, high], fits)


def _spread(values: list[float], fits: Fits) -> list[float]:
    """Every so-manieth of the values, so that they fit; the ends are kept."""
    for stride in range(2, len(values)):
        inner = values[1:-1][stride - 1 :: stride]
        inner = _thinned_at_ends(inner, values[0], values[-1], fits, lambda v: False)
        if _all_fit([values[0], *inner, values[-1]], fits):
            return [values[0], *inner, values[-1]]
    return [values[0], values[-1]]


def _even_enough(law: Law, values: list[float]) -> bool:
    """Whether one step numbers the scale well throughout, so that it is left in peace."""
    apart = [abs(law.fraction(b) - law.fraction(a)) for a, b in pairwise(values)]
    many = len(values) >= _FEWEST_NUMBERED
    return law.name == "linear" or (many and max(apart) <= _UNEVENNESS * min(apart))


def _refined(values: list[float], fits: Fits) -> list[float]:
    """Intervals with room to spare are numbered more finely, each evenly within itself."""
    refined = [values[0]]
    for a, b in pairwise(values):
        refined += _numbered_between(a, b, (values[0], values[-1]), fits)
        refined.append(b)
    return refined if len(refined) == len(values) else _refined(refined, fits)


def _numbered_between(a: float, b: float, ends: tuple[float, float], fits: Fits) -> list[float]:
    for step in _steps(b - a):
        if not all(_is_multiple(v, step) or v in ends for v in (a, b)):
            continue
        inner = list(_multiples(step, a, b))
        if 1 <= len(inner) <= MOST_BETWEEN_NUMBERED and _all_fit([a, *inner, b], fits):
            return inner
    return []


def _thinned_at_ends(
    inner: list[float], low: float, high: float, fits: Fits, regular: Callable[[float], bool]
) -> list[float]:
    """The ends always keep their numerals; what would touch an irregular end gives way."""
    while inner and not regular(low) and not fits(low, inner[0]):
        inner = inner[1:]
    while inner and not regular(high) and not fits(inner[-1], high):
        inner = inner[:-1]
    return inner


def _all_fit(values: Sequence[float], fits: Fits) -> bool:
    return all(fits(a, b) for a, b in pairwise(values))


# --- Graduations between them ---


def _alike(law: Law, numbered: list[float]) -> Iterator[list[tuple[float, float]]]:
    """Runs of intervals that are to be divided alike, so that a scale keeps one manner.

    The whole of an even scale; a single interval of a logarithmic one, where each decade
    repeats the last; else neighbours of the same span.
    """
    intervals = list(pairwise(numbered))
    if law.name == "linear":
        yield intervals
    elif law.name == "log":
        yield from ([interval] for interval in intervals)
    else:
        for _, run in groupby(intervals, key=lambda i: _clean(i[1] - i[0])):
            yield list(run)


def _divided(
    law: Law, intervals: list[tuple[float, float]], ends: tuple[float, float], least_pitch: float
) -> dict[float, Length]:
    """The finest step that suits all the intervals, with its medium graduations."""

    def apart(p: float, q: float) -> bool:
        return abs(law.fraction(q) - law.fraction(p)) >= least_pitch

    for step in _steps(max(b - a for a, b in intervals)):
        marks: dict[float, Length] = {}
        for a, b in intervals:
            inner = list(_multiples(step, a, b))
            if len(inner) > MOST_BETWEEN_NUMBERED:
                break
            if inner and a in ends and not _is_multiple(a, step) and not apart(a, inner[0]):
                inner = inner[1:]
            if inner and b in ends and not _is_multiple(b, step) and not apart(inner[-1], b):
                inner = inner[:-1]
            if not all(_is_multiple(v, step) or v in ends for v in (a, b)):
                break
            if not all(apart(p, q) for p, q in pairwise((a, *inner, b))):
                break
            medium = set(_multiples(_coarser(step), a, b))
            marks |= {v: Length.MEDIUM if v in medium else Length.MINOR for v in inner}
        else:
            return marks
    return {}


# --- Steps ---


def _steps(span: float) -> Iterator[float]:
    """Steps of 1, 2 or 5 times a power of ten, from a fiftieth of the span up to the span."""
    power = math.floor(math.log10(span)) - 2
    while True:
        for digit in GRADUATION_STEPS:
            step = _clean(digit * 10.0**power)
            if step > span:
                return
            if step >= span / 50:
                yield step
        power += 1


def _coarser(step: float) -> float:
    """The step whose multiples are marked longer: 1 -> 5, 2 -> 10, 5 -> 10."""
    digit = round(step / 10.0 ** math.floor(math.log10(step) + 1e-9))
    return _clean(step * {1: 5, 2: 5, 5: 2}.get(digit, 5))


def _multiples(step: float, low: float, high: float) -> Iterator[float]:
    """Multiples of the step strictly between two values."""
    first = math.floor(low / step + 1e-6) + 1
    last = math.ceil(high / step - 1e-6) - 1
    return (_clean(i * step) for i in range(first, last + 1))


def _is_multiple(value: float, step: float) -> bool:
    return abs(value / step - round(value / step)) < 1e-6


def _clean(value: float) -> float:
    """The value without floating dust."""
    return float(f"{value:.12g}")
