"""Lay the side of a bridge along the edge of the stroke it stands beside, and leave no stub.

A designer cuts along the leg: where a bar ends at the slanted leg of an "A", the bridge there leans
as the leg does, and the leg stays one clean straight stroke. A side that stands a little into a
stem, or a little off it, would leave a step that a blade tears at.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely

from legend.lettering.outlines.curve_points import Points
from legend.stencil.bridging.crossings import Bridge
from legend.stencil.bridging.scan_lines import turn

#: What leans no more than this off the bridge, as a tangent, is an edge that the bridge may follow.
_ALONG = 1.0
#: Elsewhere than at a joint bridges stay upright, or lean by this tangent at most: they stand in
#: line with each other.
_UPRIGHT = 0.06
#: The edge across a stroke is level where its corner is off its end by this part of its breadth.
_LEVEL = 0.2
#: At a corner the edge turns by so much at least, as a cosine.
_TURNS = 0.94
#: A side of a bridge at a joint is laid along an edge that is off it by no more than this part of
#: the stroke's breadth or of a bridge, outside the bridge, or by that part of a bridge within it.
_OUTSIDE, _WITHIN = 0.75, 0.6


@dataclass(frozen=True, slots=True, eq=False)
class Corner:
    """Where the edge of a stroke ends against that of one that passes, and how that runs from
    there: its tangent off the bridge.
    """

    point: Points
    lean: float


class Edges:
    """The edges of a polygon, ink on their left, along which the sides of bridges are laid.

    What is shorter than `least`, mm, is no edge of a stroke.
    """

    def __init__(self, polygon: shapely.Polygon, least: float) -> None:
        rings = (polygon.exterior, *polygon.interiors)
        self._rings = [shapely.get_coordinates(ring)[:-1] for ring in rings]
        self._least = least

    def flush(self, bridge: Bridge) -> Bridge:
        """The bridge with one side along the edge of the stroke beside it, if there is one."""
        if bridge.over_bay:
            return bridge
        matrix = turn(bridge.degrees)
        rings = [ring @ matrix for ring in self._rings]
        found = [laid for way in (-1, 1) if (laid := self._laid(bridge, rings, way))]
        if not found:
            return bridge
        _, side = min(found, key=lambda each: each[0])
        flush = replace(bridge, side=side)
        # Where the stroke is cut askew there may be no room for a bridge along its edge.
        return flush if shapely.Polygon(flush.corners).is_valid else bridge

    def _laid(
        self, bridge: Bridge, rings: list[Points], way: int
    ) -> tuple[float, tuple[tuple[float, float, bool], ...]] | None:
        """How far off the edge on one side of a bridge is, and the side that follows it."""
        side = bridge.x + way * bridge.width / 2
        breadth = bridge.high - bridge.low
        steepest = _ALONG if bridge.joint else _UPRIGHT
        corners: list[Corner | None] = []
        for out, y in ((-1, bridge.low), (1, bridge.high)):
            corner = self._corner(rings, bridge.x, y, way, out)
            if corner is not None:
                off = way * (corner.point[0] - side)
                far = _OUTSIDE * max(breadth, bridge.width) if bridge.joint else self._least
                if not -_WITHIN * bridge.width <= off <= far:
                    corner = None
            corners.append(corner)
        low, high = corners
        if low and high:
            rise = high.point[1] - low.point[1]
            if rise > 0 and abs(high.point[0] - low.point[0]) <= steepest * rise:
                ends = [(*low.point.tolist(), True), (*high.point.tolist(), True)]
                return self._off(ends, side), tuple(ends)
        for corner, end, other in ((low, 0, bridge.high), (high, 1, bridge.low)):
            if corner and abs(corner.lean) <= steepest:
                x, y = corner.point.tolist()
                # A bowl that curves into the edge would be shaved beyond the corner.
                if (
                    abs(other - y) < (1 - _LEVEL) * breadth
                    or abs(other - y) > (1 + _LEVEL) * breadth
                ):
                    continue
                far_end = (x + corner.lean * (other - y), other, False)
                ends = [(x, y, True), far_end] if end == 0 else [far_end, (x, y, True)]
                return self._off(ends, side), tuple(ends)
        return None

    @staticmethod
    def _off(ends: list[tuple[float, float, bool]], side: float) -> float:
        return max(abs(x - side) for x, _, _ in ends)

    def _corner(self, rings: list[Points], x: float, y: float, way: int, out: int) -> Corner | None:
        """The corner that the edge of ink at (x, y) comes to first on one side.

        `out` is whether the ink ends there upwards, 1, or downwards, -1.
        """
        nearest = _edge_at(rings, x, y, out)
        if nearest is None:
            return None
        ring, index = nearest
        # From the near end of the edge on, in the order in which they are come to.
        run = (
            np.roll(ring, -index, axis=0) if way == -out else np.roll(ring[::-1], index + 2, axis=0)
        )
        before: Points | None = None
        for at in range(len(run) - 1):
            heading = run[at + 1] - run[at]
            length = float(np.hypot(*heading))
            if not length:
                continue
            heading = heading / length
            if before is not None and heading @ before < _TURNS:
                if heading[1] * out <= 0 or abs(heading[0]) > _ALONG * abs(heading[1]):
                    return None
                return self._passing(np.roll(run, -at, axis=0), out)
            if way * heading[0] < 0:
                return None
            before = heading
        return None

    def _passing(self, run: Points, out: int) -> Corner | None:
        """The corner that a run of a ring begins at, if an edge goes on from it for long enough."""
        ahead = (run[1:] - run[:-1]) * (1, out)
        along = (ahead[:, 1] > 0) & (np.abs(ahead[:, 0]) <= _ALONG * ahead[:, 1])
        last = len(along) if along.all() else int((~along).argmax())
        off = run[: last + 1] - run[0]
        long = np.flatnonzero(off[:, 1] * out >= self._least)
        if not len(long):
            return None
        dx, dy = off[long[0]]
        return Corner(run[0], float(dx / dy))


def _edge_at(rings: list[Points], x: float, y: float, out: int) -> tuple[Points, int] | None:
    """The ring, and the edge of it, where ink ends nearest to (x, y): upwards or downwards."""
    best, least = None, np.inf
    for ring in rings:
        after = np.roll(ring, -1, axis=0)
        ahead = after[:, 0] - ring[:, 0]
        across = ((ring[:, 0] <= x) != (after[:, 0] <= x)) & (ahead * out < 0)
        (edges,) = np.nonzero(across)
        if len(edges):
            part = (x - ring[edges, 0]) / ahead[edges]
            off = np.abs(ring[edges, 1] + part * (after[edges, 1] - ring[edges, 1]) - y)
            if off.min() < least:
                best, least = (ring, int(edges[off.argmin()])), float(off.min())
    return best
