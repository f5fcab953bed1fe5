"""Choose how a card is held true to the panel: by two holes, or by stops along two edges.

What is free of windows, and far apart, holds a card best. A hole lies in the window of its own
piece, or nearly, so that a card held by it has no such window.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.lettering.outlines.outline import Box
from legend.standards import BOX_STEP
from legend.stencil.cards.card import ByEdges, ByHoles, Side, Stop
from legend.stencil.cards.site import OVERHANG, RIM, ROUND_HOLE, SAME, STOP, Site, takes_a_pin

#: How far from the middle between two holes they hold a window true, over their distance: the
#: play of the pins is felt there two and a half times. Common practice, no source.
_REACH = 1.25
#: Holes nearer to each other than this hold no card, mm. Common practice, no source.
_LEAST_APART = 12.0
#: So many holes furthest out in each direction are looked at, and so many pairs that leave the
#: most windows are tried.
_FURTHEST, _TRIED = 3, 6
_DIRECTIONS = np.array([(1, 0), (0, 1), (-1, 0), (0, -1), (1, 1), (-1, 1), (-1, -1), (1, -1)])

#: The longest and the shortest stop, how far it keeps from the corner of the panel and from what
#: is near its edge, mm. Common practice, no source.
_LONGEST, _SHORTEST, _OFF_CORNER, _CLEAR = 240.0, 20.0, 4.0, 2.0
#: How far those along the right and the top keep from the corner that is clipped, mm.
_OFF_CLIP = 15.0
#: A window that comes nearer to an edge than this leaves no card there for a stop, mm.
_NEAR_EDGE = 4.0


#: Ranks of ways to hold a card: by pins, by the edges that meet at the datum, by others, by eye.
PINNED, FAVOURED, OTHER_EDGES, BY_EYE = range(4)


@dataclass(frozen=True, slots=True)
class Way:
    """A way to hold a card, before its windows are chosen.

    `windows` are those that it leaves and reaches. `rank` is one of the numbers above, the best
    the least; `span` is how far apart its holes are, mm.
    """

    windows: frozenset[int]
    rank: int
    span: float
    holes: tuple[int, int] | None = None
    sides: tuple[Side, Side] | None = None


def ways(
    site: Site, room: Box, open_: AbstractSet[int], done: AbstractSet[int], by_holes: bool
) -> list[Way]:
    """The ways to hold a card within some room that is to have `open_` windows.

    They are by holes, or else by edges. `done` are the pieces that earlier cards have placed.
    """
    return list(_by_holes(site, room, open_, done) if by_holes else _by_edges(site, room, open_))


# --- By holes ---


def _by_holes(
    site: Site, room: Box, open_: AbstractSet[int], done: AbstractSet[int]
) -> Iterator[Way]:
    able = [k for k in _within(site, room) if not site.closed[k] & done]
    windows = np.array(sorted(open_))
    if len(able) < 2 or not len(windows):
        return
    at = np.array([site.holes[k].centre for k in able])
    free = np.array([[w not in site.swallowed[k] for w in windows.tolist()] for k in able])
    pins = np.array([takes_a_pin(site.holes[k]) for k in able])
    chosen = _outermost(at, np.all(free, axis=1))
    one, other = np.array(list(itertools.combinations(chosen, 2))).T
    span = np.hypot(*(at[one] - at[other]).T)
    reached = _furthest(site.boxes[windows], (at[one] + at[other]) / 2) <= _REACH * span[:, None]
    left = reached & free[one] & free[other] & (span >= _LEAST_APART)[:, None]
    pinned = pins[one] & pins[other]
    best = np.lexsort([-span, -left.sum(axis=1), ~pinned])
    by_sort = [best[pinned[best]], best[~pinned[best]]]
    for k in np.concatenate([sort[:_TRIED] for sort in by_sort]).tolist():
        if left[k].any():
            yield Way(
                frozenset(windows[left[k]].tolist()),
                PINNED if pinned[k] else BY_EYE,
                float(span[k]),
                holes=(able[one[k]], able[other[k]]),
            )


def _within(site: Site, room: Box) -> list[int]:
    """The holes that have card all round them within the room."""
    x0, y0, x1, y1 = room
    low = (site.hole_boxes[:, :2] - ROUND_HOLE >= (x0 - SAME, y0 - SAME)).all(axis=1)
    high = (site.hole_boxes[:, 2:] + ROUND_HOLE <= (x1 + SAME, y1 + SAME)).all(axis=1)
    return np.flatnonzero(low & high).tolist()


def _outermost(at: NDArray[np.float64], free: NDArray[np.bool_]) -> list[int]:
    """The points furthest out each way, of all and of those that are free."""
    chosen: set[int] = set()
    for some in (np.arange(len(at)), np.flatnonzero(free)):
        order = np.argsort(-(at[some] @ _DIRECTIONS.T), axis=0, kind="stable")[:_FURTHEST]
        chosen.update(some[order].ravel().tolist())
    return sorted(chosen)


def _furthest(boxes: NDArray[np.float64], points: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far the furthest corner of each box is from each point; points by boxes."""
    x = np.maximum(
        np.abs(points[:, None, 0] - boxes[None, :, 0]),
        np.abs(points[:, None, 0] - boxes[None, :, 2]),
    )
    y = np.maximum(
        np.abs(points[:, None, 1] - boxes[None, :, 1]),
        np.abs(points[:, None, 1] - boxes[None, :, 3]),
    )
    return np.hypot(x, y)


