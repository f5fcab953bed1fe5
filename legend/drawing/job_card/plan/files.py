"""Name the files of a panel that are cut or printed at the bench."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from legend.layout.artwork import Artwork
from legend.sentences import listed
from legend.stencil.cards.sharing import cards_for
from legend.stencil.sheet import Sheet


@dataclass(frozen=True, slots=True)
class Files:
    """The description they are made from, and the names of the stencils and placement cards."""

    panel: str
    stencils: tuple[str, ...]
    cards: tuple[str, ...]


def files_of(artwork: Artwork, sheets: Sequence[Sheet]) -> Files:
    """The files that are made of an artwork."""
    return Files(
        Path(artwork.description.source.file or "panel.toml").name,
        tuple(f"stencil-{sheet.number}.svg" for sheet in sheets),
        tuple(f"placement-card-{card.number}.svg" for card in cards_for(artwork, sheets).cards),
    )


def all_of(names: Sequence[str]) -> str:
    """Every name, as code; of more than three the first and the last."""
    coded = [f"`{name}`" for name in names]
    return f"{coded[0]} to {coded[-1]}" if len(coded) > 3 else listed(coded)
