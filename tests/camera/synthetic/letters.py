"""Lay film letters on a plate, each piece a little off and turned, or wrongly altogether."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from legend.lettering.outlines.outline import box_round
from legend.stencil.sheet import Cut, Piece

from .coverage import Points
from .plates import Plate
from .rims import parted, turned
from .scenes import Film, Mark
from .surfaces import Colour

State = Literal["laid", "missing", "upside down", "exchanged"]

COLOURED: Sequence[Colour] = (
    (0.50, 0.02, 0.02),
    (0.02, 0.10, 0.45),
    (0.03, 0.30, 0.08),
    (0.85, 0.55, 0.02),
    (0.60, 0.10, 0.02),
)

#: What clear film scatters has no colour; what lets less through is tinted.
HAZE: Colour = (0.75, 0.75, 0.75)
_TINTED = 0.8

OPAQUE, CLEAR, TRANSLUCENT = Film(), Film(0.1, 0.93, 0.06), Film(0.1, 0.5, 0.05)


@dataclass(frozen=True, slots=True)
class LaidPiece:
    """How a piece lies: right and up of its place, mm, clockwise about the middle of its letters.

    An exchanged one lies, so far off, in the place of the piece `instead_of`.
    """

    number: int
    right: float = 0.0
    up: float = 0.0
    clockwise: float = 0.0
    state: State = "laid"
    instead_of: int = 0


def laid_by_chance(
    pieces: Iterable[Piece], rng: np.random.Generator, off: float = 0.25, turn: float = 0.4
) -> dict[int, LaidPiece]:
    """Pieces as careful hands lay them: most within some tenths; two in ten are further off."""
    laid = {}
    for piece in pieces:
        far = float(rng.choice([1.0, 3.0], p=[0.8, 0.2]))
        right, up = rng.normal(0, off * far, 2)
        laid[piece.number] = LaidPiece(
            piece.number,
            float(np.clip(right, -2, 2)),
            float(np.clip(up, -2, 2)),
            float(np.clip(rng.normal(0, turn * far), -2.5, 2.5)),
        )
    return laid


def letters(
    plate: Plate,
    pieces: Sequence[Piece],
    laid: Mapping[int, LaidPiece],
    colour: Colour,
    film: Film = OPAQUE,
) -> Iterator[Mark]:
    """The letters of pieces as marks on the plate; places are measured from its datum."""
    by_number = {piece.number: piece for piece in pieces}
    for piece in pieces:
        lies = laid[piece.number]
        if lies.state == "missing":
            continue
        rings = [parted(ring, 1.0) for ring in _rings(piece)]
        if not rings:
            continue
        middle = letters_middle(piece)
        to = middle if not lies.instead_of else letters_middle(by_number[lies.instead_of])
        way = lies.clockwise + (180 if lies.state == "upside down" else 0)
        shift = to + np.array([lies.right, lies.up])
        moved = tuple(plate.places(turned(ring - middle, way) + shift) for ring in rings)
        tone = HAZE if film.clear > _TINTED else colour
        yield Mark(moved, tone, 1.0 - film.clear, film.gloss, film)


def letters_middle(piece: Piece) -> Points:
    """The middle of the box round the letters of a piece, mm from the datum."""
    left, bottom, right, top = box_round(
        [path.outline.bounds for path in piece.paths if path.cut is Cut.MARK]
    )
    return np.array([(left + right) / 2, (bottom + top) / 2])


def _rings(piece: Piece) -> list[Points]:
    return [
        np.asarray(ring, float)
        for path in piece.paths
        if path.cut is Cut.MARK
        for ring in path.outline.rings
    ]
