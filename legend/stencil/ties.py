"""Tie frames and long lines at even spacing: a polygon in, the rectangles that tie it out.

An edge of rigid stock that runs on for long without a tie lifts, and lets paint under. So
every side of a frame, every ring and every long line that is longer than the stock's free
edge is tied straight across, the ties evenly spaced, half a space from the corners; a line
with two free ends is divided into equal lengths. That the free edge is kept short, and at
what length, is common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from legend.description.stock import StockLimits
from legend.lettering.outline import Points
from legend.standards import TIE_WIDTH
from legend.stencil.crossings import Bridge
from legend.stencil.sections import HAIR, Floats, Rings, spans, turn

#: A side ends where the ring turns by more than `_CORNER` degrees within `_REACH` mm to
#: either side, and the line itself ends where it turns about.
_CORNER, _REACH, _ABOUT = 45.0, 4.0, 135.0

#: How finely a ring is looked at, mm.
_SAMPLE = 0.05

#: How near to a side its ends lie, mm.
_THROUGH = 0.1

#: How far a tie may be shifted to meet the line where it is thinnest, in its own widths.
_SHIFTS = (0, 1, -1, 2, -2, 3, -3, 4, -4)

#: A line is tied where it is narrower than this part of the free edge.
_SLENDER = 0.1

#: A tie meets a line squarely where its rectangle is hardly longer than the line is wide, as a
#: factor and in mm, and where the ring is near enough to straight, mm.
_SQUARE, _ROUGH, _NEAR = 1.2, 0.05, 0.3

#: Lines that are drawn across the width of a tie, to see what it crosses.
_LINES = 9


def tie(polygon: shapely.Polygon, limits: StockLimits) -> tuple[list[Points], set[int]]:
    """The corners of the ties of a polygon, and the holes, counted from 1, that they tie.

    `polygon` runs counter-clockwise outside and clockwise round its holes. Only rings longer
    than the free edge are tied.
    """
    lines = [polygon.exterior, *polygon.interiors]
    long = [number for number, line in enumerate(lines) if _extent(line) > limits.free_edge]
    if not long:
        return [], set()
    rings, width = Rings.of(polygon), TIE_WIDTH * limits.bridge
    bridges: list[Bridge] = []
    for number in (*filter(None, long), *long[:1]):
        ring = _Ring(shapely.get_coordinates(lines[number]))
        # The inside of a frame is tied with its outside.
        tied = ring.places_of(bridges)
        for side in ring.sides():
            if side.holds(tied, ring.length):
                continue
            ties = [
                _across(ring, s, rings, width, limits.free_edge * _SLENDER)
                for s in _places(side, limits.free_edge)
            ]
            made = [each for each in ties if each]
            tied = np.concatenate([tied, ring.places_of(made)])
            bridges += made
    return [bridge.corners for bridge in bridges], _tied(bridges) - {0}


def _extent(line: shapely.LinearRing) -> float:
    x0, y0, x1, y1 = line.bounds
    return float(max(x1 - x0, y1 - y0))


def _tied(bridges: list[Bridge]) -> set[int]:
    """The rings that the bridges tie to the outside, straight or by way of each other."""
    tied = {0}
    while True:
        more = {r for b in bridges if tied & set(b.rings) for r in b.rings} - tied
        if not more:
            return tied
        tied |= more


@dataclass(frozen=True, slots=True)
class _Side:
    """A part of a ring without corners: from `begin` to `end` along it, mm.

    `closed` is true where it is the whole ring; `ends` tells at which ends the line ends.
    """

    begin: float
    end: float
    closed: bool = False
    ends: tuple[bool, bool] = (False, False)

    @property
    def length(self) -> float:
        return self.end - self.begin

    def holds(self, places: Floats, round_: float) -> bool:
        """Whether it runs through one of these places on its ring, which is `round_` mm long."""
        far = places[:, None] + round_ * np.array([-1, 0, 1])
        return bool(((self.begin <= far) & (far <= self.end)).any())


class _Ring:
    """A closed ring of points, by the distance along it."""

    def __init__(self, points: Points) -> None:
        self._points = points
        self._line = shapely.LineString(points)
        shapely.prepare(self._line)
        step = np.diff(points, axis=0)
        length = np.hypot(*step.T)
        self._at = np.concatenate([[0.0], np.cumsum(length)])
        self._heading = np.degrees(np.arctan2(step[:, 1], step[:, 0]))
        turns = (np.diff(self._heading, prepend=self._heading[-1]) + 180) % 360 - 180
        # The turns at the corners of three rounds, so that a window may reach over the seam.
        self._corner_at = np.concatenate([self._at[:-1] + k * self.length for k in (-1, 0, 1)])
        self._turned = np.concatenate([[0.0], np.cumsum(np.tile(turns, 3))])
        self._bent = np.concatenate([[0.0], np.cumsum(np.abs(np.tile(turns, 3)))])

    @property
    def length(self) -> float:
        return float(self._at[-1])

    def point(self, s: float) -> tuple[Points, float]:
        """The point at a distance along the ring, and the heading there, degrees from the right."""
        s = s % self.length
        edge = min(int(np.searchsorted(self._at, s, side="right")) - 1, len(self._heading) - 1)
        part = (s - self._at[edge]) / (self._at[edge + 1] - self._at[edge])
        point: Points = self._points[edge] + part * (self._points[edge + 1] - self._points[edge])
        return point, float(self._heading[edge])

    def sides(self) -> Iterator[_Side]:
        """The parts between corners, the longest first."""
        count = math.ceil(self.length / _SAMPLE)
        at = np.arange(count) * self.length / count
        bend = self._between(self._bent, at - _REACH, at + _REACH)
        corner = bend > _CORNER
        if not corner.any():
            top = int(self._points[:-1, 1].argmax())
            yield _Side(float(self._at[top]), float(self._at[top]) + self.length, True)
            return
        shift = int(corner.argmax())
        along = np.concatenate([[0], ~np.roll(corner, -shift), [0]]).astype(int)
        first, last = np.flatnonzero(np.diff(along) > 0), np.flatnonzero(np.diff(along) < 0) - 1
        step = self.length / count
        begins, ends = (shift + first) * step - _REACH, (shift + last) * step + _REACH
        before = self._between(self._turned, begins - _REACH, begins + 1) > _ABOUT
        after = self._between(self._turned, ends - 1, ends + _REACH) > _ABOUT
        for index in np.argsort(begins - ends):
            yield _Side(
                float(begins[index]),
                float(ends[index]),
                ends=(bool(before[index]), bool(after[index])),
            )

    def places_of(self, bridges: Sequence[Bridge]) -> Floats:
        """How far along the ring the bridges end that lead to it."""
        ends = shapely.points(np.reshape([bridge.upper_end for bridge in bridges], (-1, 2)))
        near = ends[shapely.dwithin(self._line, ends, _THROUGH)]
        places: Floats = shapely.line_locate_point(self._line, near)
        return places

    def _between(self, total: Floats, begin: Floats, end: Floats) -> Floats:
        """How much of a running total falls between two distances."""
        a, b = np.searchsorted(self._corner_at, begin), np.searchsorted(self._corner_at, end)
        between: Floats = total[b] - total[a]
        return between


# --- Ties along a side ---


def _places(side: _Side, free_edge: float) -> Iterator[float]:
    """Where the ties of a side stand, by the distance along its ring."""
    count = math.ceil(side.length / free_edge - 1e-9)
    if side.closed:
        count = max(2, count + count % 2)
        first, last = 0.0, count - 1
    elif all(side.ends):
        first, last = 1.0, count - 1
    elif side.length < free_edge / 2:
        return
    else:
        first, last = 0.5, count - 1
    for k in np.arange(first, last + 1):
        yield side.begin + k * side.length / count


def _across(ring: _Ring, s: float, rings: Rings, width: float, widest: float) -> Bridge | None:
    """The best tie near a place on a ring: straight across, where the line is thinnest."""
    best: Bridge | None = None
    for shift in _SHIFTS:
        found = _straight_across(ring, s + shift * width, rings, width)
        if found is None or found.high - found.low > widest:
            continue
        if best is None or found.cost * (1 + 0.05 * abs(shift)) < best.cost:
            best = found
        elif shift == _SHIFTS[2]:
            break
    return best


def _straight_across(ring: _Ring, s: float, rings: Rings, width: float) -> Bridge | None:
    """The tie at a place on a ring, or None where it would not meet one line squarely.

    The ink lies to the left of the ring. All is turned so that the ring runs to the right.
    """
    point, heading = ring.point(s)
    x, y = (point @ turn(-heading)).tolist()
    xs = x + HAIR + width * np.linspace(-0.5, 0.5, _LINES)
    found = spans(rings.turned(-heading), xs)
    off = np.abs(found.low - y)
    met = np.array([index for line in range(_LINES) for index in _nearest(found.line, off, line)])
    if len(met) < _LINES:
        return None
    below, above = set(found.below[met].tolist()), set(found.above[met].tolist())
    low, high = float(found.low[met].min()), float(found.high[met].max())
    chord = float(np.median(found.high[met] - found.low[met]))
    if len(below) + len(above) > 2 or high - low > _SQUARE * chord + _ROUGH:
        return None
    return Bridge(-heading, x, low, high, width, (below.pop(), above.pop()), (high - low) * width)


def _nearest(line: NDArray[np.int64], off: Floats, wanted: int) -> list[int]:
    """The span on a line that begins nearest, if it begins near enough."""
    on = np.flatnonzero((line == wanted) & (off < _NEAR))
    return [int(on[off[on].argmin()])] if len(on) else []
