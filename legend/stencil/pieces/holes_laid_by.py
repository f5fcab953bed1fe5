"""Choose the holes that a piece of film is laid by: a piece with marks on all of its holes in, the
same piece with the few in it that make it true out.

More discs are more to cut, to weed and to look at, and a third tells nothing that two do not. The
first is on the hole that the piece belongs to, since its legends are centred on that; the others
are as far from it, and from each other, as can be, so that a piece that is turned shows it. What
was drilled is truer than what was filed, so that a round hole comes before one that is not, unless
that is twice as far away.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from legend.description.tables.description import Stencil
from legend.layout.artwork import Opening
from legend.lettering.outlines.outline import Outline
from legend.stencil.pieces.lanes import is_round
from legend.stencil.pieces.uncut_piece import UncutPiece

#: What the distance of a hole counts for that is not round. Common practice, no source.
_NOT_DRILLED = 0.5


def laid_by_few(piece: UncutPiece, on: Mapping[Outline, Opening], stencil: Stencil) -> UncutPiece:
    """The piece with marks on so many of its holes as the stencil is to have at the most.

    `on` has the opening that each mark is on. A sheet keeps all of its holes: bolts pin it.
    """
    most = stencil.registration_holes
    if piece.bare or stencil.stock == "sheet" or len(piece.registration) <= most:
        return piece
    openings = [on[mark] for mark in piece.registration]
    own = [k for k, opening in enumerate(openings) if opening.id in piece.owners]
    chosen = _chosen(openings, own, most, _middle(piece))
    return replace(piece, registration=tuple(piece.registration[k] for k in sorted(chosen)))


def _chosen(
    openings: Sequence[Opening], own: Sequence[int], most: int, middle: NDArray[np.float64]
) -> list[int]:
    """So many of the openings; `own` are those that the piece belongs to."""
    at = np.array([opening.centre for opening in openings])
    counts = np.array([1.0 if is_round(o.outline) else _NOT_DRILLED for o in openings])
    if len(own) == 1:
        chosen = [own[0]]
    elif most == 1:
        some = np.array(own or range(len(at)))
        chosen = [int(some[np.hypot(*(at[some] - middle).T).argmin()])]
    else:
        apart = np.hypot(*(at[:, None] - at).transpose(2, 0, 1)) * counts * counts[:, None]
        one, other = np.unravel_index(apart.argmax(), apart.shape)
        chosen = [int(one), int(other)]
    while len(chosen) < most:
        away = np.hypot(*(at[:, None] - at[chosen]).transpose(2, 0, 1)).min(axis=1) * counts
        away[chosen] = -1
        chosen.append(int(away.argmax()))
    return chosen


def _middle(piece: UncutPiece) -> NDArray[np.float64]:
    x0, y0, x1, y1 = piece.box
    return np.array([(x0 + x1) / 2, (y0 + y1) / 2])
