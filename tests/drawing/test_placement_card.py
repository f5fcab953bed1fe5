"""Cards with a window for every piece: true to place, held together, no larger than the stock."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from legend.drawing.placement_card import PLAY, WEB, cards_of, write_placement_cards
from legend.layout.artwork import Artwork
from legend.layout.styles import choose_styles
from legend.lettering.outlines.outline import Outline
from legend.stencil.sheet import Cut, Piece, Placed, Sheet
from legend.stencil.sheet import Path as CutPath
from legend.writing import is_ours


def on_panel(card: Sheet) -> list[CutPath]:
    return list(card.placed[0].piece.paths)


def left_of(card: Sheet) -> BaseGeometry:
    """The card that is left when its windows and holes have dropped out."""
    *inner, edge = [path.outline.shape for path in on_panel(card)]
    return edge.difference(shapely.union_all(inner))


def sheet_with(*boxes: tuple[float, float, float, float]) -> tuple[Sheet, ...]:
    pieces = [
        Piece(
            number,
            f"piece {number}",
            (),
            Outline.rectangle(*box),
            (CutPath(Cut.MARK, Outline.rectangle(*box)),),
        )
        for number, box in enumerate(boxes, 1)
    ]
    placed = tuple(Placed(piece, (1, 0, 0, 1, 0, 0), 1, False) for piece in pieces)
    return (Sheet(1, (300.0, 100.0), placed),)


def windows(cards: tuple[Sheet, ...]) -> list[tuple[float, float, float, float]]:
    return [
        path.outline.bounds
        for card in cards
        for path in on_panel(card)[:-1]
        if path.cut is Cut.WEEDING
    ]


def test_every_piece_with_letters_has_a_window_round_its_box(
    artwork: Artwork, sheets: tuple[Sheet, ...]
) -> None:
    cards = cards_of(artwork, sheets)
    wanted = [
        tuple(side + PLAY * sign for side, sign in zip(p.piece.box, (-1, -1, 1, 1), strict=True))
        for p in sheets[0].placed
        if p.piece.name != "bare disc"
    ]
    assert np.array(sorted(windows(cards))) == pytest.approx(np.array(sorted(wanted)))
    for card in cards:
        assert left_of(card).geom_type == "Polygon"


def test_spares_have_no_windows_of_their_own(
    artwork: Artwork, make_sheets: Callable[..., tuple[Sheet, ...]]
) -> None:
    once, twice = (cards_of(artwork, make_sheets(artwork, copies)) for copies in (1, 2))
    assert windows(once) == windows(twice)


def test_drilled_holes_are_cut_where_they_clear_the_windows(artwork: Artwork) -> None:
    (card,) = cards_of(artwork, sheet_with((14.0, 20.0, 30.0, 30.0)))
    cut = [path.outline for path in on_panel(card) if path.cut is Cut.REGISTRATION]
    wanted = [opening.outline for opening in artwork.openings if opening.id != "A"]
    assert cut == wanted


def test_pieces_that_stand_close_have_windows_on_different_cards(artwork: Artwork) -> None:
    row = sheet_with((10, 10, 20, 20), (22, 10, 32, 20), (34, 10, 44, 20), (60, 10, 70, 20))
    cards = cards_of(artwork, row)
    assert len(cards) == 2
    assert len(windows(cards)) == 4


def test_the_card_grows_where_a_window_comes_near_its_edge(artwork: Artwork) -> None:
    (card,) = cards_of(artwork, sheet_with((1.0, 10.0, 20.0, 20.0)))
    x0, y0, x1, y1 = on_panel(card)[-1].outline.bounds
    assert x0 < 1 - WEB and x1 > 100 + WEB
    sights = [p.outline.bounds for p in on_panel(card) if p.cut is Cut.REGISTRATION]
    middles = {(round((a + c) / 2, 6), round((b + d) / 2, 6)) for a, b, c, d in sights}
    assert {(0, 0), (0, 60), (100, 0), (100, 60)} <= middles
    (inside,) = cards_of(artwork, sheet_with((10.0, 10.0, 20.0, 20.0)))
    assert on_panel(inside)[-1].outline is artwork.panel


boxes = st.tuples(st.floats(2, 85), st.floats(2, 45), st.floats(2, 30), st.floats(2, 20)).map(
    lambda b: (b[0], b[1], b[0] + b[2], b[1] + b[3])
)


@settings(max_examples=40, deadline=None)
@given(st.lists(boxes, min_size=1, max_size=8))
def test_the_card_is_held_together_whatever_the_pieces(
    made: list[tuple[float, float, float, float]],
) -> None:
    artwork = hand_panel()
    cards = cards_of(artwork, sheet_with(*made))
    assert len(windows(cards)) == len(made)
    for card in cards:
        assert left_of(card).geom_type == "Polygon"
        apart = [shapely.box(*box) for box in windows((card,))]
        for one, other in combinations(apart, 2):
            assert one.distance(other) >= WEB - 1e-9


def hand_panel() -> Artwork:
    from legend.description.tables.description import Description

    description = Description.model_validate(
        {"panel": {"size": (120.0, 70.0)}, "stencil": {"stock_size": (400.0, 400.0)}}
    )
    return Artwork(
        description, choose_styles(description), Outline.rectangle(0, 0, 120, 70), (), (), (), ()
    )


@pytest.mark.parametrize("stock", [(60.0, 200.0), (60.0, 40.0), (45.0, 45.0)])
def test_tiles_fit_the_stock_and_make_up_the_card(
    stock: tuple[float, float], make_artwork: Callable[..., Artwork]
) -> None:
    pieces = sheet_with((10, 8, 24, 20), (30, 8, 48, 20), (65, 30, 90, 50))
    whole = cards_of(make_artwork(), pieces)
    tiles = cards_of(make_artwork(stencil={"stock_size": stock}), pieces)
    assert len(whole) == 1 and len(tiles) > 1
    for tile in tiles:
        assert tile.size[0] <= stock[0] + 1e-6 and tile.size[1] <= stock[1] + 1e-6
        x0, y0 = tile.placed[0].affine[4:]
        edge = on_panel(tile)[-1].outline.bounds
        assert (edge[0] + x0, edge[1] + y0) == pytest.approx((0, 0))
    together = shapely.union_all([left_of(tile) for tile in tiles])
    assert together.symmetric_difference(left_of(whole[0])).area < 0.2
    assert sum(left_of(tile).area for tile in tiles) == pytest.approx(together.area, abs=0.01)


def test_a_tile_is_cut_beside_windows_rather_than_through_them(
    make_artwork: Callable[..., Artwork],
) -> None:
    artwork = make_artwork(stencil={"stock_size": (70.0, 100.0)}, holes={}, control=[])
    tiles = cards_of(artwork, sheet_with((40, 20, 60, 40), (80, 20, 90, 30)))
    assert len(tiles) == 2
    assert len(windows(tiles)) == 2


def test_the_files_are_our_own_and_those_of_an_earlier_run_go(
    artwork: Artwork, tmp_path: Path
) -> None:
    close = sheet_with((10, 10, 20, 20), (21, 10, 31, 20))
    written = write_placement_cards(artwork, close, tmp_path)
    assert [p.name for p in written] == ["placement-card-1.svg", "placement-card-2.svg"]
    assert all(is_ours(p) for p in written)
    root = ElementTree.parse(written[0]).getroot()
    assert (root.get("width"), root.get("height")) == ("100mm", "60mm")
    assert write_placement_cards(artwork, sheet_with((10, 10, 20, 20)), tmp_path) == written[:1]
    assert sorted(p.name for p in tmp_path.iterdir()) == ["placement-card-1.svg"]


def test_a_piece_off_the_panel_makes_no_card(artwork: Artwork) -> None:
    sheets = sheet_with((10, 10, 30, 16), (6000, 10, 6020, 16))  # the panel is 100 × 60 mm
    (card,) = cards_of(artwork, sheets)
    assert windows((card,)) == [pytest.approx((9.9, 9.9, 30.1, 16.1))]


def test_the_card_is_cut_as_true_as_the_stencil(
    artwork: Artwork, make_sheets: Callable[..., tuple[Sheet, ...]]
) -> None:
    stencil = artwork.description.stencil.model_copy(
        update={"measured": (49.8, 50.1), "overrun": 0.3}
    )
    description = artwork.description.model_copy(update={"stencil": stencil})
    corrected = replace(artwork, description=description)
    plain = cards_of(artwork, make_sheets(artwork))
    cards = cards_of(corrected, make_sheets(artwork))
    assert cards
    for card, before in zip(cards, plain, strict=True):
        assert card.stretch == pytest.approx((50 / 49.8, 50 / 50.1))
        assert card.overrun == 0.3
        assert card.size == before.size
