"""Set marks on letters of single strokes: above, below, or beside them.

A mark is drawn as it stands over or under an x, its middle at x = 0; what stands beside a letter
is drawn at its own height, and moved up to the letter.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable

import numpy as np
import shapely

from legend.lettering.faces.face import ABOVE
from legend.lettering.faces.folding import COMMA_BESIDE, TONOS
from legend.lettering.strokes.skeleton import Skeleton, flattened, sampled, transformed

#: How far the middle of the stroke of a mark beside a letter keeps from those of the letter, over
#: the capital height of the font. It is less than parts of a glyph keep otherwise, since what
#: stood further off would be read as an apostrophe between two letters. By eye, no source.
_BESIDE = 280 / 900
#: How near to that is near enough, over the same.
_NEAR = 1e-4


def with_marks(
    parts: str, read: Callable[[str], Skeleton], x_height: float, cap_height: float
) -> Skeleton:
    """A letter and its marks, each read by itself, as the strokes of one character.

    Lengths are in the units of the font.
    """
    base = read(parts[0])
    skeleton = base
    for mark in parts[1:]:
        strokes = read(mark)
        if mark in (COMMA_BESIDE, TONOS):
            side = 1 if mark == COMMA_BESIDE else -1
            strokes = _beside(base, strokes, side, _BESIDE * cap_height, _NEAR * cap_height)
        else:
            is_above = unicodedata.combining(mark) == ABOVE
            dx = _middle(base, is_above) - _middle(strokes, not is_above)
            dy = top(skeleton) - x_height if is_above else 0.0
            strokes = transformed(strokes, (1, 0, 0, 1, dx, dy))
        skeleton += strokes
    return skeleton


def top(skeleton: Skeleton) -> float:
    """How high the strokes go."""
    return max(y for run in skeleton for _, y in sampled(run))


def _beside(letter: Skeleton, mark: Skeleton, side: int, apart: float, near: float) -> Skeleton:
    """The mark moved up to the letter, from the right if `side` is 1, and from the left if -1."""
    stem, aside = _lines(letter, near), _lines(mark, near)
    if side > 0:
        dx = stem.bounds[2] - aside.bounds[0] + apart
    else:
        dx = stem.bounds[0] - aside.bounds[2] - apart
    # What is so far from each other may come nearer by that, and cannot come too near.
    while (room := shapely.distance(stem, _moved(aside, dx)) - apart) > near:
        dx -= side * room
    return transformed(mark, (1, 0, 0, 1, dx, 0))


def _lines(skeleton: Skeleton, fit: float) -> shapely.MultiLineString:
    pieces = [flattened(segment, fit) for run in skeleton for segment in run.segments]
    return shapely.multilinestrings([shapely.LineString(piece) for piece in pieces])


def _moved(lines: shapely.MultiLineString, dx: float) -> shapely.Geometry:
    return shapely.transform(lines, lambda points: points + np.array([dx, 0.0]))


def _middle(skeleton: Skeleton, upper: bool) -> float:
    """The middle, from left to right, of the upper or the lower half of a skeleton."""
    points = [point for run in skeleton for point in sampled(run)]
    low, high = min(y for _, y in points), max(y for _, y in points)
    # A round that turns at half the height, as an o does, belongs to both halves.
    half, near = (low + high) / 2, (high - low) / 1000
    xs = [x for x, y in points if (y >= half - near if upper else y <= half + near)]
    return (min(xs) + max(xs)) / 2
