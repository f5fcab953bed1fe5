"""Nesting: nothing overlaps, nothing is off the stock, nothing is lost."""

from __future__ import annotations

import itertools
from typing import Any, Literal

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.tables.description import Stencil
from legend.layout.artwork import Severity
from legend.length_words import Lengths
from legend.lettering.outlines.outline import Outline
from legend.standards import BOX_SPACE
from legend.stencil import cut
from legend.stencil.nesting import nest, too_large
from legend.stencil.sheet import Cut, Path, Piece, Placed


def piece(number: int, width: float, height: float, x: float = 10, y: float = 20) -> Piece:
    """A piece of this size, with a mark in its lower left corner that shows how it lies."""
    flag = Outline.polygon([(x + 0.2, y + 0.2), (x + 0.8, y + 0.2), (x + 0.2, y + 0.6)])
    box = (x, y, x + width, y + height)
    paths = (Path(Cut.MARK, flag), Path(Cut.WEEDING, Outline.rectangle(*box)))
    return Piece(number, f"piece {number}", (), Outline.rectangle(*box), paths)


def area(placed: Placed) -> shapely.Polygon:
    return placed.paths[-1].outline.shape


sizes = st.lists(st.tuples(st.floats(1, 70), st.floats(1, 70)), min_size=1, max_size=12)


@settings(max_examples=25, deadline=None)
@given(
    sizes,
    st.tuples(st.floats(78, 300), st.floats(78, 150)),
    st.booleans(),
    st.booleans(),
    st.integers(1, 2),
    st.sampled_from(["film", "sheet"]),
    st.sampled_from([0.0, 0.5, 3.0]),
)
def test_pieces_lie_apart_and_on_the_stock(
    sizes: list[Any],
    stock: tuple[float, float],
    turn: bool,
    mirror: bool,
    copies: int,
    of: Literal["film", "sheet"],
    inset: float,
) -> None:
    """Rigid sheet with stock between them, film side against side, but never one on another; and
    all of them off the edges of the stock.
    """
    pieces = [piece(i, *size) for i, size in enumerate(sizes, start=1)]
    stencil = Stencil(
        method="paint-through",
        stock=of,
        stock_size=stock,
        stock_margin=inset,
        turn=turn,
        mirror=mirror,
        copies=copies,
    )
    sheets = nest(pieces, stencil)
    laid = [(placed.piece.number, placed.copy) for sheet in sheets for placed in sheet.placed]
    wanted = itertools.product(range(1, len(sizes) + 1), range(1, copies + 1))
    assert sorted(laid) == sorted(wanted)
    assert [sheet.number for sheet in sheets] == list(range(1, len(sheets) + 1))
    for sheet in sheets:
        assert sheet.size[0] == pytest.approx(stock[0])
        assert sheet.size[1] <= stock[1] + 0.02
        boxes = [area(placed) for placed in sheet.placed]
        room = shapely.box(0, 0, *sheet.size).buffer(0.011 - inset, join_style="mitre")
        assert shapely.covers(room, boxes).all()
        for a, b in itertools.combinations(boxes, 2):
            assert a.distance(b) >= BOX_SPACE[of] - 0.011
            assert a.intersection(b).area < 1e-4
        used = max(box.bounds[3] for box in boxes)
        assert used == pytest.approx(sheet.size[1] - inset, abs=0.02)


def test_a_piece_as_large_as_the_stock_fits() -> None:
    pieces, stencil = [piece(1, 100, 50)], Stencil(stock_size=(102, 52), stock_margin=1)
    (sheet,) = nest(pieces, stencil)
    assert not list(too_large(pieces, stencil, Lengths("mm")))
    assert sheet.size == (102, 52)
    assert sheet.placed[0].box == pytest.approx((1, 1, 101, 51))
    (told,) = too_large(pieces, Stencil(stock_size=(101, 52), stock_margin=1), Lengths("mm"))
    assert "the stock of 101 × 52 mm with a margin of 1 mm all round" in told.message
    assert ("stencil", "stock_margin") in [o.tries[0][0].keys for o in told.offers]


@pytest.mark.parametrize("turn", [False, True])
def test_pieces_are_turned_only_where_it_is_allowed(turn: bool) -> None:
    stencil = Stencil(stock_size=(100, 100), stock_margin=0, turn=turn)
    sheets = nest([piece(1, 20, 90), piece(2, 20, 90)], stencil)
    placed = [each for sheet in sheets for each in sheet.placed]
    assert all(each.turned for each in placed) == turn
    assert sheets[0].size[1] == pytest.approx(40 if turn else 90, abs=0.02)


def test_a_turned_piece_lies_a_quarter_turn_clockwise() -> None:
    (sheet,) = nest([piece(1, 20, 90)], Stencil(stock_size=(100, 50), stock_margin=0, turn=True))
    (placed,) = sheet.placed
    flag = placed.paths[0].outline.shape
    # From the lower left it has gone to the upper left, its long leg now upright.
    np.testing.assert_allclose(flag.bounds, (0.2, 20 - 0.8, 0.6, 20 - 0.2), atol=1e-6)


def test_a_mirrored_sheet_is_the_sheet_flipped_over() -> None:
    pieces = [piece(1, 20, 30), piece(2, 40, 10), piece(3, 15, 15)]
    (plain,) = nest(pieces, Stencil(stock_size=(100, 100)))
    (flipped,) = nest(pieces, Stencil(stock_size=(100, 100), mirror=True))
    for placed in plain.placed:
        (other,) = (p for p in flipped.placed if p.piece is placed.piece)
        for path, mirrored in zip(placed.paths, other.paths, strict=True):
            turned_over = path.outline.transformed((-1, 0, 0, 1, 100, 0)).shape
            assert turned_over.symmetric_difference(mirrored.outline.shape).area < 1e-9


def test_a_piece_too_large_is_drawn_by_itself_and_reported() -> None:
    pieces, stencil = [piece(1, 20, 20), piece(2, 150, 40)], Stencil(stock_size=(100, 200))
    assert [sheet.size for sheet in nest(pieces, stencil)] == [(100, 21), (151, 41)]
    (finding,) = too_large(pieces, stencil, Lengths("mm"))
    assert finding.severity is Severity.ERROR
    assert "Piece 2, piece 2, measures 150 × 40 mm" in finding.message
    assert "100 × 200 mm" in finding.message
    keys = [changes[0].keys for offer in finding.offers for changes in offer.tries]
    assert keys[:2] == [("stencil", "stock_margin"), ("stencil", "turn")]


def test_spares_of_every_piece(panel: Any) -> None:
    sheets = cut(panel(copies=3)).sheets
    laid = [(p.piece.number, p.copy) for sheet in sheets for p in sheet.placed]
    numbers = {number for number, _ in laid}
    assert sorted(laid) == sorted(itertools.product(numbers, (1, 2, 3)))


def test_a_thousand_pieces_pack_in_good_time_and_closely() -> None:
    rng = np.random.default_rng(5)
    pieces = [piece(i, *rng.uniform(15, 60, 2)) for i in range(1, 1001)]
    sheets = nest(pieces, Stencil(stock_size=(300, 600)))
    used = sum(sheet.size[0] * sheet.size[1] for sheet in sheets)
    assert sum(area(p).area for sheet in sheets for p in sheet.placed) > 0.8 * used
