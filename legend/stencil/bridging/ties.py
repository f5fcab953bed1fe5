"""Tie frames and long lines of rigid stock at even spacing.

An edge of rigid stock that runs on for long without a tie lifts, and lets paint under. So
every side of a frame, every ring and every long line that is longer than the stock's free
edge, however it is bent, is tied straight across, the ties evenly spaced, half a space from
the corners; a line with two free ends is divided into equal lengths. That the free edge is
kept short, and at what length, is common practice, no source.

A letter bends its strokes so closely that the stock in it hangs by its bays, which are looked
at elsewhere: only what is larger than the free edge is tied as lines are.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from legend.description.tables.stock import StockLimits
from legend.lettering.outlines.curve_points import Points
from legend.standards import TIE_WIDTH
from legend.stencil.bridging.crossings import Bridge
from legend.stencil.bridging.scan_lines import HAIR, Floats, Rings, spans, turn

#: A side ends where the ring turns by more than `_CORNER` degrees within `_REACH` mm to
#: either side, and the line itself ends where it turns about. Where it turns on and on, by more
#: than `_ARC` degrees there for more than `_LONGEST_CORNER` mm, it is an arc and no corner,
#: unless it turns sharply: by more than `_SHARP` degrees within `_SHARP_REACH` mm.
_CORNER, _REACH, _ABOUT = 45.0, 4.0, 135.0
_ARC, _LONGEST_CORNER = 30.0, 14.0
_SHARP, _SHARP_REACH = 30.0, 1.0

#: How finely a ring is looked at, mm; and how far it turns in one point of a curve, degrees.
_SAMPLE, _CURVED = 0.05, 20.0

#: How near to a side its ends lie, mm.
_THROUGH = 0.1

#: How far a tie may be shifted, in steps of half its width, to meet the line where it is thin,
#: as a factor of the thinnest; and how many steps it then stays off what is not thin, such as a
#: graduation: for each that it lacks it would go one further. It goes the other way than it
#: rather would where that is nearer by so many, so that two that should match on both sides of a
#: line do, though rounding tells them apart.
_MOST_STEPS, _THIN, _OFF, _BACK = 8, 1.15, 2, 3

#: A line is tied where it is narrower than this part of the free edge.
_SLENDER = 0.1

#: A tie meets a line squarely where its rectangle is hardly longer than the line is wide, as a
#: factor and in mm, and where the ring is near enough to straight, mm.
_SQUARE, _ROUGH, _NEAR = 1.2, 0.05, 0.3

#: Lines that are drawn across the width of a tie, to see what it crosses.
_LINES = 9


def tie(
    polygon: shapely.Polygon, limits: StockLimits, height: float = 0
) -> tuple[list[Points], set[int]]:
    """The corners of the ties of a polygon, and the holes, counted from 1, that they tie.

    `polygon` runs counter-clockwise outside and clockwise round its holes. `height` is the
    capital height of letters, mm, 0 for a line. Only rings with too long an edge are tied.
    """
    lines = [polygon.exterior, *polygon.interiors]
    long = [n for n, line in enumerate(lines) if _is_long(line, n > 0, limits, height)]
    if not long:
        return [], set()
    rings, width, widest = Rings.of(polygon), TIE_WIDTH * limits.bridge, _SLENDER * limits.free_edge
    bridges: list[Bridge] = []
    # The inside of a frame is tied with its outside.
    for number in sorted(long, key=lambda number: number == 0):
        ring = _Ring(shapely.get_coordinates(lines[number]))
        tied = ring.places_of(bridges)
        for side in ring.sides():
            if side.holds(tied, ring.length):
                continue
            if number == 0 and _is_near(ring, side, bridges, limits.free_edge / 2):
                continue  # between graduations, on the far side of a line that is tied
            ties = [
                _across(ring, s, rings, width, widest, 1 if 2 * s <= side.begin + side.end else -1)
                for s in _places(side, limits.free_edge)
            ]
            made = [each for each in ties if each]
            tied = np.concatenate([tied, ring.places_of(made)])
            bridges += made
    return [bridge.corners for bridge in bridges], _tied(bridges) - {0}


def _is_long(line: shapely.LinearRing, is_hole: bool, limits: StockLimits, height: float) -> bool:
    """Whether an edge of the stock is longer than lies flat: a side of a line, or half of a hole,
    which is held on two sides.
    """
    x0, y0, x1, y1 = line.bounds
    if max(x1 - x0, y1 - y0) > limits.free_edge:
        return True
    if height or line.length / 2 <= limits.free_edge:
        return False
    sides = _Ring(shapely.get_coordinates(line)).sides()
    return is_hole or any(side.length > limits.free_edge for side in sides)


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
        # Where it turns little in a point, it turns evenly near it, as the curve did that it is
        # made of.
        half = np.minimum(np.minimum(length, np.roll(length, 1)) / 2, _REACH)
        half[np.abs(turns) > _CURVED] = 0
        near = self._at[:-1, None] + half[:, None] * (-1, 1)
        # Three rounds of it, so that a window may reach over the seam.
        rounds = np.arange(-1, 2)[:, None] * self.length
        self._turning_at = (rounds + near.ravel()).ravel()
        self._turned, self._bent = (
            np.cumsum(np.column_stack([np.zeros_like(each), each]))
            for each in (np.tile(turns, 3), np.tile(np.abs(turns), 3))
        )

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
        step = self.length / count
        sharp = self._between(self._bent, at - _SHARP_REACH, at + _SHARP_REACH) > _SHARP
        bend = self._between(self._bent, at - _REACH, at + _REACH)
        arc = _long_runs((bend > _ARC) & ~sharp, _LONGEST_CORNER / step)
        corner = sharp | ((bend > _CORNER) & ~arc)
        if not corner.any():
            top = self._top()
            yield _Side(top, top + self.length, True)
            return
        first, last = _runs(~corner)
        reach = np.where(sharp, _SHARP_REACH, _REACH)
        begins = first * step - reach[(first - 1) % count]
        ends = last * step + reach[(last + 1) % count]
        before = self._between(self._turned, begins - _REACH, begins + 1) > _ABOUT
        after = self._between(self._turned, ends - 1, ends + _REACH) > _ABOUT
        for index in np.argsort(begins - ends):
            yield _Side(
                float(begins[index]),
                float(ends[index]),
                ends=(bool(before[index]), bool(after[index])),
            )

    def _top(self) -> float:
        """How far along the ring its top is, in the middle between its left and its right."""
        x, y = self._points.T
        middle = (x.min() + x.max()) / 2
        (across,) = np.nonzero((x[:-1] <= middle) != (x[1:] <= middle))
        edge = across[np.maximum(y[across], y[across + 1]).argmax()]
        part = (middle - x[edge]) / (x[edge + 1] - x[edge])
        return float(self._at[edge] + part * (self._at[edge + 1] - self._at[edge]))

    def places_of(self, bridges: Sequence[Bridge]) -> Floats:
        """How far along the ring the bridges end that lead to it."""
        ends = shapely.points(np.reshape([bridge.upper_end for bridge in bridges], (-1, 2)))
        near = ends[shapely.dwithin(self._line, ends, _THROUGH)]
        places: Floats = shapely.line_locate_point(self._line, near)
        return places

    def _between(self, total: Floats, begin: Floats, end: Floats) -> Floats:
        """How much of a running total falls between two distances."""
        a, b = (np.interp(at, self._turning_at, total) for at in (begin, end))
        between: Floats = b - a
        return between


def _runs(marked: NDArray[np.bool_]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The first and the last place of each run that is marked, on a ring where not all are."""
    shift = int((~marked).argmax())
    steps = np.diff(np.concatenate([[0], np.roll(marked, -shift), [0]]).astype(int))
    return shift + np.flatnonzero(steps > 0), shift + np.flatnonzero(steps < 0) - 1


