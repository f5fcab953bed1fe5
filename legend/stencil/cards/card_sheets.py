"""Lay each card and its stops on a sheet of its own, in knife order, for the cutter."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from legend.description.tables.description import Stencil
from legend.lettering.outlines.outline import Affine, Box, Outline
from legend.stencil.cards.card import Card, Cards
from legend.stencil.cards.site import BESIDE, SAME, card_room
from legend.stencil.order.knife import in_knife_order, left_at
from legend.stencil.order.sheet_order import weeding_box
from legend.stencil.order.starts import before_corner
from legend.stencil.sheet import Cut, Path, Piece, Placed, Sheet
from legend.stencil.test_square import for_the_cutter


def card_sheets(cards: Cards, stencil: Stencil) -> tuple[Sheet, ...]:
    """The cards as sheets: on each the card first, its stops beside it.

    Figures, holes and windows come before the outline that frees the card. Cards are cut from
    their face whatever the stencil is; a card that fits the stock only so is turned by a quarter.
    """
    return tuple(for_the_cutter(_sheet(card, stencil), stencil) for card in cards.cards)


def _sheet(card: Card, stencil: Stencil) -> Sheet:
    before = before_corner(stencil)
    pieces = [_card_piece(card, before), *_stop_pieces(card, before)]
    layouts = [_laid_out(pieces, in_a_row) for in_a_row in (True, False)]
    layouts += [_turned(*each) for each in layouts]
    (width, height), spots = min(layouts, key=lambda each: _excess(each[0], stencil))
    inset = stencil.stock_margin
    placed = [
        Placed(piece, spot.affine(piece.box, inset), 1, spot.turned)
        for piece, spot in zip(pieces, spots, strict=True)
    ]
    return Sheet(card.number, (width + 2 * inset, height + 2 * inset), tuple(placed))


@dataclass(frozen=True, slots=True)
class _Spot:
    """Where the lower left corner of a piece lies, from where there may be cuts, its width and
    height there; mm.
    """

    x: float
    y: float
    width: float
    height: float
    turned: bool

    def affine(self, box: Box, inset: float) -> Affine:
        """What takes the piece in this box there, where cuts keep so far off the edges."""
        x0, y0, x1, _ = box
        x, y = self.x + inset, self.y + inset
        return (0, -1, 1, 0, x - y0, y + x1) if self.turned else (1, 0, 0, 1, x - x0, y - y0)


_Size = tuple[float, float]


def _laid_out(pieces: Sequence[Piece], in_a_row: bool) -> tuple[_Size, list[_Spot]]:
    """The card, and its stops in a row below it or one above the other at its right."""
    (width, height), *stops = (_size(piece.box) for piece in pieces)
    if not stops:
        return (width, height), [_Spot(0, 0, width, height, False)]
    deep = max(min(stop) for stop in stops)
    spots = [_Spot(0, deep + BESIDE if in_a_row else 0, width, height, False)]
    at = 0.0
    for stop in stops:
        length, across = max(stop), min(stop)
        if in_a_row:
            spots.append(_Spot(at, deep - across, length, across, stop[1] > stop[0]))
        else:
            spots.append(_Spot(width + BESIDE, at, across, length, stop[0] > stop[1]))
        at += length + BESIDE
    long = at - BESIDE
    if in_a_row:
        return (max(width, long), height + BESIDE + deep), spots
    return (width + BESIDE + deep, max(height, long)), spots


def _size(box: Box) -> _Size:
    return box[2] - box[0], box[3] - box[1]


def _turned(size: _Size, spots: Sequence[_Spot]) -> tuple[_Size, list[_Spot]]:
    """The same turned clockwise by a quarter; a stop that was turned is back as it was."""
    width, height = size
    turned = [
        _Spot(each.y, width - each.x - each.width, each.height, each.width, not each.turned)
        for each in spots
    ]
    return (height, width), turned


def _excess(size: _Size, stencil: Stencil) -> float:
    """By how much a size is too large for the stock; what is usual may lie either way."""
    room = card_room(stencil)
    if stencil.card_size is None:
        pairs = zip(sorted(size), sorted(room), strict=True)
    else:
        pairs = zip(size, room, strict=True)
    return sum(max(own - most - SAME, 0.0) for own, most in pairs)


def _card_piece(card: Card, before: float) -> Piece:
    cuts = [
        *(Path(Cut.MARK, window.number) for window in card.windows),
        Path(Cut.MARK, card.says),
        *(Path(Cut.REGISTRATION, hole.outline) for hole in card.holes),
        *(Path(Cut.WEEDING, window.outline) for window in card.windows),
    ]
    (ordered,) = in_knife_order([cuts], before)
    paths = (*ordered, weeding_box(card.edge, left_at(ordered[-1]), before))
    return Piece(1, f"placement card {card.number}", (), card.edge, paths)


def _stop_pieces(card: Card, before: float) -> Iterator[Piece]:
    for number, stop in enumerate(card.stops, 2):
        edge = Outline.rectangle(*stop.strip)
        name = f"stop at the {stop.side} edge"
        lower_left = np.array(stop.strip[:2])
        yield Piece(number, name, (), edge, (weeding_box(edge, lower_left, before),))
