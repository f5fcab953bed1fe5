"""Judge placement cards with shapely alone: held true, in one piece, readable, marked for side.

What is judged is what would be cut: the outlines in panel coordinates and the sheets.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

import shapely
from shapely.affinity import scale
from shapely.geometry.base import BaseGeometry

from legend.layout.artwork import Artwork
from legend.stencil.cards.card import ByEdges, ByHoles, Card, Cards
from legend.stencil.cards.card_sheets import card_sheets
from legend.stencil.sheet import Cut, Sheet, pieces_of

#: Card between two windows, between a window and the rim, round a hole and round figures, mm.
WEB, RIM, ROUND_HOLE, ROUND_FIGURES = 4.0, 3.0, 3.0, 1.9
#: A window is larger than its piece by this all round, mm.
PLAY = 0.1
#: The narrowest card that anything hangs by, mm: bridges are 0.8.
NECK = 0.7
SLACK = 1e-6


def left_of(card: Card) -> BaseGeometry:
    """The card that is left when windows, holes and figures have dropped out."""
    cut = [w.outline.shape for w in card.windows] + [w.number.shape for w in card.windows]
    cut += [card.says.shape, *(hole.outline.shape for hole in card.holes)]
    return card.edge.shape.difference(shapely.union_all(cut))


def judge(artwork: Artwork, sheets: Sequence[Sheet], cards: Cards) -> None:
    """Assert all that is asked of the placement cards of a panel."""
    every_piece_is_told_of_once(sheets, cards)
    for number, card in enumerate(cards.cards, 1):
        assert card.number == number
        assert card.windows
        windows_are_their_pieces_and_apart(card)
        it_holds_together(card)
        numbers_stand_by_their_windows(card)
        it_shows_which_way_up_it_lies(card)
        it_is_held_true(artwork, card)
    it_fits_the_stock(artwork, cards)


def every_piece_is_told_of_once(sheets: Sequence[Sheet], cards: Cards) -> None:
    wanted = [
        piece.number
        for piece in pieces_of(sheets)
        if any(path.cut is Cut.MARK for path in piece.paths)
    ]
    told = [piece.number for card in cards.cards for piece in card.pieces]
    told += [each.piece.number for each in cards.unserved]
    told += [piece.number for piece in (*cards.bolted, *cards.flush)]
    assert sorted(told) == wanted
    assert all(each.why for each in cards.unserved)


def windows_are_their_pieces_and_apart(card: Card) -> None:
    for window in card.windows:
        shape, edge = window.outline.shape, window.piece.edge.shape
        assert shape.covers(edge)
        assert abs(shape.exterior.distance(edge.exterior) - PLAY) < SLACK
        assert shape.difference(edge.buffer(PLAY + SLACK, join_style="mitre")).is_empty
    for one, other in combinations([window.outline.shape for window in card.windows], 2):
        assert one.distance(other) > WEB - 1e-3
    rim = card.edge.shape.exterior
    for window in card.windows:
        assert rim.distance(window.outline.shape) > RIM - 1e-3


def it_holds_together(card: Card) -> None:
    left = left_of(card)
    assert left.geom_type == "Polygon"
    # Nothing of it hangs by less than a bridge: were every neck that is narrower cut away, no
    # part would come off but crumbs narrower than that themselves.
    sound = left.buffer(-NECK / 2)
    parts = sorted(shapely.get_parts(sound), key=lambda part: part.area)
    assert sum(part.area for part in parts[:-1]) < 0.6 * len(parts)


def numbers_stand_by_their_windows(card: Card) -> None:
    numbers = [window.number.shape for window in card.windows]
    for window, number in zip(card.windows, numbers, strict=True):
        own = number.distance(window.outline.shape)
        assert ROUND_FIGURES < own < 4
        for other in card.windows:
            assert other is window or number.distance(other.outline.shape) > 1.5 * own
    figures = [*numbers, card.says.shape]
    for one, other in combinations(figures, 2):
        assert one.distance(other) > ROUND_FIGURES
    for figure in figures:
        assert card.edge.shape.covers(figure)
        assert card.edge.shape.exterior.distance(figure) > ROUND_FIGURES
        for hole in card.holes:
            assert figure.distance(hole.outline.shape) > ROUND_FIGURES
    for window in card.windows:
        assert card.says.shape.distance(window.outline.shape) > ROUND_FIGURES


def it_shows_which_way_up_it_lies(card: Card) -> None:
    for across, up in ((-1, 1), (1, -1), (-1, -1)):
        wrong = scale(card.edge.shape, across, up, origin=card.edge.shape.envelope.centroid)
        assert wrong.symmetric_difference(card.edge.shape).area > 10


def it_is_held_true(artwork: Artwork, card: Card) -> None:
    windows = shapely.union_all([window.outline.shape for window in card.windows])
    if isinstance(card.held, ByHoles):
        one, other = card.held.holes
        assert one is not other and {one, other} <= set(artwork.openings)
        for hole in (one, other):
            assert hole.outline.shape.distance(windows) > ROUND_HOLE - 1e-3
            around = hole.outline.shape.buffer(ROUND_HOLE - 0.05)
            assert card.edge.shape.covers(around)
        apart = math.dist(one.centre, other.centre)
        middle = shapely.Point((one.centre[0] + other.centre[0]) / 2,
                               (one.centre[1] + other.centre[1]) / 2)  # fmt: skip
        assert middle.hausdorff_distance(windows.convex_hull) <= 1.25 * apart + 0.01
        return
    assert isinstance(card.held, ByEdges)
    first, second = card.held.stops
    assert {first.side.axis, second.side.axis} == {0, 1}
    edge = artwork.panel.shape.exterior
    for stop in (first, second):
        strip = shapely.box(*stop.strip)
        assert card.edge.shape.buffer(SLACK).covers(strip)
        assert strip.intersection(artwork.panel.shape).area < SLACK
        assert edge.intersection(strip.buffer(1e-3)).length > 19.9
        assert strip.distance(windows) > 1
        # It is found by its tab: flush with that outside.
        ends = card.edge.bounds[stop.side.axis + (2 if stop.side.outwards > 0 else 0)]
        assert abs(ends - stop.strip[stop.side.axis + (2 if stop.side.outwards > 0 else 0)]) < SLACK


def it_fits_the_stock(artwork: Artwork, cards: Cards) -> None:
    stencil = artwork.description.stencil
    sheets = card_sheets(cards, stencil)
    assert len(sheets) == len(cards.cards)
    for card, sheet in zip(cards.cards, sheets, strict=True):
        size = sheet.size
        if stencil.card_size:
            most = stencil.card_size
        else:
            size, most = sorted(sheet.size), [200.0, 287.0]
        assert size[0] <= most[0] + 1e-3 and size[1] <= most[1] + 1e-3
        drawn = [
            shapely.union_all([path.outline.shape for path in placed.paths])
            for placed in sheet.placed
        ]
        assert len(drawn) == 1 + len(card.stops)
        stock = shapely.box(0, 0, *sheet.size).buffer(SLACK)
        assert all(stock.covers(each) for each in drawn)
        assert all(one.distance(other) > 2.9 for one, other in combinations(drawn, 2))
