"""Draw the ladders of the test coupon: rows of steps, each with its size beside it.

The sizes are in the units of the panel: on an inch panel the steps are round in inches.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

import shapely

from legend.description.tables.stencil import Stock
from legend.length_words import Lengths
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.stroke_face import plain
from legend.lettering.outlines.outline import Box, Outline
from legend.lettering.typesetting import set_text
from legend.standards import INCH
from legend.stencil.test_square import SIDE, side_in_words

#: The steps of the ladders, in mm and in inches, from well below what the stock is known to
#: carry to above. Common practice, no source.
_FINE = {
    ("film", "mm"): (0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.8),
    ("sheet", "mm"): (0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 1.0, 1.2),
    ("film", "in"): (0.004, 0.006, 0.008, 0.010, 0.012, 0.016, 0.020, 0.024, 0.032),
    ("sheet", "in"): (0.008, 0.012, 0.016, 0.020, 0.024, 0.028, 0.032, 0.040, 0.048),
}
_HEIGHTS = {
    ("film", "mm"): (1.2, 1.5, 1.8, 2.5, 3.5, 5.0, 7.0),
    ("sheet", "mm"): (2.5, 3.5, 5.0, 7.0, 10.0),
    ("film", "in"): (3 / 64, 1 / 16, 5 / 64, 3 / 32, 1 / 8, 3 / 16, 1 / 4),
    ("sheet", "in"): (3 / 32, 1 / 8, 3 / 16, 1 / 4, 3 / 8),
}

#: The letters of the ladder of heights: a sharp corner, two counters, round strokes.
_LETTERS = "AR8"

#: Capital height of the sizes, so that they come out well themselves, mm.
_LABEL = {"film": 2.5, "sheet": 5.0}

#: The bars of the ladders: how long, and how wide where it is not their width that is tried;
#: how wide the strokes round a counter are; mm.
_LONG, _WIDE, _ROUND = 12.0, 1.2, 0.8

#: Space between rows, and between a step and its size, mm.
_ROW_SPACE, _LABEL_SPACE = 2.0, 2.5


@dataclass(frozen=True, slots=True)
class Drawn:
    """Something to cut, and the capital height that its bridges suit."""

    outline: Outline
    height: float

    def moved(self, dx: float, dy: float) -> Drawn:
        """The same elsewhere, mm."""
        return Drawn(self.outline.moved(dx, dy), self.height)


@dataclass(frozen=True, slots=True)
class Block:
    """A part of the coupon: what it is, what is drawn, its lower left corner at 0; its size, mm."""

    called: str
    drawn: Sequence[Drawn]
    width: float
    height: float
    has_square: bool = False


def square_block(stock: Stock, lengths: Lengths) -> Block:
    """The test square's block: what it measures stands within, clear of its sides."""
    text = _lettered(side_in_words(lengths).upper(), _LABEL[stock])
    x0, y0, x1, y1 = text.outline.bounds
    middle = text.moved((SIDE - x0 - x1) / 2, (SIDE - y0 - y1) / 2)
    return Block("the test square", [middle], SIDE, SIDE, has_square=True)


def ladders(stock: Stock, lengths: Lengths) -> Iterator[Block]:
    """All ladders for a stock, in the order in which they stand."""
    unit, label = lengths.unit, _LABEL[stock]
    scale = INCH if unit == "in" else 1.0
    heights = [(step * scale, lengths.exact(step * scale)) for step in _HEIGHTS[stock, unit]]
    decimals = "{:.3f}" if unit == "in" else "{:g}"
    fine = [(step * scale, decimals.format(step)) for step in _FINE[stock, unit]]
    yield _ladder("heights", "HEIGHT", heights, _letters, label)
    yield _ladder("strokes", "STROKE", fine, _stroke, label)
    yield _ladder("gaps", "GAP", fine, _gap, label)
    yield _ladder("bridges", "BRIDGE", fine, _bridge, label)
    yield _ladder("counters", "COUNTER", fine, _counter, label)


def _ladder(
    called: str,
    title: str,
    steps: Iterable[tuple[float, str]],
    draw: Callable[[float], Iterable[Drawn]],
    label: float,
) -> Block:
    """A title, and under it a row for each step: what is tried, and its size beside it."""
    rows = [(list(draw(step)), _lettered(size, label)) for step, size in steps]
    column = max(_extent(row)[2] for row, _ in rows) + _LABEL_SPACE
    drawn = [_lettered(title, label)]
    top = -label - _ROW_SPACE
    for row, size in rows:
        _, low, _, high = _extent(row)
        height = max(label, high - low)
        middle = top - height / 2
        drawn += (each.moved(0, middle - (low + high) / 2) for each in row)
        drawn.append(size.moved(column, middle - label / 2))
        top -= height + _ROW_SPACE
    x0, y0, x1, y1 = _extent(drawn)
    moved = [each.moved(-x0, -y0) for each in drawn]
    return Block(f"the ladder of {called}", moved, x1 - x0, y1 - y0)


def _letters(height: float) -> Iterator[Drawn]:
    yield _lettered(_LETTERS, height)


def _stroke(width: float) -> Iterator[Drawn]:
    yield _bar(0, _LONG, 0, width)


def _gap(width: float) -> Iterator[Drawn]:
    yield _bar(0, _LONG, 0, _WIDE)
    yield _bar(0, _LONG, _WIDE + width, 2 * _WIDE + width)


def _bridge(width: float) -> Iterator[Drawn]:
    yield _bar(0, (_LONG - width) / 2, 0, _WIDE)
    yield _bar((_LONG + width) / 2, _LONG, 0, _WIDE)


def _counter(width: float) -> Iterator[Drawn]:
    outer, inner = width / 2 + _ROUND, width / 2
    ring = (
        *Outline.disc((outer, outer), outer).contours,
        *(c.reversed() for c in Outline.disc((outer, outer), inner).contours),
    )
    yield Drawn(Outline(ring), 0.0)


def _bar(x0: float, x1: float, y0: float, y1: float) -> Drawn:
    return Drawn(Outline.rectangle(x0, y0, x1, y1), 0.0)


def _lettered(text: str, height: float) -> Drawn:
    """Words in the built-in face, their ink beginning at x = 0."""
    outline = set_text(text, TextStyle(plain(), height)).outline
    return Drawn(outline.moved(-outline.bounds[0], 0), height)


def _extent(drawn: Sequence[Drawn]) -> Box:
    x0, y0, x1, y1 = shapely.total_bounds([each.outline.shape for each in drawn]).tolist()
    return x0, y0, x1, y1
