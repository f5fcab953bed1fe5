"""Trimming: closed contours of lines and arcs that overlap in, the outer edges of the whole out.

The contours go counter-clockwise round what is solid. They are cut wherever they meet; a
stretch with anything solid on its right is inside and is dropped; the rest is chained up. Lines
stay lines and arcs arcs, and no stretch is cut that need not be. Sizes are about 1: lengths
below `_SAME` count as nothing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from legend.lettering.skeleton import Arc, Point, Straight

Edge = Straight | Arc
Loop = list[Edge]

#: Points nearer than this are one.
_SAME = 1e-6
#: Two edges that follow each other meet at their joint; so near to it, they meet there only.
_AT_JOINT = 1e-4
#: A line this near to the edge of a circle touches it.
_TOUCHES = 1e-9
#: How far beside an edge its right side is looked at.
_BESIDE = 1e-5
#: The direction in which windings are counted, one that no edge of a letter has.
_RAY = (math.cos(0.7341), math.sin(0.7341))


class UntrimmableError(ValueError):
    """The stretches that are left do not chain up into closed loops."""


def trimmed(contours: Sequence[Loop]) -> list[Loop]:
    """The contours joined by the nonzero rule: loops that touch neither themselves nor others.

    Error: UntrimmableError where rounding leaves a loop open.
    """
    contours = [contour for contour in contours if contour]
    edges = [edge for contour in contours for edge in contour]
    cuts = _cuts(contours, edges)
    if not any(cuts) and len(contours) == 1:
        return [list(contours[0])]
    loops: list[Loop] = []
    stretches: list[_Stretch] = []
    for contour, own_cuts in zip(contours, cuts, strict=True):
        if own_cuts:
            stretches.extend(
                stretch for stretch in _stretches(contour, own_cuts) if _is_outside(stretch, edges)
            )
        elif _is_outside((contour, -1, -1), edges):
            loops.append(list(contour))
    loops.extend(_chained(_without_doubles(stretches)))
    return [_merged(loop) for loop in loops]


# --- Where edges meet ---

#: Part of a contour between two cuts: its edges, and the numbers of the points at its ends.
_Stretch = tuple[Loop, int, int]
#: A cut: index of the edge in its contour, how far along it from 0 to 1, number of the point.
_Cut = tuple[int, float, int]


def _cuts(contours: Sequence[Loop], edges: Sequence[Edge]) -> list[list[_Cut]]:
    """For each contour where it meets any other or itself, in order along it."""
    places = [
        (number, index) for number, contour in enumerate(contours) for index in range(len(contour))
    ]
    boxes = [_box(edge) for edge in edges]
    points: list[Point] = []
    cuts: list[list[_Cut]] = [[] for _ in contours]

    def number_of(point: Point) -> int:
        for number, (x, y) in enumerate(points):
            if abs(x - point[0]) < _SAME and abs(y - point[1]) < _SAME:
                return number
        points.append(point)
        return len(points) - 1

    for i, (left, bottom, right, top) in enumerate(boxes):
        contour_i, index_i = places[i]
        size = len(contours[contour_i])
        for j in range(i + 1, len(edges)):
            l2, b2, r2, t2 = boxes[j]
            if l2 > right or r2 < left or b2 > top or t2 < bottom:
                continue
            contour_j, index_j = places[j]
            meeting = _meetings(edges[i], edges[j])
            if not meeting:
                continue
            joints: tuple[Point, ...] = ()
            if contour_i == contour_j:
                if index_j == index_i + 1:
                    joints = (edges[i].end,)
                if index_i == 0 and index_j == size - 1:
                    joints = (*joints, edges[i].start)
            for point in meeting:
                if any(math.dist(point, joint) < _AT_JOINT for joint in joints):
                    continue
                number = number_of(point)
                cuts[contour_i].append((index_i, _along(edges[i], point), number))
                cuts[contour_j].append((index_j, _along(edges[j], point), number))
    return [_in_order(own, len(contour)) for own, contour in zip(cuts, contours, strict=True)]


def _in_order(cuts: list[_Cut], size: int) -> list[_Cut]:
    """Cuts in order along their contour, each place once."""
    at_starts = [
        ((index + 1) % size, 0.0, point) if part >= 1.0 else (index, part, point)
        for index, part, point in cuts
    ]
    ordered: list[_Cut] = []
    for cut in sorted(set(at_starts)):
        if not ordered or ordered[-1][::2] != cut[::2]:
            ordered.append(cut)
    return ordered


def _box(edge: Edge) -> tuple[float, float, float, float]:
    """Left, bottom, right, top of an edge, a hair larger than it is."""
    (x0, y0), (x1, y1) = edge.start, edge.end
    left, right = (x0, x1) if x0 < x1 else (x1, x0)
    bottom, top = (y0, y1) if y0 < y1 else (y1, y0)
    if isinstance(edge, Arc):
        cx, cy = edge.centre
        if _holds(edge, 0.0):
            right = cx + edge.radius
        if _holds(edge, math.pi / 2):
            top = cy + edge.radius
        if _holds(edge, math.pi):
            left = cx - edge.radius
        if _holds(edge, -math.pi / 2):
            bottom = cy - edge.radius
    return left - _SAME, bottom - _SAME, right + _SAME, top + _SAME


def _meetings(first: Edge, second: Edge) -> list[Point]:
    """The points that two edges share; of a shared stretch, its ends."""
    if isinstance(first, Straight):
        if isinstance(second, Straight):
            return _line_line(first, second)
        return _line_arc(first, second)
    if isinstance(second, Straight):
        return _line_arc(second, first)
    return _arc_arc(first, second)


def _line_line(first: Straight, second: Straight) -> list[Point]:
    (x0, y0), (x1, y1) = first
    (x2, y2), (x3, y3) = second
    dx, dy, ex, ey = x1 - x0, y1 - y0, x3 - x2, y3 - y2
    length, other = math.hypot(dx, dy), math.hypot(ex, ey)
    cross = dx * ey - dy * ex
    if abs(cross) < 1e-9 * length * other:
        return [p for p in first if _on_line(p, second)] + [p for p in second if _on_line(p, first)]
    t = ((x2 - x0) * ey - (y2 - y0) * ex) / cross
    u = ((x2 - x0) * dy - (y2 - y0) * dx) / cross
    slack, other_slack = _SAME / length, _SAME / other
    if -slack <= t <= 1 + slack and -other_slack <= u <= 1 + other_slack:
        return [(x0 + t * dx, y0 + t * dy)]
    return []


def _on_line(point: Point, line: Straight) -> bool:
    (x0, y0), (x1, y1) = line
    dx, dy = x1 - x0, y1 - y0
    length = math.hypot(dx, dy)
    px, py = point[0] - x0, point[1] - y0
    along = (px * dx + py * dy) / length
    return abs(px * dy - py * dx) < _SAME * length and -_SAME < along < length + _SAME


def _line_arc(line: Straight, arc: Arc) -> list[Point]:
    (x0, y0), (x1, y1) = line
    length = math.dist(line.start, line.end)
    dx, dy = (x1 - x0) / length, (y1 - y0) / length
    cx, cy = arc.centre[0] - x0, arc.centre[1] - y0
    foot = cx * dx + cy * dy
    away = abs(cx * dy - cy * dx)
    if away > arc.radius + _TOUCHES:
        return []
    half = math.sqrt(max(0.0, arc.radius * arc.radius - away * away))
    alongs = (foot,) if arc.radius - away < _TOUCHES else (foot - half, foot + half)
    return [
        point
        for along in alongs
        if -_SAME <= along <= length + _SAME
        and _arc_passes(arc, point := (x0 + along * dx, y0 + along * dy))
    ]


def _arc_arc(first: Arc, second: Arc) -> list[Point]:
    (x0, y0), (x1, y1) = first.centre, second.centre
    r0, r1 = first.radius, second.radius
    apart = math.hypot(x1 - x0, y1 - y0)
    if apart < _SAME:
        if abs(r0 - r1) > _SAME:
            return []
        return [p for p in (first.start, first.end) if _arc_passes(second, p)] + [
            p for p in (second.start, second.end) if _arc_passes(first, p)
        ]
    if apart > r0 + r1 + _TOUCHES or apart < abs(r0 - r1) - _TOUCHES:
        return []
    dx, dy = (x1 - x0) / apart, (y1 - y0) / apart
    along = (apart * apart + r0 * r0 - r1 * r1) / (2 * apart)
    touches = min(abs(apart - r0 - r1), abs(apart - abs(r0 - r1))) < _TOUCHES
    half = 0.0 if touches else math.sqrt(max(0.0, r0 * r0 - along * along))
    candidates = [
        (x0 + along * dx - side * dy, y0 + along * dy + side * dx)
        for side in ((half, -half) if half else (0.0,))
    ]
    return [p for p in candidates if _arc_passes(first, p) and _arc_passes(second, p)]


def _holds(arc: Arc, angle: float, slack: float = 0.0) -> bool:
    """Whether a direction from the centre lies within the sweep of an arc."""
    if arc.sweep > 0:
        return (angle - arc.begin + slack) % math.tau <= arc.sweep + 2 * slack
    return (arc.begin - angle + slack) % math.tau <= -arc.sweep + 2 * slack


def _arc_passes(arc: Arc, point: Point) -> bool:
    """Whether a point of its circle lies on the arc."""
    angle = math.atan2(point[1] - arc.centre[1], point[0] - arc.centre[0])
    return _holds(arc, angle, _SAME / arc.radius)


def _along(edge: Edge, point: Point) -> float:
    """How far along an edge a point of it lies: 0 at its start, 1 at its end, exactly there."""
    if math.dist(point, edge.start) < _SAME:
        return 0.0
    if math.dist(point, edge.end) < _SAME:
        return 1.0
    if isinstance(edge, Straight):
        return math.dist(point, edge.start) / math.dist(edge.end, edge.start)
    angle = math.atan2(point[1] - edge.centre[1], point[0] - edge.centre[0])
    turned = angle - edge.begin if edge.sweep > 0 else edge.begin - angle
    part = turned % math.tau / abs(edge.sweep)
    if part <= 1:
        return part
    return float(math.dist(point, edge.start) > math.dist(point, edge.end))


# --- Which stretches are outside ---


def _stretches(contour: Loop, cuts: list[_Cut]) -> list[_Stretch]:
    """The parts of a closed contour from each cut to the next."""
    stretches = []
    for (i, part, point), (j, last, end) in zip(cuts, cuts[1:] + cuts[:1], strict=True):
        edges: Loop = []
        if i == j and last > part:
            edges.append(_part(contour[i], part, last))
        else:
            edges.append(_part(contour[i], part, 1.0))
            k = (i + 1) % len(contour)
            while k != j:
                edges.append(contour[k])
                k = (k + 1) % len(contour)
            if last > 0:
                edges.append(_part(contour[j], 0.0, last))
        stretches.append((edges, point, end))
    return stretches


def _part(edge: Edge, begin: float, end: float) -> Edge:
    if begin == 0.0 and end == 1.0:
        return edge
    if isinstance(edge, Straight):
        (x0, y0), (x1, y1) = edge
        return Straight(
            edge.start if begin == 0.0 else (x0 + begin * (x1 - x0), y0 + begin * (y1 - y0)),
            edge.end if end == 1.0 else (x0 + end * (x1 - x0), y0 + end * (y1 - y0)),
        )
    return Arc.about(
        edge.centre, edge.radius, edge.begin + begin * edge.sweep, (end - begin) * edge.sweep
    )


def _length(edge: Edge) -> float:
    if isinstance(edge, Straight):
        return math.dist(edge.start, edge.end)
    return edge.radius * abs(edge.sweep)


def _is_outside(stretch: _Stretch, edges: Sequence[Edge]) -> bool:
    """Whether nothing solid lies just right of a stretch."""
    edge = max(stretch[0], key=_length)
    if isinstance(edge, Straight):
        (x0, y0), (x1, y1) = edge
        length = math.dist(edge.start, edge.end)
        if length < _SAME:
            return False
        beside = (
            (x0 + x1) / 2 + _BESIDE * (y1 - y0) / length,
            (y0 + y1) / 2 - _BESIDE * (x1 - x0) / length,
        )
    else:
        angle = edge.begin + edge.sweep / 2
        radius = edge.radius + math.copysign(_BESIDE, edge.sweep)
        beside = (
            edge.centre[0] + radius * math.cos(angle),
            edge.centre[1] + radius * math.sin(angle),
        )
    return _winding(beside, edges) == 0


def _winding(point: Point, edges: Sequence[Edge]) -> int:
    """How many times the contours go counter-clockwise round a point."""
    px, py = point
    ux, uy = _RAY
    winding = 0
    for edge in edges:
        if isinstance(edge, Straight):
            (x0, y0), (x1, y1) = edge
            x0, y0, x1, y1 = x0 - px, y0 - py, x1 - px, y1 - py
            s0 = ux * y0 - uy * x0
            s1 = ux * y1 - uy * x1
            if (s0 > 0) != (s1 > 0):
                t = s0 / (s0 - s1)
                if ux * (x0 + t * (x1 - x0)) + uy * (y0 + t * (y1 - y0)) > 0:
                    winding += 1 if s1 > s0 else -1
            continue
        cx, cy = edge.centre[0] - px, edge.centre[1] - py
        away = ux * cy - uy * cx
        radius = edge.radius
        if away >= radius or away <= -radius:
            continue
        middle = ux * cx + uy * cy
        half = math.sqrt(radius * radius - away * away)
        if middle + half <= 0:
            continue
        turn = 1 if edge.sweep > 0 else -1
        for along, sign in ((middle + half, turn), (middle - half, -turn)):
            if along > 0 and _holds(edge, math.atan2(uy * along - cy, ux * along - cx)):
                winding += sign
    return winding


# --- Chaining ---


def _without_doubles(stretches: list[_Stretch]) -> list[_Stretch]:
    """Of stretches that lie on top of each other, one."""
    kept: dict[tuple[int, int, int, int], _Stretch] = {}
    for stretch in stretches:
        edges, begin, end = stretch
        if begin == end and sum(_length(edge) for edge in edges) < 4 * _SAME:
            continue
        (x, y) = _middle(max(edges, key=_length))
        kept.setdefault((begin, end, round(x / _BESIDE), round(y / _BESIDE)), stretch)
    return list(kept.values())


def _middle(edge: Edge) -> Point:
    if isinstance(edge, Straight):
        return (edge.start[0] + edge.end[0]) / 2, (edge.start[1] + edge.end[1]) / 2
    angle = edge.begin + edge.sweep / 2
    x, y = edge.centre
    return x + edge.radius * math.cos(angle), y + edge.radius * math.sin(angle)


def _chained(stretches: list[_Stretch]) -> list[Loop]:
    """The stretches joined end to start; where several go on, the one furthest to the left."""
    leaving: dict[int, list[_Stretch]] = {}
    for stretch in stretches:
        leaving.setdefault(stretch[1], []).append(stretch)
    loops = []
    while leaving:
        begin, waiting = next(iter(leaving.items()))
        edges, _, at = waiting.pop()
        if not waiting:
            del leaving[begin]
        loop = list(edges)
        while at != begin:
            if at not in leaving:
                raise UntrimmableError("an edge of a stroke leads nowhere")
            choices = leaving[at]
            x, y = loop[-1].tangents[1]
            following = max(
                choices,
                key=lambda s: math.atan2(
                    x * s[0][0].tangents[0][1] - y * s[0][0].tangents[0][0],
                    x * s[0][0].tangents[0][0] + y * s[0][0].tangents[0][1],
                ),
            )
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
    for edge in loop:
        if _length(edge) < _SAME:
            continue
        joined = _joined(merged[-1], edge) if merged else None
        if joined is None:
            merged.append(edge)
        else:
            merged[-1] = joined
    if len(merged) > 1:
        joined = _joined(merged[-1], merged[0])
        if joined is not None:
            merged = [joined, *merged[1:-1]]
    return _closed_up(merged)


def _joined(first: Edge, second: Edge) -> Edge | None:
    if isinstance(first, Straight) and isinstance(second, Straight):
        (tx, ty), (ux, uy) = first.tangents[0], second.tangents[0]
        if abs(tx * uy - ty * ux) < 1e-7 and tx * ux + ty * uy > 0:
            return Straight(first.start, second.end)
    elif (
        isinstance(first, Arc)
        and isinstance(second, Arc)
        and math.dist(first.centre, second.centre) < _SAME
        and abs(first.radius - second.radius) < _SAME
        and (first.sweep > 0) == (second.sweep > 0)
    ):
        sweep = first.sweep + second.sweep
        return Arc(first.start, second.end, first.centre, first.radius, first.begin, sweep)
    return None


def _closed_up(loop: Loop) -> Loop:
    """The loop with every edge beginning exactly where the last one ended."""
    closed = []
    for before, edge in zip([loop[-1], *loop[:-1]], loop, strict=True):
        closed.append(edge._replace(start=before.end))
    return closed
