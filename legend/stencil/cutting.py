"""Cut a panel's stencils: Artwork in, Sheets out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from legend.description import stock
from legend.layout.artwork import Artwork
from legend.lettering.outline import Contour, Outline
from legend.stencil.joining import joined
from legend.stencil.knife import in_knife_order
from legend.stencil.nesting import nest
from legend.stencil.pieces import Gathering, gather
from legend.stencil.sheet import Box, Cut, Path, Piece, Sheet


def cut(artwork: Artwork) -> tuple[Sheet, ...]:
    """The stencils of a panel, nested on the stock in knife order.

    What could not be done as asked is among the findings of the sheet it is on.
    """
    stencil = artwork.description.stencil
    pieces = _pieces(artwork, stock.limits(stencil))
    return nest(pieces, stencil)


def _pieces(artwork: Artwork, limits: stock.StockLimits) -> list[Piece]:
    gatherings = gather(artwork, limits)
    paths = [[*_paths(gathering)] for gathering in gatherings]
    return [
        Piece(
            number,
            gathering.name,
            gathering.owners,
            gathering.box,
            (*ordered, _round(gathering.box, ordered)),
        )
        for number, (gathering, ordered) in enumerate(
            zip(gatherings, in_knife_order(paths), strict=True), start=1
        )
    ]


def _paths(gathering: Gathering) -> Iterator[Path]:
    if gathering.bare:
        yield Path(Cut.BARE, gathering.bare)
    for outline in joined([mark.outline for mark in gathering.marks]):
        yield Path(Cut.MARK, outline)
    for outline in joined(gathering.registration):
        yield Path(Cut.REGISTRATION, outline)


def _round(box: Box, cuts: Sequence[Path]) -> Path:
    """The weeding box, begun at the corner nearest to where the knife comes from."""
    x0, y0, x1, y1 = box
    corners = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)])
    last = cuts[-1].outline.contours[-1].points[0]
    nearest = int(np.hypot(*(corners[:4] - last).T).argmin())
    turned = np.vstack([corners[nearest:], corners[1 : nearest + 1]])
    return Path(Cut.WEEDING, Outline((Contour("LLLL", turned),)))
