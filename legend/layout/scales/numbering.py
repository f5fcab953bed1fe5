"""Choose which values of a scale are numbered.

The ends always are. Which numerals have room next to each other is for the caller to say. A
numeral that has none next to an end gives way to it.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from itertools import pairwise

from legend.description.laws import Law
from legend.layout.scales.steps import clean, is_multiple, is_usual, multiples, places, steps_within
from legend.standards import MOST_BETWEEN_NUMBERED

#: Most numbered values of an even scale, both ends included; the same on a full circle, which is
#: often numbered by twenties of degrees. Common practice, no source.
_MOST_NUMBERED, _MOST_ROUND = 13, 20
#: Fewest numbered values for which whole numbers are kept to. Common practice, no source.
_FEWEST_NUMBERED = 5
#: Values inside a decade that are numbered, richest first. Common practice, no source.
_DECADE_PATTERNS = ((2, 3, 4, 5, 6, 7, 8, 9), (2, 3, 5), (2, 5), (3,))
#: From two decades on a scale may go by decades, each of which then takes at least this part of
#: its even share of the travel. By trial on dials of vacuum gauges.
_TWO_DECADES = 100 * (1 - 1e-9)
_LEAST_DECADE = 0.3
#: The finest step of numbers on an uneven scale is this part of the whole. By trial.
_FINEST = 60
#: On an uneven scale, how many spaces between numerals are as good as can be. A space costs the
#: square of its part of the travel, and this is what else costs something: a change from one step
#: to another, a multiple left out for want of room, one that gives way to an end, a space that
#: cannot be divided. By trial on tapers, tuning scales and measured dials.
_BEST_COUNT = 12
_CHANGE, _LEFT_OUT, _GIVES_WAY, _UNDIVIDED = 0.012, 0.018, 0.008, 0.022

#: Whether the numerals of two values, next to each other, have room.
Fits = Callable[[float, float], bool]
#: Whether the space between two numbered values can be divided by graduations, if it need be.
Divides = Callable[[float, float], bool]


def numbered_values(
    law: Law,
    low: float,
    high: float,
    fits: Fits,
    divides: Divides,
    *,
    step: float | None,
    closed: bool,
    powers: bool = False,
) -> list[float]:
    """The values to be numbered where nobody has said which.

    With a `step`, all but the ends are multiples of it. `closed` tells of a full circle; with
    `powers`, powers of ten alone are numbered where the scale goes by decades.
    """
    spread = partial(_spread_out, law, fits=fits, divides=divides, step=step)
    if law.customary and (step is None or all(is_multiple(v, step) for v in _named(law))):
        return _by_custom(law, low, high, fits, spread)
    if law.name == "linear":
        return _evenly(low, high, fits, step, closed)
    if step is None and (law.name == "log" or goes_by_decades(law, low, high)):
        decades = _in_decades(low, high, fits, powers)
        if powers or len(decades) >= _FEWEST_NUMBERED:
            return decades
        return max(decades, spread(low, high), key=len)
    return spread(low, high)


# --- Chosen by the user ---


def at_every(step: float, low: float, high: float, fits: Fits) -> list[float]:
    """The ends, and every multiple of a step but what has no room next to an end that is none."""
    inner = list(multiples(step, low, high))
    return [low, *thinned_at_ends(inner, low, high, fits, partial(is_multiple, step=step)), high]


def with_words(
    numbers: Sequence[float], ends: tuple[float, float], worded: Iterable[float], fits: Fits
) -> list[float]:
    """The numbered values with those that bear words, to which numbers without room give way."""
    words = {clean(value) for value in worded} - {clean(value) for value in ends}
    if not words:
        return list(numbers)

    def stays(number: float) -> bool:
        return number in ends or all(
            clean(number) == word or fits(*sorted((number, word))) for word in words
        )

    kept = {clean(number): number for number in numbers if stays(number)}
    return sorted([*kept.values(), *(words - kept.keys())])


# --- One step throughout ---


def _evenly(low: float, high: float, fits: Fits, step: float | None, closed: bool) -> list[float]:
    """Numbers at one step: the best of those that fit.

    Better is what leaves at most nine graduations between numbers; what gives neither too many
    numbers nor too few; what goes into the scale without a rest; whole numbers, where the ends
    are whole; 1, 2 or 5 times a power of ten; and then the finest.
    """
    most = _MOST_ROUND if closed else _MOST_NUMBERED
    plain = max(places(low), places(high))

    def rank(each: float) -> tuple[bool | float, ...]:
        count = sum(1 for _ in multiples(each, low, high)) + 2
        return (
            step is not None and each / step > MOST_BETWEEN_NUMBERED + 1 + 1e-6,
            count > most,
            count < _FEWEST_NUMBERED,
            not (is_multiple(low, each) and is_multiple(high, each)),
            places(each) > plain,
            not is_usual(each),
            each,
        )

    for each in sorted(_steps(low, high, step), key=rank):
        inner = thinned_at_ends(
            list(multiples(each, low, high)), low, high, fits, partial(is_multiple, step=each)
        )
        if _all_fit([low, *inner, high], fits):
            return [low, *inner, high]
    return [low, high]


def _steps(low: float, high: float, step: float | None) -> list[float]:
    """The steps at which numbers may stand: of the program's choice, or multiples of one given."""
    if step is None:
        return list(steps_within(high - low))
    return [clean(n * step) for n in range(1, int((high - low) / step + 1e-6) + 1)]


