"""List what is lifted from the paint, mark by mark: every piece of film that lies loose by itself.

That is the film of lift-off work: the letters with their dots and accents, the graduations, the
lines, and the discs and plugs that kept metal bare. What touches is one piece, and what is bridged
several.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from legend.layout.artwork import Artwork, Mark, Role
from legend.lettering.outlines.outline import Box
from legend.stencil.contours import parts
from legend.stencil.mark_owners import owners_at
from legend.stencil.sheet import Cut, Piece

#: Characters that are no more than a dot or a stroke or two.
_DOTS = frozenset(".,:;·…'’‘\"“”")


class Loose(StrEnum):
    """What a loose piece of film is."""

    LETTER = "letter"
    DOT = "dot or accent"
    GRADUATION = "graduation"
    LINE = "line"
    RULE = "rule"
    SIGN = "part of a sign"
    DISC = "disc"
    PLUG = "plug"


_OF_LINES = {Role.GRADUATION: Loose.GRADUATION, Role.FRAME: Loose.LINE, Role.RULE: Loose.RULE}


@dataclass(frozen=True, slots=True, eq=False)
class Lifted:
    """What is lifted of a mark, or of a disc or plug that kept metal bare: so many of each sort.

    `mark` is None for such; `owner` is the hole that it belongs to, or "". `box` is on the panel.
    """

    mark: Mark | None
    owner: str
    box: Box
    pieces: Mapping[Loose, int]

    @property
    def count(self) -> int:
        """How many pieces that is in all."""
        return sum(self.pieces.values())


def loose_film(artwork: Artwork, pieces: Iterable[Piece]) -> list[Lifted]:
    """What is lifted of every mark that is cut, and of every bare disc, in the artwork's order.

    `pieces` are those of film for lift-off.
    """
    loose = [
        part
        for piece in pieces
        for path in piece.paths
        if path.cut is Cut.MARK
        for part in parts(path.outline)
    ]
    owners = owners_at(artwork, [part.contours[0].points[0] for part in loose])
    of: dict[int, Counter[str]] = {}
    for mark, letter in owners:
        if mark is not None:  # else it joins the parts of a piece, and is gone before the paint
            of.setdefault(id(mark), Counter())[letter] += 1
    marks = [mark for mark in artwork.marks if id(mark) in of]
    return [
        *(
            Lifted(mark, mark.owner, mark.outline.bounds, _sorts(mark, of[id(mark)]))
            for mark in marks
        ),
        *(
            Lifted(None, disc.bare.hole, disc.outline.bounds, {Loose(disc.what): 1})
            for disc in artwork.bare_discs
        ),
    ]


def _sorts(mark: Mark, found: Mapping[str, int]) -> dict[Loose, int]:
    """The loose pieces of a mark by their sort, from how many there are of each letter."""
    sorts: Counter[Loose] = Counter()
    whole = Counter(letter.text for letter in mark.letters)
    for letter, count in found.items():
        if mark.role in _OF_LINES:
            sorts[_OF_LINES[mark.role]] += count
        elif mark.role is Role.SYMBOL or not letter or letter.startswith("symbol:"):
            sorts[Loose.SIGN] += count
        elif letter in _DOTS:
            sorts[Loose.DOT] += count
        else:
            sorts[Loose.LETTER] += min(count, whole[letter])
            sorts[Loose.DOT] += max(count - whole[letter], 0)
    return {sort: sorts[sort] for sort in Loose if sorts[sort]}
