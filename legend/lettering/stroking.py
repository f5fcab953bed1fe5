"""Strokes: a skeleton and a pen's width in, the edges of the ink out.

The edge of a stroke along a straight line is a straight line, along an arc an arc; along
any other curve it is a cubic fitted to within `FIT`. Ends are round or squared off, and
joins are round or mitred to match. What overlaps is joined by trimming; should that fail,
shapely does it, with straight lines.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from legend.lettering.curves import TangleError, from_shape
from legend.lettering.excess import MOST_CROSSINGS, crossings
from legend.lettering.meetings import lies_on
from legend.lettering.outline import Box, Contour, Outline, cubics_in_quarter
from legend.lettering.pen import Ends, Trail, dot
from legend.lettering.skeleton import (
    Arc,
    Bend,
    Point,
    Run,
    Segment,
    Skeleton,
    Straight,
    as_bends,
    bend_at,
    chords,
    connected,
    sampled,
)
from legend.lettering.tight import without_tight_turns
from legend.lettering.trimming import UntrimmableError, trimmed

#: How far the edge of a stroke along a general curve may lie from its true place, mm.
FIT = 0.002

#: An end this near to the middle of another stroke, in pen widths, stops in it.
_STOPS_IN = 4e-3
#: A loop whose area in mm² is less than this times its length is no more than rounding.
_SLIVER = 2e-3
#: Crossings, and strokes, past which trimming one against another takes too long.
_MOST_CROSSED, _MOST_STROKES = 150, 300
#: One mm in capital heights, at the size at which shapely's flattened shapes are used.
_ROUGH = 1 / 20
#: How far these may lie from their curves, mm.
_FLAT = 2e-3


@dataclass(frozen=True, slots=True)
class Ink:
    """The edges of strokes: closed loops with the ink on their left, joined and clean.

    `flattened` is True where the loops had to be made of straight lines.
    """

    loops: tuple[tuple[Segment, ...], ...]
    flattened: bool = False

    def outline(self, scale: float = 1.0) -> Outline:
        """The ink `scale` times as large, in mm, its arcs as the fewest cubics."""
        return Outline(tuple(_contour(loop, scale) for loop in self.loops))


def inked(skeleton: Skeleton, width: float, ends: Ends, unit: float, doubted: bool = False) -> Ink:
    """The ink of a skeleton drawn with a pen of `width`.

    The skeleton's size is about 1, and `unit` is the size in mm at which it will be used,
    or the largest: general curves are fitted for that. The ink of a `doubted` skeleton, one
    that no test has seen, is compared with shapely's before it is believed.
    Error: TangleError where strokes of a doubted one cross in more places than in any letter.
    """
    half, fit = width / 2, FIT / unit
    if doubted and _is_busy(skeleton):
        return _buffered(skeleton, half)
    skeleton = connected(skeleton, _STOPS_IN * half)
    skeleton = tuple(without_tight_turns(run, half, fit) for run in skeleton)
    try:
        ink = Ink(tuple(tuple(loop) for loop in trimmed(_raw_contours(skeleton, half, ends, fit))))
    except UntrimmableError:
        return _buffered(skeleton, half)
    if not doubted:
        return ink
    ink = _without_slivers(ink)
    return ink if _is_believable(ink, skeleton, half, ends) else _buffered(skeleton, half)


# --- Doubts ---


def _is_busy(skeleton: Skeleton) -> bool:
    """Whether there are too many strokes to trim in good time. Error: TangleError."""
    crossed = crossings(np.array(sampled(run)) for run in skeleton)
    if crossed > MOST_CROSSINGS:
        raise TangleError(f"crosses itself in more than {MOST_CROSSINGS} places")
    strokes = sum(max(1, len(run.segments)) for run in skeleton)
    return crossed > _MOST_CROSSED or strokes > _MOST_STROKES


def _is_believable(ink: Ink, skeleton: Skeleton, half: float, ends: Ends) -> bool:
    """Whether the ink is what shapely makes of the skeleton, but for square ends and corners."""
    shape = ink.outline(1.0 / _ROUGH).shape
    if not shape.is_valid:
        return False
    round_ink = _broad(skeleton, half, 16)
    spare = 0.01 * round_ink.area
    if round_ink.difference(shape).area > spare:
        return False
    if ends == "square":
        corners = sum(len(run.segments) + 1 for run in skeleton)
        spare += corners * 2 * (half / _ROUGH) ** 2
    return bool(shape.difference(round_ink).area <= spare)


def _buffered(skeleton: Skeleton, half: float) -> Ink:
    """The ink as shapely makes it, of straight lines, all its ends round."""
    loops = [_loop(contour) for contour in from_shape(_broad(skeleton, half, 24)).contours]
    return Ink(tuple(loops), flattened=True)


def _broad(skeleton: Skeleton, half: float, corners: int) -> BaseGeometry:
    """The skeleton as broad as its ink, in the size at which areas are compared.

    Each straight piece is broadened by itself: all of them at once take shapely very long
    where they cross. A quarter of a round end has so many `corners`.
    """
    pieces = []
    for run in skeleton:
        pieces += [] if run.segments else [(run.start, run.start)]
        for segment in run.segments:
            bends = as_bends(segment, 2) if isinstance(segment, Arc) else (segment,)
            for piece in bends:
                pieces += chords(piece, _FLAT * _ROUGH) if isinstance(piece, Bend) else (piece,)
    lines = shapely.linestrings(np.array(pieces) / _ROUGH)
    return shapely.union_all(shapely.buffer(lines, half / _ROUGH, quad_segs=corners))


def _without_slivers(ink: Ink) -> Ink:
    """The ink without loops too thin to be more than rounding."""
    kept = []
    for loop in ink.loops:
        contour = _contour(loop, 1 / _ROUGH)
        length = float(np.hypot(*np.diff(contour.flat, axis=0).T).sum())
        if abs(contour.signed_area) > _SLIVER * length:
            kept.append(loop)
    return replace(ink, loops=tuple(kept))


# --- Contours of single strokes ---


def _raw_contours(skeleton: Skeleton, half: float, ends: Ends, fit: float) -> list[list[Segment]]:
    """Closed contours that together cover the ink, counter-clockwise, overlapping."""
    contours: list[list[Segment]] = []
    for number, run in enumerate(skeleton):
        box = _box(run)
        size = max(box[2] - box[0], box[3] - box[1])
        is_loop = run.closed and size > 0
        if not run.segments or (is_loop and size <= half and ends == "square"):
            contours.append(dot(box, half, ends))
        elif is_loop:
            ways = [run, run.backwards()]
            if size < 2.001 * half:  # nothing is left of the inside
                ways = [way for way in ways if _turns_left(way)]
            for way in ways:
                trail = Trail(half, ends, fit)
                trail.follow(way)
                contours += [trail.closed(), *trail.discs]
        else:
            stops = _stops(skeleton, number, half)
            trail = Trail(half, ends, fit)
            for way, stop in ((run, stops[1]), (run.backwards(), stops[0])):
                trail.follow(way)
                if stop:
                    trail.stop(way.segments[-1])
                else:
                    trail.turn_round(way.segments[-1])
            contours += [trail.closed(), *trail.discs]
    return contours


def _box(run: Run) -> Box:
    """Left, bottom, right, top of a run."""
    xs, ys = zip(*sampled(run), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _turns_left(run: Run) -> bool:
    """Whether a closed run goes counter-clockwise, or there and back."""
    points = [point for segment in run.segments for point in _halves(segment)]
    pairs = zip(points, points[1:] + points[:1], strict=True)
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs) > -1e-12


def _halves(segment: Segment) -> tuple[Point, ...]:
    if isinstance(segment, Arc):
        return tuple(bend.start for bend in as_bends(segment, 1))
    if isinstance(segment, Bend):
        return segment.start, bend_at(segment, 0.5)
    return (segment.start,)


# --- Ends that stop in other strokes ---


def _stops(skeleton: Skeleton, number: int, half: float) -> tuple[bool, bool]:
    """Whether the start and the end of a run lie in the middle of a stroke that covers them.

    Where ends of two runs meet, the first of them goes round the place.
    """
    run = skeleton[number]

    def stops(end: Point, own: Segment) -> bool:
        for other_number, other in enumerate(skeleton):
            last = len(other.segments) - 1
            for index, segment in enumerate(other.segments):
                if segment is own or not lies_on(end, segment, _STOPS_IN * half):
                    continue
                ends = [segment.start] * (index == 0) + [segment.end] * (index == last)
                is_end = not other.closed and any(
                    math.dist(end, point) <= _STOPS_IN * half for point in ends
                )
                if not is_end or other_number < number:
                    return True
        return False

    first, last = run.segments[0], run.segments[-1]
    return stops(first.start, first), stops(last.end, last)


# --- Loops and contours ---


def _contour(loop: Iterable[Segment], scale: float) -> Contour:
    codes: list[str] = []
    points: list[Point] = []
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


def _loop(contour: Contour) -> tuple[Segment, ...]:
    """A contour of straight lines as a loop of capital heights."""
    points = [(x * _ROUGH, y * _ROUGH) for x, y in contour.points.tolist()]
    return tuple(map(Straight, points, points[1:] + points[:1]))
