"""Cut film to the size of the panel, where all that is on it travels on one piece.

Such a piece is laid flush with the edges of the panel, which it covers whole: paint-through needs
no more masking, and the holes in the corners of the panel are on it, which lie the furthest apart.
Where it is parted, the join marks stand at the panel's edge.
"""

from __future__ import annotations

from collections.abc import Sequence

from legend.layout.artwork import Artwork
from legend.lettering.outlines.outline import Box, Outline
from legend.stencil.pieces.splitting import fits
from legend.stencil.sheet import Piece

#: Sides that are no further apart are one, mm.
_SAME = 1e-6
#: So many sides of a piece on edges of the panel lay it true.
_ENOUGH = 2


def cut_to_panel(edge: Outline, ink: Sequence[float], least: float, artwork: Artwork) -> Outline:
    """The edge of the one piece that all marks are on: the panel's, or else its own.

    Its own stays where the panel is no rectangle, where its `ink` comes nearer to the edge of that
    than the `least`, and where that has no room on the stock while its own has.
    """
    description = artwork.description
    stencil, panel = description.stencil, artwork.panel.bounds
    if stencil.stock != "film" or stencil.travelling != "panel" or description.panel.outline:
        return edge
    inside = all(ink[k] >= panel[k] + least and ink[k + 2] <= panel[k + 2] - least for k in (0, 1))
    if not inside or (fits(edge.bounds, stencil) and not fits(panel, stencil)):
        return edge
    return Outline.rectangle(*panel)


def is_flush(artwork: Artwork, piece: Piece) -> bool:
    """Whether a piece of film is cut to the size of the panel, or is a part of such a one."""
    stencil = artwork.description.stencil
    if stencil.stock != "film" or stencil.travelling != "panel":
        return False
    return _sides_on(piece.box, artwork.panel.bounds) >= _ENOUGH


def how_laid_flush(several: bool) -> str:
    """How such a piece is laid, or its several parts, in words."""
    it = "each" if several else "it"
    whole = "The parts together are" if several else "It is"
    return (
        f"Lay transfer tape over {it}, trim tape, film and backing together along the weeding box, "
        f"and lay {it} flush with the edges of the panel. {whole} as large as that. Fold the "
        "backing back by a hand’s breadth, bring that side true, and draw the backing off little "
        "by little as you rub the tape down, so that no air is shut in; a second pair of hands "
        "helps."
    )


def _sides_on(box: Box, panel: Box) -> int:
    return sum(abs(side - edge) < _SAME for side, edge in zip(box, panel, strict=True))
