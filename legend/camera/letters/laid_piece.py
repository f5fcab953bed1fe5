"""Find how each piece of film lies: what is seen of film in, a place or what is wrong out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from legend.camera.grids import cover_of
from legend.camera.letters.fine_place import FinePlace, fine_place
from legend.camera.letters.lost_parts import lost_parts
from legend.camera.letters.rough_place import rough_place
from legend.camera.letters.wanted import Wanted
from legend.camera.view import Points
from legend.drawing.proofs.coverage import Grid
from legend.stencil.sheet import Piece

Cover = NDArray[np.float32]

#: How far off a piece is looked for, mm and degrees; and once more, where it is not found there.
_REACH, _TURNS = 2.5, np.arange(-3.0, 3.1, 0.75)
_FURTHER, _FURTHER_TURNS = 4.0, np.arange(-9.0, 9.1, 1.0)
#: Another piece in its stead is only looked for near where the piece should be.
_OTHERS_TURNS = np.arange(-3.0, 3.1, 1.5)
#: Rough places are found with so many pixels to the mm, about.
_ROUGHLY = 6.0
#: Letters are there that explain so much of what is seen, and are so much of film.
_LEAST_FIT, _LEAST_FILM = 0.3, 0.4
#: Where they explain more than this, nothing else is tried.
_SURE_FIT = 0.5
#: By how much more alike another shape must be to be taken instead.
_MORE_ALIKE = 0.1
#: How different in size, mm, another piece may be to be taken for this one.
_LIKE_SIZE = 8.0
#: Less film than this part of the letters' area round their place is none.
_NONE = 0.3
#: Of letters that are seen by less than this part, nothing is told.
_LEAST_SEEN = 0.9


class How(StrEnum):
    """How a piece lies."""

    FOUND = "found"
    MISSING = "missing"
    UPSIDE_DOWN = "upside down"
    EXCHANGED = "exchanged"
    UNTOLD = "untold"
    OUTSIDE = "outside"


@dataclass(frozen=True, slots=True, eq=False)
class SeenPiece:
    """A piece that is looked for, and what is seen of film round its place, on a grid.

    `shape` is the cover by its letters where they are wanted, `seen_part` how much of it can be
    seen at all.
    """

    wanted: Wanted
    grid: Grid
    cover: Cover
    shape: Cover
    seen_part: float


@dataclass(frozen=True, slots=True, eq=False)
class LaidPiece:
    """How a piece lies: right and up, mm, and clockwise, degrees, from where it is wanted.

    `instead` is the piece that lies in its place, where it was exchanged; `lost` are points of the
    letters that are missing from it.
    """

    wanted: Wanted
    how: How
    found: FinePlace | None = None
    instead: Piece | None = None
    lost: tuple[Points, ...] = ()


def laid(
    seen: SeenPiece, others: Sequence[Wanted], at: Callable[[Wanted], Points], blur: float
) -> LaidPiece:
    """How a piece lies.

    `at` gives the point that a piece is laid by; `blur` is that of the picture, mm.
    """
    if seen.seen_part < _LEAST_SEEN:
        return LaidPiece(seen.wanted, How.OUTSIDE)
    own = _fitted(seen, seen.shape, seen.wanted.middle, _REACH, _TURNS, blur)
    lost = lost_parts(seen, own.place, blur) if own and own.fit > _LEAST_FIT else ()
    if own and own.fit > _SURE_FIT and own.film > _LEAST_FILM and not lost:
        return LaidPiece(seen.wanted, How.FOUND, own)
    alike = own.place.alike if own and own.fit > _LEAST_FIT else 0.35
    other = _other_way(seen, others, at, alike + _MORE_ALIKE, blur)
    if other:
        return other
    if own and own.fit > _LEAST_FIT and own.film > _LEAST_FILM:
        return LaidPiece(seen.wanted, How.FOUND, own, lost=lost)
    far = _fitted(seen, seen.shape, seen.wanted.middle, _FURTHER, _FURTHER_TURNS, blur)
    if far and far.fit > _LEAST_FIT and far.film > _LEAST_FILM:
        return LaidPiece(seen.wanted, How.FOUND, far, lost=lost_parts(seen, far.place, blur))
    film = float(np.clip(seen.cover, 0, 1)[seen.shape > 0.5].mean())
    return LaidPiece(seen.wanted, How.MISSING if film < _NONE else How.UNTOLD)


def _fitted(
    seen: SeenPiece,
    shape: Cover,
    about: tuple[float, float],
    reach: float,
    turns: NDArray[np.float64],
    blur: float,
) -> FinePlace | None:
    """Where a shape lies, looked for roughly and then finely."""
    every = max(1, round(seen.grid.scale / _ROUGHLY))
    small = _small_grid(seen.grid, every)
    rough = rough_place(_small(seen.cover, every), _small(shape, every), small, about, reach, turns)
    return fine_place(seen.cover, shape, seen.grid, about, rough, blur)


def _small_grid(grid: Grid, every: int) -> Grid:
    return Grid(grid.width // every, grid.height // every, grid.scale / every, grid.left, grid.top)


def _small(cover: Cover, every: int) -> Cover:
    """The means of squares of pixels."""
    h, w = (side // every * every for side in cover.shape)
    squares = cover[:h, :w].reshape(h // every, every, w // every, every)
    out: Cover = squares.mean(axis=(1, 3), dtype=np.float32)
    return out


def _other_way(
    seen: SeenPiece,
    others: Sequence[Wanted],
    at: Callable[[Wanted], Points],
    more_than: float,
    blur: float,
) -> LaidPiece | None:
    """The piece upside down, or another in its place, where that is more alike."""
    best, found = more_than, None
    for wanted, shifts in _candidates(seen.wanted, others, at):
        for shift in shifts:
            outlines = [mark.moved(*shift) for mark in wanted.marks]
            about = (wanted.middle[0] + shift[0], wanted.middle[1] + shift[1])
            is_own = wanted is seen.wanted
            if is_own:
                outlines = [mark.turned(180, shift) for mark in wanted.marks]
                about = (2 * shift[0] - wanted.middle[0], 2 * shift[1] - wanted.middle[1])
            shape = cover_of(outlines, seen.grid)
            if shape.sum() < 0.95 * seen.grid.scale**2 * wanted.area:
                continue
            place = _fitted(seen, shape, about, _REACH, _OTHERS_TURNS, blur)
            if place and place.place.alike > best and place.fit > _LEAST_FIT:
                best = place.place.alike
                how = How.UPSIDE_DOWN if is_own else How.EXCHANGED
                found = LaidPiece(seen.wanted, how, place, None if is_own else wanted.piece)
    return found


def _candidates(
    own: Wanted, others: Sequence[Wanted], at: Callable[[Wanted], Points]
) -> list[tuple[Wanted, list[tuple[float, float]]]]:
    """What may lie where a piece should: itself upside down about its hole, or about its middle;
    and pieces of its size, laid by their holes, or middle on middle. With the points that it is
    turned about, or the shifts.
    """
    x, y = at(own).tolist()
    found = [(own, [(x, y), own.middle])]
    for other in others:
        if other is own or abs(other.size - own.size).max() > _LIKE_SIZE:
            continue
        by_hole = np.array([x, y]) - at(other)
        by_middle = np.subtract(own.middle, other.middle)
        shifts = [(float(a), float(b)) for a, b in (by_hole, by_middle)]
        found.append((other, shifts))
    return found
