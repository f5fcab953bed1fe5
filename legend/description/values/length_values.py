"""Define the types of value that are lengths: in mm, whatever they went in as."""

from __future__ import annotations

import math
from typing import Annotated, Any, Literal

from annotated_types import Ge, Le
from pydantic import (
    BeforeValidator,
    ValidationInfo,
    WithJsonSchema,
)

from legend.description.values.form import Form
from legend.description.values.lengths import WRITTEN, parse_length
from legend.limits import LONGEST_LENGTH as LONGEST
from legend.limits import LONGEST_TIME as LONGEST_TIME
from legend.standards import INCH

#: What places are measured from.
Datum = Literal["lower left", "upper left", "lower right", "upper right", "centre"]


def _length(value: Any, info: ValidationInfo) -> float:
    """A length in mm; a bare number is in the units of the file in which its key stands."""
    units_of = (info.context or {}).get("units", {})
    sources = info.data.get("sources", {})
    source = sources.get((info.field_name or "").removesuffix("_"), sources.get(""))
    return parse_length(value, units_of.get(source.file, "mm") if source else "mm")


#: How lengths may be written, after the words that say how long they may be.
SUCH_AS = ', such as 9.5, "9.5 mm" or "3/8 in"'
_SUCH_AS_INCHES = ', such as 0.375, "3/8" or "9.5 mm"'


def range_in_words(least: float, most: float, units: str) -> str:
    """From the least to the most length, in the units of a description.

    In inches both are to a thousandth, within the range; the least is finer where it must be.
    """
    if units != "in":
        return f"{least:g} to {most:g} mm"
    finest = 1e3 if least / INCH >= 1e-3 else 1e4
    low, high = math.ceil(least / INCH * finest) / finest, math.floor(most / INCH * 1e3) / 1e3
    return f"{low:g} to {high:g} in"


def _length_of(least: float, most: float, what: str = "a length", such_as: str = SUCH_AS) -> Form:
    """The form of a length of so many mm.

    JSON Schema knows nothing of units: a bare number may be as small as the least one would
    be in inches.
    """
    smallest = least / INCH if least > 0 else least
    bare = {"type": "number", "minimum": smallest, "maximum": most}
    written = {"anyOf": [bare, {"type": "string", "pattern": WRITTEN}]}
    return Form(
        f"{what} of {range_in_words(least, most, 'mm')}{such_as}",
        (Ge(least), Le(most), BeforeValidator(_length), WithJsonSchema(written)),
        unit="mm",
        in_inches=f"{what} of {range_in_words(least, most, 'in')}{_SUCH_AS_INCHES}",
    )


def _two_lengths(names: str, least: float, most: float) -> Form:
    """The form of two lengths in brackets, of so many mm each."""
    said = [
        f"{names}, two lengths of {range_in_words(least, most, units)}" for units in ("mm", "in")
    ]
    return Form(said[0], unit="mm", in_inches=said[1])


#: A length, which may lie on either side of 0.
Coordinate = Annotated[float, _length_of(-LONGEST, LONGEST)]
#: The size of something on a panel.
Length = Annotated[float, _length_of(0.01, 2000)]
#: The least of something that a stock carries: none is so coarse as the most that is taken.
Least = Annotated[float, _length_of(0.01, 20)]
#: A size that may be nothing.
Width = Annotated[float, _length_of(0, 2000)]
#: A height of capitals that can be cut.
Height = Annotated[float, _length_of(0.5, 200, "a height", ", such as 3.5")]
#: How far off a panel is read.
Distance = Annotated[float, _length_of(50, LONGEST, such_as=", such as 600")]
Point = Annotated[
    tuple[Coordinate, Coordinate],
    Form(
        "[x, y], two lengths of at most 10000 mm",
        unit="mm",
        in_inches='[x, y], two lengths of at most 393.7 in, such as [1.5, "3/8"]',
    ),
]
Size = Annotated[tuple[Length, Length], _two_lengths("[width, height]", 0.01, 2000)]
SlotSize = Annotated[tuple[Length, Length], _two_lengths("[length, width]", 0.01, 2000)]
#: The width, the height or the diameter of a panel.
PanelSide = Annotated[float, _length_of(1, LONGEST)]
PanelSize = Annotated[tuple[PanelSide, PanelSide], _two_lengths("[width, height]", 1, LONGEST)]
_StockSide = Annotated[float, _length_of(20, LONGEST)]
StockSize = Annotated[
    tuple[_StockSide, _StockSide],
    _two_lengths("[width, length]", 20, LONGEST),
]
_Measured = Annotated[float, _length_of(45, 55)]
#: What a test square of 50 mm measured when it was cut.
MeasuredSquare = Annotated[
    tuple[_Measured, _Measured],
    Form(
        "[across, along], what the test square of 50 mm measured, two lengths of 45 to 55 mm",
        unit="mm",
        in_inches="[across, along], what the test square of 1.969 in measured, two lengths of "
        f"{range_in_words(45, 55, 'in')}",
    ),
]
#: What is left free along the edges of the stock: less than half of the smallest.
StockMargin = Annotated[float, _length_of(0, 9)]
#: How far a cut is continued past its start, or begun before it.
Overrun = Annotated[float, _length_of(0, 3, such_as=", such as 0.5")]
