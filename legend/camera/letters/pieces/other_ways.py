"""Tell what lies where pieces do not fit: another piece, the piece upside down, or nothing.

Pieces that fit their own places as well as the most do are taken for granted, and the film that
they are seen by is set aside. Of the others each is tried in the places of all, both ways up; and
each lies in one place only: where it explains the most of the film that is left.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from legend.camera.grids import cover_of
from legend.camera.letters.film_seen.seen_film import Patch, SeenFilm, SeenPiece
from legend.camera.letters.pieces.fine_place import FinePlace
from legend.camera.letters.pieces.laid_piece import How, LaidPiece, fitted, in_own_place, is_there
from legend.camera.letters.pieces.wanted import Wanted
from legend.camera.letters.pieces.ways_up import other_ways_up, told_way_up
from legend.camera.view import Points
from legend.lettering.outlines.boolean import from_shape
from legend.lettering.outlines.outline import Outline, box_round

#: A piece fits its place that explains so much of what is seen, and not much less than most do.
_SURE_FIT, _LESS_THAN_MOST = 0.5, 0.12
#: Another way must explain so many times as much film as the piece itself does, and fit better.
_MORE_FILM, _BETTER_FIT = 1.1, 0.05
#: How far off another way is looked for, mm and degrees.
_REACH, _TURNS = 2.5, np.arange(-3.0, 3.1, 1.5)
#: Two places to lay a piece by that are nearer than this are looked at as one, mm.
_SAME = 1.0
#: How far round letters film is taken for theirs, mm.
_ROUND_LETTERS = 0.4
#: A pixel of more than this cover is film; less of it in a place, by the area of its letters, is
#: none.
_FILM, _NONE = 0.5, 0.3
#: Where something fits as well as this, nothing is tried mirrored.
_FITS_WELL = 0.6

#: The point of the panel that a piece is laid by.
LaidBy = Callable[[Wanted], Points]


def laid_pieces(film: SeenFilm, laid_by: LaidBy, blur: float) -> list[LaidPiece]:
    """How pieces lie, in the order of those that are looked for; `blur` is that of the picture,
    mm.
    """
    found = [in_own_place(each, blur) for each in film.pieces]
    surely = _surely(found)
    doubtful = [k for k, each in enumerate(found) if k not in surely and each.how != How.OUTSIDE]
    if not doubtful:
        return _way_up(film, found, blur)
    lying = [outline for k in surely for outline in _where(found[k])]
    pieces = [film.pieces[k].wanted for k in doubtful]
    ways = [way for k in doubtful for way in _ways(film, found[k], pieces, lying, laid_by, blur)]
    chosen = _chosen(ways)
    lying += [outline for way in chosen.values() for outline in way.outlines]
    for k in doubtful:
        way = chosen.get(pieces[doubtful.index(k)].piece.number)
        found[k] = way.laid if way else _by_itself(film.pieces[k], lying, blur)
    return _way_up(film, found, blur)


def _way_up(film: SeenFilm, found: Sequence[LaidPiece], blur: float) -> list[LaidPiece]:
    """Those that lie in their places, and are much the same upside down, looked at once more."""
    both = zip(film.pieces, found, strict=True)
    return [told_way_up(seen, laid, blur) for seen, laid in both]


def _surely(found: Sequence[LaidPiece]) -> set[int]:
    """Which pieces fit their places beyond doubt."""
    fits = [each.found.fit for each in found if each.found and each.found.fit > _SURE_FIT]
    least = max(_SURE_FIT, float(np.median(fits)) - _LESS_THAN_MOST) if fits else _SURE_FIT
    return {
        k for k, each in enumerate(found) if each.found and each.found.fit > least and not each.lost
    }


@dataclass(frozen=True, slots=True, eq=False)
class _Way:
    """A piece that may lie in a place, as it is told; its letters as they lie there.

    `gain` is how much of film they explain more than is missing of them, mm².
    """

    laid: LaidPiece
    outlines: tuple[Outline, ...]
    gain: float

    @property
    def place(self) -> int:
        """The number of the piece that belongs there."""
        return self.laid.wanted.piece.number

    @property
    def piece(self) -> int:
        """The number of the piece that lies there."""
        return self.laid.instead.number if self.laid.instead else self.place

    @property
    def is_own(self) -> bool:
        """Whether it is the place's own piece, the right way up."""
        return self.laid.how is How.FOUND

    @property
    def fit(self) -> float:
        """How much of what is seen there it explains, 0 to 1."""
        return self.laid.found.fit if self.laid.found else 0.0


