"""Find the pieces that no placement card places: Cards in, Findings out."""

from __future__ import annotations

from collections.abc import Iterator

from legend.description.tables.description import Description
from legend.layout.artwork import Finding, Severity
from legend.sentences import listed
from legend.stencil.cards.card import Cards, Unserved


def without_window(cards: Cards, description: Description) -> Iterator[Finding]:
    """A note for the pieces that no card places for the same reason."""
    alike: dict[str, list[Unserved]] = {}
    for each in cards.unserved:
        alike.setdefault(each.why, []).append(each)
    stencil = description.stencil
    for why, pieces in alike.items():
        numbers = [str(each.piece.number) for each in pieces]
        several = len(numbers) > 1
        yield Finding(
            Severity.NOTE,
            "no-window",
            f"Piece{'s' if several else ''} {listed(numbers)} {'have' if several else 'has'} no "
            f"window in a placement card: {why}.",
            stencil.source_of("card_size"),
            f"Lay {'them' if several else 'it'} by the overlay or by the distances on the job "
            "card, or give a larger stencil.card_size.",
            _middle(pieces[0]),
            tuple(_middle(each) for each in pieces) if several else (),
        )


def _middle(each: Unserved) -> tuple[float, float]:
    x0, y0, x1, y1 = each.piece.box
    return (x0 + x1) / 2, (y0 + y1) / 2
