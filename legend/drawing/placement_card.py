"""Write placement cards for the cutter: one SVG file a card, its stops beside it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path as FilePath

from legend.drawing.stencil_svg import sheet_file
from legend.layout.artwork import Artwork
from legend.stencil.cards.card import Cards
from legend.stencil.cards.card_sheets import card_sheets
from legend.stencil.cards.sharing import cards_for
from legend.stencil.sheet import Sheet
from legend.writing import write_all

#: How the files of the cards are called.
PLACEMENT_CARDS = re.compile(r"placement-card-\d+\.svg")


def write_placement_cards(
    artwork: Artwork, sheets: Sequence[Sheet], folder: FilePath
) -> list[FilePath]:
    """Write `placement-card-1.svg` and so on, and remove those of an earlier run that had more.

    All are written, or none. Errors: as `write_all`.
    """
    return write_all(folder, card_files(artwork, cards_for(artwork, sheets)), PLACEMENT_CARDS)


def card_files(artwork: Artwork, cards: Cards) -> dict[str, bytes]:
    """The files of the cards by their names."""
    called, count = artwork.description.called, len(cards.cards)
    return {
        f"placement-card-{sheet.number}.svg": sheet_file(
            sheet, f"{called}, placement card {sheet.number} of {count}"
        )
        for sheet in card_sheets(cards, artwork.description.stencil)
    }
