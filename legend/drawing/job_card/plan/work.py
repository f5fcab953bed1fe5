"""Reckon how much there is to cut, to weed, to put on and to lift, and how long it takes.

The rates are those of the description's [bench].
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from legend.description.tables.bench import Bench
from legend.drawing.placing.piece_places import goes_on_first
from legend.layout.artwork import Artwork
from legend.stencil.contours import parts
from legend.stencil.cut_length import cut_length, cutting_minutes, speed_of
from legend.stencil.loose_film import Lifted, Loose, loose_film
from legend.stencil.sheet import Cut, Piece, Sheet, pieces_of
from legend.stencil.weeding_list import Island, islands


@dataclass(frozen=True, slots=True, eq=False)
class Work:
    """What there is to do, and the minutes that it takes.

    `cut_length` is that of all sheets, spares included, mm, and `cutting` how long the knife goes
    along them; `speed` is a word for the cutter.
    `contours` are the closed lines that are weeded along, but for the counters. `small` are the
    counters and dots of each piece, by its number. `lifted` is what is lifted of each mark, on
    lift-off film alone.
    """

    bench: Bench
    sheets: tuple[Sheet, ...]
    pieces: tuple[Piece, ...]
    cut_length: float
    cutting: float
    speed: str
    contours: int
    small: Mapping[int, tuple[Island, ...]]
    lifted: tuple[Lifted, ...]

    @property
    def placed(self) -> tuple[Piece, ...]:
        """The pieces that go on after the base coat: what keeps metal bare is on before."""
        return tuple(piece for piece in self.pieces if not goes_on_first(piece))

    @property
    def counters(self) -> int:
        """How many counters and dots are seen to in weeding."""
        return sum(map(len, self.small.values()))

    @property
    def loose(self) -> Mapping[Loose, int]:
        """How many loose pieces of film of each sort there are, of lift-off film."""
        sorts: Counter[Loose] = Counter()
        for each in self.lifted:
            sorts.update(each.pieces)
        return {sort: sorts[sort] for sort in Loose if sorts[sort]}

    @property
    def to_lift(self) -> int:
        """How many pieces of film are taken off the paint one by one.

        Of a stencil of film that is painted through, these are its pieces and their islands.
        """
        return sum(self.loose.values()) or len(self.pieces) + self.counters

    @property
    def weeding(self) -> float:
        """Minutes to weed every piece once."""
        bench = self.bench
        return bench.per_contour * self.contours + bench.per_counter * self.counters

    @property
    def placing(self) -> float:
        """Minutes to put every piece on."""
        return self.bench.per_piece * len(self.placed)

    @property
    def lifting(self) -> float:
        """Minutes to take all film off the paint."""
        return self.bench.per_mark * self.to_lift


def work_of(artwork: Artwork, sheets: Sequence[Sheet]) -> Work:
    """What there is to do for an artwork that is cut as these sheets."""
    pieces = pieces_of(sheets)
    stencil = artwork.description.stencil
    length = sum(map(cut_length, sheets))
    return Work(
        artwork.description.bench,
        tuple(sheets),
        tuple(pieces),
        length,
        cutting_minutes(artwork, length),
        speed_of(artwork),
        _contours(pieces),
        islands(artwork, pieces),
        tuple(loose_film(artwork, pieces)) if stencil.method == "lift-off" else (),
    )


def _contours(pieces: Sequence[Piece]) -> int:
    """The closed lines of each piece, the counters of its marks left out."""
    return sum(
        len(parts(path.outline)) if path.cut is Cut.MARK else 1
        for piece in pieces
        for path in piece.paths
    )
