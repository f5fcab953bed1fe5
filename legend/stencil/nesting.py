"""Nest pieces on the stock in the least length: Pieces in, Sheets out.

The rectangles are packed by rectpack, in several of its ways and then in shuffled orders, and
the shortest result is taken; of several, the one with the least to cut. On film, boxes stand side
against side, so that there are no ribbons between them to weed, and `legend.stencil.shared_sides`
sees to it that what two have in common is cut once. Pieces of rigid sheet stand a little apart:
nothing holds down one that is cut loose while the knife goes along its neighbour.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from legend.description.tables.description import Stencil
from legend.layout.artwork import Finding, Severity
from legend.length_words import Lengths
from legend.lettering.outlines.outline import Affine, Box
from legend.standards import BOX_SPACE
from legend.stencil.pieces.splitting import SLACK, fits
from legend.stencil.sheet import Piece, Placed, Sheet
from legend.stencil.stock_offers import by_control, larger, less_margin, turned

#: rectpack counts in whole numbers: parts of a millimetre, in which a thirty-second of an inch is
#: whole as well.
_PARTS = 100_000

#: Up to how many pieces every way of packing is tried, and up to how many some.
_FEW, _MANY = 40, 150


@dataclass(frozen=True, slots=True)
class _Spot:
    """Where a piece lies: the sheet from 0, its lower left corner in mm from where there may be
    cuts, whether turned.
    """

    sheet: int
    x: float
    y: float
    turned: bool


def nest(pieces: Sequence[Piece], stencil: Stencil) -> tuple[Sheet, ...]:
    """The pieces and their spares on as many sheets as they need, in the order of their numbers.

    All keep off the edges of the stock by its margin. A piece that is too large for the stock has
    a sheet of its own of the size it needs.
    """
    return tuple(_nested(pieces, stencil))


def _nested(pieces: Sequence[Piece], stencil: Stencil) -> Iterator[Sheet]:
    width, inset = stencil.stock_size[0], stencil.stock_margin
    items = [(piece, copy) for copy in range(1, stencil.copies + 1) for piece in pieces]
    sizes = [_size(piece.box) for piece, _ in items]
    fitting = [i for i, (piece, _) in enumerate(items) if fits(piece.box, stencil)]
    apart = BOX_SPACE[stencil.stock]
    spots = _pack([sizes[i] for i in fitting], stencil.room, apart, stencil.turn)
    laid: dict[int, list[tuple[int, _Spot]]] = {}
    for index, spot in zip(fitting, spots, strict=True):
        laid.setdefault(spot.sheet, []).append((index, spot))
    for number, members in enumerate((laid[k] for k in sorted(laid)), start=1):
        used = max(spot.y + sizes[i][not spot.turned] for i, spot in members)
        placed = [_placed(*items[i], spot, width, stencil) for i, spot in members]
        yield Sheet(number, (width, used + 2 * inset), tuple(placed))
    others = sorted(set(range(len(items))) - set(fitting))
    for number, index in enumerate(others, start=len(laid) + 1):
        piece, copy = items[index]
        across, along = (side + 2 * inset for side in sizes[index])
        alone = _placed(piece, copy, _Spot(0, 0, 0, False), across, stencil)
        yield Sheet(number, (across, along), (alone,))


def _size(box: Box) -> tuple[float, float]:
    return box[2] - box[0], box[3] - box[1]


def too_large(pieces: Sequence[Piece], stencil: Stencil, lengths: Lengths) -> Iterator[Finding]:
    """An error for each piece that the stock has no room for."""
    return (_too_large(piece, stencil, lengths) for piece in pieces if not fits(piece.box, stencil))


def _too_large(piece: Piece, stencil: Stencil, lengths: Lengths) -> Finding:
    width, height = _size(piece.box)
    stock = lengths.across(stencil.stock_size)
    if stencil.stock_margin:
        stock += f" with a margin of {lengths.given(stencil.stock_margin)} all round"
    return Finding(
        Severity.ERROR,
        "piece-too-large",
        f"Piece {piece.number}, {piece.name}, measures {lengths.across((width, height))} "
        f"and does not fit the stock of {stock}; it is drawn on a sheet of its own.",
        stencil.source_of("stock_size"),
        "Set it smaller, or part it.",
        ((piece.box[0] + piece.box[2]) / 2, (piece.box[1] + piece.box[3]) / 2),
        offers=(
            *less_margin(stencil),
            *turned(stencil),
            *by_control(stencil),
            larger(stencil, piece.box, lengths.units),
        ),
    )


def _placed(piece: Piece, copy: int, spot: _Spot, width: float, stencil: Stencil) -> Placed:
    x0, y0, x1, _ = piece.box
    x, y = spot.x + stencil.stock_margin, spot.y + stencil.stock_margin
    affine: Affine = (0, -1, 1, 0, x - y0, y + x1) if spot.turned else (1, 0, 0, 1, x - x0, y - y0)
    if stencil.mirror:
        a, b, c, d, e, f = affine
        affine = (-a, b, -c, d, width - e, f)
    return Placed(piece, affine, copy, spot.turned)


# --- Packing ---

Sizes = Sequence[tuple[float, float]]
Rectangles = Sequence[tuple[int, int]]


@dataclass(frozen=True, slots=True)
class _Way:
    """A way of packing: rectpack's names of the algorithm and the order, first fit or next fit."""

    algorithm: str
    order: str
    bins: str = "BFF"