# --- By decades ---


def goes_by_decades(law: Law, low: float, high: float) -> bool:
    """Whether a scale spreads its decades as a logarithmic one does, each with its share of it."""
    if low <= 0 or high / low < _TWO_DECADES:
        return False
    if law.name == "log":
        return True
    first, last = math.ceil(math.log10(low) - 1e-9), math.floor(math.log10(high) + 1e-9)
    places = [law.fraction(min(max(10.0**n, low), high)) for n in range(first, last + 1)]
    even = 1 / math.log10(high / low)
    return all(abs(b - a) >= _LEAST_DECADE * even for a, b in pairwise(places))


def is_decade(low: float, high: float) -> bool:
    """Whether two values are a power of ten and the next."""
    power = math.log10(low)
    return abs(power - round(power)) < 1e-9 and clean(10 * low) == clean(high)


def _in_decades(low: float, high: float, fits: Fits, powers: bool = False) -> list[float]:
    first, last = math.floor(math.log10(low)), math.ceil(math.log10(high))
    for pattern in ((),) if powers else (*_DECADE_PATTERNS, ()):
        every = [
            clean(digit * 10.0**decade)
            for decade in range(first, last + 1)
            for digit in (1, *pattern)
        ]
        inner = [v for v in every if low < v < high]
        inner = thinned_at_ends(inner, low, high, fits, set(every).__contains__)
        if _all_fit([low, *inner, high], fits):
            return [low, *inner, high]
    return _every_so_many([low, *inner, high], fits)


def _every_so_many(values: list[float], fits: Fits) -> list[float]:
    """One in so many of the values, so that they fit; the ends are kept."""
    for stride in range(2, len(values)):
        inner = values[1:-1][stride - 1 :: stride]
        inner = thinned_at_ends(inner, values[0], values[-1], fits, lambda v: False)
        if _all_fit([values[0], *inner, values[-1]], fits):
            return [values[0], *inner, values[-1]]
    return [values[0], values[-1]]


# --- By custom ---


def _by_custom(
    law: Law, low: float, high: float, fits: Fits, spread: Callable[[float, float], list[float]]
) -> list[float]:
    """The customary values that fit; beyond the first and the last of them, spread out."""
    first, last = min(_named(law)), max(_named(law))
    begin, end = max(low, first), min(high, last)
    if begin >= end:
        return spread(low, high)
    chosen = [begin, end]
    for group in law.customary:
        tried = sorted({*chosen, *(v for v in group if begin < v < end)})
        if _all_fit(tried, fits):
            chosen = tried
    if low < begin:
        chosen = [*spread(low, begin)[:-1], *chosen]
    if end < high:
        chosen = [*chosen, *spread(end, high)[1:]]
    inner = thinned_at_ends(chosen[1:-1], low, high, fits, lambda v: False)
    return [low, *inner, high]


