"""Laid letters in pictures of the synthetic camera: what is told of them, and what is refused."""

import math
from functools import lru_cache

import numpy as np
import pytest
from camera.letters.panels import (
    cut_for,
    laid,
    photographed,
    picture_of,
    piece_of,
    toml,
)
from camera.synthetic.letters import CLEAR, LaidPiece

import legend
from legend.camera.letters.laid_piece import How
from legend.camera.letters.placed import Placed, placed_in
from legend.camera.letters.refusals import NotToldError
from legend.camera.letters.sayings import lines_of
from legend.camera.picture import Picture


def _placed(picture: Picture) -> Placed:
    artwork, sheets = cut_for()
    return placed_in(picture, artwork, sheets)


@lru_cache
def _true() -> Picture:
    """A photograph of letters that all lie true."""
    return picture_of(photographed(4, laid()))


def _lies(hole: str, *how: float, state: str = "laid", instead_of: str = "") -> LaidPiece:
    number = piece_of(instead_of).number if instead_of else 0
    right, up, clockwise = how or (0.0, 0.0, 0.0)
    return LaidPiece(piece_of(hole).number, right, up, clockwise, state, number)  # type: ignore[arg-type]


def test_pieces_are_measured_nearly_as_they_lie() -> None:
    """Light letters on a dark coat; dark ones on white are measured in `test_accuracy`."""
    changed = laid(
        PUMP=_lies("PUMP", 0.4, -0.1, 1.5),
        SPEED=_lies("SPEED", -0.15, 0.05, -0.3),
        LAMP=_lies("LAMP", 1.8, 0.9, -2.5),
    )
    case = photographed(2, changed, base=(0.02, 0.02, 0.03), colour=(0.85, 0.55, 0.02))
    turns = []
    for each in _placed(picture_of(case)).pieces:
        truth = case.laid[each.piece.wanted.piece.number]
        assert each.piece.how is How.FOUND
        assert each.piece.found is not None
        right, up = each.off
        error = math.hypot(right - truth.right, up - truth.up)
        assert error < min(each.uncertainty, 0.08)
        turns.append(abs(each.piece.found.place.clockwise - truth.clockwise))
        assert turns[-1] < 1.5 * each.turn_uncertainty  # which covers 95 of 100
        assert not each.is_true or math.hypot(truth.right, truth.up) < 0.3
    assert np.percentile(turns, 95) < 0.3  # short words, of some ten pixels in height


def test_what_is_wrong_is_told_in_the_order_of_laying() -> None:
    """And whichever way the picture was taken."""
    changed = laid(
        PUMP=_lies("PUMP", -0.6, 0.0, 1.0),
        SPEED=_lies("SPEED", state="upside down"),
        LAMP=_lies("LAMP", state="exchanged", instead_of="FUSE"),
        FUSE=_lies("FUSE", state="exchanged", instead_of="LAMP"),
    )
    picture = picture_of(photographed(3, changed))
    found = _placed(Picture(np.ascontiguousarray(np.rot90(picture.rgb)), None, "turned.jpg"))
    lamp, fuse, pump, speed = (piece_of(hole).number for hole in ("LAMP", "FUSE", "PUMP", "SPEED"))
    *lines, measured = lines_of(found)
    numbers = [each.piece.wanted.piece.number for each in found.pieces]
    assert [int(line.split()[0]) for line in lines] == numbers
    assert sorted(lines) == sorted(
        [
            f"{pump}  PUMP: 0.6 mm to the left of its hole PUMP, turned 1.0° clockwise: lift and "
            "lay again.",
            f"{speed}  SPEED: upside down. Lift and lay again.",
            f"{lamp}  READY: FUSES (piece {fuse}) lies in its place. Lift and exchange.",
            f"{fuse}  FUSES: READY (piece {lamp}) lies in its place. Lift and exchange.",
        ]
    )
    assert measured.startswith("Measured by 8 holes, ")
    assert not found.is_true
    assert all(each.is_off for each in found.pieces)


def test_all_that_lies_true_is_told_in_one_line() -> None:
    found = _placed(_true())
    assert found.is_true
    first, _ = lines_of(found)
    assert first.startswith("All 4 pieces lie true: none is further off than 0.0")


# --- What is refused ---


def test_clear_film_is_refused() -> None:
    case = photographed(6, laid(), colour=(0.7, 0.7, 0.7), film=CLEAR)
    with pytest.raises(NotToldError, match="use film that is coloured"):
        _placed(picture_of(case))


def test_a_picture_without_letters_is_refused() -> None:
    none = laid(**{h: _lies(h, state="missing") for h in ("PUMP", "SPEED", "LAMP", "FUSE")})
    with pytest.raises(NotToldError, match="No letters are told from the base coat"):
        _placed(picture_of(photographed(7, none)))


def test_a_hole_that_stands_elsewhere_is_left_out_and_another_panel_refused() -> None:
    one = legend.lay_out(legend.parse(toml().replace('"22 mm", "42', '"30 mm", "30')))
    found = placed_in(_true(), one, legend.cut(one).sheets)
    assert len(found.seen.holes) == 7
    other = toml()
    for now, then in (("22 mm", "30 mm"), ("58 mm", "50 mm"), ("86 mm", "76 mm")):
        other = other.replace(f'"{now}"', f'"{then}"')
    strange = legend.lay_out(legend.parse(other))
    with pytest.raises(NotToldError, match=r"Is it this panel|right one|another panel"):
        placed_in(_true(), strange, legend.cut(strange).sheets)


def test_a_small_or_blurred_picture_is_refused() -> None:
    picture = _true()
    small = Picture(np.ascontiguousarray(picture.rgb[::3, ::3]), None, "small.jpg")
    with pytest.raises(NotToldError, match="pixels to the mm"):
        _placed(small)
    from legend.camera.opencv import blurred

    soft = blurred(picture.rgb.astype(np.float32), 5.0).astype(np.uint8)
    with pytest.raises(NotToldError, match="is blurred"):
        _placed(Picture(soft, None, "soft.jpg"))


def test_other_ways_of_working_are_refused() -> None:
    picture = Picture(np.zeros((200, 200, 3), np.uint8), None, "black.jpg")
    for stencil, told in (
        ('[stencil]\nmethod = "paint-through"\n', "film covers the holes"),
        ('[stencil]\nmethod = "paint-through"\nstock = "sheet"\n', "its bolts hold true"),
    ):
        artwork = legend.lay_out(legend.parse(toml().replace("[holes]", stencil + "[holes]")))
        with pytest.raises(NotToldError, match=told):
            placed_in(picture, artwork, legend.cut(artwork).sheets)
    with pytest.raises(NotToldError, match=r"The holes of this panel are not seen in black\.jpg"):
        _placed(picture)
