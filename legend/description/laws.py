"""Define the laws of scales: how a value maps to the angle or travel of a control.

A law maps values on to a fraction of the travel, 0 at the beginning and 1 at the end,
and back; the two are exact inverses. To add a law, add one class here with `@law`;
the schema finds it in `LAWS`.
"""

from __future__ import annotations

import bisect
import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import ClassVar, Protocol, TypeVar

from legend.description.monotone import DomainError as DomainError
from legend.description.monotone import Monotone as Monotone
from legend.standards import BENT_TRACK, LINEAR_TRACK

#: From two decades on a table may be one of a logarithmic dial.
_TWO_DECADES = 100 * (1 - 1e-9)


class Law(Protocol):
    """Value to fraction of travel, and back.

    `customary` are the values that the trade numbers on scales of this law, wherever they have
    room: those that stay longest where it is narrow first, and what comes and goes together in
    one group. `whole` tells of a law whose scales are numbered in whole values.
    """

    name: ClassVar[str]
    customary: ClassVar[tuple[tuple[float, ...], ...]]
    whole: ClassVar[bool]

    def fraction(self, value: float) -> float:
        """The part of the travel at which `value` stands. Error: DomainError."""
        ...

    def value(self, fraction: float) -> float:
        """The value that stands at this part of the travel. Error: DomainError."""
        ...


@dataclass(frozen=True, slots=True)
class LawSpec:
    """What a scale's table gives a law to be made from."""

    begin: float
    end: float
    taper: str | tuple[tuple[float, float], ...] = "linear"
    table: tuple[tuple[float, float], ...] = ()


LAWS: dict[str, Callable[[LawSpec], Law]] = {}

_L = TypeVar("_L", bound=type[Law])


def law(cls: _L) -> _L:
    """Enter a law in the registry under its name."""
    LAWS[cls.name] = cls
    return cls


class _Usual:
    """What holds of a law that says nothing else of its values."""

    customary: ClassVar[tuple[tuple[float, ...], ...]] = ()
    whole: ClassVar[bool] = False


class _Curve(_Usual):
    """A law whose travel is proportional to some function g of the value."""

    name: ClassVar[str]

    def __init__(self, spec: LawSpec) -> None:
        try:
            self._g0, self._g1 = self.g(spec.begin), self.g(spec.end)
        except (OverflowError, ZeroDivisionError):
            raise _out_of_reach(self.name, spec) from None
        if not math.isfinite(self._g1 - self._g0) or self._g0 == self._g1:
            raise _out_of_reach(self.name, spec)

    def g(self, value: float) -> float:
        raise NotImplementedError

    def inverse_g(self, y: float) -> float:
        raise NotImplementedError

    def fraction(self, value: float) -> float:
        return (self.g(value) - self._g0) / (self._g1 - self._g0)

    def value(self, fraction: float) -> float:
        return self.inverse_g(self._g0 + fraction * (self._g1 - self._g0))


def _out_of_reach(name: str, spec: LawSpec) -> DomainError:
    return DomainError(
        f"no {name} scale runs from {spec.begin:g} to {spec.end:g} that could be told apart"
    )


@law
class Linear(_Curve):
    """Travel proportional to the value."""

    name: ClassVar[str] = "linear"

    def g(self, value: float) -> float:
        return value

    def inverse_g(self, y: float) -> float:
        return y


@law
class Logarithmic(_Curve):
    """Travel proportional to the logarithm of the value: equal travel for each decade."""

    name: ClassVar[str] = "log"

    def g(self, value: float) -> float:
        if value <= 0:
            raise DomainError(f"{value:g} has no logarithm; a log scale takes values above 0")
        return math.log(value)

    def inverse_g(self, y: float) -> float:
        return math.exp(y)


@law
class Inverse(_Curve):
    """Travel proportional to 1/value: tuning with a capacitor cut for straight-line wavelength.

    The wavelength is proportional to the travel, and the frequency goes as its inverse.
    """

    name: ClassVar[str] = "inverse"

    def g(self, value: float) -> float:
        if value <= 0:
            raise DomainError(f"an inverse scale takes values above 0, not {value:g}")
        return 1 / value

    def inverse_g(self, y: float) -> float:
        if y <= 0:
            raise DomainError("this lies beyond the end of an inverse scale")
        return 1 / y


@law
class InverseSquare(_Curve):
    """Travel proportional to 1/value²: tuning with a straight-line-capacitance capacitor.

    The resonant frequency goes as 1/sqrt(C), so C, and with it the travel, as 1/f².
    """

    name: ClassVar[str] = "inverse-square"

    def g(self, value: float) -> float:
        if value <= 0:
            raise DomainError(f"an inverse-square scale takes values above 0, not {value:g}")
        return 1 / value**2

    def inverse_g(self, y: float) -> float:
        if y <= 0:
            raise DomainError("this lies beyond the end of an inverse-square scale")
        return 1 / math.sqrt(y)


@law
class Decibel(_Curve):
    """Travel proportional to 10^(dB/20): a meter that moves with voltage, marked in decibels.

    Its customary values are those of a volume-unit meter, -20 to 3: IEC 60268-17, from memory.
    """

    name: ClassVar[str] = "decibel"
    customary: ClassVar[tuple[tuple[float, ...], ...]] = (
        (-20, 3),
        (0,),
        (-10,),
        (-5,),
        (-3,),
        (-7,),
        (-1,),
        (1, 2),
        (-2,),
    )
    whole: ClassVar[bool] = True

    def g(self, value: float) -> float:
        return 10 ** (value / 20)

    def inverse_g(self, y: float) -> float:
        if y <= 0:
            raise DomainError("no number of decibels stands at or below no deflection at all")
        return 20 * math.log10(y)


