"""Files of placement cards: the card and its stops as the cutter takes them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from legend.drawing.placement_card import card_files, write_placement_cards
from legend.layout.artwork import Artwork
from legend.stencil.cards.card_sheets import card_sheets
from legend.stencil.cards.sharing import cards_for
from legend.stencil.sheet import Sheet
from legend.writing import is_ours

_SVG = "{http://www.w3.org/2000/svg}"

MakeArtwork = Callable[..., Artwork]
MakeSheets = Callable[..., tuple[Sheet, ...]]


def drawn(file: bytes) -> list[tuple[str, list[str]]]:
    """Each group's id and the classes of its paths, in the order of the knife."""
    root = ElementTree.fromstring(file)
    return [
        (str(group.get("id")), [str(path.get("class")) for path in group.iter(f"{_SVG}path")])
        for group in root.iter(f"{_SVG}g")
    ]


def files(artwork: Artwork, sheets: tuple[Sheet, ...]) -> dict[str, bytes]:
    return card_files(artwork, cards_for(artwork, sheets))


def test_figures_holes_and_windows_come_before_the_outline_that_frees_the_card(
    artwork: Artwork, sheets: tuple[Sheet, ...]
) -> None:
    cards = cards_for(artwork, sheets).cards
    written = files(artwork, sheets)
    assert list(written) == [f"placement-card-{card.number}.svg" for card in cards]
    for card, file in zip(cards, written.values(), strict=True):
        (_, classes), *stops = drawn(file)
        assert classes[-1] == "weeding"
        assert classes.count("weeding") == 1 + len(card.windows)
        assert classes.count("mark") == 1 + len(card.windows)
        assert classes.count("registration") == len(card.holes)
        assert [classes for _, classes in stops] == [["weeding"]] * len(card.stops)


def test_stops_are_cut_beside_the_card(make_artwork: MakeArtwork, make_sheets: MakeSheets) -> None:
    artwork = make_artwork(holes={}, control=[], bare=[])
    written = files(artwork, make_sheets(artwork))
    (file,) = written.values()
    assert [name for name, _ in drawn(file)] == ["piece-1", "piece-2", "piece-3"]


def test_each_file_says_which_card_it_is_of_how_many(
    artwork: Artwork, sheets: tuple[Sheet, ...]
) -> None:
    written = files(artwork, sheets)
    for number, file in enumerate(written.values(), 1):
        assert f"placement card {number} of {len(written)}" in file.decode()


def test_the_files_are_our_own_and_those_of_an_earlier_run_go(
    artwork: Artwork, sheets: tuple[Sheet, ...], tmp_path: Path
) -> None:
    written = write_placement_cards(artwork, sheets, tmp_path)
    assert written and all(is_ours(path) for path in written)
    assert sorted(tmp_path.iterdir()) == sorted(written)
    assert write_placement_cards(artwork, (), tmp_path) == []
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("mirror", [False, True])
def test_the_card_is_cut_as_true_as_the_stencil_and_from_its_face(
    artwork: Artwork, sheets: tuple[Sheet, ...], mirror: bool
) -> None:
    changed: dict[str, Any] = {"measured": (49.8, 50.1), "overrun": 0.3, "mirror": mirror}
    stencil = artwork.description.stencil.model_copy(update=changed)
    description = artwork.description.model_copy(update={"stencil": stencil})
    corrected = cards_for(replace(artwork, description=description), sheets)
    plain = cards_for(artwork, sheets)
    pairs = zip(
        card_sheets(corrected, stencil),
        card_sheets(plain, artwork.description.stencil),
        strict=True,
    )
    for card, before in pairs:
        assert card.stretch == pytest.approx((50 / 49.8, 50 / 50.1))
        assert card.overrun == 0.3
        assert card.size == before.size
        assert [each.affine for each in card.placed] == [each.affine for each in before.placed]