def _long_runs(marked: NDArray[np.bool_], least: float) -> NDArray[np.bool_]:
    """Those of the places marked on a ring that are in runs of at least so many."""
    long = marked.copy()
    if not marked.all():
        for first, last in zip(*_runs(marked), strict=True):
            if last - first < least:
                long[np.arange(first, last + 1) % len(marked)] = False
    return long


# --- Ties along a side ---


def _is_near(ring: _Ring, side: _Side, bridges: Sequence[Bridge], reach: float) -> bool:
    """Whether the middle of a side is as near to a bridge as this."""
    middle, _ = ring.point((side.begin + side.end) / 2)
    return any(math.dist(middle, bridge.middle) < reach for bridge in bridges)


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


def _across(
    ring: _Ring, s: float, rings: Rings, width: float, widest: float, way: int
) -> Bridge | None:
    """The tie straight across near a place on a ring, clear of whatever joins the line there.

    It stays where it is wanted if all is thin there. Else, of the places that are thin it takes
    a near one that is well off those that are not. `way` is 1 or -1: which way along the ring it
    rather goes.
    """
    found: dict[int, Bridge] = {}

    def look(steps: Iterable[int]) -> set[int]:
        """Which of these steps from the place are thin, as far as is known."""
        for step in steps:
            tie = _straight_across(ring, s + way * step * width / 2, rings, width)
            if tie and tie.high - tie.low <= widest:
                found[step] = tie
        thinnest = min((tie.cost for tie in found.values()), default=0.0)
        return {step for step, tie in found.items() if tie.cost <= _THIN * thinnest}

    near = {0, _OFF, -_OFF}
    if look(near) == near:
        return found[0]
    steps = range(-_MOST_STEPS, _MOST_STEPS + 1)
    thin = look(set(steps) - near)
    if not thin:
        return None
    others = {steps[0] - 1, *steps, steps[-1] + 1} - thin

    def cost(step: int) -> tuple[float, int]:
        lacking = max(0, _OFF + 1 - min(abs(step - other) for other in others))
        return max(step, _BACK - step) + lacking, lacking

    return found[min(thin, key=cost)]


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
