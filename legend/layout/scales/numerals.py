"""Format the numerals of scales as a person writes them."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

#: The signs of values below and above zero, as they are lettered.
MINUS, PLUS = "−", "+"

#: Units whose large values are written with a prefix on scales. SI Brochure, 9th ed., table 7.
_PREFIXED_UNITS = frozenset({"Hz", "Ω", "V", "A", "W", "F", "H", "m", "g", "Pa", "J", "bit/s"})
_PREFIXES = ((Decimal("1e9"), "G"), (Decimal("1e6"), "M"), (Decimal("1e3"), "k"))

_RAISED = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")
#: Powers of ten that are written as plain numbers, and between which of them other values are:
#: nobody writes 10⁰ who can write 1. Common practice, no source.
_PLAIN_POWERS = (0, 1)
_PLAIN_FROM, _PLAIN_TO = Decimal("0.1"), Decimal(1000)


@dataclass(frozen=True, slots=True)
class Notation:
    """How numbers are written: their unit, which may lend them its prefix, and the decimal mark.

    With `powers`, powers of ten are written as a 10 with its exponent raised; with `plus`, values
    above zero bear their sign.
    """

    unit: str = ""
    decimal: str = "."
    powers: bool = False
    plus: bool = False


#: Without a unit, with a decimal point.
PLAIN = Notation()


def numeral(value: float, notation: Notation = PLAIN) -> str:
    """The value without floating dust, with a true minus sign; k, M or G where its unit takes one.

    >>> numeral(0.30000000000000004), numeral(-20), numeral(4700, Notation("Ω")), numeral(4700)
    ('0.3', '−20', '4.7k', '4700')
    >>> numeral(0.5, Notation(decimal=",")), numeral(1, Notation(plus=True))
    ('0,5', '+1')
    >>> [numeral(value, Notation(powers=True)) for value in (0.001, 1, 10, 100, 5e-4)]
    ['10⁻³', '1', '10', '10²', '5×10⁻⁴']
    """
    number = Decimal(f"{value:.10g}") + 0  # a zero loses its sign
    size = abs(number)
    text = _as_power(size) if notation.powers and size else _prefixed(size, notation.unit)
    sign = MINUS if number < 0 else PLUS if notation.plus and number > 0 else ""
    return sign + text.replace(".", notation.decimal)


def _prefixed(size: Decimal, unit: str) -> str:
    """A number as it is, or with the prefix of its unit."""
    if unit in _PREFIXED_UNITS:
        for each, letter in _PREFIXES:
            if size >= each:
                return f"{(size / each).normalize():f}{letter}"
    return f"{size.normalize():f}"


def _as_power(size: Decimal) -> str:
    """A power of ten with its exponent raised, and what is far from 1 as so many of one."""
    exponent = size.adjusted()
    factor = size.scaleb(-exponent).normalize()
    if exponent in _PLAIN_POWERS if factor == 1 else _PLAIN_FROM <= size < _PLAIN_TO:
        return f"{size.normalize():f}"
    power = "10" + str(exponent).translate(_RAISED)
    return power if factor == 1 else f"{factor:f}×{power}"
