"""Draw by chance how letters that were cut for a panel are laid on it, and photograph them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from legend import cut, lay_out
from legend.description.tables.description import Description
from legend.stencil.sheet import Cut, pieces_of

from .cases import even_lamp, from_above, phone
from .letters import COLOURED, OPAQUE, LaidPiece, laid_by_chance, letters
from .plates import Hand, made_from
from .scenes import Film
from .shots import BLACK_PAPER, WHITE_PAPER, Shot, photo
from .surfaces import Colour, painted

#: How far holes lie from where they were measured to be: what callipers miss.
MEASURED = Hand(off=0.03, oversize=0.02, filed=0.0, chamfered=0.1, burred=0.0)

#: Base coats that letters are laid on.
BASES: tuple[Colour, ...] = (
    (0.80, 0.79, 0.74),
    (0.75, 0.68, 0.48),
    (0.55, 0.57, 0.58),
    (0.05, 0.05, 0.055),
    (0.10, 0.16, 0.30),
)


@dataclass(frozen=True, slots=True, eq=False)
class LaidCase:
    """A photograph of letters laid on a panel in its base coat, and how each piece lies."""

    name: str
    shot: Shot
    laid: Mapping[int, LaidPiece]


def with_letters(
    description: Description,
    seed: int,
    shape: tuple[int, int] = (3024, 4032),
    changed: Mapping[int, LaidPiece] | None = None,
    colour: Colour | None = None,
    base: Colour | None = None,
    film: Film = OPAQUE,
    hand: Hand = MEASURED,
) -> LaidCase:
    """A panel in its base coat with the letters that are cut for it, laid by hand.

    `changed` says how certain pieces lie, the others lie by chance; `hand` is by how much the holes
    are elsewhere than the description has them.
    """
    rng = np.random.default_rng([seed, 8])
    pieces = [
        piece
        for piece in pieces_of(cut(lay_out(description)).sheets)
        if any(path.cut is Cut.MARK for path in piece.paths)
    ]
    plate = made_from(description, rng, hand, float(rng.choice([1.5, 2.0, 3.0])))
    laid = laid_by_chance(pieces, rng) | dict(changed or {})
    colour = colour or COLOURED[int(rng.integers(len(COLOURED)))]
    unlike = [each for each in BASES if math.dist(np.sqrt(each), np.sqrt(colour)) > 0.65]
    base = base or unlike[rng.integers(len(unlike))]
    finish = painted(base)
    marks = tuple(letters(plate, pieces, laid, colour, film))
    width, height = plate.size
    eye = from_above(plate, shape, 0.82 * min(shape[1] / width, shape[0] / height), rng)
    shot = photo(
        plate,
        seed,
        shape,
        finish,
        BLACK_PAPER if max(base) > 0.15 else WHITE_PAPER,
        marks,
        walls=base,
        eye=eye,
        lighting=even_lamp(plate, eye, rng),
        sensor=phone(eye, rng),
    )
    return LaidCase(f"letters {seed}", shot, laid)