def _ways(
    film: SeenFilm,
    own: LaidPiece,
    pieces: Sequence[Wanted],
    lying: Sequence[Outline],
    laid_by: LaidBy,
    blur: float,
) -> Iterator[_Way]:
    """What may lie in a place, by the film that is left there; `own` is what was found first."""
    wanted = own.wanted
    tries = list(_tries(wanted, pieces, laid_by))
    boxes = [box_round([mark.bounds for mark in marks]) for _, marks, _, _ in tries]
    whole = _without(film.round_box(box_round([wanted.box, *boxes])), lying)
    if own.found:
        lies = tuple(_where(own))
        yield _Way(own, lies, _explained(whole, lies))
    best = 0.0
    for (piece, marks, about, how), box in zip(tries, boxes, strict=True):
        patch = whole.round_box(box)
        if _film_on(patch) < _NONE * piece.area or (how is How.MIRRORED and best > _FITS_WELL):
            continue
        found = fitted(patch, cover_of(marks, patch.grid), about, _REACH, _TURNS, blur, hidden=True)
        if found and is_there(found):
            lies = tuple(_moved(marks, about, found))
            best = max(best, found.fit)
            instead = piece.piece if how is How.EXCHANGED else None
            told = LaidPiece(wanted, how, found, instead)
            yield _Way(told, lies, _explained(patch, lies))


def _tries(
    own: Wanted, pieces: Sequence[Wanted], laid_by: LaidBy
) -> Iterator[tuple[Wanted, Sequence[Outline], tuple[float, float], How]]:
    """What may lie in a place: its piece upside down, about its middle or its hole; others, by
    their holes or middle on middle; and at last its piece mirrored. With its letters there, their
    middle, and what is told then.
    """
    x, y = laid_by(own).tolist()
    upside_down, *mirrored = other_ways_up(own)
    yield own, upside_down.marks, own.middle, upside_down.how
    if np.hypot(x - own.middle[0], y - own.middle[1]) > _SAME / 2:
        middle = 2 * x - own.middle[0], 2 * y - own.middle[1]
        yield own, [mark.turned(180, (x, y)) for mark in own.marks], middle, How.UPSIDE_DOWN
    for piece in pieces:
        if piece is own:
            continue
        shifts = [np.subtract(own.middle, piece.middle)]
        by_hole = np.array([x, y]) - laid_by(piece)
        if np.hypot(*(by_hole - shifts[0])) > _SAME:
            shifts.append(by_hole)
        for right, up in (shift.tolist() for shift in shifts):
            middle = piece.middle[0] + right, piece.middle[1] + up
            moved = [mark.moved(right, up) for mark in piece.marks]
            yield piece, moved, middle, How.EXCHANGED
    for way in mirrored:
        yield own, way.marks, own.middle, way.how


def _moved(
    marks: Sequence[Outline], about: tuple[float, float], found: FinePlace
) -> Iterator[Outline]:
    place = found.place
    for mark in marks:
        yield mark.turned(place.clockwise, about).moved(place.right, place.up)


def _where(laid: LaidPiece) -> list[Outline]:
    """The letters of a piece where they were found."""
    wanted = laid.wanted
    return list(_moved(wanted.marks, wanted.middle, laid.found)) if laid.found else []


def _without(patch: Patch, lying: Sequence[Outline]) -> Patch:
    """What is left of film when that of letters that lie there is set aside."""
    near = [each for each in lying if patch.meets(each.bounds)]
    if not near:
        return patch
    grown = [from_shape(each.shape.buffer(_ROUND_LETTERS)) for each in near]
    theirs = cover_of(grown, patch.grid) > 0
    cover, by_light = (
        np.where(theirs, np.float32(0), each) for each in (patch.cover, patch.by_light)
    )
    return Patch(patch.grid, cover, by_light, patch.known & ~theirs)


def _explained(patch: Patch, lies: Sequence[Outline]) -> float:
    """How much of film letters explain: what is there of it where they are, less what is not."""
    shape = cover_of(lies, patch.grid)
    seen = np.clip(patch.cover, 0, 1)
    return float((shape * (2 * seen - shape))[patch.known].sum()) / patch.grid.scale**2


def _chosen(ways: Sequence[_Way]) -> dict[int, _Way]:
    """The way for each place that has one: the best go first, and each piece lies once only."""
    own = {way.place: way for way in ways if way.is_own}
    chosen: dict[int, _Way] = {}
    taken: set[int] = set()
    for way in sorted(ways, key=lambda each: -each.gain):
        if way.place not in chosen and way.piece not in taken and _is_better(way, own):
            chosen[way.place] = way
            taken.add(way.piece)
    return chosen


def _is_better(way: _Way, own: dict[int, _Way]) -> bool:
    """Whether a way is that of the piece itself, or explains clearly more than that does."""
    self_ = own.get(way.place)
    if way.is_own or self_ is None:
        return True
    return way.gain > _MORE_FILM * self_.gain and way.fit > self_.fit + _BETTER_FIT


def _by_itself(seen: SeenPiece, lying: Sequence[Outline], blur: float) -> LaidPiece:
    """A piece that nothing else lies in place of: further off, missing, or not told."""
    left = replace(seen, patch=_without(seen.patch, lying))
    far = in_own_place(left, blur, far=True)
    if far.found:
        return far
    within = left.patch.round_box(seen.wanted.box, 0.0)
    none = _film_on(within) < _NONE * seen.wanted.area
    return LaidPiece(seen.wanted, How.MISSING if none else How.UNTOLD)


def _film_on(patch: Patch) -> float:
    """How much film is seen on a patch, mm²."""
    return float((patch.cover > _FILM).sum()) / patch.grid.scale**2
