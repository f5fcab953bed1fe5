"""Choose where the knife begins with a contour: Paths in, the same Paths out, begun elsewhere.

A swivelling blade trails behind the middle of its holder, and turns into the line only while it
is drawn along. So a cut should begin, and close again, where the line runs straight; best shortly
before a corner, where the join does not show, and never at the corner itself, where the blade
would stand across one of the two lines.

1. A contour begins on a straight run, so far before its end as the blade takes to settle. Of
   several runs the longest are as good as each other, from a length on; of these, the one is taken
   that ends in the sharpest outward corner, else in an inward one, else in a curve.
2. A contour without straight runs, or with none but such as are shorter than its curves are flat,
   begins on its flattest run; a circle where it began.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from legend.description.tables.description import Stencil
from legend.lettering.outlines.curve_points import Points, divided
from legend.lettering.outlines.outline import ADDS, Contour, Outline, cubics_of
from legend.standards import BLADE_SETTLES
from legend.stencil.sheet import Path

#: A bend of less than this is no corner, degrees.
_CORNER = 20.0
#: A line that is shorter than this is not divided, mm.
_DIVIDED = 0.2
#: Runs are as long as each other to this part of what is wanted of them.
_AS_LONG = 0.1
#: A node that is less flat than the flattest place by less than this factor is taken rather.
_AS_FLAT = 1.1
#: Where along a curve it is measured how it bends.
_PARTS = np.array([0.02, 0.25, 0.5, 0.75, 0.98])

Numbers = NDArray[np.float64]


def before_corner(stencil: Stencil) -> float:
    """How far before the end of a straight run a cut begins, mm.

    The blade has settled there, at the latest, when it comes to the end; what is cut twice lies on
    the run, before and behind its start.
    """
    return max(BLADE_SETTLES, stencil.overrun) + stencil.lead_in


def begun(paths: Sequence[Path], before: float) -> list[Path]:
    """The same paths, each contour begun where it should: on a straight run, `before` mm before
    its end, or on its flattest run.
    """
    contours = [contour.closed() for path in paths for contour in path.outline.contours]
    turned = map(_begun_at, contours, *_starts(contours, before)) if contours else iter(())
    return [
        Path(path.cut, Outline(tuple(next(turned) for _ in path.outline.contours)))
        for path in paths
    ]


def _begun_at(contour: Contour, segment: int, part: float) -> Contour:
    """A closed contour begun at this part, 0 to 1, of a segment."""
    turned = contour.started_at(segment)
    if not part:
        return turned
    code, adds = turned.codes[0], ADDS[turned.codes[0]]
    first, rest = divided(turned.points[: adds + 1], part)
    points = np.vstack([rest, turned.points[adds + 1 :], first[1:]])
    return Contour(code + turned.codes[1:] + code, points)


def begun_before(contour: Contour, corner: int, before: float) -> Contour:
    """A contour of lines begun `before` mm before a corner, or half way to it."""
    closed = contour.closed()
    segment = (corner - 1) % len(closed.codes)
    begin, end = closed.points[segment : segment + 2]
    part = max(1 - before / float(np.hypot(*(end - begin))), 0.5)
    return _begun_at(closed, segment, part)


def _starts(contours: Sequence[Contour], before: float) -> tuple[list[int], list[float]]:
    """For each closed contour the segment on which it begins, and the part of it before that."""
    cubics, straight, of = cubics_of(contours)
    first = np.searchsorted(of, np.arange(len(contours)))
    last = np.append(first[1:], len(of)) - 1
    following = np.arange(len(of)) + 1
    following[last] = first
    turn = _turns(cubics, first, last, of)
    length = np.hypot(*(cubics[:, 3] - cubics[:, 0]).T)

    sharp = turn[following]
    corner = np.where(sharp > _CORNER, 360 + sharp, np.maximum(-sharp - _CORNER, 0)).round()
    wanted = before + BLADE_SETTLES
    long = np.floor(np.minimum(length / wanted, 1) / _AS_LONG + 1e-6)
    best = np.lexsort((-length, -corner, -long, ~straight, of))[first]
    at = np.where(length >= wanted, length - before, length * BLADE_SETTLES / wanted)
    part = np.where(length >= _DIVIDED, at / np.maximum(length, _DIVIDED), 0.0)[best]

    flattest, inside, bend = _flattest(cubics, straight, turn, first, last, of)
    is_long = straight[best] & ((length[best] >= wanted) | (2 / length[best] <= bend))
    is_run = is_long | (np.bincount(of, ~straight) == 0)
    chosen, parts = np.where(is_run, best, flattest), np.where(is_run, part, inside)
    return (chosen - first).tolist(), parts.tolist()


def _turns(
    cubics: NDArray[np.float64],
    first: NDArray[np.intp],
    last: NDArray[np.intp],
    of: NDArray[np.intp],
) -> Numbers:
    """By how much each contour turns where a segment begins, degrees; outward above 0.

    Each segment leaves and arrives in the direction of its end tangents, and the contour turns
    from how the one before arrives. A turn to the side to which it runs round is outward.
    """
    leaves = _first_that_goes(cubics[:, 1] - cubics[:, 0], cubics[:, 3] - cubics[:, 0])
    arrives = _first_that_goes(cubics[:, 3] - cubics[:, 2], cubics[:, 3] - cubics[:, 0])
    before = np.arange(len(of)) - 1
    before[first] = last
    into = arrives[before]
    turn = np.degrees(np.arctan2(_cross(into, leaves), (into * leaves).sum(axis=1)))
    corners = cubics - cubics[first[of], :1]
    swept = sum(_cross(corners[:, i], corners[:, i + 1]) for i in range(3))
    outward: Numbers = turn * np.sign(np.bincount(of, swept))[of]
    return outward


def _flattest(
    cubics: NDArray[np.float64],
    straight: NDArray[np.bool_],
    turn: Numbers,
    first: NDArray[np.intp],
    last: NDArray[np.intp],
    of: NDArray[np.intp],
) -> tuple[NDArray[np.intp], Numbers, Numbers]:
    """For each contour the segment on which its flattest run lies, the part of it before that, and
    how sharply it bends there, 1/mm.

    Looked at are the nodes and the middles of the curves. Each is as flat as the sharpest bend
    near it, and the less so the nearer is what comes next.
    """
    bend = _bends(cubics)
    half = np.maximum(np.hypot(*(cubics[:, 3] - cubics[:, 0]).T), 1e-6) / 2
    before = np.arange(len(of)) - 1
    before[first] = last
    middle = np.where(straight, np.inf, bend[:, 1:4].max(axis=1) + 1 / half)
    node = np.maximum(bend[:, :2].max(axis=1), bend[before, 3:].max(axis=1))
    node = node + 1 / np.minimum(half, half[before])
    node[np.abs(turn) > _CORNER] = np.inf
    flattest = np.minimum.reduceat(np.minimum(middle, node), first)[of]
    # A node that will do comes before the middle of a segment, which would be a node more.
    rank = np.select([node <= _AS_FLAT * flattest, middle <= flattest], [0, 1], 2)
    chosen = np.lexsort((rank, of))[first]
    return chosen, np.where(rank[chosen] == 1, 0.5, 0.0), flattest[first]


def _bends(cubics: NDArray[np.float64]) -> Numbers:
    """How sharply each segment bends along its parts, 1/mm."""
    t, s = _PARTS[:, None], 1 - _PARTS[:, None]
    p0, p1, p2, p3 = (cubics[:, i, None, :] for i in range(4))
    speed = 3 * (s * s * (p1 - p0) + 2 * s * t * (p2 - p1) + t * t * (p3 - p2))
    change = 6 * (s * (p2 - 2 * p1 + p0) + t * (p3 - 2 * p2 + p1))
    along = np.maximum(np.hypot(speed[..., 0], speed[..., 1]), 1e-9)
    across = speed[..., 0] * change[..., 1] - speed[..., 1] * change[..., 0]
    bends: Numbers = np.abs(across) / along**3
    return bends


def _first_that_goes(tangents: Points, chords: Points) -> Points:
    """The directions in the rows of the tangents, or of the chords where a tangent is nought."""
    still = np.all(np.abs(tangents) < 1e-9, axis=1)
    return np.where(still[:, np.newaxis], chords, tangents)


def _cross(a: Points, b: Points) -> Numbers:
    """Cross products of the vectors in the rows of a and b."""
    return a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
