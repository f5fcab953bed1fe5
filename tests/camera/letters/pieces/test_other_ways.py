"""Pieces that lie in each other's places, upside down, or nowhere, on film that is drawn."""

from collections.abc import Sequence

import numpy as np
import pytest
from camera.letters.panels import cut_for

from legend.camera.grids import cover_of, grid_round
from legend.camera.letters.film_seen.seen_film import Patch, SeenPiece
from legend.camera.letters.pieces.laid_piece import How, LaidPiece
from legend.camera.letters.pieces.other_ways import laid_pieces
from legend.camera.letters.pieces.wanted import Wanted, wanted_of
from legend.camera.opencv import blurred
from legend.lettering.outlines.outline import Box, Outline
from legend.stencil.sheet import pieces_of

_SCALE, _BLUR, _AROUND = 7.0, 0.09, 4.5


class _Drawn:
    """Film with letters on it, and noise, as if a photograph had been taken of it."""

    def __init__(
        self,
        wanted: Sequence[Wanted],
        film: Sequence[Outline],
        noise: float = 0.03,
        hole: Outline | None = None,
    ) -> None:
        self._film, self._noise, self._hole = film, noise, hole
        self.pieces = [
            SeenPiece(
                each, (patch := self.round_box(each.box)), cover_of(each.marks, patch.grid), 1
            )
            for each in wanted
        ]

    def round_box(self, box: Box) -> Patch:
        grid = grid_round(box, _AROUND, _SCALE)
        noise = np.random.default_rng(1).normal(0, self._noise, (grid.height, grid.width))
        cover = 0.9 * blurred(cover_of(self._film, grid), _BLUR * _SCALE)
        seen = (cover + noise).astype(np.float32)
        known = np.ones(seen.shape, dtype=bool)
        if self._hole:
            known = cover_of([self._hole], grid) == 0
            seen = np.where(known, seen, np.float32(0))
        return Patch(grid, seen, seen, known)


_WANTED = {each.piece.owners[0]: each for each in wanted_of(pieces_of(cut_for()[1]))}


def _in_place_of(piece: str, place: str) -> list[Outline]:
    """The letters of a piece, laid with their middle a little off where another's is wanted."""
    x, y = np.subtract(_WANTED[place].middle, _WANTED[piece].middle)
    return [mark.moved(x + 0.3, y - 0.2) for mark in _WANTED[piece].marks]


def _found(hole: Outline | None = None, **lies: list[Outline]) -> dict[str, LaidPiece]:
    """What is told of pieces; those that are not named lie true. A hole may go through them."""
    film = [mark for hole, each in _WANTED.items() for mark in lies.get(hole, each.marks)]
    drawn = _Drawn(list(_WANTED.values()), film, hole=hole)
    told = laid_pieces(drawn, lambda each: np.array(each.middle), _BLUR)  # type: ignore[arg-type]
    return dict(zip(_WANTED, told, strict=True))


@pytest.mark.parametrize(("one", "other"), [("PUMP", "SPEED"), ("LAMP", "FUSE"), ("LAMP", "PUMP")])
def test_exchanged_pieces_are_named_however_they_differ_in_size(one: str, other: str) -> None:
    found = _found(**{one: _in_place_of(one, other), other: _in_place_of(other, one)})
    assert {hole: each.how for hole, each in found.items() if each.how is not How.FOUND} == {
        one: How.EXCHANGED,
        other: How.EXCHANGED,
    }
    assert found[one].instead is _WANTED[other].piece
    assert found[other].instead is _WANTED[one].piece


def test_a_piece_that_lies_elsewhere_leaves_its_own_place_empty() -> None:
    found = _found(FUSE=[], LAMP=_in_place_of("LAMP", "FUSE"))
    assert found["FUSE"].instead is _WANTED["LAMP"].piece
    assert found["LAMP"].how is How.MISSING
    assert found["PUMP"].how is How.FOUND


