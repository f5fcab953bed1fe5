"""Make the test coupon: a small sheet that shows what the cutter can do.

It has a test square of 50 mm, to be measured both ways; and ladders of letter heights, strokes,
gaps, bridges and counters, each step with its size in mm beside it in the built-in face. What
the square measures is written into the description as `stencil.measured`; the finest steps
that came out well, as `stencil.least_stroke` and so on. The coupon itself is never corrected
by what was measured before, so that its square always tells the whole truth.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

import shapely

from legend.description.tables.description import Stencil
from legend.description.tables.stock import StockLimits, limits
from legend.failures import PlainError
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.stroke_face import plain
from legend.lettering.outlines.outline import Box, Outline
from legend.lettering.typesetting import set_text
from legend.stencil.bridging.bridges import bridged
from legend.stencil.order.knife import in_knife_order
from legend.stencil.sheet import Cut, Path, Piece, Placed, Sheet, along
from legend.stencil.test_square import SIDE, square_at

#: The steps of the ladders, mm, from well below what the stock is known to carry to above.
#: Common practice, no source.
_FINE = {
    "film": (0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.8),
    "sheet": (0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 1.0, 1.2),
}
_HEIGHTS = {
    "film": (1.2, 1.5, 1.8, 2.5, 3.5, 5.0, 7.0),
    "sheet": (2.5, 3.5, 5.0, 7.0, 10.0),
}

#: The letters of the ladder of heights: a sharp corner, two counters, round strokes.
_LETTERS = "AR8"

#: Capital height of the sizes, so that they come out well themselves, mm.
_LABEL = {"film": 2.5, "sheet": 5.0}

#: The bars of the ladders: how long, and how wide where it is not their width that is tried;
#: how wide the strokes round a counter are; mm.
_LONG, _WIDE, _ROUND = 12.0, 1.2, 0.8

#: Space between rows, between a step and its size, and between ladders, mm.
_ROW_SPACE, _LABEL_SPACE, _SPACE = 2.0, 2.5, 6.0


@dataclass(frozen=True, slots=True)
class _Drawn:
    """Something to cut, and the capital height that its bridges suit."""

    outline: Outline
    height: float

    def moved(self, dx: float, dy: float) -> _Drawn:
        return _Drawn(self.outline.moved(dx, dy), self.height)


@dataclass(frozen=True, slots=True)
class _Block:
    """A part of the coupon: what is drawn, its lower left corner at 0; its size, mm."""

    drawn: Sequence[_Drawn]
    width: float
    height: float
    has_square: bool = False


def coupon(stencil: Stencil) -> Sheet:
    """The coupon for the stock of a stencil.

    Error: PlainError where the stock is too small for it.
    """
    least = limits(stencil)
    margin = max(least.margin, least.gap)
    blocks = [_square_block(stencil), *_ladders(stencil)]
    room = stencil.stock_size[0] - 2 * margin
    _refuse(stencil, max(block.width for block in blocks) + 2 * margin, 0)
    marks: list[_Drawn] = []
    square = square_at(0, 0)
    x = top = width = 0.0
    below = 0.0
    for block in blocks:
        if x and x + block.width > room:
            x, top = 0.0, below - _SPACE
        marks += (each.moved(x, top - block.height) for each in block.drawn)
        if block.has_square:
            square = square_at(x, top - block.height)
        below = min(below, top - block.height)
        x += block.width
        width = max(width, x)
        x += _SPACE
    box = (-margin, below - margin, width + margin, margin)
    _refuse(stencil, box[2] - box[0], box[3] - box[1])
    outlines = _with_bridges(marks, stencil, least)
    (ordered,) = in_knife_order([[*(Path(Cut.MARK, each) for each in outlines), square]])
    edge = Outline.rectangle(*box)
    piece = Piece(1, "test coupon", (), edge, (*ordered, Path(Cut.WEEDING, along(edge))))
    size = (box[2] - box[0], box[3] - box[1])
    across = -1 if stencil.mirror else 1
    affine = (across, 0, 0, 1, box[2] if stencil.mirror else -box[0], -box[1])
    return Sheet(1, size, (Placed(piece, affine, 1, False),), overrun=stencil.overrun)


def _refuse(stencil: Stencil, width: float, length: float) -> None:
    """Say no where the coupon does not fit the stock."""
    if width > stencil.stock_size[0] + 0.01 or length > stencil.stock_size[1] + 0.01:
        stock = "{:g} × {:g} mm".format(*stencil.stock_size)
        needed = f"{math.ceil(width)} mm across" + (length > 0) * f" and {math.ceil(length)} along"
        raise PlainError(
            f"The coupon needs {needed}, more than the stock of {stock}; "
            "give a larger stencil.stock_size."
        )


def _with_bridges(
    marks: Sequence[_Drawn], stencil: Stencil, least: StockLimits
) -> Sequence[Outline]:
    outlines = [mark.outline for mark in marks]
    if stencil.stock == "film":
        return outlines
    return [each.outline for each in bridged(outlines, [m.height for m in marks], least)]


# --- The parts of the coupon ---


def _square_block(stencil: Stencil) -> _Block:
    """The square, with what it is within, clear of its sides."""
    height = _LABEL[stencil.stock]
    text = _lettered(f"{SIDE:g} MM", height)
    x0, y0, x1, y1 = text.outline.bounds
    middle = text.moved((SIDE - x0 - x1) / 2, (SIDE - y0 - y1) / 2)
    return _Block([middle], SIDE, SIDE, has_square=True)


def _ladders(stencil: Stencil) -> Iterator[_Block]:
    fine, label = _FINE[stencil.stock], _LABEL[stencil.stock]
    yield _ladder("HEIGHT", _HEIGHTS[stencil.stock], _letters, label)
    yield _ladder("STROKE", fine, _stroke, label)
    yield _ladder("GAP", fine, _gap, label)
    yield _ladder("BRIDGE", fine, _bridge, label)
    yield _ladder("COUNTER", fine, _counter, label)


def _ladder(
    title: str,
    steps: Iterable[float],
    draw: Callable[[float], Iterable[_Drawn]],
    label: float,
) -> _Block:
    """A title, and under it a row for each step: what is tried, and its size beside it."""
    rows = [(list(draw(step)), _lettered(f"{step:g}", label)) for step in steps]
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
    return _Block([each.moved(-x0, -y0) for each in drawn], x1 - x0, y1 - y0)


def _letters(height: float) -> Iterator[_Drawn]:
    yield _lettered(_LETTERS, height)


def _stroke(width: float) -> Iterator[_Drawn]:
    yield _bar(0, _LONG, 0, width)


def _gap(width: float) -> Iterator[_Drawn]:
    yield _bar(0, _LONG, 0, _WIDE)
    yield _bar(0, _LONG, _WIDE + width, 2 * _WIDE + width)


def _bridge(width: float) -> Iterator[_Drawn]:
    yield _bar(0, (_LONG - width) / 2, 0, _WIDE)
    yield _bar((_LONG + width) / 2, _LONG, 0, _WIDE)


def _counter(width: float) -> Iterator[_Drawn]:
    outer, inner = width / 2 + _ROUND, width / 2
    ring = (
        *Outline.disc((outer, outer), outer).contours,
        *(c.reversed() for c in Outline.disc((outer, outer), inner).contours),
    )
    yield _Drawn(Outline(ring), 0.0)


def _bar(x0: float, x1: float, y0: float, y1: float) -> _Drawn:
    return _Drawn(Outline.rectangle(x0, y0, x1, y1), 0.0)


def _lettered(text: str, height: float) -> _Drawn:
    """Words in the built-in face, their ink beginning at x = 0."""
    outline = set_text(text, TextStyle(plain(), height)).outline
    return _Drawn(outline.moved(-outline.bounds[0], 0), height)


def _extent(drawn: Sequence[_Drawn]) -> Box:
    x0, y0, x1, y1 = shapely.total_bounds([each.outline.shape for each in drawn]).tolist()
    return x0, y0, x1, y1
