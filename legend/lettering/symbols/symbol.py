"""Say what a symbol is: its title, its number, its lines, and what else it goes by.

All are drawn by us, with strokes of one weight on one grid: a square of 20 units, x to the
right and y upwards from its middle, in which a symbol fills as much as makes it look as
large as the others. White is drawn for capitals of 2.5 mm and a pen of a sixth of that,
the heaviest that there is, which is 2.67 units broad: two lines that run beside each other are
4.6 units apart or more, so that film carries what is between them.

Titles, and numbers to look a symbol up by, are those of IEC 60417 and ISO 7000. The numbers
were found in makers' lists and manuals, except where they are said to be from memory; the
drawings are not taken from either standard.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

#: What stands for the number of a symbol that has none, or none that we are sure of.
OUR_OWN = "our own drawing, no number"


@dataclass(frozen=True, slots=True)
class Symbol:
    """A symbol: its title, its number in the standards, and how it is drawn.

    `strokes` is the line down the middle of each stroke, written as the `d` of an SVG path,
    y upwards. A straight line that slants has its end cut level, with the letters; written
    as a `Q` it has it cut square. `filled` is written in the same way, each of its runs closed:
    the pen goes along them, and what they enclose is ink as well. `turn` turns all clockwise,
    degrees. `also` has its other names, parted by spaces, and `characters` those characters
    that stand for it by The Unicode Standard.
    """

    title: str
    strokes: str = ""
    filled: str = ""
    number: str = OUR_OWN
    also: str = ""
    characters: str = ""
    turn: float = 0.0


@dataclass(frozen=True, slots=True)
class Group:
    """Symbols that are looked for together, by their names, under a heading."""

    heading: str
    symbols: Mapping[str, Symbol]


def ring(x: float, y: float, radius: float) -> str:
    """A closed run round a point."""
    half = f"A{radius:g} {radius:g} 0 0 1 {x:g}"
    return f"M{x:g} {y + radius:g} {half} {y - radius:g} {half} {y + radius:g} Z "


def block(left: float, bottom: float, right: float, top: float) -> str:
    """A closed run round an upright rectangle."""
    return f"M{left:g} {bottom:g} H{right:g} V{top:g} H{left:g} Z "
