"""A small panel with letters, and photographs of it."""

from functools import lru_cache

from camera.synthetic.letter_cases import LaidCase, with_letters
from camera.synthetic.letters import LaidPiece

import legend
from legend.camera.picture import Picture, picture_in
from legend.layout.artwork import Artwork
from legend.stencil.sheet import Piece, Sheet, pieces_of

#: Holes that look the same from no two sides.
TOML = """\
units = "{units}"
[panel]
size = ["100 mm", "70 mm"]
[holes]
PUMP = {{ at = ["22 mm", "42 mm"], drill = "9.5 mm" }}
SPEED = {{ at = ["58 mm", "36 mm"], drill = "7 mm" }}
LAMP = {{ at = ["86 mm", "50 mm"], drill = "8 mm" }}
FUSE = {{ at = ["86 mm", "22 mm"], drill = "12 mm" }}
M1 = {{ at = ["6 mm", "6 mm"], drill = "3.6 mm" }}
M2 = {{ at = ["94 mm", "6 mm"], drill = "3.6 mm" }}
M3 = {{ at = ["6 mm", "64 mm"], drill = "3.6 mm" }}
M4 = {{ at = ["94 mm", "64 mm"], drill = "3.6 mm" }}
[[control]]
hole = "PUMP"
kind = "toggle"
name = "PUMP"
positions = {{ up = "ON", down = "OFF" }}
[[control]]
hole = "SPEED"
kind = "knob"
name = "SPEED"
side = "below"
covers = "14 mm"
scale = {{ law = "linear", from = 0, to = 10, sweep = 280 }}
[[control]]
hole = "LAMP"
kind = "lamp"
name = "READY"
[[control]]
hole = "FUSE"
kind = "fuse"
name = "FUSES"
{screws}
"""
_SCREW = '[[control]]\nhole = "{}"\nkind = "screw"\n'
RED, WHITE = (0.5, 0.02, 0.02), (0.8, 0.8, 0.78)
#: Height and width, px: some eight to the mm.
SHAPE = (750, 1000)


def toml(units: str = "mm") -> str:
    screws = "".join(_SCREW.format(f"M{k}") for k in (1, 2, 3, 4))
    return TOML.format(units=units, screws=screws)


@lru_cache
def cut_for(units: str = "mm") -> tuple[Artwork, tuple[Sheet, ...]]:
    artwork = legend.lay_out(legend.parse(toml(units)))
    return artwork, legend.cut(artwork).sheets


def piece_of(hole: str) -> Piece:
    (piece,) = (p for p in pieces_of(cut_for()[1]) if p.owners == (hole,))
    return piece


def laid(**how: LaidPiece) -> dict[int, LaidPiece]:
    """How pieces lie, by their holes; the others lie true."""
    pieces = pieces_of(cut_for()[1])
    return {piece.number: how.get(piece.owners[0], LaidPiece(piece.number)) for piece in pieces}


def photographed(seed: int, changed: dict[int, LaidPiece], **more: object) -> LaidCase:
    given = {"colour": RED, "base": WHITE} | more
    return with_letters(legend.parse(toml()), seed, SHAPE, changed, **given)  # type: ignore[arg-type]


def picture_of(case: LaidCase) -> Picture:
    return picture_in(case.shot.data, "photo.jpg")
