"""Where pieces go: what is printed is where they lie, measured on the sheets by another way."""

from __future__ import annotations

import itertools
import re
from pathlib import Path
from typing import Any

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from place_judge import boxes_on_the_panel, judge_places, printed

from legend.description.reading.description_file import read
from legend.description.tables.description import Description
from legend.drawing.job_card.job_card import card_html
from legend.drawing.placing.piece_places import (
    PiecePlace,
    goes_on_first,
    in_laying_order,
    piece_places,
)
from legend.drawing.placing.placing_page import placing_html
from legend.layout import lay_out
from legend.length_words import Lengths
from legend.lettering.outlines.outline import Outline
from legend.stencil import cut
from legend.stencil.sheet import Cut, Piece, pieces_of
from legend.stencil.sheet import Path as CutPath

ROOT = Path(__file__).parents[3]
SAMPLES = sorted((ROOT / "samples").glob("*/panel.toml"))
_ROW = re.compile(
    r'<td class="number id">(\d+)</td><td>[^<]*</td>'
    r'<td class="number">([^<]*)</td><td class="number">([^<]*)</td>'
)


@pytest.mark.parametrize("panel", SAMPLES, ids=lambda path: path.parent.name)
def test_what_is_printed_is_where_the_pieces_of_the_sheets_lie(panel: Path) -> None:
    """`tests/panels` holds this of the panels there."""
    artwork = lay_out(read(panel))
    sheets = cut(artwork).sheets
    judge_places(artwork, sheets, placing_html(artwork, sheets).decode())


@pytest.mark.parametrize("name", ["greenhouse", "telescope-heater"])
def test_the_card_prints_the_same_as_the_page(name: str) -> None:
    artwork = lay_out(read(ROOT / "tests" / "panels" / f"{name}.toml"))
    sheets = cut(artwork).sheets
    page = printed(placing_html(artwork, sheets).decode())
    rows = _ROW.findall(card_html(artwork, sheets, (), None).decode())
    assert {int(number) for number, *_ in rows} == page.keys()
    for number, *both in rows:
        for text, (figure, _, whence) in zip(both, page[int(number)], strict=True):
            side = "" if "edge" in whence else whence.split()[0]
            assert text == f"{figure} {side}".strip()


def piece(number: int, box: tuple[float, float, float, float], kind: Cut = Cut.MARK) -> Piece:
    edge = Outline.rectangle(*box)
    return Piece(number, f"piece {number}", (), edge, (CutPath(kind, edge),))


def places(panel: dict[str, Any], *boxes: tuple[float, float, float, float]) -> list[PiecePlace]:
    description = Description.model_validate({"panel": panel})
    pieces = [piece(number, box) for number, box in enumerate(boxes, 1)]
    return piece_places(description.panel, pieces, Lengths(description.units))


def said(place: PiecePlace) -> list[str]:
    return [f"{d.figure} {d.whence}, {d.side} side" for d in place.distances]


def test_from_edges_to_the_nearer_sides() -> None:
    (place,) = places({"size": [100, 60]}, (10, 20.5, 30, 40))
    assert said(place) == [
        "10.0 from the left edge, left side",
        "20.5 from the bottom edge, bottom side",
    ]
    (place,) = places({"size": [100, 60], "datum": "upper right"}, (10, 20.5, 30, 40))
    assert said(place) == [
        "70.0 from the right edge, right side",
        "20.0 from the top edge, top side",
    ]


def test_from_centre_lines_to_the_nearer_sides_or_the_left_and_lower() -> None:
    round_panel = {"outline": {"diameter": 100}, "datum": "centre"}
    found = places(round_panel, (10, 20, 30, 40), (60, 50, 70, 60), (45, 45, 60, 60))
    assert [said(place) for place in found] == [
        ["20.0 left of the upright centre line, right side",
         "10.0 below the level centre line, top side"],
        ["10.0 right of the upright centre line, left side",
         "0.0 on the level centre line, bottom side"],
        ["5.0 left of the upright centre line, left side",
         "5.0 below the level centre line, bottom side"],
    ]  # fmt: skip


