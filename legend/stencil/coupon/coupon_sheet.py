"""Make the test coupon: a small sheet that shows what the cutter and the paints can do.

It has a test square of 50 mm, to be measured both ways; ladders of letter heights, strokes,
gaps, bridges and counters, each step with its size beside it in the built-in face; and for
lift-off a paint trial, on a piece of its own. What the square measures is written into the
description as `stencil.measured`; the finest steps that came out well, as `stencil.least_stroke`
and so on. The coupon itself is never corrected by what was measured before, so that its square
always tells the whole truth. What a small stock has no room for is left out, and told.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from legend.description.tables.description import Stencil
from legend.description.tables.stock import StockLimits, limits
from legend.failures import PlainError
from legend.length_words import Lengths
from legend.lettering.outlines.outline import Affine, Outline
from legend.stencil.bridging.bridges import bridged
from legend.stencil.coupon.ladders import Block, Drawn, ladders, square_block
from legend.stencil.coupon.paint_trial import Trial, trial_piece
from legend.stencil.order.knife import in_knife_order, left_at
from legend.stencil.order.sheet_order import weeding_box
from legend.stencil.order.starts import before_corner
from legend.stencil.sheet import Cut, Path, Piece, Placed, Sheet
from legend.stencil.test_square import square_at

#: Stock left between the ladders and the paint trial, mm, so that they are easily parted.
_APART = 1.0
#: Space between ladders; and what the stock may lack without anybody knowing; mm.
_SPACE, _SLACK = 6.0, 0.01
#: What is laid out first where the stock is small, and so rather has room: the rest follows as it
#: stands. Bridges matter most where the stock is rigid.
_FIRST = {
    "film": ("test square", "strokes", "gaps", "heights"),
    "sheet": ("test square", "bridges", "strokes", "gaps"),
}


@dataclass(frozen=True, slots=True)
class Coupon:
    """The coupon as a sheet, and what of it the stock had no room for."""

    sheet: Sheet
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Laid:
    """Blocks where they stand, and how far they reach to the right and down, mm."""

    at: tuple[tuple[Block, float, float], ...] = ()
    width: float = 0.0
    height: float = 0.0


def coupon(stencil: Stencil, units: str = "mm", trial: Trial | None = None) -> Coupon:
    """The coupon for the stock of a stencil, its sizes in the units of the panel.

    With a `trial` it has that as well. Error: PlainError where the stock has no room for any of it.
    """
    least = limits(stencil)
    margin = max(least.margin, least.gap)
    width, length = stencil.room
    lengths = Lengths(units)
    blocks = [square_block(stencil.stock, lengths), *ladders(stencil.stock, lengths)]
    before = before_corner(stencil)
    strip = trial_piece(2, trial, margin, width, before) if trial else None
    takes = strip.box[3] - strip.box[1] if strip else 0.0
    left_out = []
    laid, chosen, left = _Laid(), list[Block](), length
    for block in sorted(blocks, key=lambda block: _rank(block, stencil)):
        attempt = [each for each in blocks if each in (*chosen, block)]
        tried = _laid(attempt, width - 2 * margin)
        if tried and tried.height + 2 * margin <= left + _SLACK:
            laid, chosen = tried, [*chosen, block]
        if strip and left == length:  # its turn comes after the test square
            beside = laid.height + 2 * margin + _APART if chosen else 0.0
            if strip.box[2] <= width + _SLACK and beside + takes <= length + _SLACK:
                left = length - takes - _APART
            else:
                left_out, strip = ["the paint trial"], None
    left_out[:0] = [block.called for block in blocks if block not in chosen]
    pieces: list[Piece] = []
    if chosen:
        pieces.append(_piece(laid, stencil, least, margin))
    if strip:
        pieces.append(_moved(strip, pieces[0].box[1] - _APART if pieces else 0.0))
    if not pieces:
        raise PlainError(
            f"The stock of {lengths.across(stencil.stock_size)} has no room for any part of the "
            "coupon; give a larger stencil.stock_size."
        )
    return Coupon(_sheet(pieces, stencil), tuple(left_out))


def _rank(block: Block, stencil: Stencil) -> int:
    first = _FIRST[stencil.stock]
    return next((k for k, name in enumerate(first) if block.called.endswith(name)), len(first))


def _laid(blocks: Sequence[Block], room: float) -> _Laid | None:
    """Blocks beside each other, in as many rows as that takes; None where one is too wide."""
    at = []
    x = top = below = width = 0.0
    for block in blocks:
        if block.width > room + _SLACK:
            return None
        if x and x + block.width > room:
            x, top = 0.0, below - _SPACE
        at.append((block, x, top - block.height))
        below = min(below, top - block.height)
        width = max(width, x + block.width)
        x += block.width + _SPACE
    return _Laid(tuple(at), width, -below)


def _piece(laid: _Laid, stencil: Stencil, least: StockLimits, margin: float) -> Piece:
    """The square and the ladders as a piece, its upper left corner at 0."""
    marks: list[Drawn] = []
    squares = []
    for block, x, y in laid.at:
        x, y = x + margin, y - margin
        marks += (each.moved(x, y) for each in block.drawn)
        if block.has_square:
            squares.append(square_at(x, y))
    outlines = _with_bridges(marks, stencil, least)
    before = before_corner(stencil)
    cuts = [*(Path(Cut.MARK, each) for each in outlines), *squares]
    (ordered,) = in_knife_order([cuts], before)
    edge = Outline.rectangle(0, -laid.height - 2 * margin, laid.width + 2 * margin, 0)
    box = weeding_box(edge, left_at(ordered[-1]), before)
    return Piece(1, "test coupon", (), edge, (*ordered, box))


def _moved(piece: Piece, dy: float) -> Piece:
    paths = tuple(Path(path.cut, path.outline.moved(0, dy)) for path in piece.paths)
    return Piece(piece.number, piece.name, (), piece.edge.moved(0, dy), paths)


def _sheet(pieces: Sequence[Piece], stencil: Stencil) -> Sheet:
    width = max(piece.box[2] for piece in pieces)
    below = min(piece.box[1] for piece in pieces)
    inset = stencil.stock_margin
    across = -1 if stencil.mirror else 1
    affine: Affine = (across, 0, 0, 1, inset + (width if stencil.mirror else 0), inset - below)
    placed = tuple(Placed(piece, affine, 1, False) for piece in pieces)
    return Sheet(1, (width + 2 * inset, 2 * inset - below), placed, overrun=stencil.overlap)


def _with_bridges(
    marks: Sequence[Drawn], stencil: Stencil, least: StockLimits
) -> Sequence[Outline]:
    outlines = [mark.outline for mark in marks]
    if stencil.stock == "film":
        return outlines
    return [each.outline for each in bridged(outlines, [m.height for m in marks], least)]
