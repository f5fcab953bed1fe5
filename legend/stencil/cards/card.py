"""Define placement cards: masks that lie on the panel, with a window for every trimmed piece.

All in panel coordinates, as the card lies on the panel with its face up.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from legend.layout.artwork import Opening
from legend.lettering.outlines.outline import Box, Outline
from legend.stencil.sheet import Piece


class Side(StrEnum):
    """An edge of the panel that a card can be stopped by."""

    LEFT = "left"
    RIGHT = "right"
    BOTTOM = "bottom"
    TOP = "top"

    @property
    def axis(self) -> int:
        """The axis across it: 0 of an upright edge, 1 of a level one."""
        return 0 if self in (Side.LEFT, Side.RIGHT) else 1

    @property
    def outwards(self) -> int:
        """The way off the panel along that axis."""
        return 1 if self in (Side.RIGHT, Side.TOP) else -1


@dataclass(frozen=True, slots=True, eq=False)
class ByHoles:
    """A card that is held by two drilled holes.

    `pinned` tells that a drill shank or a bolt passes through both; larger ones are brought
    upon each other by eye.
    """

    holes: tuple[Opening, Opening]
    pinned: bool


@dataclass(frozen=True, slots=True)
class Stop:
    """A strip of card that is glued under a tab of the card and lies against an edge.

    `strip` is where it lies: as long as the tab, flush with it outside, its inner side on the
    edge of the panel.
    """

    side: Side
    strip: Box


@dataclass(frozen=True, slots=True)
class ByEdges:
    """A card that is held by stops along two edges of the panel."""

    stops: tuple[Stop, Stop]


@dataclass(frozen=True, slots=True, eq=False)
class Window:
    """The opening that a trimmed piece drops into, and the number beside it, cut through."""

    piece: Piece
    outline: Outline
    number: Outline


@dataclass(frozen=True, slots=True, eq=False)
class Card:
    """One placement card.

    `number` is its own, from 1. `says` is cut through it: which side is up, which way is up, and
    its number of how many. `edge` is its outline, tabs and all, the upper right corner clipped.
    """

    number: int
    windows: tuple[Window, ...]
    held: ByHoles | ByEdges
    says: Outline
    edge: Outline

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """The pieces that it places, in the order of their numbers."""
        return tuple(window.piece for window in self.windows)

    @property
    def stops(self) -> tuple[Stop, ...]:
        """The strips that are glued under it."""
        return self.held.stops if isinstance(self.held, ByEdges) else ()

    @property
    def holes(self) -> tuple[Opening, ...]:
        """The holes that it is held by."""
        return self.held.holes if isinstance(self.held, ByHoles) else ()


@dataclass(frozen=True, slots=True, eq=False)
class Unserved:
    """A piece that no card places, and why, as it is told after a colon."""

    piece: Piece
    why: str


@dataclass(frozen=True, slots=True, eq=False)
class Cards:
    """The placement cards of a panel.

    `unserved` are the pieces without a window, `bolted` those of rigid sheet that need none,
    because bolts through their own holes pin them, and `flush` those of film that are as large as
    the panel, and lie flush with its edges.
    """

    cards: tuple[Card, ...] = ()
    unserved: tuple[Unserved, ...] = ()
    bolted: tuple[Piece, ...] = ()
    flush: tuple[Piece, ...] = ()