def test_upside_down_missing_and_strange_film_are_told_apart() -> None:
    lamp, fuse = _WANTED["LAMP"], _WANTED["FUSE"]
    left, bottom, right, top = _WANTED["PUMP"].box
    found = _found(
        LAMP=[mark.turned(178.5, lamp.middle) for mark in lamp.marks],
        FUSE=[],
        PUMP=[Outline.rectangle(left, bottom, right, (bottom + top) / 2)],
    )
    assert found["LAMP"].how is How.UPSIDE_DOWN
    assert found["FUSE"].how is How.MISSING
    assert found["PUMP"].how is How.UNTOLD
    assert found["SPEED"].how is How.FOUND
    assert fuse.piece is not found["LAMP"].instead


def test_a_piece_without_one_of_its_letters_is_that_piece() -> None:
    from legend.stencil.contours import parts

    letters = [part for mark in _WANTED["FUSE"].marks for part in parts(mark)]
    found = _found(FUSE=letters[1:])["FUSE"]
    assert found.how is How.FOUND
    assert len(found.lost) == 1


def test_an_exchanged_piece_that_lies_over_a_hole_in_part_is_named() -> None:
    left, bottom, right, top = _WANTED["FUSE"].box
    hole = Outline.disc(((left + right) / 2, (bottom + top) / 2), 2.5)
    found = _found(hole, FUSE=_in_place_of("PUMP", "FUSE"), PUMP=_in_place_of("FUSE", "PUMP"))
    assert found["FUSE"].instead is _WANTED["PUMP"].piece
    assert found["PUMP"].instead is _WANTED["FUSE"].piece


def test_mirrored_letters_are_told() -> None:
    x = _WANTED["FUSE"].middle[0]
    found = _found(FUSE=[mark.scaled(-1, 1).moved(2 * x, 0) for mark in _WANTED["FUSE"].marks])
    assert found["FUSE"].how is How.MIRRORED


# --- What looks the same upside down, or nearly so ---

_PIECE = _WANTED["FUSE"].piece


def _bars(lower: float, upper: float) -> Wanted:
    """Two bars, one above the other, so wide; the box is that of bars of 6 mm."""
    marks = (
        Outline.rectangle(3 - lower / 2, 0, 3 + lower / 2, 0.6),
        Outline.rectangle(3 - upper / 2, 2.4, 3 + upper / 2, 3),
        Outline.rectangle(0, 1.2, 6, 1.8),
    )
    return Wanted(_PIECE, marks, (0, 0, 6, 3))


def _told(wanted: Wanted, film: Sequence[Outline], noise: float) -> LaidPiece:
    (told,) = laid_pieces(
        _Drawn([wanted], film, noise),  # type: ignore[arg-type]
        lambda each: np.array(each.middle),
        _BLUR,
    )
    return told


@pytest.mark.parametrize("turned", [False, True])
def test_which_way_up_a_piece_lies_is_told_by_little(turned: bool) -> None:
    wanted = _bars(5.6, 6.0)
    film = [mark.turned(180, wanted.middle) for mark in wanted.marks] if turned else wanted.marks
    told = _told(wanted, film, 0.02)
    assert told.how is (How.UPSIDE_DOWN if turned else How.FOUND)
    assert not told.either_way_up


@pytest.mark.parametrize("turned", [False, True])
def test_what_cannot_be_told_is_neither_wrong_nor_sworn_to(turned: bool) -> None:
    wanted = _bars(5.8, 6.0)
    film = [mark.turned(180, wanted.middle) for mark in wanted.marks] if turned else wanted.marks
    told = _told(wanted, film, 0.45)
    assert told.how is How.FOUND
    assert told.either_way_up


def test_what_looks_the_same_upside_down_has_no_way_up() -> None:
    told = _told(_bars(6.0, 6.0), _bars(6.0, 6.0).marks, 0.02)
    assert told.how is How.FOUND
    assert not told.either_way_up
