"""Stroke a skeleton with a pen of a given width: find the edges of the ink.

1. Runs that meet end to end become one, and cubics that turn too tightly for the pen arcs.
2. The pen goes along both sides of each run: along a straight line its edge is a straight
   line, along an arc an arc, along any other curve a cubic fitted to within `FIT`. Ends are
   round or squared off, and joins are round or mitred to match.
3. What overlaps is joined by the geometry engine, which keeps curves as curves; of strokes
   too many for it shapely makes straight lines.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from legend.lettering.outlines.boolean import Combined, TangleError, cleaned, from_shape
from legend.lettering.outlines.curve_points import Points, cubics_in_quarter
from legend.lettering.outlines.excessive import cross_more_often
from legend.lettering.outlines.outline import Box, Contour, Outline
from legend.lettering.strokes.pen import Ends, Trail, dot
from legend.lettering.strokes.skeleton import (
    Arc,
    Run,
    Segment,
    Skeleton,
    Straight,
    as_bends,
    bend_at,
    connected,
    flattened,
    sampled,
)
from legend.lettering.strokes.tight_turns import without_tight_turns
from legend.limits import MOST_CROSSINGS
from legend.vector import Vector

#: How far the edge of a stroke along a general curve may lie from its true place, mm.
FIT = 0.002

#: Ends this near to each other, in half pen widths, meet.
_MEETS = 4e-3
#: An end this near to the middle of another stroke, in half pen widths, stops in it: of a bar drawn
#: by hand, which ends not quite there, a square end would stand out of the stem's other side.
_STOPS_IN = {"round": _MEETS, "square": 0.25}
#: Crossings, and strokes, past which joining them takes the engine too long.
_MOST_CROSSED, _MOST_STROKES = 150, 300
#: The engine may stumble over a letter of one size, and not of another: it is tried at these.
_SIZES = (1.0, 1.07, 0.93, 1.31)
#: A contour whose area in mm² is less than this times its length is no more than rounding.
_SLIVER = 1e-3
#: A straight piece shorter than this, mm, is no more than rounding.
_SPECK = 2e-3
#: A node no further than this from the line between its neighbours lies in it, mm.
_IN_LINE = 2e-5
#: How far the skeleton of so many strokes may lie from its curves, mm.
_FLAT = 2e-3


@dataclass(frozen=True, slots=True)
class Ink:
    """A skeleton drawn with a pen of `half` a width to each side.

    `loops` are closed, with the ink on their left, and together cover all of it; there are
    none where the strokes are too many.
    """

    skeleton: Skeleton
    half: float
    loops: tuple[tuple[Segment, ...], ...]

    def outline(self, scale: float) -> Combined:
        """The ink `scale` times as large, in mm, its arcs as the fewest cubics."""
        for size in _SIZES if self.loops else ():
            try:
                joined = cleaned(_contour(loop, scale * size) for loop in self.loops)
            except TangleError:  # edges cross far more often than the strokes do
                break
            if not joined.flattened:
                return Combined(_tidied(joined.outline.scaled(1 / size)), False)
        return Combined(from_shape(_broad(self.skeleton, self.half, scale)), True)


def inked(skeleton: Skeleton, width: float, ends: Ends, unit: float) -> Ink:
    """The ink of a skeleton drawn with a pen of `width`.

    The skeleton's size is about 1, and `unit` is the size in mm at which it will be used,
    or the largest: general curves are fitted for that.
    Error: TangleError where strokes cross in more places than in any letter.
    """
    half, fit = width / 2, FIT / unit
    if _is_busy(skeleton):
        return Ink(skeleton, half, ())
    skeleton = connected(skeleton, _MEETS * half)
    skeleton = tuple(without_tight_turns(run, half, fit) for run in skeleton)
    return Ink(skeleton, half, tuple(map(tuple, _raw_contours(skeleton, half, ends, fit))))


# --- Very many strokes ---


def _is_busy(skeleton: Skeleton) -> bool:
    """Whether there are too many strokes to join in good time. Error: TangleError."""
    lines = [np.array(sampled(run)) for run in skeleton]
    is_crossed = cross_more_often(lines, _MOST_CROSSED)
    if is_crossed and cross_more_often(lines):
        raise TangleError(f"crosses itself in more than {MOST_CROSSINGS} places")
    strokes = sum(max(1, len(run.segments)) for run in skeleton)
    return is_crossed or strokes > _MOST_STROKES


def _broad(skeleton: Skeleton, half: float, scale: float) -> BaseGeometry:
    """The skeleton as broad as its ink, all its ends round, as shapely makes it.

    Each straight piece is broadened by itself: all of them at once take shapely very long
    where they cross.
    """
    pieces = [(run.start, run.start) for run in skeleton if not run.segments]
    for segment in (segment for run in skeleton for segment in run.segments):
        pieces += itertools.pairwise(flattened(segment, _FLAT / scale))
    lines = shapely.linestrings(np.array(pieces) * scale)
    return shapely.union_all(shapely.buffer(lines, half * scale, quad_segs=24))


# --- Contours of single strokes ---


def _raw_contours(skeleton: Skeleton, half: float, ends: Ends, fit: float) -> list[list[Segment]]:
    """Closed contours that together cover the ink, counter-clockwise, overlapping."""
    contours: list[list[Segment]] = []
    stopping = _Stops(skeleton, half, ends)
    for number, run in enumerate(skeleton):
        box = _box(run)
        size = max(box[2] - box[0], box[3] - box[1])
        is_loop = run.closed and size > 0
        if not run.segments and ends == "round" and stopping.covers(run.start, number):
            continue
        if not run.segments or (is_loop and size <= half and ends == "square"):
            contours.append(dot(box, half, ends))
        elif is_loop:
            ways = [run, run.backwards()]
            if size < 2.001 * half:  # nothing is left of the inside
                ways = [way for way in ways if _turns_left(way)]
            for way in ways:
                trail = Trail(half, ends, fit)
                trail.follow(way)
                contours.append(trail.closed())
        else:
            first, last = run.segments[0], run.segments[-1]
            trail = Trail(half, ends, fit)
            for way, end, own in ((run, last.end, last), (run.backwards(), first.start, first)):
                trail.follow(way)
                if stopping.stops(end, own, number):
                    trail.stop(way.segments[-1])
                else:
                    trail.turn_round(way.segments[-1])
            contours.append(trail.closed())
    return contours


def _box(run: Run) -> Box:
    """Left, bottom, right, top of a run."""
    xs, ys = zip(*sampled(run), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _turns_left(run: Run) -> bool:
    """Whether a closed run goes counter-clockwise, or there and back."""
    points = [point for segment in run.segments for point in _halves(segment)]
    pairs = zip(points, points[1:] + points[:1], strict=True)
    return sum(p.cross(q) for p, q in pairs) > -1e-12


def _halves(segment: Segment) -> tuple[Vector, ...]:
    if isinstance(segment, Straight):
        return (segment.start,)
    bends = as_bends(segment, 1) if isinstance(segment, Arc) else [segment]
    return tuple(point for bend in bends for point in (bend.start, bend_at(bend, 0.5)))


# --- Ends that stop in other strokes ---


class _Stops:
    """Which ends of open runs lie in the middle of a stroke that covers them.

    Where ends of two runs meet, the first of them goes round the place.
    """

    def __init__(self, skeleton: Skeleton, half: float, ends: Ends) -> None:
        self._skeleton = skeleton
        self._near, self._meets = _STOPS_IN[ends] * half, _MEETS * half
        self._pieces = [
            (number, run, segment)
            for number, run in enumerate(skeleton)
            for segment in run.segments
        ]
        lines = [flattened(segment, self._meets / 10) for _, _, segment in self._pieces]
        which = np.repeat(np.arange(len(lines)), [len(line) for line in lines])
        points = np.array([point for line in lines for point in line]).reshape(-1, 2)
        self._lines = shapely.linestrings(points, indices=which)

    def covers(self, dot: Vector, of: int) -> bool:
        """Whether a dot, the run with this number, lies on a stroke, or on a dot before it.

        The pen has been there then, and going there again would only double its edge.
        """
        on_stroke = shapely.distance(self._lines, shapely.points(dot)) < self._meets / 5
        return bool(on_stroke.any()) or any(
            not run.segments and math.dist(run.start, dot) < self._meets / 5
            for run in self._skeleton[:of]
        )

    def stops(self, end: Vector, own: Segment, of: int) -> bool:
        """Whether the end of a piece of its own, of the run with this number, is such a one."""
        away = shapely.distance(self._lines, shapely.points(end))
        for index in np.flatnonzero(away < self._near):
            number, run, segment = self._pieces[index]
            if segment is own:
                continue
            ends = [segment.start] * (segment is run.segments[0])
            ends += [segment.end] * (segment is run.segments[-1])
            apart = (
                math.inf if run.closed else min((math.dist(end, p) for p in ends), default=math.inf)
            )
            if apart > self._near or (apart <= self._meets and number < of):
                return True
        return False


# --- Loops and contours ---


def _contour(loop: Iterable[Segment], scale: float) -> Contour:
    codes: list[str] = []
    points: list[Vector] = []
    for segment in loop:
        if not points:
            points.append(segment.start)
        if isinstance(segment, Straight):
            codes.append("L")
            points.append(segment.end)
        elif isinstance(segment, Arc):
            bends = as_bends(segment, cubics_in_quarter(segment.radius * scale))
            codes.append("C" * len(bends))
            for bend in bends:
                points.extend(bend[1:])
        else:
            codes.append("C")
            points.extend(segment[1:])
    points[-1] = points[0]
    return Contour("".join(codes), np.array(points) * scale)


# --- What the engine leaves ---


def _tidied(outline: Outline) -> Outline:
    """The outline without slivers, and with straight pieces that run on in one line made one."""
    areas = zip(outline.contours, outline.signed_areas, strict=True)
    return Outline(tuple(_with_few_nodes(c) for c, area in areas if not _is_sliver(c, area)))


def _is_sliver(contour: Contour, area: float) -> bool:
    length = float(np.hypot(*np.diff(contour.flat, axis=0).T).sum())
    return abs(area) < _SLIVER * length


def _with_few_nodes(contour: Contour) -> Contour:
    """The contour without specks, and without nodes within straight lines."""
    kept: list[tuple[str, Points]] = []
    for code, points in contour.segments():
        if code == "L" and np.hypot(*(points[1] - points[0])) < _SPECK:
            continue
        if kept and code == kept[-1][0] == "L" and _run_on(kept[-1][1], points):
            points = np.array([kept.pop()[1][0], points[1]])
        kept.append((code, points))
    if len(kept) > 1 and kept[0][0] == kept[-1][0] == "L" and _run_on(kept[-1][1], kept[0][1]):
        kept[0] = "L", np.array([kept.pop()[1][0], kept[0][1][1]])
    points = np.vstack([kept[-1][1][-1:], *(points[1:] for _, points in kept)])
    return Contour("".join(code for code, _ in kept), points)


def _run_on(before: Points, after: Points) -> bool:
    """Whether two straight pieces that follow each other lie in one line."""
    start, node, end = (Vector(*point.tolist()) for point in (*before, after[1]))
    off = abs((node - start).cross(end - start))
    return (node - start).dot(end - node) > 0 and off < _IN_LINE * (end - start).length
