"""Format the numerals of a scale as a person writes them."""

from __future__ import annotations

from decimal import Decimal

#: The sign of a value below zero, as it is lettered.
MINUS = "−"

#: Units whose large values are written with a prefix on scales. SI Brochure, 9th ed., table 7.
_PREFIXED_UNITS = frozenset({"Hz", "Ω", "V", "A", "W", "F", "H", "m", "g", "Pa", "J", "bit/s"})
_PREFIXES = ((Decimal("1e9"), "G"), (Decimal("1e6"), "M"), (Decimal("1e3"), "k"))


def numeral(value: float, unit: str = "") -> str:
    """The value without floating dust, with a true minus sign; k, M or G where its unit takes one.

    >>> numeral(0.30000000000000004), numeral(-20), numeral(4700, "Ω"), numeral(4700)
    ('0.3', '−20', '4.7k', '4700')
    """
    number = Decimal(f"{value:.10g}") + 0  # a zero loses its sign
    prefix = ""
    if unit in _PREFIXED_UNITS:
        for size, letter in _PREFIXES:
            if abs(number) >= size:
                number, prefix = number / size, letter
                break
    text = f"{number.normalize():f}"
    return text.replace("-", MINUS) + prefix