#: The ways, in the order in which they are worth most, as found on random rectangles of the
#: kinds that panels give: together they come within a tenth of a per cent of the best of all
#: that rectpack has.
_WAYS = (
    _Way("MaxRectsBl", "height"),
    _Way("GuillotineBafLlas", "height"),
    _Way("SkylineBlWm", "SORT_PERI"),
    _Way("MaxRectsBl", "SORT_AREA"),
    _Way("MaxRectsBaf", "SORT_LSIDE"),
    _Way("SkylineBlWm", "SORT_LSIDE"),
    _Way("MaxRectsBl", "SORT_SSIDE"),
    _Way("MaxRectsBl", "SORT_RATIO"),
    _Way("MaxRectsBl", "SORT_DIFF"),
    _Way("MaxRectsBl", "SORT_PERI"),
)

#: The ways for very many pieces, whose time grows little faster than their number.
_QUICK_WAYS = (_Way("GuillotineBafLlas", "height"), _Way("SkylineBlWm", "height", "BNF"))

#: The way of packing in a given order, and how many pieces in all it may pack while the order
#: is shuffled, at most so many times.
_GIVEN = _Way("MaxRectsBl", "given")
_SHUFFLED, _MOST_SHUFFLES = 400, 10


def _pack(sizes: Sizes, stock: tuple[float, float], apart: float, turn: bool) -> list[_Spot]:
    """Where each rectangle lies, in the fewest sheets and the least length that was found."""
    space = round(apart * _PARTS)
    rectangles = [
        (math.ceil(w * _PARTS - 1e-3) + space, math.ceil(h * _PARTS - 1e-3) + space)
        for w, h in sizes
    ]
    width, length = (math.floor((side + SLACK) * _PARTS) + space for side in stock)
    room = (width, length)
    spots: list[_Spot] = [_Spot(0, 0, 0, False)] * len(sizes)
    for laid in _shortest(rectangles, room, turn):
        turned = (laid.width, laid.height) != rectangles[laid.which]
        spots[laid.which] = _Spot(laid.sheet, laid.x / _PARTS, laid.y / _PARTS, turned)
    return spots


