"""Name the files of a panel that are cut or printed at the bench."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from legend.drawing.cut_files.cut_files import CutFile, files_named
from legend.drawing.placement_card import PLACEMENT_CARD
from legend.drawing.stencil_files import STENCIL
from legend.layout.artwork import Artwork
from legend.sentences import listed
from legend.stencil.cards.card_sheets import card_sheets
from legend.stencil.cards.sharing import cards_for
from legend.stencil.sheet import Sheet


@dataclass(frozen=True, slots=True)
class Files:
    """The description they are made from, and the names of the stencils and placement cards: all
    of one kind of file, and then all of the next."""

    panel: str
    stencils: tuple[tuple[str, ...], ...]
    cards: tuple[tuple[str, ...], ...]
    coupon: str


def files_of(artwork: Artwork, sheets: Sequence[Sheet]) -> Files:
    """The files that are made of an artwork."""
    stencil = artwork.description.stencil
    cards = card_sheets(cards_for(artwork, sheets), stencil)
    return Files(
        Path(artwork.description.source.file or "panel.toml").name,
        _by_kind(files_named(STENCIL, sheets, stencil)),
        _by_kind(files_named(PLACEMENT_CARD, cards, stencil)),
        f"coupon.{stencil.cut_as[0]}",
    )


def _by_kind(files: Sequence[CutFile]) -> tuple[tuple[str, ...], ...]:
    kinds = dict.fromkeys(file.format for file in files)
    return tuple(tuple(file.name for file in files if file.format == kind) for kind in kinds)


def all_of(names: Sequence[Sequence[str]]) -> str:
    """Every name, as code, of one kind of file or of the next; of more than three the first and
    the last."""
    return listed((_all_of(each) for each in names), "or")


def _all_of(names: Sequence[str]) -> str:
    coded = [f"`{name}`" for name in names]
    return f"{coded[0]} to {coded[-1]}" if len(coded) > 3 else listed(coded)
