"""Tell which way up a piece lies whose letters look much the same upside down, or mirrored.

SOS fits its place nearly as well upside down. What tells is where both ways differ: whether film is
there as the one way has it, or as the other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from legend.camera.grids import cover_of
from legend.camera.letters.film_seen.seen_film import SeenPiece
from legend.camera.letters.pieces.fine_place import FinePlace, fine_place
from legend.camera.letters.pieces.laid_piece import How, LaidPiece
from legend.camera.letters.pieces.wanted import Wanted
from legend.camera.opencv import blurred
from legend.lettering.outlines.outline import Outline

Cover = NDArray[np.float32]

#: Two ways are told apart at once that are less alike, by Dice's coefficient, when both are blurred
#: by so much, mm; or where the other explains so much less of what is seen.
_ALIKE, _BLUR, _LESS_FIT = 0.7, 0.15, 0.2
#: Two ways are the same to any eye that nowhere differ by more than this part of the film.
_SAME = 0.3
#: And mirrored letters are as those turned, or as they should be, that are as alike as this.
_AS_ALIKE = 0.9
#: From the one way, 1/2, to the other, -1/2: one is told by so much at the least.
_LEAST_LEAN = 0.15


@dataclass(frozen=True, slots=True, eq=False)
class OtherWay:
    """The letters of a piece, laid another way about their middle."""

    how: How
    marks: tuple[Outline, ...]


def other_ways_up(wanted: Wanted) -> Iterator[OtherWay]:
    """Turned by half; and mirrored, the right way up and upside down, where that is another way."""
    x, y = wanted.middle
    yield OtherWay(How.UPSIDE_DOWN, tuple(mark.turned(180, (x, y)) for mark in wanted.marks))
    for sx, sy in ((-1.0, 1.0), (1.0, -1.0)):
        about = x - sx * x, y - sy * y
        marks = tuple(mark.scaled(sx, sy).moved(*about) for mark in wanted.marks)
        yield OtherWay(How.MIRRORED, marks)


def told_way_up(seen: SeenPiece, laid: LaidPiece, blur: float) -> LaidPiece:
    """A piece that was found in its place, told to lie another way if it does so; or it is said
    that its way up cannot be told. `blur` is that of the picture, mm.
    """
    if laid.how is not How.FOUND or laid.found is None:
        return laid
    own, best = laid.found, laid
    for way in _much_alike(seen, own):
        other = _fitted(seen, way, own, blur)
        if other is None:
            continue
        lean = _lean(seen, (seen.wanted.marks, own), (way.marks, other), blur)
        if lean is None or lean > _LEAST_LEAN:
            continue
        if lean < -_LEAST_LEAN:
            if best.how is How.FOUND or other.fit > _fit(best):
                best = replace(laid, how=way.how, found=other, lost=(), either_way_up=False)
        elif way.how is How.UPSIDE_DOWN and best.how is How.FOUND:
            best = replace(best, either_way_up=True)
    return best


def _fit(laid: LaidPiece) -> float:
    return laid.found.fit if laid.found else 0.0


def _much_alike(seen: SeenPiece, own: FinePlace) -> Iterator[OtherWay]:
    """The ways that look much like the piece as it should lie."""
    flipped = seen.shape[::-1, ::-1], seen.shape[:, ::-1], seen.shape[::-1]
    soft = _BLUR * seen.patch.grid.scale
    mine = blurred(seen.shape, soft)
    if not any(_dice(mine, blurred(np.ascontiguousarray(f), soft)) > _ALIKE for f in flipped):
        return
    shapes = [mine]
    for way in other_ways_up(seen.wanted):
        shape = blurred(cover_of(way.marks, seen.patch.grid), soft)
        if _dice(mine, shape) > _ALIKE and not (
            way.how is How.MIRRORED and any(_dice(each, shape) > _AS_ALIKE for each in shapes)
        ):
            yield way
        shapes.append(shape)


def _dice(one: Cover, other: Cover) -> float:
    both = float((one**2).sum() + (other**2).sum())
    return 2 * float((one * other).sum()) / max(both, 1e-6)


def _fitted(seen: SeenPiece, way: OtherWay, own: FinePlace, blur: float) -> FinePlace | None:
    """Where a piece lies if it lies another way; None where that explains much less."""
    shape = cover_of(way.marks, seen.patch.grid)
    found = fine_place(seen.patch, shape, seen.wanted.middle, own.place, blur)
    return found if found and found.fit > own.fit - _LESS_FIT else None


def _lean(
    seen: SeenPiece,
    own: tuple[tuple[Outline, ...], FinePlace],
    other: tuple[tuple[Outline, ...], FinePlace],
    blur: float,
) -> float | None:
    """How film leans where both ways differ: about 1/2 to its own, -1/2 to the other; less than it
    is uncertain, it is 0. None where they are the same.
    """
    patch = seen.patch
    scale = patch.grid.scale
    one, two = (
        blurred(cover_of(_laid(seen.wanted, marks, found), patch.grid), blur * scale)
        for marks, found in (own, other)
    )
    differ = (one - two)[patch.known].astype(float)
    if np.abs(differ).max(initial=0.0) < _SAME:
        return None
    middle = ((one + two) / 2)[patch.known]
    gain = max((own[1].film + other[1].film) / 2, 0.1)
    off = patch.cover[patch.known] / gain - middle
    power = float((differ**2).sum())
    lean = float((differ * off).sum()) / power
    here = np.abs(differ) > 0.05
    left = float(np.mean((off - lean * differ)[here] ** 2))
    # Pixels that the same blur reaches tell the same.
    alike = max(4 * math.pi * (blur * scale) ** 2, 1.0)
    uncertain = 2 * math.sqrt(left * alike / power)
    return lean if abs(lean) > uncertain else 0.0


def _laid(wanted: Wanted, marks: tuple[Outline, ...], found: FinePlace) -> list[Outline]:
    place = found.place
    return [
        mark.turned(place.clockwise, wanted.middle).moved(place.right, place.up) for mark in marks
    ]
