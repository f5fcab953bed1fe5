"""Choose the graduations of a scale, and which of them are numbered.

Steps are 1, 2 or 5 times a power of ten, with at most nine graduations between numbered
ones and at most three lengths (MIL-HDBK-759B, 5.2.2.3.1.4.1), unless a step is asked for. How
close neighbours may stand is for the caller to say.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from enum import IntEnum
from itertools import groupby, pairwise

from legend.description.laws import Law
from legend.layout.scales.numbering import (
    Fits,
    at_every,
    goes_by_decades,
    is_decade,
    is_symmetrical,
    numbered_values,
    with_words,
)
from legend.layout.scales.steps import clean, is_multiple, is_usual, multiples, steps_within
from legend.standards import MOST_BETWEEN_NUMBERED

#: From so many whole values on, a scale that is numbered in whole values is marked in them alone.
_FEW_WHOLE = 5

#: Values inside a decade that are marked where its ends alone are numbered, richest first.
#: Common practice, no source.
_DECADE_MARKS = ((2, 3, 4, 5, 6, 7, 8, 9), (2, 5))
#: The digit of a decade that is marked longer than the others.
_MIDDLE = 5


class Length(IntEnum):
    """The three lengths of a graduation."""

    MINOR = 0
    MEDIUM = 1
    MAJOR = 2


@dataclass(frozen=True, slots=True)
class Graduation:
    """A marked value, the part of the travel where it stands, its length, and if it is numbered."""

    value: float
    fraction: float
    length: Length
    numbered: bool


@dataclass(frozen=True, slots=True)
class Room:
    """How near to each other things may stand along a track.

    `numerals` tells whether those of two values have room next to each other. `pitch` is the
    least part of the travel from one graduation to the next, where the program chooses them;
    `carried` tells whether the stock carries two of them.
    """

    numerals: Fits
    pitch: float
    carried: Callable[[Graduation, Graduation], bool]


@dataclass(frozen=True, slots=True)
class Chosen:
    """What the user says of the numbered values: which, or at what step; both ends always are.

    `worded` are those that bear a word, and are numbered whatever else is. With `powers`, of a
    scale that goes by decades the powers of ten alone are numbered.
    """

    numbered: Sequence[float] | None = None
    step: float | None = None
    worded: Sequence[float] = ()
    powers: bool = False


def graduate(
    law: Law,
    begin: float,
    end: float,
    room: Room,
    chosen: Chosen,
    *,
    step: float | None = None,
    closed: bool = False,
) -> tuple[Graduation, ...]:
    """The graduations of a scale from `begin` to `end`, in that order.

    `step` is the step from one graduation to the next, where the user has chosen it; it is not
    refused here, however fine. `closed` tells of a full circle, whose ends meet. Error:
    DomainError for a value the law has no place for.
    """
    low, high = ends = min(begin, end), max(begin, end)
    fits = room.numerals
    if low == -high and is_symmetrical(law, high):  # what has no room on one side has none
        fits = _alike_on_both_sides(fits)

    def divides(a: float, b: float) -> bool:
        near = abs(law.fraction(b) - law.fraction(a)) < 2 * room.pitch
        if near or step is not None or (law.whole and b - a <= 1):
            return True
        return bool(_divided(law, [(a, b)], ends, room))

    if chosen.numbered is not None:
        numbers = sorted({low, high, *chosen.numbered})
    elif chosen.step is not None:
        numbers = at_every(chosen.step, low, high, fits)
    else:
        numbers = numbered_values(
            law, *ends, fits, divides, step=step, closed=closed, powers=chosen.powers
        )
    numbers = with_words(numbers, ends, chosen.worded, fits)
    if step is None:
        marks = _divided_by_room(law, numbers, room)
    else:
        marks = _divided_by_step(law, numbers, step, room)
    marks |= dict.fromkeys(numbers, Length.MAJOR)
    ordered = sorted(marks, reverse=begin > end)
    return tuple(
        Graduation(value, law.fraction(value), marks[value], value in numbers) for value in ordered
    )


def _alike_on_both_sides(fits: Fits) -> Fits:
    return lambda a, b: fits(a, b) and fits(-b, -a)


# --- Graduations at a step that is given ---


def _divided_by_step(
    law: Law, numbers: Sequence[float], step: float, room: Room
) -> dict[float, Length]:
    """Every multiple of the step but those that the stock does not carry next to an odd number.

    Odd is a numbered value that is no multiple itself: an end, or one that was asked for.
    """

    def carried(one: Graduation, other: Graduation) -> bool:
        return room.carried(*sorted((one, other), key=lambda g: g.fraction))

    marks: dict[float, Length] = {}
    for a, b in pairwise(numbers):
        inner = list(multiples(step, a, b))
        medium = _medium(step, a, b)
        for odd in (each for each in (a, b) if not is_multiple(each, step)):
            stands = Graduation(odd, law.fraction(odd), Length.MAJOR, True)
            inner = [
                v
                for v in inner
                if carried(stands, Graduation(v, law.fraction(v), Length.MINOR, False))
            ]
        marks |= {v: Length.MEDIUM if v in medium else Length.MINOR for v in inner}
    return marks


def _medium(step: float, a: float, b: float) -> set[float]:
    """The values between two numbered ones that are marked longer.

    By a step of 1 these are the fives, by one of 2 or 5 the tens, and so on; by any other step
    the middle, where there are graduations on both sides of it.
    """
    if is_usual(step):
        return set(multiples(_coarser(step), a, b))
    parts = (b - a) / step
    middle = clean((a + b) / 2)
    return {middle} if parts > 3 and is_multiple(middle, step) else set()


# --- Graduations by the room there is ---


def _divided_by_room(law: Law, numbers: list[float], room: Room) -> dict[float, Length]:
    """The finest steps for which there is room, alike wherever the scale is."""
    marks: dict[float, Length] = {}
    ends = numbers[0], numbers[-1]
    decades = list(pairwise(numbers)) if goes_by_decades(law, *ends) else []
    if decades and all(is_decade(*each) for each in decades):
        return _divided_decades(law, decades, room)
    for intervals in _alike(law, numbers):
        alike = _divided(law, intervals, ends, room)
        for interval in [] if alike else intervals:
            alike |= _divided(law, [interval], ends, room)
        marks |= alike
    return marks


def _divided_decades(
    law: Law, decades: Sequence[tuple[float, float]], room: Room
) -> dict[float, Length]:
    """Whole decades, all divided alike: at 2 to 9 if there is room, else at 2 and 5.

    They crowd towards the end of each decade, where nobody takes them for an even scale: what the
    stock carries is room enough.
    """
    for digits in _DECADE_MARKS:
        inner = [
            Graduation(
                value,
                law.fraction(value),
                Length.MEDIUM if digit == _MIDDLE else Length.MINOR,
                False,
            )
            for a, _ in decades
            for digit in digits
            for value in (clean(digit * a),)
        ]
        ends = [
            Graduation(value, law.fraction(value), Length.MAJOR, True)
            for value in {value for pair in decades for value in pair}
        ]
        every = sorted([*inner, *ends], key=lambda each: each.fraction)
        if all(room.carried(*pair) for pair in pairwise(every)):
            return {each.value: each.length for each in inner}
    return {}


def _alike(law: Law, numbers: list[float]) -> Iterator[list[tuple[float, float]]]:
    """Runs of intervals that are to be divided alike, so that a scale keeps one manner.

    The whole of an even scale; a single interval of a logarithmic one, where each decade
    repeats the last; else neighbours of the same span.
    """
    intervals = list(pairwise(numbers))
    if law.name == "linear":
        yield intervals
    elif law.name == "log":
        yield from ([interval] for interval in intervals)
    else:
        for _, run in groupby(intervals, key=lambda i: clean(i[1] - i[0])):
            yield list(run)


def _divided(
    law: Law, intervals: list[tuple[float, float]], ends: tuple[float, float], room: Room
) -> dict[float, Length]:
    """The finest step that suits all the intervals, with its medium graduations."""

    def apart(p: float, q: float) -> bool:
        return abs(law.fraction(q) - law.fraction(p)) >= room.pitch

    for step in steps_within(max(b - a for a, b in intervals)):
        if law.whole and ends[1] - ends[0] >= _FEW_WHOLE and step < 1:
            continue
        marks: dict[float, Length] = {}
        for a, b in intervals:
            inner = list(multiples(step, a, b))
            if len(inner) > MOST_BETWEEN_NUMBERED:
                break
            if inner and a in ends and not is_multiple(a, step) and not apart(a, inner[0]):
                inner = inner[1:]
            if inner and b in ends and not is_multiple(b, step) and not apart(inner[-1], b):
                inner = inner[:-1]
            if not all(is_multiple(v, step) or v in ends for v in (a, b)):
                break
            if not all(apart(p, q) for p, q in pairwise((a, *inner, b))):
                break
            medium = set(multiples(_coarser(step), a, b))
            marks |= {v: Length.MEDIUM if v in medium else Length.MINOR for v in inner}
        else:
            return marks
    return {}


def _coarser(step: float) -> float:
    """The step whose multiples are marked longer: 1 -> 5, 2 -> 10, 5 -> 10."""
    digit = round(step / 10.0 ** math.floor(math.log10(step) + 1e-9))
    return clean(step * {1: 5, 2: 5, 5: 2}.get(digit, 5))
