"""Define how a part is fitted: what it covers of the panel, and the screws that hold it."""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any

from pydantic import Discriminator, Field, Tag

from legend.description.table import Clash, Table
from legend.description.values.form import TAG, Form
from legend.description.values.length_values import Length, Size, Width
from legend.description.values.text_values import HoleId

# --- What it covers ---


class Margin(Table):
    """What a part covers, told by how far it reaches past the edge of its hole."""

    margin: Width
    """How far it reaches past the edge of its hole, all round: a bezel 3 mm larger than its cut-out
    is margin = 3."""


def _how_covered(value: Any) -> str:
    if isinstance(value, (dict, Margin)):
        return TAG + "margin"
    return TAG + ("size" if isinstance(value, (list, tuple)) else "length")


#: What a fitted part hides.
Cover = Annotated[
    Annotated[Length, Tag(TAG + "length")]
    | Annotated[Size, Tag(TAG + "size")]
    | Annotated[Margin, Tag(TAG + "margin")],
    Discriminator(_how_covered),
    Form(
        "a diameter, such as 24, or [width, height], of 0.01 to 2000 mm, or { margin = 3 } for a "
        "bezel so much larger than its hole all round",
        unit="mm",
        in_inches='a diameter, such as "3/4", or [width, height], of 0.0004 to 78.74 in, or '
        '{ margin = "1/8" } for a bezel so much larger than its hole all round',
    ),
]

# --- What holds it ---


class FixingPattern(Table):
    """The screws that hold a part, told by how far they stand apart about its own hole."""

    square: Length | None = None
    """The distance between one and the next of four that stand at the corners of a square."""
    across: Length | None = None
    """How far they stand apart along the width of its hole, as that is given before it is turned
    by its angle: two, left and right; with `up`, four. A slide in a slot of [60, 4] has them
    `across`, and keeps that when it is turned upright."""
    up: Length | None = None
    """How far they stand apart along the height of its hole, as that is given before it is turned:
    two, one over the other; with `across`, four."""
    drill: Length
    """The diameter of their holes."""

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """No distance at all, or that of a square and another."""
        if "square" in given and ("across" in given or "up" in given):
            yield "square", "has square, and across or up as well; give one or the other"
        elif not given.keys() & {"square", "across", "up"}:
            yield "", "does not say how far they stand apart; give square, or across, up or both"

    @property
    def places(self) -> tuple[tuple[float, float], ...]:
        """Where they stand from the middle of the part's own hole, before it is turned, mm.

        From the upper left one on, clockwise.
        """
        x, y = ((self.square or side or 0.0) / 2 for side in (self.across, self.up))
        if not y:
            return (-x, 0.0), (x, 0.0)
        return ((0.0, y), (0.0, -y)) if not x else ((-x, y), (x, y), (x, -y), (-x, -y))


def _how_fixed(value: Any) -> str:
    return TAG + ("named" if isinstance(value, (list, tuple)) else "pattern")


#: The screws that hold a part: the names of their holes, or their pattern.
Fixings = Annotated[
    Annotated[tuple[HoleId, ...], Field(min_length=1), Tag(TAG + "named")]
    | Annotated[FixingPattern, Tag(TAG + "pattern")],
    Discriminator(_how_fixed),
    Form(
        'a list of the names of holes, such as ["V1", "V2"], or their pattern, such as '
        "{ square = 64, drill = 3.2 } or { across = 47, drill = 3.2 }",
        each=True,
    ),
]
