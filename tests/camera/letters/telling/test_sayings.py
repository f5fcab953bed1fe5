"""What is said of pieces, in millimetres and in inches."""

import dataclasses

import pytest
from camera.letters.panels import cut_for, piece_of

from legend.camera.letters.pieces.fine_place import FinePlace
from legend.camera.letters.pieces.laid_piece import How, LaidPiece
from legend.camera.letters.pieces.rough_place import Place
from legend.camera.letters.pieces.wanted import wanted_of
from legend.camera.letters.placed import Judged, Placed
from legend.camera.letters.telling.sayings import said_of, short_of, small, true_of
from legend.length_words import Lengths


def _judged(
    right: float, up: float, clockwise: float, uncertainty: float = 0.04, hole: str = "SPEED"
) -> Judged:
    (wanted,) = wanted_of([piece_of(hole)])
    found = FinePlace(Place(right, up, clockwise, 0.9), 0.02, 0.05, 1.0, 0.9, 4.0)
    return Judged(LaidPiece(wanted, How.FOUND, found), uncertainty, 0.05, 0.2, 0.5)


def _said(judged: Judged, units: str = "mm") -> str:
    placed = Placed(cut_for()[0], None, None, (judged,))  # type: ignore[arg-type]
    return said_of(judged, placed, Lengths(units))


@pytest.mark.parametrize(
    ("lies", "units", "said"),
    [
        ((-0.43, 0.02, 0.6), "mm", "0.4 mm to the left of its hole SPEED, turned 0.6° clockwise"),
        ((-0.43, 0.02, 0.6), "in", "0.017 in to the left of its hole SPEED, turned 0.6° clockwise"),
        ((0.02, -0.24, 0.0), "mm", "0.24 mm too low on its hole SPEED"),
        ((1.2, 0.9, 0.0), "mm", "1.2 mm to the right of its hole SPEED and 0.9 mm too high"),
        ((0.02, 0.03, -0.8), "mm", "turned 0.8° anticlockwise"),
    ],
)
def test_how_far_a_piece_lies_off(lies: tuple[float, float, float], units: str, said: str) -> None:
    judged = _judged(*lies)
    assert judged.is_off
    assert _said(judged, units) == f"SPEED: {said}: lift and lay again."


def test_words_in_the_picture_are_short() -> None:
    assert short_of(_judged(-0.43, 0.05, 0.2), Lengths("mm")) == "0.4 mm left"
    assert short_of(_judged(-0.43, 0.3, 0.9), Lengths("in")) == (
        "0.017 in left, 0.012 in high, 0.9° clockwise"
    )


def test_what_may_be_off_is_not_called_true() -> None:
    assert _judged(0.1, 0.1, 0.1).is_true
    doubtful = _judged(0.1, 0.1, 0.1, uncertainty=0.2)
    assert not doubtful.is_true
    assert not doubtful.is_off
    assert _said(doubtful).startswith("SPEED: not told, as it may be off by 0.20 mm.")
    near = _judged(0.05, 0.0, 0.1, uncertainty=0.2)
    assert near.is_true


def test_what_may_lie_true_is_not_to_be_laid_again() -> None:
    assert _judged(0.25, 0.0, 0.0).is_off
    assert not _judged(0.25, 0.0, 0.0, uncertainty=0.2).is_off


@pytest.mark.parametrize("turned", [0.1, 0.4, 0.6, 0.9])
def test_a_turn_that_is_not_sure_is_neither_true_nor_a_fault(turned: float) -> None:
    sure, vague = (
        dataclasses.replace(_judged(0.05, 0.0, turned), turn_uncertainty=u) for u in (0.05, 0.9)
    )
    assert sure.is_told
    assert sure.is_off == (turned > 0.5)
    assert (vague.is_told, vague.is_off, vague.is_true) == (False, False, False)
    assert vague.clockwise == 0.0
    assert _said(vague) == (
        "SPEED: lies in its place, but its turn cannot be told, as it may be off by 0.9°. Look "
        "along its foot with a rule, or take another picture from nearer."
    )
    assert short_of(vague, Lengths("mm")) == "turn not told"


def test_how_a_round_spot_is_turned_is_nothing() -> None:
    judged = dataclasses.replace(_judged(0.05, 0.0, 2.0), turn_uncertainty=9.0)
    found = judged.piece.found
    assert found is not None
    spot = dataclasses.replace(judged.piece, found=dataclasses.replace(found, lever=0.01))
    assert dataclasses.replace(judged, piece=spot).is_true


def test_what_may_lie_upside_down_is_true_and_named() -> None:
    true = _judged(0.05, 0.0, 0.1)
    either = dataclasses.replace(true, piece=dataclasses.replace(true.piece, either_way_up=True))
    both = Placed(cut_for()[0], None, None, (true, either))  # type: ignore[arg-type]
    number = piece_of("SPEED").number
    assert both.is_true
    assert list(true_of(both, Lengths("mm")))[1:] == [
        f"Piece {number} (SPEED) looks much the same upside down: see for yourself that it is the "
        "right way up."
    ]
    off = dataclasses.replace(
        _judged(0.5, 0.0, 0.1),
        piece=dataclasses.replace(_judged(0.5, 0.0, 0.1).piece, either_way_up=True),
    )
    lines = true_of(Placed(cut_for()[0], None, None, (off,)), Lengths("mm"))  # type: ignore[arg-type]
    assert list(lines) == []


def test_other_faults_are_said_with_what_to_do() -> None:
    (wanted,) = wanted_of([piece_of("LAMP")])
    for how, said in (
        (How.MISSING, "READY: missing. Lay it."),
        (How.UPSIDE_DOWN, "READY: upside down. Lift and lay again."),
        (
            How.MIRRORED,
            "READY: mirrored, as it was cut or laid on its back. Cut it again, and lay it.",
        ),
        (How.OUTSIDE, "READY: not whole in the picture. Take another picture of it."),
    ):
        assert _said(Judged(LaidPiece(wanted, how), 0.04, 0.05, 0.2, 0.5)) == said
    lost = tuple(part.contours[0].points[0] for part in _letters(wanted.marks[0])[1:3])
    piece = dataclasses.replace(_judged(0, 0, 0, hole="LAMP").piece, lost=lost)
    assert _said(Judged(piece, 0.04, 0.05, 0.2, 0.5)) == (
        "READY: the E of READY and the A of READY are missing. Cut the piece again, and lay it."
    )


def _letters(mark):  # type: ignore[no-untyped-def]
    from legend.stencil.contours import parts

    return sorted(parts(mark), key=lambda part: part.bounds[0])


def test_what_is_too_small_to_tell_is_not_told_as_nothing() -> None:
    assert small(0.002, Lengths("mm")) == "less than 0.01 mm"
    assert small(0.002, Lengths("in")) == "less than 0.001 in"
    assert small(0.02, Lengths("in")) == "0.001 in"