# --- By edges ---


def _by_edges(site: Site, room: Box, open_: AbstractSet[int]) -> Iterator[Way]:
    for sides in edges_within(site, room):
        rank = FAVOURED if sides == site.favoured else OTHER_EDGES
        clear = frozenset(k for k in open_ if not any(_near(site, k, side) for side in sides))
        for windows in dict.fromkeys((frozenset(open_), clear)):
            yield Way(windows, rank, 0.0, sides=sides)


def edges_within(site: Site, room: Box) -> list[tuple[Side, Side]]:
    """The pairs of edges, an upright and a level one, beyond which a card here has tabs."""
    upright, level = ([side for side in Side if side.axis == axis] for axis in (0, 1))
    return [
        sides
        for sides in itertools.product(upright, level)
        if all(_reaches(site, room, side) for side in sides)
    ]


def _near(site: Site, window: int, side: Side) -> bool:
    """Whether a window leaves no card at an edge for a stop."""
    end = site.boxes[window, side.axis + (2 if side.outwards > 0 else 0)]
    return bool(side.outwards * (site.limits(side) - end) < _NEAR_EDGE)


def _reaches(site: Site, room: Box, side: Side) -> bool:
    """Whether a card in this room has a tab beyond an edge."""
    if side not in site.sides:
        return False
    end = room[side.axis + (2 if side.outwards > 0 else 0)]
    return side.outwards * (end - site.limits(side)) >= STOP - SAME


# --- Once the windows are chosen ---


def held(
    site: Site, way: Way, room: Box, windows: Sequence[int], longest: float
) -> ByHoles | ByEdges | None:
    """How a card with these windows is held; None where its stops have no room.

    `longest` is the length that a stop may have at the most.
    """
    if way.holes:
        one, other = (site.holes[k] for k in way.holes)
        return ByHoles((one, other), takes_a_pin(one) and takes_a_pin(other))
    assert way.sides
    boxes = site.boxes[list(windows)]
    stops = [_stop(site, side, room, boxes, min(longest, _LONGEST)) for side in way.sides]
    first, second = stops
    return ByEdges((first, second)) if first and second else None


def _stop(
    site: Site, side: Side, room: Box, boxes: NDArray[np.float64], longest: float
) -> Stop | None:
    """The stop along an edge, as long as there is room between the windows that come near."""
    along = 1 - side.axis
    low, high = site.sides[side]
    low = max(low, room[along]) + _OFF_CORNER
    off = _OFF_CLIP if side.outwards > 0 else _OFF_CORNER
    high = min(high, room[along + 2]) - off
    limit = site.limits(side)
    ends = boxes[:, side.axis + (2 if side.outwards > 0 else 0)]
    near = boxes[side.outwards * (limit - ends) < _NEAR_EDGE]
    gaps = list(_gaps(low, high, near[:, [along, along + 2]] + (-_CLEAR, _CLEAR)))
    if not gaps:
        return None
    middle = (boxes[:, along].min() + boxes[:, along + 2].max()) / 2
    lengths = [min(b - a, longest) for a, b in gaps]
    best = max(range(len(gaps)), key=lambda k: (lengths[k], -abs(sum(gaps[k]) / 2 - middle)))
    length = math.floor(lengths[best] / BOX_STEP[site.units] + SAME) * BOX_STEP[site.units]
    if length < _SHORTEST:
        return None
    (a, b), half = gaps[best], length / 2
    centre = float(np.clip(middle, a + half, b - half))
    reach = side.outwards * max([STOP, *(side.outwards * (ends - limit) + RIM)])
    across = sorted((limit, limit + float(reach)))
    if abs(reach) > OVERHANG + SAME:
        return None
    strip = [0.0] * 4
    strip[side.axis], strip[side.axis + 2] = across
    strip[along], strip[along + 2] = centre - half, centre + half
    return Stop(side, (strip[0], strip[1], strip[2], strip[3]))


def _gaps(low: float, high: float, taken: NDArray[np.float64]) -> Iterator[tuple[float, float]]:
    """What is left of a stretch beside what is taken of it."""
    at = low
    for begin, end in sorted(map(tuple, taken.tolist())):
        if begin > at:
            yield at, min(begin, high)
        at = max(at, end)
    if at < high:
        yield at, high
