"""Write placement cards for the cutter: a sheet for each card, its stops beside it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path as FilePath

from legend.drawing.cut_files.cut_files import CutJob, cut_files, earlier_files
from legend.layout.artwork import Artwork
from legend.stencil.cards.card import Cards
from legend.stencil.cards.card_sheets import card_sheets
from legend.stencil.cards.sharing import cards_for
from legend.stencil.sheet import Sheet
from legend.writing import write_all

#: How the files of the cards are called.
PLACEMENT_CARD = "placement-card"


def write_placement_cards(
    artwork: Artwork, sheets: Sequence[Sheet], folder: FilePath
) -> list[FilePath]:
    """Write `placement-card-1.svg` and so on, and remove those of an earlier run that had more.

    What else is written, or instead, is told by `cut_as` of the description. All are written, or
    none. Errors: as `write_all`; PlainError where a card is too large for the kind of file.
    """
    earlier = earlier_files([PLACEMENT_CARD], artwork.description.stencil.cut_as)
    return write_all(folder, card_files(artwork, cards_for(artwork, sheets)), earlier)


def card_files(artwork: Artwork, cards: Cards) -> dict[str, bytes]:
    """The files of the cards by their names."""
    description, count = artwork.description, len(cards.cards)
    called, on_sheets = description.called, card_sheets(cards, description.stencil)
    says = tuple(f"{called}, placement card {sheet.number} of {count}" for sheet in on_sheets)
    whole = f"{called}, all placement cards" if count > 1 else "".join(says)
    job = CutJob(PLACEMENT_CARD, says, whole)
    return cut_files(on_sheets, job, description.stencil, description.units)
