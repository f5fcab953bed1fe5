"""Order cuts for the knife: innermost first, and with short travel.

Inside a piece the innermost comes first, so that nothing shifts in a part already cut loose:
what lies in a counter or a frame before the letter or the frame itself, a counter before the
outside. Within that, travel is short. A contour starts at its sharpest corner, where the join
does not show.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from legend.lettering.outlines.curve_points import Points
from legend.lettering.outlines.outline import Contour, Outline, cubics_of
from legend.stencil.contours import holders, holds
from legend.stencil.order.travel import tour
from legend.stencil.sheet import Path

#: A bend of less than this is no corner, degrees.
_CORNER = 20.0

#: So many pieces are put in order at once: enough to be quick, few enough to be small.
_BATCH = 64


def in_knife_order(pieces: Sequence[Sequence[Path]]) -> list[tuple[Path, ...]]:
    """The paths of each piece in knife order, each contour begun at a corner."""
    begins = range(0, len(pieces), _BATCH)
    return [each for k in begins for each in _in_knife_order(pieces[k : k + _BATCH])]


def _in_knife_order(pieces: Sequence[Sequence[Path]]) -> list[tuple[Path, ...]]:
    paths = [path for piece in pieces for path in piece]
    if not paths:
        return [()] * len(pieces)
    which = np.repeat(np.arange(len(pieces)), [len(piece) for piece in pieces])
    cut = _innermost_first(_begun_at_corners(paths))
    holder_of = _enclosing_shapes([path.outline for path in paths], which)
    entry = np.array([path.outline.contours[0].points[0] for path in cut]).reshape(-1, 2)
    leave = np.array([path.outline.contours[-1].points[0] for path in cut]).reshape(-1, 2)
    children: dict[int, list[int]] = {}
    for index, holder in enumerate(holder_of):
        key = holder if holder >= 0 else -1 - int(which[index])
        children.setdefault(key, []).append(index)
    return [
        tuple(cut[i] for i in _ordered(children, -1 - piece, entry, leave))
        for piece in range(len(pieces))
    ]


def _ordered(
    children: dict[int, list[int]], holder: int, entry: Points, leave: Points
) -> list[int]:
    """What lies in a holder, each with all that lies in it, the innermost first."""
    runs = [
        [*_ordered(children, i, entry, leave), i] if i in children else [i]
        for i in children.get(holder, [])
    ]
    first, last = [run[0] for run in runs], [run[-1] for run in runs]
    return [i for k in tour(entry[first], leave[last]) for i in runs[k]]


# --- What lies in what ---


def _enclosing_shapes(outlines: Sequence[Outline], which: NDArray[np.int64]) -> list[int]:
    """For each shape the innermost of its piece that it lies in a hole of, or -1."""
    contours = [contour for outline in outlines for contour in outline.contours]
    owner = np.repeat(np.arange(len(outlines)), [len(outline.contours) for outline in outlines])
    points = np.vstack([contour.points for contour in contours])
    sizes = np.array([len(contour.points) for contour in contours])
    firsts = np.cumsum(sizes) - sizes
    low, high = np.minimum.reduceat(points, firsts), np.maximum.reduceat(points, firsts)
    of_owner = np.flatnonzero(np.diff(owner, prepend=-1))
    own_low, own_high = np.minimum.reduceat(low, of_owner), np.maximum.reduceat(high, of_owner)
    boxes = shapely.box(*low.T, *high.T)
    ring, inside = shapely.STRtree(shapely.box(*own_low.T, *own_high.T)).query(boxes)
    sound = (which[owner[ring]] == which[inside]) & (owner[ring] != inside)
    sound &= (low[ring] < own_low[inside]).all(axis=1) & (high[ring] > own_high[inside]).all(axis=1)
    ring, inside = ring[sound], inside[sound]
    found = [-1] * len(outlines)
    for k in np.argsort(-shapely.area(boxes[ring]), kind="stable"):
        if holds(contours[ring[k]].points, outlines[inside[k]].contours[0].points[0]):
            found[inside[k]] = int(owner[ring[k]])
    return found


def _innermost_first(paths: Sequence[Path]) -> list[Path]:
    """Each path with its contours from the innermost out, from left to right."""
    return [
        path
        if len(path.outline.contours) == 1
        else Path(path.cut, Outline(tuple(_nested(path.outline.contours))))
        for path in paths
    ]


def _nested(contours: Sequence[Contour]) -> list[Contour]:
    """Contours of one shape: left to right, each after all that lies in it."""
    left = [tuple(contour.points.min(axis=0).tolist()) for contour in contours]
    members: dict[int, list[int]] = {}
    holder_of = holders(contours)
    for index in sorted(range(len(contours)), key=left.__getitem__):
        members.setdefault(holder_of[index], []).append(index)

    def unrolled(outer: int) -> list[int]:
        return [i for inner in members.get(outer, []) for i in (*unrolled(inner), inner)]

    return [contours[i] for i in unrolled(-1)]


# --- Where a contour begins ---


def _begun_at_corners(paths: Sequence[Path]) -> list[Path]:
    """The same paths, each contour begun at its sharpest corner, the outward ones first.

    A contour without corners keeps its beginning.
    """
    contours = [contour.closed() for path in paths for contour in path.outline.contours]
    turned = map(Contour.started_at, contours, _sharpest(contours))
    return [
        Path(path.cut, Outline(tuple(next(turned) for _ in path.outline.contours)))
        for path in paths
    ]


def _sharpest(contours: Sequence[Contour]) -> list[int]:
    """For each closed contour the first segment that begins at its sharpest corner, or 0.

    1. Each segment leaves and arrives in the direction of its end tangents.
    2. At the begin of each, the contour turns from how the one before arrives to how it leaves.
    3. A turn to the side to which the contour runs round is outward. Outward corners are
       sharper than all inward ones, and those that hardly turn are none.
    4. Of the sharpest, to a degree, the first is taken.
    """
    if not contours:
        return []
    cubics, _, of = cubics_of(contours)
    first = np.searchsorted(of, np.arange(len(contours)))
    last = np.append(first[1:], len(of)) - 1
    leaves = _first_that_goes(cubics[:, 1] - cubics[:, 0], cubics[:, 3] - cubics[:, 0])
    arrives = _first_that_goes(cubics[:, 3] - cubics[:, 2], cubics[:, 3] - cubics[:, 0])
    before = np.arange(len(of)) - 1
    before[first] = last
    into = arrives[before]
    turn = np.degrees(np.arctan2(_cross(into, leaves), (into * leaves).sum(axis=1)))
    corners = cubics - cubics[first[of], :1]
    swept = sum(_cross(corners[:, i], corners[:, i + 1]) for i in range(3))
    outward = turn * np.sign(np.bincount(of, swept))[of]
    sharpness = np.where(outward > _CORNER, outward + 360, np.maximum(-outward - _CORNER, 0))
    chosen = np.lexsort((-np.round(sharpness), of))[first]
    begun: list[int] = np.where(sharpness[chosen] > 0, chosen - first, 0).tolist()
    return begun


def _first_that_goes(tangents: Points, chords: Points) -> Points:
    """The directions in the rows of the tangents, or of the chords where a tangent is nought."""
    still = np.all(np.abs(tangents) < 1e-9, axis=1)
    return np.where(still[:, np.newaxis], chords, tangents)


def _cross(a: Points, b: Points) -> NDArray[np.float64]:
    """Cross products of the vectors in the rows of a and b."""
    return a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
