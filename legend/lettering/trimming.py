"""Trimming: closed contours of edges that overlap in, the outer edges of the whole out.

The contours go counter-clockwise round what is solid. They are cut wherever they meet; a
stretch with anything solid on its right is inside and is dropped; the rest is chained up.
Lines stay lines, arcs arcs and cubics cubics, and nothing is cut that need not be. Sizes are
about 1: lengths below `SAME` count as nothing.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from legend.lettering.meetings import SAME, Edge, along, meetings
from legend.lettering.skeleton import (
    Arc,
    Bend,
    Point,
    Segment,
    Straight,
    angle_between,
    bend_at,
    part_of,
    slope_at,
)
from legend.lettering.winding import winding

Loop = list[Segment]

#: Two edges that follow each other meet at their joint; so near to it, they meet there only.
_AT_JOINT = 1e-4
#: Edges shorter than this are left out, and their neighbours drawn together.
_SPECK = 2e-5
#: How far along an edge its right side is looked at.
_LOOK_OUT = 0.4437
#: How far beside an edge its right side is looked at, and how far if that does not do.
_BESIDE = (1e-5, 5e-5, 2e-4)
#: Windings are counted along a ray that leaves the edge squarely but for this many radians,
#: so that it does not run along another edge of the letter.
_ASKEW = 0.2341


class UntrimmableError(ValueError):
    """The stretches that are left do not chain up into closed loops."""


def trimmed(contours: Sequence[Loop]) -> list[Loop]:
    """The contours joined by the nonzero rule: loops that touch neither themselves nor others.

    Error: UntrimmableError where rounding leaves a loop open.
    """
    contours = [contour for contour in contours if contour]
    edges = [Edge(segment) for contour in contours for segment in contour]
    cuts = _cuts(contours, edges)
    if not any(cuts) and len(contours) == 1:
        return [list(contours[0])]
    for beside in _BESIDE:
        try:
            return _outside_loops(contours, cuts, edges, beside)
        except UntrimmableError:
            pass
    raise UntrimmableError("the edges of the strokes do not close")


def _outside_loops(
    contours: Sequence[Loop], cuts: Sequence[list[_Cut]], edges: Sequence[Edge], beside: float
) -> list[Loop]:
    """The stretches that have nothing solid on their right, as loops."""
    loops: list[Loop] = []
    stretches: list[_Stretch] = []
    for contour, own_cuts in zip(contours, cuts, strict=True):
        if own_cuts:
            parts = _stretches(contour, own_cuts)
            stretches.extend(part for part in parts if _is_outside(part, edges, beside))
        elif _is_outside((contour, -1, -1), edges, beside):
            loops.append(list(contour))
    loops.extend(_chained(_without_doubles(stretches, beside)))
    return [_merged(loop) for loop in loops]


# --- Cuts ---

#: Part of a contour between two cuts: its edges, and the numbers of the points at its ends.
_Stretch = tuple[Loop, int, int]
#: A cut: index of the edge in its contour, how far along it from 0 to 1, number of the point.
_Cut = tuple[int, float, int]


def _cuts(contours: Sequence[Loop], edges: Sequence[Edge]) -> list[list[_Cut]]:
    """For each contour where it meets any other or itself, in order along it."""
    places = [
        (number, index) for number, contour in enumerate(contours) for index in range(len(contour))
    ]
    points: list[Point] = []
    cuts: list[list[_Cut]] = [[] for _ in contours]

    def number_of(point: Point) -> int:
        for number, (x, y) in enumerate(points):
            if abs(x - point[0]) < SAME and abs(y - point[1]) < SAME:
                return number
        points.append(point)
        return len(points) - 1

    by_left = sorted(range(len(edges)), key=lambda number: edges[number].left)
    for place, first in enumerate(by_left):
        for second in by_left[place + 1 :]:
            if edges[second].left > edges[first].right:
                break
            i, j = min(first, second), max(first, second)
            if edges[i].is_apart_from(edges[j]):
                continue
            met = meetings(edges[i], edges[j])
            if not met:
                continue
            (number, index), (other_number, other_index) = places[i], places[j]
            joints: list[Point] = []
            if number == other_number:
                if other_index == index + 1:
                    joints.append(edges[i].segment.end)
                if index == 0 and other_index == len(contours[number]) - 1:
                    joints.append(edges[i].segment.start)
            for point in met:
                if any(math.dist(point, joint) < _AT_JOINT for joint in joints):
                    continue
                at = number_of(point)
                cuts[number].append((index, along(edges[i].segment, point), at))
                cuts[other_number].append((other_index, along(edges[j].segment, point), at))
    ordered = [_in_order(own, len(contour)) for own, contour in zip(cuts, contours, strict=True)]
    one_for = _as_one(ordered, len(points))
    return [_each_once(own, one_for) for own in ordered]


def _in_order(cuts: list[_Cut], size: int) -> list[_Cut]:
    """Cuts in order along their contour, those at the end of an edge at the start of the next."""
    return sorted(
        {
            ((index + 1) % size, 0.0, point) if part >= 1.0 else (index, part, point)
            for index, part, point in cuts
        }
    )


def _as_one(ordered: Sequence[list[_Cut]], count: int) -> list[int]:
    """For each point the one that stands for it: points that cut an edge in one place are one."""
    one_for = list(range(count))

    def found(point: int) -> int:
        while one_for[point] != point:
            point = one_for[point]
        return point

    for cuts in ordered:
        for (index, part, point), (next_index, next_part, other) in itertools.pairwise(cuts):
            if (index, part) == (next_index, next_part):
                one_for[found(other)] = found(point)
    return [found(point) for point in range(count)]


def _each_once(cuts: list[_Cut], one_for: Sequence[int]) -> list[_Cut]:
    """Cuts by the points that stand for theirs, each place once."""
    kept: list[_Cut] = []
    for index, part, point in cuts:
        cut = (index, part, one_for[point])
        if not kept or kept[-1][::2] != cut[::2]:
            kept.append(cut)
    return kept


def _stretches(contour: Loop, cuts: list[_Cut]) -> list[_Stretch]:
    """The parts of a closed contour from each cut to the next."""
    stretches = []
    for (i, part, point), (j, last, end) in zip(cuts, cuts[1:] + cuts[:1], strict=True):
        if i == j and last > part:
            stretches.append(([_part(contour[i], part, last)], point, end))
            continue
        edges = [_part(contour[i], part, 1.0)]
        k = (i + 1) % len(contour)
        while k != j:
            edges.append(contour[k])
            k = (k + 1) % len(contour)
        if last > 0:
            edges.append(_part(contour[j], 0.0, last))
        stretches.append((edges, point, end))
    return stretches


def _part(segment: Segment, begin: float, end: float) -> Segment:
    if begin == 0.0 and end == 1.0:
        return segment
    if isinstance(segment, Bend):
        return part_of(segment, begin, end)
    if isinstance(segment, Straight):
        (x0, y0), (x1, y1) = segment
        return Straight(
            segment.start if begin == 0.0 else (x0 + begin * (x1 - x0), y0 + begin * (y1 - y0)),
            segment.end if end == 1.0 else (x0 + end * (x1 - x0), y0 + end * (y1 - y0)),
        )
    angle, sweep = segment.begin + begin * segment.sweep, (end - begin) * segment.sweep
    return Arc.about(segment.centre, segment.radius, angle, sweep)


# --- Which stretches are outside ---


def _is_outside(stretch: _Stretch, edges: Sequence[Edge], beside: float) -> bool:
    """Whether nothing solid lies just right of a stretch."""
    segment = max(stretch[0], key=_length)
    if _length(segment) < SAME:
        return False
    x, y = _look_out(segment)
    if isinstance(segment, Bend):
        dx, dy = slope_at(segment, _LOOK_OUT)
    elif isinstance(segment, Arc):
        turn = math.copysign(1.0, segment.sweep)
        dx, dy = turn * (segment.centre[1] - y), turn * (x - segment.centre[0])
    else:
        dx, dy = segment.end[0] - x, segment.end[1] - y
    length = math.hypot(dx, dy)
    right = (dy / length, -dx / length)
    cos, sin = math.cos(_ASKEW), math.sin(_ASKEW)
    ray = (right[0] * cos - right[1] * sin, right[0] * sin + right[1] * cos)
    return winding((x + beside * right[0], y + beside * right[1]), ray, edges) == 0


def _length(segment: Segment) -> float:
    if isinstance(segment, Arc):
        return segment.radius * abs(segment.sweep)
    return math.dist(segment.start, segment.end)


def _look_out(segment: Segment) -> Point:
    """A point of an edge, not in its middle, where it may touch another of the same letter."""
    if isinstance(segment, Bend):
        return bend_at(segment, _LOOK_OUT)
    if isinstance(segment, Straight):
        (x0, y0), (x1, y1) = segment
        return x0 + _LOOK_OUT * (x1 - x0), y0 + _LOOK_OUT * (y1 - y0)
    angle = segment.begin + _LOOK_OUT * segment.sweep
    x, y = segment.centre
    return x + segment.radius * math.cos(angle), y + segment.radius * math.sin(angle)


# --- Chaining ---


def _without_doubles(stretches: list[_Stretch], beside: float) -> list[_Stretch]:
    """Of stretches that lie on top of each other, one."""
    kept: dict[tuple[int, int], list[tuple[Point, _Stretch]]] = {}
    for stretch in stretches:
        segments, begin, end = stretch
        if begin == end and sum(_length(segment) for segment in segments) < 4 * SAME:
            continue
        place = _look_out(max(segments, key=_length))
        alike = kept.setdefault((begin, end), [])
        if all(math.dist(place, other) > 2 * beside for other, _ in alike):
            alike.append((place, stretch))
    return [stretch for alike in kept.values() for _, stretch in alike]


def _chained(stretches: list[_Stretch]) -> list[Loop]:
    """The stretches joined end to start; where several go on, the one furthest to the left."""
    leaving: dict[int, list[_Stretch]] = {}
    for stretch in stretches:
        leaving.setdefault(stretch[1], []).append(stretch)
    loops = []
    while leaving:
        begin, waiting = next(iter(leaving.items()))
        segments, _, at = waiting.pop()
        if not waiting:
            del leaving[begin]
        loop = list(segments)
        while at != begin:
            if at not in leaving:
                raise UntrimmableError("an edge of a stroke leads nowhere")
            choices = leaving[at]
            arriving = loop[-1].tangents[1]
            following = max(choices, key=lambda s: angle_between(arriving, s[0][0].tangents[0]))
            choices.remove(following)
            if not choices:
                del leaving[at]
            loop.extend(following[0])
            at = following[2]
        loops.append(loop)
    return loops


def _merged(loop: Loop) -> Loop:
    """The loop with what runs on along one line or one circle made one edge."""
    merged: Loop = []
    for segment in loop:
        if _length(segment) < _SPECK:
            continue
        joined = _joined(merged[-1], segment) if merged else None
        if joined is None:
            merged.append(segment)
        else:
            merged[-1] = joined
    if len(merged) > 1:
        joined = _joined(merged[-1], merged[0])
        if joined is not None:
            merged = [joined, *merged[1:-1]]
    return [
        segment._replace(start=before.end)
        for before, segment in zip([merged[-1], *merged[:-1]], merged, strict=True)
    ]


def _joined(first: Segment, second: Segment) -> Segment | None:
    if isinstance(first, Straight) and isinstance(second, Straight):
        (tx, ty), (ux, uy) = first.tangents[0], second.tangents[0]
        if abs(tx * uy - ty * ux) < 1e-7 and tx * ux + ty * uy > 0:
            return Straight(first.start, second.end)
    elif (
        isinstance(first, Arc)
        and isinstance(second, Arc)
        and math.dist(first.centre, second.centre) < SAME
        and abs(first.radius - second.radius) < SAME
        and (first.sweep > 0) == (second.sweep > 0)
    ):
        sweep = first.sweep + second.sweep
        return Arc(first.start, second.end, first.centre, first.radius, first.begin, sweep)
    return None
