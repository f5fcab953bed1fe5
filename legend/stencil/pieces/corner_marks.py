"""Make the corner marks of a piece that has no hole: two right angles to lay a rule to.

They stand inside two corners of the weeding box, at the ends of one side of it, one step of a rule
from both sides that meet there. So the outer edges of each stand on divisions of a rule from the
panel's edges too: a rule is laid along them, or they are brought to scribed lines, or to the
overlay. They travel on the tape with the letters, and are exact even where the tape is trimmed
roughly.

- `lift-off` film: each is a narrow angle of film, left standing when the rest is weeded. Laid, it
  has done its work and is peeled off before the top coat, which it would mask.
- `paint-through` film: a kiss-cut angle, left in place.
- `sheet`: none, since paint would go through them. Its own edges are stiff and cut right through,
  and a rule lies against them as they are.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from legend.description.tables.description import Stencil
from legend.description.tables.stock import StockLimits
from legend.length_words import Lengths
from legend.lettering.outlines.curve_points import Points
from legend.lettering.outlines.outline import Outline
from legend.sentences import listed
from legend.stencil.pieces.uncut_piece import UncutPiece
from legend.stencil.sheet import Piece

#: How long the arms of an angle are, the longest first, and how wide, mm: long enough to bring to
#: an edge by eye, wide enough to peel off in one. Common practice, no source.
_ARMS, _WIDTH = (6.0, 4.0, 2.5), 0.6
#: How near an angle comes to a letter or to another mark, mm. Common practice, no source.
_CLEAR = 0.5


def corner_marks(
    piece: UncutPiece, panel: BaseGeometry, step: float, limits: StockLimits
) -> tuple[Outline, ...]:
    """Two right angles inside two corners of a piece, clear of all that is on it; or none.

    They lie on the panel, over whose edge a box may reach where that is round. Those at the foot
    are preferred, then those at the head, the left and the right; with arms as long as there is
    room for. None come where the margin is too narrow for them. `step` is that of a rule, mm.
    """
    inset = step * math.ceil(limits.gap / step - 1e-6)
    width = max(_WIDTH, limits.stroke)
    taken = [mark.outline.shape for mark in piece.marks]
    taken += [mark.shape for mark in piece.registration]
    tree = shapely.STRtree(taken)
    room = piece.edge.shape.buffer(1e-6 - limits.gap, join_style="mitre").intersection(panel)
    for arm in _ARMS:
        for side in _outer_sides(piece.edge):
            pair = _angles(side, inset, width, arm)
            shapes = [each.shape for each in pair]
            apart = shapely.distance(*shapes) >= _CLEAR and all(map(room.contains, shapes))
            if apart and not len(tree.query(shapes, "dwithin", max(_CLEAR, limits.gap))[0]):
                return pair
    return ()


def how_laid(pieces: Iterable[Piece], stencil: Stencil, lengths: Lengths) -> str:
    """How those of the pieces that have corner marks are laid by them, in words; "" without any."""
    marked = [piece for piece in pieces if piece.corner_marks]
    if not marked:
        return ""
    one = len(marked) == 1
    called = f"Piece {marked[0].number} has"
    if not one:
        called = f"Pieces {listed(str(piece.number) for piece in marked)} have"
    inside = lengths.given(max(map(_inset, marked)))
    return (
        f"{called} no hole, but corner marks: lay a rule to their outer edges, which stand "
        f"{inside} inside {'its' if one else 'the'} weeding box{'' if one else 'es'}. "
        + after_laying(stencil)
    )


def after_laying(stencil: Stencil) -> str:
    """What becomes of corner marks when the piece is laid, in words."""
    return {
        "lift-off": "Leave them standing when you weed, and peel them off again before the top "
        "coat, or they will show.",
        "paint-through": "Leave the film in them as it is.",
    }[stencil.method]


def _inset(piece: Piece) -> float:
    """How far the corner marks of a piece stand inside its box, mm."""
    within = np.subtract(piece.corner_marks[0].bounds, piece.box)
    return float(np.abs(within).min())


def _outer_sides(edge: Outline) -> Iterator[tuple[Points, Points]]:
    """The sides of a box that lie furthest out, the lowest first: their ends, and the way in."""
    corners = edge.contours[0].closed().points
    begins, ends = corners[:-1], corners[1:]
    ways: Sequence[tuple[int, int]] = ((1, 1), (1, -1), (0, 1), (0, -1))
    for axis, inward in ways:
        outermost = (inward * corners[:, axis]).min()
        on = (np.abs(inward * begins[:, axis] - outermost) < 1e-6) & (
            np.abs(inward * ends[:, axis] - outermost) < 1e-6
        )
        longest = np.where(on, np.hypot(*(ends - begins).T), -1).argmax()
        side = np.array(sorted([begins[longest].tolist(), ends[longest].tolist()]))
        way = np.zeros(2)
        way[axis] = inward
        yield side, way


def _angles(
    side: tuple[Points, Points], inset: float, width: float, arm: float
) -> tuple[Outline, Outline]:
    """A right angle inside each end of a side, its arms along the side and inward."""
    (first, last), inward = side
    along = (last - first) / np.hypot(*(last - first))
    return _angle(first, along, inward, inset, width, arm), _angle(
        last, -along, inward, inset, width, arm
    )


def _angle(
    corner: Points, along: Points, inward: Points, inset: float, width: float, arm: float
) -> Outline:
    outer = corner + inset * (along + inward)
    ways = [(0, 0), (arm, 0), (arm, width), (width, width), (width, arm), (0, arm)]
    points = np.array([outer + a * along + b * inward for a, b in ways])
    turns = float(along[0] * inward[1] - along[1] * inward[0])
    return Outline.polygon(points if turns > 0 else points[::-1])
