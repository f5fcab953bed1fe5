"""Cards of real and of random panels: held true, whole, readable, and as few as can be."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from typing import Any

import pytest
from card_judge import judge
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.tables.description import Description
from legend.layout.artwork import Artwork
from legend.layout.edges import outline_of
from legend.layout.openings import lay_openings
from legend.layout.styles import choose_styles
from legend.lettering.outlines.outline import Outline
from legend.stencil import cut
from legend.stencil.cards.card import ByEdges, ByHoles, Cards
from legend.stencil.cards.sharing import cards_for
from legend.stencil.cards.without_window import without_window
from legend.stencil.sheet import Cut, Piece, Placed, Sheet
from legend.stencil.sheet import Path as CutPath

Box = tuple[float, float, float, float]


def bare_panel(panel: dict[str, Any], holes: dict[str, Any], **stencil: Any) -> Artwork:
    """A panel with holes and nothing else."""
    description = Description.model_validate(
        {"panel": panel, "holes": holes, "stencil": stencil}
    ).after_drilling()
    return Artwork(
        description,
        choose_styles(description),
        outline_of(description.panel.edge),
        lay_openings(description),
        (),
        (),
        (),
    )


def notched(box: Box) -> Outline:
    """The edge of a piece from whose box a corner is missing."""
    x0, y0, x1, y1 = box
    x, y = x0 + (x1 - x0) / 3, y0 + (y1 - y0) / 3
    return Outline.polygon([(x, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y), (x, y)])


def cut_in(boxes: Sequence[Box], notch: Collection[int] = ()) -> tuple[Sheet, ...]:
    """A sheet of pieces with these boxes, a corner missing from those of some numbers."""
    pieces = []
    for number, box in enumerate(boxes, 1):
        edge = notched(box) if number in notch else Outline.rectangle(*box)
        paths = (CutPath(Cut.MARK, edge), CutPath(Cut.WEEDING, edge))
        pieces.append(Piece(number, f"piece {number}", (), edge, paths))
    placed = tuple(Placed(piece, (1, 0, 0, 1, 0, 0), 1, False) for piece in pieces)
    return (Sheet(1, (2000.0, 2000.0), placed),)


def judged(artwork: Artwork, sheets: Sequence[Sheet]) -> Cards:
    cards = cards_for(artwork, sheets)
    judge(artwork, sheets, cards)
    return cards


def numbers(cards: Cards) -> list[list[int]]:
    return [[piece.number for piece in card.pieces] for card in cards.cards]


CORNERS = {
    f"M{k}": {"at": at, "drill": 3.2}
    for k, at in enumerate([(6, 6), (114, 6), (6, 64), (114, 64)], 1)
}
PANEL = {"size": (120.0, 70.0)}


def test_screws_far_apart_hold_the_card_where_there_are_any() -> None:
    artwork = bare_panel(PANEL, CORNERS | {"A": {"at": (40, 30), "drill": 9.5}})
    cards = judged(artwork, cut_in([(30, 20, 50, 40), (60, 20, 90, 40)]))
    (card,) = cards.cards
    assert isinstance(card.held, ByHoles) and card.held.pinned
    assert {hole.id for hole in card.holes} in ({"M1", "M4"}, {"M2", "M3"})
    assert card.edge.bounds == pytest.approx((0, 0, 120, 70))  # flush with the panel


def test_each_of_two_cards_is_held_by_the_holes_of_the_other() -> None:
    holes = {name: {"at": (x, 35), "drill": 8} for name, x in zip("ABCD", (15, 45, 75, 105),
                                                                 strict=True)}  # fmt: skip
    boxes = [(x - 14, 25, x + 14, 45) for x in (15, 45, 75, 105)]
    artwork = bare_panel({"size": (120.0, 70.0)}, holes)
    cards = judged(artwork, cut_in(boxes))
    assert sorted(map(len, numbers(cards))) == [2, 2]
    for card in cards.cards:
        own = {"ABCD"[piece.number - 1] for piece in card.pieces}
        assert {hole.id for hole in card.holes} == set("ABCD") - own


@pytest.mark.parametrize(
    ("datum", "sides"),
    [("lower left", {"left", "bottom"}), ("upper right", {"right", "top"}),
     ("centre", {"left", "bottom"})],
)  # fmt: skip
def test_without_holes_stops_lie_against_the_edges_that_meet_at_the_datum(
    datum: str, sides: set[str]
) -> None:
    artwork = bare_panel(PANEL | {"datum": datum}, {})
    (card,) = judged(artwork, cut_in([(30, 20, 50, 40)])).cards
    assert isinstance(card.held, ByEdges)
    assert {stop.side for stop in card.stops} == sides


def test_one_card_by_edges_rather_than_two_by_holes() -> None:
    holes = {"A": {"at": (30, 35), "drill": 8}, "B": {"at": (90, 35), "drill": 8}}
    artwork = bare_panel(PANEL, holes)
    (card,) = judged(artwork, cut_in([(20, 20, 40, 50), (80, 20, 100, 50)])).cards
    assert card.stops


def test_a_round_panel_takes_two_holes_or_none() -> None:
    panel = {"outline": {"diameter": 120.0}, "datum": "centre"}
    holes = {"A": {"at": (-40, 0), "drill": 6}, "B": {"at": (40, 0), "drill": 6}}
    boxes = [(45.0, 80.0, 75.0, 95.0)]
    (card,) = judged(bare_panel(panel, holes), cut_in(boxes)).cards
    assert {hole.id for hole in card.holes} == {"A", "B"}
    one_hole = judged(bare_panel(panel, {"A": holes["A"]}), cut_in(boxes))
    assert not one_hole.cards
    (left,) = one_hole.unserved
    assert left.why.startswith("no two holes clear of the window")


def test_a_pair_of_holes_too_near_to_each_other_holds_nothing() -> None:
    panel = {"outline": {"diameter": 160.0}, "datum": "centre"}
    holes = {"A": {"at": (-70, 0), "drill": 4}, "B": {"at": (-60, 12), "drill": 4}}
    assert not judged(bare_panel(panel, holes), cut_in([(130.0, 70.0, 150.0, 90.0)])).cards


def test_holes_under_film_that_was_laid_hold_no_later_card() -> None:
    holes = {name: {"at": (x, 35), "drill": 8} for name, x in zip("ABCD", (15, 45, 75, 105),
                                                                 strict=True)}  # fmt: skip
    boxes = [(x - 14, 25, x + 14, 45) for x in (15, 45, 75, 105)]
    artwork = bare_panel(PANEL, holes, method="paint-through")
    cards = judged(artwork, cut_in(boxes))
    laid: set[str] = set()
    for card in cards.cards:
        assert not {hole.id for hole in card.holes} & laid
        laid |= {"ABCD"[piece.number - 1] for piece in card.pieces}


def test_a_panel_larger_than_the_card_has_cards_over_parts_of_it() -> None:
    holes = {f"M{k}": {"at": (10 + 60 * k, 6), "drill": 4} for k in range(10)}
    boxes = [(20.0 + 60 * k, 30.0, 50.0 + 60 * k, 55.0) for k in range(9)]
    artwork = bare_panel({"size": (560.0, 80.0)}, holes)
    cards = judged(artwork, cut_in(boxes))
    assert len(cards.cards) == 2 and not cards.unserved
    whole = bare_panel({"size": (560.0, 80.0)}, holes, card_size=(600.0, 100.0))
    assert numbers(judged(whole, cut_in(boxes))) == [[*range(1, 10)]]


def test_a_card_is_turned_where_it_fits_only_so() -> None:
    artwork = bare_panel(PANEL, CORNERS, card_size=(80.0, 130.0))
    (card,) = judged(artwork, cut_in([(30, 20, 50, 40)])).cards
    assert card.edge.bounds == pytest.approx((0, 0, 120, 70))


def test_what_no_card_serves_is_told_with_the_reason() -> None:
    artwork = bare_panel({"size": (400.0, 70.0)}, {})
    sheets = cut_in([(10, 20, 390, 40), (10, 45, 30, 60), (3000, 0, 3010, 10), (380, 3, 440, 13)])
    cards = judged(artwork, sheets)
    assert numbers(cards) == [[2]]
    assert [(each.piece.number, each.why) for each in cards.unserved] == [
        (1, "with card all round, larger than 287 × 200 mm"),
        (3, "off the panel"),
        (4, "reaching 40 mm over the edge of the panel"),
    ]
    notes = list(without_window(cards, artwork.description))
    assert [note.code for note in notes] == ["no-window"] * 3
    assert notes[0].message == (
        "Piece 1 has no window in a placement card: with card all round, larger than 287 × 200 mm."
    )


def test_a_sheet_bolted_through_its_own_holes_needs_no_card(panel: Callable[..., Artwork]) -> None:
    artwork = panel(method="paint-through", stock="sheet", stock_size=[400, 300])
    cards = judged(artwork, cut(artwork).sheets)
    assert not cards.cards and not cards.unserved
    assert len(cards.bolted) == 1


def test_bare_discs_and_spares_have_no_windows(panel: Callable[..., Artwork]) -> None:
    once = panel(bare=[{"hole": "E", "diameter": 12}])
    twice = panel(bare=[{"hole": "E", "diameter": 12}], copies=2)
    told = [numbers(judged(each, cut(each).sheets)) for each in (once, twice)]
    assert told[0] == told[1]
    pieces = {p.piece.number: p.piece for p in cut(once).sheets[0].placed}
    (disc,) = (number for number, piece in pieces.items() if "bare" in piece.name)
    assert disc not in {number for card in told[0] for number in card}


# --- Any panel ---

sides = st.floats(50, 420)
parts = st.floats(0.02, 0.98)


@st.composite
def panels(draw: st.DrawFn) -> tuple[Artwork, tuple[Sheet, ...]]:
    """A panel with holes anywhere, and pieces anywhere, some of them round holes."""
    width, height = draw(sides), draw(sides)
    centres = draw(st.lists(st.tuples(parts, parts), max_size=10))
    holes = {
        f"H{k}": {"at": (x * width, y * height), "drill": draw(st.sampled_from([3.2, 9.5, 30.0]))}
        for k, (x, y) in enumerate(centres)
    }
    boxes = []
    for x, y in [*centres[::2], *draw(st.lists(st.tuples(parts, parts), min_size=1, max_size=8))]:
        w, h = draw(st.floats(5, 70)), draw(st.floats(5, 40))
        boxes.append((x * width - w / 2, y * height - h / 2, x * width + w / 2, y * height + h / 2))
    size = draw(st.sampled_from([None, (297.0, 420.0), (120.0, 120.0), (100.0, 300.0)]))
    shape = {"size": (width, height)} if draw(st.booleans()) else {"outline": {"diameter": width}}
    shape |= {"datum": draw(st.sampled_from(["lower left", "upper right"]))}
    if "outline" in shape:
        holes = {}
    stencil = {"card_size": size} if size else {}
    method = draw(st.sampled_from(["lift-off", "paint-through"]))
    notch = draw(st.sets(st.integers(1, len(boxes))))
    return bare_panel(shape, holes, method=method, **stencil), cut_in(boxes, notch)


@settings(max_examples=20, deadline=None)
@given(panels())
def test_the_cards_of_any_panel_are_true_whole_and_marked(
    made: tuple[Artwork, tuple[Sheet, ...]],
) -> None:
    judged(*made)
