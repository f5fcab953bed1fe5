"""Tell where every piece of a stencil lies on the panel, by its distances from two edges."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from legend.description.tables.description import Panel
from legend.drawing.job_card.spoken import spoken
from legend.drawing.job_card.weeding import by_word, with_care
from legend.drawing.job_card.work import keeps_bare
from legend.layout.artwork import Artwork
from legend.length_words import Lengths
from legend.stencil.sheet import Sheet, pieces_of
from legend.stencil.weeding_list import Island


@dataclass(frozen=True, slots=True)
class PieceRow:
    """One piece as the card shows it: where its weeding box lies, and what is weeded."""

    number: int
    name: str
    size: str
    across: str
    up: str
    sheet: str
    bare: bool
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
    left, bottom, right, top = artwork.panel.bounds
    across, up = edges_set_off_from(artwork.description.panel.datum)
    lies_on: dict[int, list[int]] = {}
    for sheet in sheets:
        for placed in sheet.placed:
            lies_on.setdefault(placed.piece.number, []).append(sheet.number)
    for piece in pieces_of(sheets):
        x0, y0, x1, y1 = piece.box
        on = lies_on[piece.number]
        spares = len(on) - 1
        own = small.get(piece.number, ())
        yield PieceRow(
            piece.number,
            spoken(piece.name),
            f"{lengths(x1 - x0)} × {lengths(y1 - y0)}",
            lengths(right - x1 if across == "right" else x0 - left),
            lengths(top - y1 if up == "top" else y0 - bottom),
            ", ".join(map(str, sorted(set(on)))) + (f" ({spares} spare)" if spares else ""),
            keeps_bare(piece),
            len(own),
            tuple(by_word(own)),
            tuple(with_care(own, lengths)),
        )


def edges_set_off_from(datum: str) -> tuple[str, str]:
    """The two edges of the panel that pieces are set off from: those that meet at the datum."""
    return (
        "right" if "right" in datum else "left",
        "top" if "upper" in datum else "bottom",
    )


def set_off_from(panel: Panel) -> str:
    """Those edges in words; of a panel that has none, the points that are furthest out."""
    across, up = edges_set_off_from(panel.datum)
    if panel.outline is None:
        return f"{across} and the {up} edge"
    return f"{across}most and the {'highest' if up == 'top' else 'lowest'} point"
