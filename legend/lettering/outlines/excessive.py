"""Tell why no letter can be cut from a glyph that is too large or too tangled.

Fonts are files like others: damaged, made by a careless program, or by a malicious one. A
glyph of a million points, or one whose lines cross each other everywhere, would take hours
and all memory to make a clean shape of.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely

from legend.lettering.outlines.connected import pairs_that_meet
from legend.lettering.outlines.curve_points import Points
from legend.limits import FURTHEST, MOST_CROSSINGS, MOST_POINTS_OF_A_LETTER

#: The boxes of so many pieces are compared with each other quickly.
_COMPARED = 400

TOO_MANY_POINTS = (
    f"is drawn with more than {MOST_POINTS_OF_A_LETTER} points, and no letter takes so many"
)


def why_not(points: Points, count: int) -> str:
    """What is wrong with a glyph's points, in capital heights, `count` of them on its lines.

    "" where nothing is; else words that go on from "it".
    """
    if count > MOST_POINTS_OF_A_LETTER:
        return TOO_MANY_POINTS
    if points.size and not np.abs(points).max() <= FURTHEST:  # nor where it is no number
        return f"reaches further than {FURTHEST:g} times the height of a capital"
    return ""


def crossings(lines: Iterable[Points], most: int = MOST_CROSSINGS) -> int:
    """How many pieces of lines cross each other, or run along each other; counted to `most`."""
    return _crossings(_pieces_of(lines), most)


def cross_more_often(lines: Iterable[Points], most: int = MOST_CROSSINGS) -> bool:
    """Whether there are more `crossings` than `most`; of most letters a glance tells."""
    pieces = _pieces_of(lines)
    if len(pieces) <= _COMPARED:
        low, high = pieces.min(axis=1), pieces.max(axis=1)
        meet = (low[:, None] <= high).all(axis=2)
        if np.count_nonzero(meet & meet.T) - len(pieces) <= 2 * most:  # each pair twice
            return False
    return _crossings(pieces, most) > most


def _pieces_of(lines: Iterable[Points]) -> Points:
    """The straight pieces of lines, from where to where each goes, shape (n, 2, 2)."""
    pieces = [np.stack([line[:-1], line[1:]], axis=1) for line in lines if len(line) > 1]
    return np.concatenate([np.empty((0, 2, 2)), *pieces])


def _crossings(pieces: Points, most: int) -> int:
    segments = shapely.linestrings(pieces)
    found = 0
    for one, other in pairs_that_meet(segments):
        found += int((~shapely.touches(segments[one], segments[other])).sum())
        if found > most:
            break
    return found
