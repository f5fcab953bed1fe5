"""Say how the marks on holes show that a piece of film lies true, and which piece has any."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from legend.description.tables.description import Stencil
from legend.layout.artwork import Artwork
from legend.stencil.sheet import Cut, Piece


def marked_holes(artwork: Artwork, piece: Piece) -> list[str]:
    """The holes that the marks of a piece lie on; for which a piece of sheet has holes itself."""
    marks = [path.outline.shape for path in piece.paths if path.cut is Cut.REGISTRATION]
    holes = np.array([opening.outline.shape for opening in artwork.openings], dtype=object)
    if not len(holes) or not marks:
        return []
    on = sorted(set(shapely.STRtree(holes).query(marks, "intersects")[1].tolist()))
    return [artwork.openings[k].id for k in on]


def how_shown(stencil: Stencil, count: int) -> str:
    """That a piece of film with so many marks on holes lies true, as a sentence."""
    if stencil.method == "lift-off":
        said = (
            "The disc sits in its hole, with an even gap all round"
            if count == 1
            else f"{_all(count)} discs sit in their holes, with an even gap all round"
        )
    else:
        said = (
            "The circle lies on its hole, edge on edge all round"
            if count == 1
            else f"{_all(count)} circles lie on their holes, edge on edge all round"
        )
    if stencil.registration == "cross":
        said += f", and {'its' if count == 1 else 'their'} cross lines on the scribed ones"
    return f"{said}; the box is square." if count == 1 else f"{said}."


def how_they_show(stencil: Stencil, counts: Sequence[int]) -> str:
    """What the marks on holes of pieces of film are for, which have so many each; "" without any.

    In sentences, for the step in which the pieces are laid.
    """
    most = max(counts, default=0)
    if not most:
        return ""
    if stencil.method == "lift-off":
        said = "A disc in its hole shows that the piece is centred: the gap is even all round"
    else:
        said = "A circle on its hole shows that the piece is centred: edge on edge all round"
    if stencil.registration == "cross":
        said += "; so do its cross lines on the scribed ones"
    if most == 1:
        return f"{said}. Then see that the box is square to the panel."
    return f"{said}. Two show that it is straight as well; with one, see that its box is square."


def _all(count: int) -> str:
    return "Both" if count == 2 else "All"
