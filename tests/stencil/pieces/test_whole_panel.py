"""Film on which the whole panel travels: as large as the panel, and laid flush with it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely

from legend.description.tables.description import Description
from legend.layout import lay_out
from legend.layout.artwork import Artwork
from legend.stencil import cut
from legend.stencil.cards.sharing import cards_for
from legend.stencil.pieces.whole_panel import is_flush
from legend.stencil.sheet import Cut, Piece, pieces_of

PANEL = (0.0, 0.0, 240.0, 90.0)


def panel(stencil: dict[str, Any], **tables: Any) -> Artwork:
    """Four jacks in a row, and a screw hole in each corner."""
    jacks = {f"J{k}": {"at": [30 + 60 * k, 40], "drill": 8} for k in range(4)}
    corners = ((6, 6), (234, 6), (6, 84), (234, 84))
    screws = {f"S{k}": {"at": at, "drill": 3.4} for k, at in enumerate(corners)}
    described = {
        "panel": {"size": [240, 90]},
        "holes": jacks | screws,
        "control": [{"hole": hole, "kind": "jack", "name": f"FEED {hole}"} for hole in jacks],
        "stencil": {"piece": "panel", "stock_size": [300, 200]} | stencil,
    } | tables
    return lay_out(Description.model_validate(described))


def pieces(artwork: Artwork) -> list[Piece]:
    return pieces_of(cut(artwork).sheets)


@pytest.mark.parametrize("method", ["lift-off", "paint-through"])
def test_it_is_as_large_as_the_panel_with_marks_on_the_holes_furthest_apart(method: str) -> None:
    artwork = panel({"method": method})
    (whole,) = pieces(artwork)
    assert whole.box == pytest.approx(PANEL)
    assert is_flush(artwork, whole)
    middles = [
        np.array(path.outline.bounds).reshape(2, 2).mean(axis=0)
        for path in whole.paths
        if path.cut is Cut.REGISTRATION
    ]
    assert len(middles) == 2
    assert np.hypot(*(middles[1] - middles[0])) == pytest.approx(np.hypot(228, 78))


def test_it_needs_no_card() -> None:
    artwork = panel({})
    cards = cards_for(artwork, cut(artwork).sheets)
    assert not cards.cards and not cards.unserved
    assert [piece.number for piece in cards.flush] == [1]


def test_parts_of_it_cover_the_panel_and_meet_at_its_edge() -> None:
    artwork = panel({"stock_size": [140, 300]})
    parts = pieces(artwork)
    assert len(parts) == 2 and all(is_flush(artwork, part) for part in parts)
    together = shapely.union_all([part.edge.shape for part in parts])
    assert together.symmetric_difference(shapely.box(*PANEL)).area < 1e-6
    for part in parts:
        tips = [mark.bounds for mark in part.join_marks]
        assert len(tips) == 2
        assert min(tip[1] for tip in tips) < 3 and max(tip[3] for tip in tips) > 87


def test_it_is_smaller_where_only_so_it_has_room_on_the_stock() -> None:
    artwork = panel({"stock_size": [230, 100]})
    (whole,) = pieces(artwork)
    assert whole.box[2] - whole.box[0] < 229
    assert not is_flush(artwork, whole)


def test_it_is_smaller_where_legends_come_too_near_to_the_edge_of_the_panel() -> None:
    # At 10 mm its capitals end half a millimetre below the upper edge.
    text = {"text": "LINES", "at": [120, 84.5], "role": "title", "height": 10}
    artwork = panel({}, text=[text])
    (whole,) = pieces(artwork)
    assert whole.box != pytest.approx(PANEL)


def test_a_round_panel_is_cut_round_its_legends() -> None:
    artwork = panel(
        {},
        panel={"outline": {"diameter": 150}},
        holes={"A": {"at": [75, 75], "drill": 9}},
        control=[{"hole": "A", "kind": "jack", "name": "SIGNAL"}],
    )
    (whole,) = pieces(artwork)
    assert whole.box[2] - whole.box[0] < 60
    assert not is_flush(artwork, whole)


@pytest.mark.parametrize(
    "tables", [{"piece": "control"}, {"method": "paint-through", "stock": "sheet"}]
)
def test_nothing_else_is_flush(tables: dict[str, Any]) -> None:
    artwork = panel(tables)
    assert not any(is_flush(artwork, piece) for piece in pieces(artwork))
