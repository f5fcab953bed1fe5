"""List what is weeded from each piece, counters and dots, letter by letter.

A counter is a part of the stock that a letter encloses: it is pulled out of lift-off film,
and stays on the panel for paint-through. A dot is a small part of a letter that stands by
itself; on lift-off film it is an island that must not be lost while the rest is weeded.
What bridges hold is neither.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from legend.description.tables.description import Stencil
from legend.layout.artwork import Artwork
from legend.layout.names.rows import SAME_AXIS, clustered
from legend.lettering.outlines.outline import Contour
from legend.standards import WANTS_CARE
from legend.stencil.contours import parts
from legend.stencil.mark_owners import owners_at
from legend.stencil.sheet import Cut, Piece


class Kind(StrEnum):
    """What a small part of a stencil is."""

    COUNTER = "counter"
    DOT = "dot"


@dataclass(frozen=True, slots=True)
class Island:
    """A small part: of which letter of which word it is, how wide, and where on the panel, mm.

    For a line, the word is what the line is for and the letter is "".
    """

    kind: Kind
    word: str
    letter: str
    across: float
    place: tuple[float, float]

    @property
    def wants_care(self) -> bool:
        """Whether it is narrower than `WANTS_CARE`."""
        return self.across < WANTS_CARE


def islands(artwork: Artwork, pieces: Iterable[Piece]) -> dict[int, tuple[Island, ...]]:
    """The counters and the dots of each piece, by its number, in reading order."""
    with_dots = artwork.description.stencil.method == "lift-off"
    found = [
        (piece.number, kind, contour)
        for piece in pieces
        for kind, contour in _small_parts(piece, with_dots)
    ]
    # The edge of a counter or a dot is its letter's own; its middle may be another's.
    owners = owners_at(artwork, [contour.points[0] for _, _, contour in found])
    of: dict[int, list[Island]] = {}
    for (number, kind, contour), (mark, letter) in zip(found, owners, strict=True):
        x, y = ((contour.points.min(axis=0) + contour.points.max(axis=0)) / 2).tolist()
        word = (mark.text or mark.role.value) if mark else ""
        island = Island(kind, word, letter, _across(contour), (x, y))
        of.setdefault(number, []).append(island)
    return {number: tuple(_in_reading_order(members)) for number, members in of.items()}


def what_comes_first(stencil: Stencil) -> str:
    """In which order to weed, in words."""
    if stencil.method == "lift-off":
        return (
            "Pull the counters out first, while the film round the letters still holds them "
            "down, then the film between the letters, from a corner of the weeding box; the "
            "letters and their dots stay. The top coat must reach every counter."
        )
    if stencil.stock == "film":
        discs = " Then the disc in each circle on a hole, if it is in the way."
        return (
            "Pull the letters out, each from a corner, and hold its islands down meanwhile: "
            "they must stay." + discs * (stencil.registration != "none")
        )
    return "Press the openings out from behind, the smallest first."


def _small_parts(piece: Piece, with_dots: bool) -> Iterator[tuple[Kind, Contour]]:
    for path in piece.paths:
        if path.cut is not Cut.MARK:
            continue
        for part in parts(path.outline):
            outside, *holes = part.contours
            yield from ((Kind.COUNTER, hole) for hole in holes)
            if with_dots and not holes and max(_sides(outside)) < WANTS_CARE:
                yield Kind.DOT, outside


def _across(contour: Contour) -> float:
    """How wide an area is: exact for a circle, a square or any triangle, mm."""
    length = np.hypot(*np.diff(contour.flat, axis=0).T).sum()
    return float(min(4 * abs(contour.signed_area) / length, *_sides(contour)))


def _sides(contour: Contour) -> tuple[float, float]:
    width, height = np.ptp(contour.points, axis=0).tolist()
    return width, height


def _in_reading_order(found: Sequence[Island]) -> list[Island]:
    """Word by word, line by line from the top, and the letters of a word from left to right."""
    tops: dict[str, float] = {}
    lefts: dict[str, float] = {}
    for island in found:
        x, y = island.place
        tops[island.word] = max(tops.get(island.word, -np.inf), y)
        lefts[island.word] = min(lefts.get(island.word, np.inf), x)
    lines = list(clustered({word: -top for word, top in tops.items()}, SAME_AXIS))
    line_of = {word: number for number, line in enumerate(lines) for word in line}

    def order(island: Island) -> tuple[int, float, str, float, float]:
        word, (x, y) = island.word, island.place
        return line_of[word], lefts[word], word, x, -y

    return sorted(found, key=order)