def _named(law: Law) -> Iterable[float]:
    return [value for group in law.customary for value in group]


# --- Spread out along the travel ---


def _spread_out(
    law: Law, low: float, high: float, fits: Fits, divides: Divides, step: float | None
) -> list[float]:
    """Numbers as evenly along the travel as round values allow, in a step of its own each part.

    Of all ways from one end to the other it is the cheapest. A space between numbers costs the
    square of its part of the travel, so that even ones cost least, and as much again as the
    best of spaces.
    """
    if low == -high and is_symmetrical(law, high):
        right = _spread_out(law, 0.0, high, fits, divides, step)
        return [*(-v for v in reversed(right[1:])), *right]
    steps = _steps(low, high, step) if step else list(steps_within(high - low, _FINEST))
    steps = [each for each in steps if step is None or is_usual(each) or is_usual(each / step)]
    plain = max(places(low), places(high), places(step) if step else 0)
    whole = [each for each in steps if places(each) <= plain]
    numbers = _cheapest_way(law, low, high, fits, divides, whole)
    if len(numbers) < _FEWEST_NUMBERED and len(whole) < len(steps) and not law.whole:
        numbers = max(numbers, _cheapest_way(law, low, high, fits, divides, steps), key=len)
    return numbers


def _cheapest_way(
    law: Law, low: float, high: float, fits: Fits, divides: Divides, steps: Sequence[float]
) -> list[float]:
    #: By value, and by the step that led there: what the way cost, and the way.
    best: dict[float, dict[float, tuple[float, tuple[float, ...]]]] = {low: {0.0: (0.0, (low,))}}
    waiting, done = [low], set()
    while waiting:
        value = heapq.heappop(waiting)
        if value == high:
            return list(min(best[high].values())[1])
        if value in done:
            continue
        done.add(value)
        for step in steps:
            for following in _following(value, step, low, high, fits):
                part = abs(law.fraction(following) - law.fraction(value))
                here = part**2 + 1 / _BEST_COUNT**2
                left_out = sum(1 for _ in multiples(step, value, following))
                by_an_end = value == low or following == high
                here += (_GIVES_WAY if by_an_end else _LEFT_OUT) * left_out
                if not divides(value, following):
                    here += _UNDIVIDED
                ways = best.setdefault(following, {})
                for led, (cost, way) in best[value].items():
                    total = cost + here + (_CHANGE if led not in (0.0, step) else 0)
                    if step not in ways or total < ways[step][0]:
                        ways[step] = (total, (*way, following))
                heapq.heappush(waiting, following)
    return [low, high]


def _following(value: float, step: float, low: float, high: float, fits: Fits) -> Iterator[float]:
    """What may be numbered after a value, at this step: the first multiple that fits, or the end.

    The end follows where no multiple between has room next to it.
    """
    if value != low and not is_multiple(value, step):
        return
    following = next((v for v in multiples(step, value, high) if fits(value, v)), high)
    if fits(value, following):
        yield following
    if following < high and not fits(following, high) and fits(value, high):
        yield high


# --- What fits ---


def is_symmetrical(law: Law, end: float) -> bool:
    """Whether a scale from -`end` to `end` is its own mirror image."""
    return all(
        abs(law.fraction(part * end) + law.fraction(-part * end) - 1) < 1e-6
        for part in (0.0, 0.1, 0.3, 0.5, 0.7, 0.9)
    )


def thinned_at_ends(
    inner: list[float], low: float, high: float, fits: Fits, regular: Callable[[float], bool]
) -> list[float]:
    """The values without those that have no room next to an end that is not one of their kind."""
    while inner and not regular(low) and not fits(low, inner[0]):
        inner = inner[1:]
    while inner and not regular(high) and not fits(inner[-1], high):
        inner = inner[:-1]
    return inner


def _all_fit(values: Sequence[float], fits: Fits) -> bool:
    return all(fits(a, b) for a, b in pairwise(values))
