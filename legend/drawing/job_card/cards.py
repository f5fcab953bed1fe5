"""Tell of the placement cards: which pieces each places, how it is held, and how it is used."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from legend.drawing.job_card.card_picture import card_picture
from legend.drawing.length_words import hole_in_words
from legend.drawing.marks_on_holes import marked_holes
from legend.drawing.spoken import spoken
from legend.layout.artwork import Artwork
from legend.length_words import Lengths
from legend.sentences import listed
from legend.stencil.cards.card import ByEdges, ByHoles, Card, Cards, Unserved
from legend.stencil.cards.sharing import cards_for
from legend.stencil.sheet import Sheet

#: What is added to a step where it applies.
_DISCS = "; push out a disc of film that has stayed in one"
_NEXT = "; then lay the next card"


@dataclass(frozen=True, slots=True)
class CardRow:
    """One placement card as the job card shows it."""

    number: int
    size: str
    pieces: str
    held: str


@dataclass(frozen=True, slots=True)
class CardsSection:
    """All that the job card tells of placement cards.

    `picture` is an `svg` element of the first card on its panel, and `says` what it shows. `use`
    are sentences, step by step. `unserved` tells of pieces by number and name, and why no card
    places them. Without cards `rows`, `picture` and `use` are empty.
    """

    rows: tuple[CardRow, ...]
    use: tuple[str, ...]
    picture: str
    says: str
    unserved: tuple[tuple[str, str], ...]


def cards_section(artwork: Artwork, sheets: Sequence[Sheet]) -> CardsSection:
    """The section on the placement cards of a panel, by what is cut for it."""
    cards = cards_for(artwork, sheets)
    lengths = Lengths(artwork.description.units)
    first = next(iter(cards.cards), None)
    return CardsSection(
        tuple(_row(card, lengths) for card in cards.cards),
        tuple(_use(artwork, cards)) if first else (),
        card_picture(artwork, first) if first else "",
        _shown(first) if first else "",
        tuple(_not_served(cards.unserved)),
    )


def _row(card: Card, lengths: Lengths) -> CardRow:
    x0, y0, x1, y1 = card.edge.bounds
    return CardRow(
        card.number,
        lengths.across((x1 - x0, y1 - y0)),
        numbers(card),
        how_held(card, lengths),
    )


def numbers(card: Card) -> str:
    """The numbers of the pieces that a card places: 1, 3 and 4."""
    return listed(str(piece.number) for piece in card.pieces)


def how_held(card: Card, lengths: Lengths) -> str:
    """What holds a card true to the panel, in words."""
    if isinstance(card.held, ByEdges):
        strips = [
            f"{lengths.short_said(max(x1 - x0, y1 - y0))} along the {stop.side} edge"
            for stop in card.held.stops
            for x0, y0, x1, y1 in [stop.strip]
        ]
        return f"stops of {listed(strips)}"
    holes = [
        f"{hole.id} ({hole_in_words(hole, lengths)} {lengths.unit})" for hole in card.held.holes
    ]
    return f"{'pins in' if card.held.pinned else 'by eye, holes'} {listed(holes)}"


def _use(artwork: Artwork, cards: Cards) -> Iterator[str]:
    """How the cards of this panel are cut and used, step by step."""
    stopped = [card for card in cards.cards if isinstance(card.held, ByEdges)]
    held = [card.held for card in cards.cards if isinstance(card.held, ByHoles)]
    thick = "1/64 to 3/64 in" if artwork.description.units == "in" else "0.3 to 1 mm"
    yield (
        f"Cut them from card or thin sheet, {thick}, with the cutter or by hand along a print "
        "at actual size: figures, holes and windows first, the outline last."
    )
    if stopped:
        which = "every card" if len(stopped) == len(cards.cards) else f"card {_listed(stopped)}"
        yield (
            f"On the back of {which} glue each of the two strips under the tab of its length, "
            "flush with the tab all round. Its inner side is the stop."
        )
    yield (
        "When the base coat is hard, lay a card on the panel so that its words can be read, the "
        "arrow up and the clipped corner at the upper right."
    )
    if any(by.pinned for by in held):
        yield (
            "Put a drill shank or a bolt as thick as the hole through both of its holes and "
            "those of the panel" + _DISCS * _leaves_discs(artwork, cards) + "."
        )
    if any(not by.pinned for by in held):
        yield "Bring holes that take no pin upon those of the panel by eye, and tape the card down."
    if stopped:
        yield "Push both stops against the edges of the panel, and tape the card down."
    yield _laying(artwork) + _NEXT * (len(cards.cards) > 1) + "."


def _laying(artwork: Artwork) -> str:
    """What is done with the pieces that a card places; in sentences, without the last stop."""
    if artwork.description.stencil.stock == "sheet":
        return (
            "Lay each piece into the window with its number, and bolt it on where it has a hole, "
            "or tape it down. Take the card off before you lay a piece that the card would lie on"
        )
    return (
        "Drop each trimmed piece into the window with its number, and rub it down. Take the card "
        "off, and peel the tapes back flat on themselves"
    )


def _leaves_discs(artwork: Artwork, cards: Cards) -> bool:
    """Whether pieces that are laid have discs in holes that a later card is pinned through."""
    stencil = artwork.description.stencil
    if stencil.method != "lift-off":
        return False
    laid: set[str] = set()
    for card in cards.cards:
        if laid.intersection(hole.id for hole in card.holes):
            return True
        laid.update(hole for piece in card.pieces for hole in marked_holes(artwork, piece))
    return False


def _listed(cards: Sequence[Card]) -> str:
    return listed(str(card.number) for card in cards)


def _shown(card: Card) -> str:
    """What the picture shows."""
    by = "the strips glued under its tabs as stops" if card.stops else "its two pins"
    return f"Card {card.number} on the panel, with {by}."


def _not_served(unserved: Sequence[Unserved]) -> Iterator[tuple[str, str]]:
    """Pieces that no card places, those with the same reason together, and the reason."""
    alike: dict[str, list[str]] = {}
    for each in unserved:
        alike.setdefault(each.why, []).append(f"{each.piece.number}, {spoken(each.piece.name)}")
    for why, pieces in alike.items():
        yield "; ".join(pieces), why