@law
class Tabulated(_Usual):
    """Measured [value, degrees] pairs, with a monotone cubic between them; over the logarithms of
    the values where these run through decades and stand more evenly so, as on a vacuum gauge.

    The travel is the whole of the table's degrees. `begin` and `end` of the scale must
    lie within the table.
    """

    name: ClassVar[str] = "table"

    def __init__(self, spec: LawSpec) -> None:
        if len(spec.table) < 2:
            raise DomainError("a table law needs at least two [value, degrees] pairs")
        if spec.begin == spec.end:
            raise _out_of_reach(self.name, spec)
        table = sorted(spec.table)
        self._curve = Monotone(table)
        self._by_decades = _stands_by_decades(table)
        if self._by_decades:
            self._ends = table[0][0], table[-1][0]
            self._curve = Monotone([(math.log(value), degrees) for value, degrees in table])
        self.begin_degrees = self._degrees(spec.begin)
        self.end_degrees = self._degrees(spec.end)

    def _degrees(self, value: float) -> float:
        if not self._by_decades:
            return self._curve(value)
        least, most = self._ends
        if not least <= value <= most:
            raise DomainError(
                f"{value:g} lies outside the table, which runs from {least:g} to {most:g}"
            )
        return self._curve(math.log(value))

    def fraction(self, value: float) -> float:
        return (self._degrees(value) - self.begin_degrees) / (self.end_degrees - self.begin_degrees)

    def value(self, fraction: float) -> float:
        degrees = self.begin_degrees + fraction * (self.end_degrees - self.begin_degrees)
        found = self._curve.inverse(degrees)
        return math.exp(found) if self._by_decades else found


def _stands_by_decades(table: Sequence[tuple[float, float]]) -> bool:
    """Whether measured values run through two decades and more, and their logarithms stand more
    evenly on the dial than they do themselves."""
    if table[0][0] <= 0 or table[-1][0] / table[0][0] < _TWO_DECADES:
        return False
    by_value = _unevenness(table)
    return _unevenness([(math.log(value), degrees) for value, degrees in table]) < by_value


def _unevenness(points: Sequence[tuple[float, float]]) -> float:
    """How many times steeper a row of points is at its steepest than at its flattest."""
    slopes = [abs((d - b) / (c - a)) for (a, b), (c, d) in itertools.pairwise(points)]
    return max(slopes) / min(slopes)


@law
class Taper(_Usual):
    """Decibels of a divider whose track follows a taper: rotation % against resistance %.

    The travel is the whole of the track, so that a value stands where the control truly gives
    it; the scale need not fill it.
    """

    name: ClassVar[str] = "taper"
    whole: ClassVar[bool] = True

    def __init__(self, spec: LawSpec) -> None:
        self._track = track(spec.taper)
        if self.fraction(spec.begin) == self.fraction(spec.end):
            raise _out_of_reach(self.name, spec)

    def fraction(self, value: float) -> float:
        if value > 0:
            raise DomainError(f"a divider cannot give {value:g} dB; it only takes away")
        return self._track.inverse(100 * 10 ** (value / 20)) / 100

    def value(self, fraction: float) -> float:
        ratio = self._track(100 * fraction) / 100
        if ratio <= 0:
            raise DomainError("a divider at its very end gives no number of decibels")
        return 20 * math.log10(ratio)


class _Bent:
    """A track of two straight parts that meet at half rotation, as carbon tracks are made."""

    def __init__(self, points: Sequence[tuple[float, float]]) -> None:
        self._x = [p[0] for p in points]
        self._y = [p[1] for p in points]

    def __call__(self, x: float) -> float:
        return _between(self._x, self._y, x)

    def inverse(self, y: float) -> float:
        return _between(self._y, self._x, y)


def _between(x: Sequence[float], y: Sequence[float], at: float) -> float:
    i = min(max(bisect.bisect_right(x, at), 1), len(x) - 1)
    return y[i - 1] + (at - x[i - 1]) * (y[i] - y[i - 1]) / (x[i] - x[i - 1])


@dataclass(frozen=True, slots=True)
class NamedTaper:
    """A taper that controls are sold by: [rotation %, resistance %], and how far its track goes.

    `track` is the part of a control's whole rotation over which its resistance changes.
    """

    points: tuple[tuple[float, float], ...]
    track: float


#: Tapers by name. "audio 10" has 10 % of its resistance at half rotation; most volume controls
#: have 15 %. Second hand.
TAPERS: dict[str, NamedTaper] = {
    "linear": NamedTaper(((0, 0), (100, 100)), LINEAR_TRACK),
    "audio 10": NamedTaper(((0, 0), (50, 10), (100, 100)), BENT_TRACK),
    "audio 15": NamedTaper(((0, 0), (50, 15), (100, 100)), BENT_TRACK),
    "reverse 10": NamedTaper(((0, 0), (50, 90), (100, 100)), BENT_TRACK),
    "reverse 15": NamedTaper(((0, 0), (50, 85), (100, 100)), BENT_TRACK),
}


def track(taper: str | tuple[tuple[float, float], ...]) -> _Bent | Monotone:
    """The track of a taper by name, or through measured [rotation %, resistance %] pairs."""
    if isinstance(taper, str):
        return _Bent(TAPERS[taper].points)
    return Monotone(sorted(taper))
