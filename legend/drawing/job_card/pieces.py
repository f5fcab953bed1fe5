"""Tell where every piece of a stencil goes, by its two distances and a picture of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from legend.drawing.job_card.weeding import by_word, with_care
from legend.drawing.placing.piece_picture import PictureSize, piece_picture
from legend.drawing.placing.piece_places import (
    Distance,
    PiecePlace,
    goes_on_first,
    in_laying_order,
    piece_places,
)
from legend.drawing.spoken import spoken
from legend.layout.artwork import Artwork
from legend.length_words import Lengths
from legend.sentences import listed
from legend.stencil.pieces.reference_lines import ReferenceLine, reference_lines
from legend.stencil.sheet import Sheet, pieces_of
from legend.stencil.weeding_list import Island

#: Pictures stand three in a row; that of a long or a large piece may take the whole row: mm on
#: paper.
_IN_A_ROW = PictureSize(56.0, 42.0, 2.6, 1.0)
_BY_ITSELF = PictureSize(178.0, 70.0, 2.6, 1.0)
#: A picture that shrinks its piece to less than this takes the whole row, where the piece is so
#: many times larger then.
_TOO_SMALL, _MUCH_LARGER = 0.45, 1.6


@dataclass(frozen=True, slots=True)
class PieceRow:
    """One piece as the card shows it: where its weeding box lies, and what is weeded.

    `across` and `up` are its distances, each a figure, and on which side of a centre line.
    `picture` is an `svg` element. `goes_on_first` tells that it is on before the base coat.
    """

    number: int
    name: str
    size: str
    across: str
    up: str
    sheet: str
    picture: str
    goes_on_first: bool
    islands: int
    words: tuple[str, ...]
    care: tuple[str, ...]


def piece_rows(
    artwork: Artwork,
    sheets: Sequence[Sheet],
    small: Mapping[int, Sequence[Island]],
    lengths: Lengths,
) -> Iterator[PieceRow]:
    """Every piece, in the order of the numbers; `small` are its counters and dots, by these."""
    lies_on: dict[int, list[int]] = {}
    for sheet in sheets:
        for placed in sheet.placed:
            lies_on.setdefault(placed.piece.number, []).append(sheet.number)
    pieces = pieces_of(sheets)
    for place in piece_places(artwork.description.panel, pieces, lengths):
        piece = place.piece
        x0, y0, x1, y1 = piece.box
        on = lies_on[piece.number]
        spares = len(on) - 1
        own = small.get(piece.number, ())
        yield PieceRow(
            piece.number,
            spoken(piece.name),
            f"{lengths(x1 - x0)} × {lengths(y1 - y0)}",
            _in_column(place.across),
            _in_column(place.up),
            ", ".join(map(str, sorted(set(on)))) + (f" ({spares} spare)" if spares else ""),
            _picture(artwork, place),
            goes_on_first(piece),
            len(own),
            tuple(by_word(own)),
            tuple(with_care(own, lengths)),
        )


def _picture(artwork: Artwork, place: PiecePlace) -> str:
    picture = piece_picture(artwork, place, _IN_A_ROW, "mm")
    if picture.scale < _TOO_SMALL:
        large = piece_picture(artwork, place, _BY_ITSELF, "mm")
        if large.scale > _MUCH_LARGER * picture.scale:
            return large.svg
    return picture.svg


# --- What is measured from ---


def _in_column(distance: Distance) -> str:
    """A distance in the table: what is read off the rule, and on which side of a centre line."""
    return f"{distance.signed} {distance.beside}".strip()


def headings(artwork: Artwork) -> tuple[str, str]:
    """What stands over the two columns of distances."""
    across, up = reference_lines(artwork.description.panel)
    return _heading(across), _heading(up)


def _heading(line: ReferenceLine) -> str:
    return f"From {line.side}" if line.is_edge else f"From {line.called}"


def set_off_from(artwork: Artwork) -> str:
    """What distances are measured from, and where to; in sentences."""
    across, up = reference_lines(artwork.description.panel)
    said = f"Distances run from the {across.called} and the {up.called} of the panel "
    said += "to the nearer sides of the weeding box."
    scribed = [line for line in (across, up) if not line.is_edge]
    if not scribed:
        return said
    if len(scribed) > 1:
        said = "Distances run from two centre lines, one upright and one level, to the nearer "
        said += "sides of the weeding box; where a line runs through the box, to its left or "
        said += "its lower side."
    them, show = ("them", "they show") if len(scribed) > 1 else ("it", "it shows")
    return f"{said} Scribe {them} into the bare metal, so that {show} through the base coat."


def laying_order(artwork: Artwork, sheets: Sequence[Sheet], lengths: Lengths) -> str:
    """In which order the pieces are laid, in a sentence; "" where there is nothing to choose."""
    places = piece_places(artwork.description.panel, pieces_of(sheets), lengths)
    later = [p for p in in_laying_order(places) if not goes_on_first(p.piece)]
    if len(later) < len(("one", "other")):
        return ""
    numbers = listed(str(place.piece.number) for place in later)
    return f"Lay them in this order, so that the rule never lies on what is laid: {numbers}."
