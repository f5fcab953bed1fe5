"""Write the page for a phone or a tablet at the bench: piece after piece, where it goes.

One HTML file that needs nothing but itself, and no server. Without its script all pieces stand
one under the other; with it, one at a time, and it keeps which are placed where the browser lets
a file keep anything.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from legend.drawing.length_words import panel_size
from legend.drawing.marks_on_holes import how_shown, marked_holes
from legend.drawing.page_template import page_template
from legend.drawing.placing.panel_map import panel_map
from legend.drawing.placing.piece_picture import PictureSize, piece_picture
from legend.drawing.placing.piece_places import (
    PiecePlace,
    goes_on_first,
    in_laying_order,
    piece_places,
)
from legend.drawing.spoken import spoken
from legend.layout.artwork import Artwork
from legend.length_words import Lengths
from legend.stencil.pieces.corner_marks import how_laid
from legend.stencil.pieces.lanes import can_turn
from legend.stencil.sheet import Sheet, pieces_of
from legend.writing import MARK, write_whole

_TEMPLATE = Path(__file__).with_name("placing.html.j2")
#: The picture of a piece, in hundredths of the width of its place.
_LARGE = PictureSize(100.0, 62.0, 6.2, 8.0)
#: So much of a digest tells one set of places from another.
_OF_DIGEST = 16


@dataclass(frozen=True, slots=True)
class _Shown:
    """One piece as the page shows it."""

    place: PiecePlace
    name: str
    picture: str
    how: str


def write_placing_page(artwork: Artwork, sheets: Sequence[Sheet], path: Path) -> None:
    """Write the page. Errors: as `write_whole`."""
    write_whole(path, placing_html(artwork, sheets))


def placing_html(artwork: Artwork, sheets: Sequence[Sheet]) -> bytes:
    """The page as an HTML file."""
    description = artwork.description
    lengths = Lengths(description.units)
    places = piece_places(description.panel, pieces_of(sheets), lengths)
    page = page_template(_TEMPLATE).generate(
        mark=MARK,
        title=description.called,
        panel=panel_size(description),
        unit=lengths.unit,
        key=_key(description.called, places),
        map=panel_map(artwork, places),
        mirror=description.stencil.mirror,
        pieces=[
            _Shown(
                place,
                spoken(place.piece.name),
                piece_picture(artwork, place, _LARGE).svg,
                _how(artwork, place, lengths),
            )
            for place in in_laying_order(places)
        ],
    )
    return b"".join(text.encode() for text in page)


def _key(title: str, places: Sequence[PiecePlace]) -> str:
    """What ticks are kept under: another one where any piece goes elsewhere than before."""
    told = [title, *(f"{p.piece.number} {p.piece.name} {p.piece.box}" for p in places)]
    return hashlib.sha256("\n".join(told).encode()).hexdigest()[:_OF_DIGEST]


def _how(artwork: Artwork, place: PiecePlace, lengths: Lengths) -> str:
    """How this piece is brought to its place, besides its distances."""
    stencil, piece = artwork.description.stencil, place.piece
    if goes_on_first(piece):
        return "It goes on the bare metal, before the base coat."
    on = marked_holes(artwork, piece)
    if not on:
        by_itself = "No hole shows where it goes: its two distances alone do."
        return how_laid([piece], stencil, lengths) or by_itself
    if stencil.stock == "sheet":
        if can_turn(piece):
            return "Bolt it through its hole, and turn it true by the distances: it can turn."
        return "Bolt it to the panel through its holes; the distances are a check."
    return how_shown(stencil, len(on))
