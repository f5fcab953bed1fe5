"""Say lengths in the units of a description: for findings and faults, for drawings and cards.

In inches a length is a fraction where one down to 1/64 says it as nearly as anybody measures,
and else a decimal to a thousandth. Of two lengths that are compared, both are said in the
same way, and finely enough that they are seen to differ.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Self

from legend.standards import FLUID_OUNCE, FRACTION_WITHIN, INCH, LEAST_FRACTION

#: So many decimals are enough to tell any two lengths apart that differ at all.
_MOST_DECIMALS = 4


@dataclass(frozen=True, slots=True)
class Lengths:
    """Lengths as text, by the `units` of a description: mm, cm (told in mm), or in."""

    units: str

    @property
    def unit(self) -> str:
        """What all lengths are told in: mm or in."""
        return "in" if self.units == "in" else "mm"

    # --- Numbers alone, as in tables ---

    def __call__(self, mm: float) -> str:
        """A length in a table, in mm to a tenth."""
        return self._written(mm, 1)

    def fine(self, mm: float) -> str:
        """A small length, in mm to a hundredth."""
        return self._written(mm, 2)

    def signed(self, mm: float) -> str:
        """A small difference with its sign, where it is not nothing: as a decimal."""
        text = self._decimal(mm, 2)
        return f"+{text}" if mm > 0 and text.strip("0.") else text

    def short(self, mm: float) -> str:
        """A length in running words: without the noughts that only a table needs."""
        return _without_noughts(self(mm))

    def exact(self, mm: float) -> str:
        """A length as it was given, in mm to a hundredth, without noughts that tell nothing."""
        return _without_noughts(self.fine(mm))

    def as_decimal(self, mm: float) -> str:
        """A small length as the coupon has it beside its steps: never as a fraction.

        >>> Lengths("mm").as_decimal(0.4), Lengths("in").as_decimal(0.5)
        ('0.4', '0.020')
        """
        return self._decimal(mm, 3) if self.unit == "in" else self.exact(mm)

    def column(self, lengths: Iterable[float]) -> list[tuple[str, str]]:
        """Lengths below each other, exact, and what each lacks of the decimals of the longest.

        That is to be set unseen after it, so that their points stand below each other.
        """
        exact = [self.exact(mm) for mm in lengths]
        if any("/" in text for text in exact):
            return [(text, "") for text in exact]
        decimals = [text.partition(".")[2] for text in exact]
        most = max(map(len, decimals), default=0)
        return [
            (text, ("" if own else "." * (most > 0)) + "0" * (most - len(own)))
            for text, own in zip(exact, decimals, strict=True)
        ]

    # --- With their unit, as in sentences ---

    def said(self, mm: float, decimals: int = 1) -> str:
        """A length in a sentence, with its unit; in mm to so many decimals.

        >>> Lengths("mm").said(3.46), Lengths("in").said(10.32)
        ('3.5 mm', '13/32 in')
        """
        return f"{self._written(mm, decimals)} {self.unit}"

    def given(self, mm: float) -> str:
        """A length with its unit as it was given, without noughts that tell nothing."""
        return f"{self.exact(mm)} {self.unit}"

    def short_said(self, mm: float) -> str:
        """A long length with its unit, in running words."""
        return f"{self.short(mm)} {self.unit}"

    def at_most(self, mm: float) -> str:
        """A small length with its unit that is rounded down, since more would not do."""
        scale, decimals = (1000 / INCH, 3) if self.unit == "in" else (100, 2)
        least = 10**decimals
        return f"{math.floor(round(mm * scale, 6)) / least:.{decimals}f} {self.unit}"

    def at_least(self, mm: float, decimals: int = 1) -> str:
        """A length with its unit that is rounded up, since less would not do."""
        if self.unit == "in":
            return f"{_mixed(math.ceil(round(mm / INCH * 32, 6)), 32)} in"
        scale = 10**decimals
        return f"{math.ceil(round(mm * scale, 6)) / scale:.{decimals}f} mm"

    def compared(self, one: float, other: float, decimals: int = 1) -> tuple[str, str]:
        """Two lengths in one sentence, with their units, told apart where they are not the same.

        >>> Lengths("mm").compared(3.46, 3.5)
        ('3.46 mm', '3.50 mm')
        """
        pair = (one, other)
        told = [_fraction(mm) for mm in pair] if self.unit == "in" else [""]
        if "" in told or (told[0] == told[1] and one != other):
            decimals = max(decimals, 3) if self.unit == "in" else decimals
            for most in range(decimals, _MOST_DECIMALS + 1):
                told = [self._decimal(mm, most) for mm in pair]
                if told[0] != told[1]:
                    break
        return f"{told[0]} {self.unit}", f"{told[1]} {self.unit}"

    def across(self, box: tuple[float, float], round_: bool = False) -> str:
        """The size of a part with its unit: its diameter where it is round, or its two sides."""
        if round_:
            return f"{self.short(box[0])} {self.unit} across"
        return f"{self.short(box[0])} × {self.short(box[1])} {self.unit}"

    def long(self, mm: float) -> str:
        """A very long length with its unit: in metres to a tenth, or in whole feet."""
        return f"{mm / INCH / 12:.0f} ft" if self.unit == "in" else f"{mm / 1000:.1f} m"

    def area(self, square_mm: float) -> str:
        """An area with its unit: in cm², or in square inches."""
        if self.unit == "in":
            return f"{square_mm / INCH**2:.0f} sq in"
        return f"{square_mm / 100:.0f} cm²"

    def volume(self, cubic_mm: float) -> str:
        """A small volume with its unit, rounded up: in ml, or in US fluid ounces to a tenth.

        >>> Lengths("mm").volume(37_200), Lengths("in").volume(37_200)
        ('38 ml', '1.3 fl oz')
        """
        if self.unit == "in":
            tenths = math.ceil(round(cubic_mm / INCH**3 / FLUID_OUNCE * 10, 6))
            return f"{max(tenths, 1) / 10:.1f} fl oz"
        return f"{max(math.ceil(round(cubic_mm / 1000, 6)), 1)} ml"

    def _written(self, mm: float, decimals: int) -> str:
        if self.unit == "in" and (fraction := _fraction(mm)):
            return fraction
        return self._decimal(mm, decimals)

    def _decimal(self, mm: float, decimals: int) -> str:
        if self.unit == "in":
            mm, decimals = mm / INCH, max(decimals, 3)
        # Adding 0 turns -0 into 0.
        return f"{round(mm, decimals) + 0:.{decimals}f}".replace("-", "−")


MILLIMETRES = Lengths("mm")


@dataclass(frozen=True, slots=True)
class WithLengths:
    """Words with lengths among them that are not said yet, the units being unknown.

    `parts` are words, lengths in mm, and None where the unit stands.

    >>> WithLengths.of("a hole of {} {unit} is too large", 12.7).said(Lengths("in"))
    'a hole of 1/2 in is too large'
    """

    parts: tuple[str | float | None, ...]

    @classmethod
    def of(cls, words: str, *lengths: float) -> Self:
        """The words with a length for each {} in them, and the unit for each {unit}."""
        waiting = iter(lengths)
        parts: list[str | float | None] = []
        for part in re.split(r"(\{(?:unit)?\})", words):
            parts.append(next(waiting) if part == "{}" else None if part == "{unit}" else part)
        return cls(tuple(parts))

    def after(self, words: str) -> Self:
        """The same with words before it."""
        return type(self)((words, *self.parts))

    def __str__(self) -> str:
        return self.said(Lengths("mm"))

    def said(self, lengths: Lengths) -> str:
        """The words with their lengths said in the units of a description."""
        told = (
            lengths.unit if part is None else part if isinstance(part, str) else lengths.exact(part)
            for part in self.parts
        )
        return "".join(told)


def said_by(error: ValueError, lengths: Lengths) -> str:
    """What an error says, in the units of a description where it tells of lengths."""
    what = error.args[0] if error.args else ""
    return what.said(lengths) if isinstance(what, WithLengths) else str(error)


def _fraction(mm: float) -> str:
    """A length as a fraction of an inch, or "" where none says it nearly enough."""
    parts = round(abs(mm) / INCH * LEAST_FRACTION)
    if abs(parts / LEAST_FRACTION * INCH - abs(mm)) > FRACTION_WITHIN or (not parts and mm):
        return ""
    return ("−" if mm < 0 else "") + _mixed(parts, LEAST_FRACTION)


def _mixed(parts: int, of: int) -> str:
    """So many parts of a whole as a mixed number in lowest terms: 1 3/8."""
    whole, rest = divmod(parts, of)
    if not rest:
        return str(whole)
    common = math.gcd(rest, of)
    return f"{whole} " * bool(whole) + f"{rest // common}/{of // common}"


def _without_noughts(text: str) -> str:
    return text.rstrip("0").rstrip(".") if "." in text else text