def _shortest(rectangles: Rectangles, room: tuple[int, int], turn: bool) -> list[_Laid]:
    """The shortest of several ways to lay the rectangles, and of shuffles of the best order."""
    count = len(rectangles)
    ways = _QUICK_WAYS if count > _MANY else _WAYS[:4] if count > _FEW else _WAYS
    best: list[_Laid] = []
    shortest = (count + 1, 0, 0)
    for way in ways:
        laid = _packed(rectangles, room, turn, way)
        if (length := _length(laid)) < shortest:
            best, shortest = laid, length
    chance = random.Random(count)
    order = sorted(range(count), key=lambda i: rectangles[i][::-1], reverse=True)
    current = _length(_packed([rectangles[i] for i in order], room, turn, _GIVEN))
    for _ in range(min(_MOST_SHUFFLES, _SHUFFLED // max(count, 1)) if count > 2 else 0):
        shuffled = order.copy()
        for _ in range(chance.randint(1, 2)):
            shuffled.insert(chance.randrange(count), shuffled.pop(chance.randrange(count)))
        laid = _packed([rectangles[i] for i in shuffled], room, turn, _GIVEN)
        if (length := _length(laid)) <= current:
            order, current = shuffled, length
            if length < shortest:
                shortest = length
                best = [replace(each, which=shuffled[each.which]) for each in laid]
    return best


@dataclass(frozen=True, slots=True)
class _Laid:
    """rectpack's answer for one rectangle, in its own whole numbers."""

    sheet: int
    x: int
    y: int
    width: int
    height: int
    which: int


def _length(laid: Sequence[_Laid]) -> tuple[int, int, int]:
    """How many sheets, what length of them in all, and how much less their boxes share."""
    sheets: dict[int, list[_Laid]] = {}
    for each in laid:
        sheets.setdefault(each.sheet, []).append(each)
    ends = [max(each.y + each.height for each in members) for members in sheets.values()]
    return len(sheets), sum(ends), -sum(map(_shared, sheets.values()))


def _shared(laid: Sequence[_Laid]) -> int:
    """The length of side that rectangles on one sheet have in common."""
    low = np.array([(each.x, each.y) for each in laid])
    high = low + [(each.width, each.height) for each in laid]
    both = np.minimum(high[:, None], high) - np.maximum(low[:, None], low)
    return int(sum(both[high[:, None, k] == low[:, k]][:, 1 - k].clip(0).sum() for k in (0, 1)))


def _moved_together(laid: Sequence[_Laid]) -> list[_Laid]:
    """Rectangles as they were packed, each moved left, and then down, until it meets another."""
    moved = list(laid)
    for axis in (0, 1):
        moved = list(_moved(moved, axis))
    return moved


def _moved(laid: Sequence[_Laid], axis: int) -> Iterator[_Laid]:
    """Each rectangle moved along an axis, towards its beginning, as far as it goes.

    The nearest to the beginning go first, so that those which held one up have already moved.
    """
    sizes = np.array([(each.width, each.height) for each in laid]).reshape(-1, 2)
    before = np.array([(each.x, each.y) for each in laid]).reshape(-1, 2)
    sheets = np.array([each.sheet for each in laid])
    after = before.copy()
    ends = before + sizes
    for i in np.argsort(before[:, axis], kind="stable"):
        beside = (before[:, 1 - axis] < ends[i, 1 - axis]) & (
            ends[:, 1 - axis] > before[i, 1 - axis]
        )
        held_by = beside & (sheets == sheets[i]) & (ends[:, axis] <= before[i, axis])
        after[i, axis] = (after[held_by, axis] + sizes[held_by, axis]).max(initial=0)
    for each, (x, y) in zip(laid, after.tolist(), strict=True):
        yield replace(each, x=x, y=y)


def _packed(rectangles: Rectangles, room: tuple[int, int], turn: bool, way: _Way) -> list[_Laid]:
    """The rectangles laid in one way."""
    import rectpack

    orders: dict[str, Any] = {
        "height": lambda found: sorted(found, key=lambda r: (-r[1], -r[0])),
        "given": lambda found: found,
    }
    packer = rectpack.newPacker(
        mode=rectpack.PackingMode.Offline,
        bin_algo=getattr(rectpack.PackingBin, way.bins),
        pack_algo=getattr(rectpack, way.algorithm),
        sort_algo=orders.get(way.order) or getattr(rectpack, way.order),
        rotation=turn,
    )
    packer.add_bin(*room, count=len(rectangles))
    for index, (w, h) in enumerate(rectangles):
        packer.add_rect(w, h, index)
    packer.pack()
    return _moved_together([_Laid(*each) for each in packer.rect_list()])