def test_what_reaches_beyond_an_edge_is_told_so() -> None:
    (place,) = places({"size": [100, 60]}, (-1.5, 20, 30, 40))
    assert place.across.signed == "−1.5"
    assert said(place)[0] == "1.5 beyond the left edge, left side"


def test_what_stands_on_no_division_is_told_finer() -> None:
    (place,) = places({"size": [100, 60]}, (10.27, 20, 30, 40))
    assert (place.across.figure, place.up.figure) == ("10.27", "20.0")


# --- In what order they are laid ---

_SPANS = st.tuples(st.integers(0, 3), st.integers(0, 3), st.integers(3, 9), st.integers(3, 9))


@settings(max_examples=40, deadline=None)
@given(
    st.lists(_SPANS, min_size=2, max_size=12),
    st.sampled_from(["lower left", "upper left", "lower right", "upper right"]),
)
def test_no_rule_lies_on_what_was_laid(spans: list[Any], datum: str) -> None:
    """Pieces in the cells of a grid, each of its own size in its cell."""
    cells = itertools.product(range(4), range(3))
    boxes = [
        (10 * c + dx, 10 * r + dy, 10 * c + dx + min(w, 10 - dx), 10 * r + dy + min(h, 10 - dy))
        for (c, r), (dx, dy, w, h) in zip(cells, spans, strict=False)
    ]
    order = in_laying_order(places({"size": [40, 30], "datum": datum}, *boxes))
    assert sorted(p.piece.number for p in order) == list(range(1, len(boxes) + 1))
    edge_x, edge_y = 40 if "right" in datum else 0, 30 if "upper" in datum else 0
    for before, place in itertools.combinations(order, 2):
        x0, y0, x1, y1 = place.piece.box
        rules = shapely.union(
            shapely.box(min(edge_x, x0), y0, max(edge_x, x1), y1),
            shapely.box(x0, min(edge_y, y0), x1, max(edge_y, y1)),
        )
        assert rules.intersection(before.piece.edge.shape).area < 1e-9


def test_what_goes_on_bare_metal_comes_first_and_rows_from_the_top() -> None:
    panel = Description.model_validate({"panel": {"size": [100, 60]}}).panel
    boxes = [(10, 40, 20, 50), (50, 40, 60, 50), (10, 10, 20, 20), (50, 10, 60, 20)]
    pieces = [piece(number, box) for number, box in enumerate(boxes, 1)]
    pieces.append(piece(5, (80, 5, 90, 15), Cut.BARE))
    order = in_laying_order(piece_places(panel, pieces, Lengths("mm")))
    assert [place.piece.number for place in order] == [5, 2, 1, 4, 3]
    assert [goes_on_first(place.piece) for place in order] == [True, *[False] * 4]


def test_every_piece_is_laid_once_whatever_their_shapes() -> None:
    """Each of two stands where the rule must lie for the other, since one of them has corners."""
    foot = Outline.polygon([(5, 0), (5, 5), (20, 5), (20, 30), (30, 30), (30, 0)])
    above = Outline.rectangle(0, 20, 10, 30)
    panel = Description.model_validate({"panel": {"size": [100, 60]}}).panel
    pieces = [
        Piece(number, "", (), edge, (CutPath(Cut.MARK, edge),))
        for number, edge in enumerate((foot, above), 1)
    ]
    order = in_laying_order(piece_places(panel, pieces, Lengths("mm")))
    assert sorted(place.piece.number for place in order) == [1, 2]


def test_the_sheets_of_the_samples_lie_as_read() -> None:
    """So that the check against the sheets above could fail: a box that is moved is found out."""
    artwork = lay_out(read(ROOT / "samples" / "enlarger-timer" / "panel.toml"))
    sheets = cut(artwork).sheets
    for number, box in boxes_on_the_panel(artwork, sheets).items():
        own = next(p for p in pieces_of(sheets) if p.number == number)
        assert box.symmetric_difference(own.edge.shape).area < 1e-3
