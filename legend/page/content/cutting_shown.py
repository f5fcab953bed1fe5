"""Put what is cut into its message: sheets, placement cards, and where each piece belongs."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from legend.drawing.cut_files.cut_sheet import cut_sheet
from legend.drawing.cut_files.svg_format import sheet_svg
from legend.drawing.spoken import spoken
from legend.drawing.svg import without_unused_namespaces
from legend.layout.artwork import Artwork
from legend.making import summary as account
from legend.page.messages import Cutting, Drawing, Found, PieceShown
from legend.sentences import capitalised, sentence
from legend.stencil.cards.card_sheets import card_sheets
from legend.stencil.cards.sharing import cards_for
from legend.stencil.sheet import Placed, Sheet

#: The `id` of the group of a piece on its sheet, which a page may have several of.
_PIECE = re.compile(r'<g id="piece-(\d+)(?:-copy-\d+)?"')


def cutting_shown(
    revision: int,
    artwork: Artwork,
    sheets: Sequence[Sheet],
    drawing: Drawing | None,
    found: Found,
) -> Cutting:
    """What is cut of an artwork, with the panel as cut, and all that was found with it."""
    cards = cards_for(artwork, sheets)
    on_sheets = card_sheets(cards, artwork.description.stencil)
    count = len(sheets)
    captions = (
        f"{f'Sheet {sheet.number} of {count}: ' if count > 1 else ''}"
        f"{account.of_sheet(sheet, artwork)}"
        for sheet in sheets
    )
    return Cutting(
        revision=revision,
        sheets=tuple(map(_svg, sheets)),
        sheet_captions=tuple(map(sentence, captions)),
        cards=tuple(map(_svg, on_sheets)),
        card_captions=tuple(
            sentence(capitalised(account.of_card(card, len(cards.cards)))) for card in cards.cards
        ),
        pieces=tuple(_pieces(sheets)),
        drawing=drawing,
        found=found,
    )


def shows_otherwise(artwork: Artwork) -> bool:
    """Whether a panel with its letters as cut looks otherwise than as they are laid out."""
    stencil = artwork.description.stencil
    return stencil.stock == "sheet" or stencil.method == "paint-through"


def _svg(sheet: Sheet) -> str:
    """A sheet as one `svg` element, its pieces by `data-piece`."""
    drawn = without_unused_namespaces(sheet_svg(cut_sheet(sheet)))
    return _PIECE.sub(r'<g data-piece="\1"', drawn)


def _pieces(sheets: Sequence[Sheet]) -> Iterator[PieceShown]:
    """Every piece where it lies, spares as well."""
    for number, sheet in enumerate(sheets):
        for placed in sheet.placed:
            yield PieceShown(
                placed.piece.number,
                spoken(placed.piece.name),
                number,
                _on_sheet(placed, sheet),
                placed.piece.box,
            )


def _on_sheet(placed: Placed, sheet: Sheet) -> tuple[float, float, float, float]:
    """Where a piece lies in the drawing of its sheet, y running down: left, top, right, bottom."""
    (x0, y0, x1, y1), (across, along) = placed.box, sheet.stretch
    height = sheet.size[1]
    return x0 * across, (height - y1) * along, x1 * across, (height - y0) * along
