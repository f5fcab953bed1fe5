"""Find how a piece of film lies in its own place: what is seen of film in, a place out."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from legend.camera.letters.film_seen.seen_film import Patch, SeenPiece
from legend.camera.letters.pieces.fine_place import FinePlace, fine_place
from legend.camera.letters.pieces.lost_parts import lost_parts
from legend.camera.letters.pieces.rough_place import rough_place
from legend.camera.letters.pieces.wanted import Wanted
from legend.camera.view import Points
from legend.drawing.proofs.coverage import Grid
from legend.stencil.sheet import Piece

Cover = NDArray[np.float32]

#: How far off a piece is looked for, mm and degrees; and once more, where it is not found there.
_REACH, _TURNS = 2.5, np.arange(-3.0, 3.1, 0.75)
_FURTHER, _FURTHER_TURNS = 4.0, np.arange(-9.0, 9.1, 1.0)
#: Rough places are found with so many pixels to the mm, about.
_ROUGHLY = 6.0
#: What is less alike than this, roughly, is not looked at finely.
_LEAST_ALIKE = 0.25
#: Letters are there that explain so much of what is seen, and are so much of film.
_LEAST_FIT, _LEAST_FILM = 0.3, 0.4
#: Of letters that are seen by less than this part, nothing is told.
_LEAST_SEEN = 0.9


class How(StrEnum):
    """How a piece lies."""

    FOUND = "found"
    MISSING = "missing"
    UPSIDE_DOWN = "upside down"
    MIRRORED = "mirrored"
    EXCHANGED = "exchanged"
    UNTOLD = "untold"
    OUTSIDE = "outside"


@dataclass(frozen=True, slots=True, eq=False)
class LaidPiece:
    """How a piece lies: right and up, mm, and clockwise, degrees, from where it is wanted.

    `instead` is the piece that lies in its place, where it was exchanged; `lost` are points of the
    letters that are missing from it. `either_way_up` says that it may as well lie upside down.
    """

    wanted: Wanted
    how: How
    found: FinePlace | None = None
    instead: Piece | None = None
    lost: tuple[Points, ...] = ()
    either_way_up: bool = False


def in_own_place(seen: SeenPiece, blur: float, far: bool = False) -> LaidPiece:
    """How a piece lies, if it lies about where it belongs: else it is told by nothing yet.

    `blur` is that of the picture, mm; `far` says to look further round.
    """
    if seen.seen_part < _LEAST_SEEN:
        return LaidPiece(seen.wanted, How.OUTSIDE)
    looked = (_FURTHER, _FURTHER_TURNS) if far else (_REACH, _TURNS)
    found = fitted(seen.patch, seen.shape, seen.wanted.middle, *looked, blur)
    if not found or not is_there(found):
        return LaidPiece(seen.wanted, How.UNTOLD)
    lost = lost_parts(seen, found.place, blur)
    return LaidPiece(seen.wanted, How.FOUND, found, lost=lost)


def is_there(found: FinePlace) -> bool:
    """Whether letters lie there, by what they explain of what is seen."""
    return found.fit > _LEAST_FIT and found.film > _LEAST_FILM


def fitted(
    patch: Patch,
    shape: Cover,
    about: tuple[float, float],
    reach: float,
    turns: NDArray[np.float64],
    blur: float,
    hidden: bool = False,
) -> FinePlace | None:
    """Where a shape lies on a patch, looked for roughly and then finely; None where it does not.

    `hidden` says that it may lie over holes, and over the edge of the panel, in part.
    """
    every = max(1, round(patch.grid.scale / _ROUGHLY))
    small = _small_grid(patch.grid, every)
    film, coarse = _small(patch.cover, every), _small(shape, every)
    known = _small(patch.known.astype(np.float32), every) if hidden else None
    rough = rough_place(film, coarse, small, about, reach, turns, known)
    if rough.alike < _LEAST_ALIKE:
        return None
    return fine_place(patch, shape, about, rough, blur)


def _small_grid(grid: Grid, every: int) -> Grid:
    return Grid(grid.width // every, grid.height // every, grid.scale / every, grid.left, grid.top)


def _small(cover: Cover, every: int) -> Cover:
    """The means of squares of pixels."""
    h, w = (side // every * every for side in cover.shape)
    squares = cover[:h, :w].reshape(h // every, every, w // every, every)
    out: Cover = squares.mean(axis=(1, 3), dtype=np.float32)
    return out
