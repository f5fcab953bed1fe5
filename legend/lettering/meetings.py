"""Where edges meet: two edges in, the points they share out.

Edges are straight lines, arcs and cubics, of sizes about 1. Lines and arcs are met exactly;
a cubic is met along its chords first, and the point then brought onto the curve.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from legend.lettering.outline import Box
from legend.lettering.skeleton import Arc, Bend, Point, Segment, Straight, bend_at, chords, slope_at

#: Points nearer than this are one.
SAME = 1e-6
#: A line this near to the edge of a circle touches it.
_TOUCHES = 1e-9
#: How far the chords of a cubic may lie from it.
_CHORD_FIT = 2e-4
#: How far beyond its ends a chord is followed, as its cubic may cross there what it does not.
_BEYOND = 1e-3


class Edge:
    """A segment made ready to be met: with its box, and a cubic with its chords."""

    __slots__ = ("bottom", "chords", "left", "right", "segment", "top")

    def __init__(self, segment: Segment) -> None:
        self.segment = segment
        self.chords: tuple[Straight, ...] = ()
        if isinstance(segment, Bend):
            self.chords = tuple(chords(segment, _CHORD_FIT))
        self.left, self.bottom, self.right, self.top = _box(segment)

    def is_apart_from(self, other: Edge) -> bool:
        """Whether the boxes of two edges have nothing in common."""
        return (
            self.right < other.left
            or other.right < self.left
            or self.top < other.bottom
            or other.top < self.bottom
        )


def meetings(first: Edge, second: Edge) -> list[Point]:
    """The points that two edges share; of a shared stretch, its ends."""
    one, other = first.segment, second.segment
    if isinstance(one, Bend):
        return list(_on_bend(one, first, second))
    if isinstance(other, Bend):
        return list(_on_bend(other, second, first))
    if isinstance(one, Straight):
        return _line_line(one, other) if isinstance(other, Straight) else _line_arc(one, other)
    return _line_arc(other, one) if isinstance(other, Straight) else _arc_arc(one, other)


def along(segment: Segment, point: Point) -> float:
    """How far along an edge a point of it lies: 0 at its start, 1 at its end, exactly there."""
    if math.dist(point, segment.start) < SAME:
        return 0.0
    if math.dist(point, segment.end) < SAME:
        return 1.0
    if isinstance(segment, Straight):
        return math.dist(point, segment.start) / math.dist(segment.end, segment.start)
    if isinstance(segment, Bend):
        return _nearest(segment, point)
    angle = math.atan2(point[1] - segment.centre[1], point[0] - segment.centre[0])
    turned = angle - segment.begin if segment.sweep > 0 else segment.begin - angle
    part = turned % math.tau / abs(segment.sweep)
    if part <= 1:
        return part
    return float(math.dist(point, segment.start) > math.dist(point, segment.end))


def lies_on(point: Point, segment: Segment, near: float = SAME) -> bool:
    """Whether a point lies on an edge, or no further than `near` from it."""
    if isinstance(segment, Straight):
        return _on_line(point, segment, near)
    if isinstance(segment, Arc):
        away = math.dist(point, segment.centre)
        return abs(away - segment.radius) < near and _passes(segment, point, near)
    xs, ys = [x for x, _ in segment], [y for _, y in segment]
    x, y = point
    if not (min(xs) - near < x < max(xs) + near and min(ys) - near < y < max(ys) + near):
        return False
    return math.dist(point, bend_at(segment, _nearest(segment, point))) < near


def holds(arc: Arc, angle: float, slack: float = 0.0) -> bool:
    """Whether a direction from the centre lies within the sweep of an arc."""
    if arc.sweep > 0:
        return (angle - arc.begin + slack) % math.tau <= arc.sweep + 2 * slack
    return (arc.begin - angle + slack) % math.tau <= -arc.sweep + 2 * slack


def _nearest(bend: Bend, point: Point) -> float:
    """The parameter, from 0 to 1, of the point of a cubic that is nearest to a given one."""
    x, y = point
    t = min((i / 4 for i in range(5)), key=lambda t: math.dist(point, bend_at(bend, t)))
    for _ in range(8):
        (px, py), (dx, dy) = bend_at(bend, t), slope_at(bend, t)
        step = ((x - px) * dx + (y - py) * dy) / (dx * dx + dy * dy or 1.0)
        t = min(max(t + step, 0.0), 1.0)
        if abs(step) < 1e-12:
            break
    return t


def _box(segment: Segment) -> Box:
    """Left, bottom, right, top of an edge, a hair larger than it is."""
    if isinstance(segment, Bend):
        xs, ys = [x for x, _ in segment], [y for _, y in segment]
        return min(xs) - SAME, min(ys) - SAME, max(xs) + SAME, max(ys) + SAME
    (x0, y0), (x1, y1) = segment.start, segment.end
    left, right = (x0, x1) if x0 < x1 else (x1, x0)
    bottom, top = (y0, y1) if y0 < y1 else (y1, y0)
    if isinstance(segment, Arc):
        cx, cy = segment.centre
        if holds(segment, 0.0):
            right = cx + segment.radius
        if holds(segment, math.pi / 2):
            top = cy + segment.radius
        if holds(segment, math.pi):
            left = cx - segment.radius
        if holds(segment, -math.pi / 2):
            bottom = cy - segment.radius
    return left - SAME, bottom - SAME, right + SAME, top + SAME


# --- Lines and arcs ---


def _line_line(first: Straight, second: Straight, spare: float = SAME) -> list[Point]:
    (x0, y0), (x1, y1) = first
    (x2, y2), (x3, y3) = second
    dx, dy, ex, ey = x1 - x0, y1 - y0, x3 - x2, y3 - y2
    length, other = math.hypot(dx, dy), math.hypot(ex, ey)
    cross = dx * ey - dy * ex
    if abs(cross) < 1e-9 * length * other:
        return [p for p in first if _on_line(p, second)] + [p for p in second if _on_line(p, first)]
    t = ((x2 - x0) * ey - (y2 - y0) * ex) / cross
    u = ((x2 - x0) * dy - (y2 - y0) * dx) / cross
    slack, other_slack = spare / length, spare / other
    if -slack <= t <= 1 + slack and -other_slack <= u <= 1 + other_slack:
        return [(x0 + t * dx, y0 + t * dy)]
    return []


def _on_line(point: Point, line: Straight, near: float = SAME) -> bool:
    (x0, y0), (x1, y1) = line
    dx, dy = x1 - x0, y1 - y0
    length = math.hypot(dx, dy)
    px, py = point[0] - x0, point[1] - y0
    foot = (px * dx + py * dy) / length
    return abs(px * dy - py * dx) < near * length and -near < foot < length + near


def _line_arc(line: Straight, arc: Arc, spare: float = SAME) -> list[Point]:
    (x0, y0), (x1, y1) = line
    length = math.dist(line.start, line.end)
    dx, dy = (x1 - x0) / length, (y1 - y0) / length
    cx, cy = arc.centre[0] - x0, arc.centre[1] - y0
    foot = cx * dx + cy * dy
    away = abs(cx * dy - cy * dx)
    if away > arc.radius + _TOUCHES:
        return []
    half = math.sqrt(max(0.0, arc.radius * arc.radius - away * away))
    feet = (foot,) if arc.radius - away < _TOUCHES else (foot - half, foot + half)
    return [
        point
        for foot in feet
        if -spare <= foot <= length + spare
        and _passes(arc, point := (x0 + foot * dx, y0 + foot * dy), spare)
    ]


def _arc_arc(first: Arc, second: Arc) -> list[Point]:
    (x0, y0), (x1, y1) = first.centre, second.centre
    r0, r1 = first.radius, second.radius
    apart = math.hypot(x1 - x0, y1 - y0)
    if apart < SAME:
        if abs(r0 - r1) > SAME:
            return []
        return [p for p in (first.start, first.end) if _passes(second, p)] + [
            p for p in (second.start, second.end) if _passes(first, p)
        ]
    if apart > r0 + r1 + _TOUCHES or apart < abs(r0 - r1) - _TOUCHES:
        return []
    dx, dy = (x1 - x0) / apart, (y1 - y0) / apart
    foot = (apart * apart + r0 * r0 - r1 * r1) / (2 * apart)
    touches = min(abs(apart - r0 - r1), abs(apart - abs(r0 - r1))) < _TOUCHES
    half = 0.0 if touches else math.sqrt(max(0.0, r0 * r0 - foot * foot))
    candidates = [
        (x0 + foot * dx - side * dy, y0 + foot * dy + side * dx)
        for side in ((half, -half) if half else (0.0,))
    ]
    return [p for p in candidates if _passes(first, p) and _passes(second, p)]


def _passes(arc: Arc, point: Point, spare: float = SAME) -> bool:
    """Whether a point of its circle lies on the arc."""
    angle = math.atan2(point[1] - arc.centre[1], point[0] - arc.centre[0])
    return holds(arc, angle, spare / arc.radius)


# --- Cubics ---


def _on_bend(bend: Bend, edge: Edge, other: Edge) -> Iterator[Point]:
    """The points of a cubic that lie on another edge."""
    ends = [p for p in (bend.start, bend.end) if lies_on(p, other.segment)]
    ends += [p for p in (other.segment.start, other.segment.end) if lies_on(p, bend)]
    yield from ends
    count = len(edge.chords)
    pieces = other.chords or (other.segment,)
    for index, chord in enumerate(edge.chords):
        (x0, y0), (x1, y1) = chord
        if (
            max(x0, x1) < other.left - _BEYOND
            or min(x0, x1) > other.right + _BEYOND
            or max(y0, y1) < other.bottom - _BEYOND
            or min(y0, y1) > other.top + _BEYOND
        ):
            continue
        for number, piece in enumerate(pieces):
            if isinstance(piece, Arc):
                near = _line_arc(chord, piece, _BEYOND)
            elif isinstance(piece, Straight):
                near = _line_line(chord, piece, _BEYOND)
            else:
                continue
            for point in near:
                t = (index + math.dist(point, chord.start) / math.dist(*chord)) / count
                met = _met(bend, t, other.segment, number / len(pieces))
                if met is not None and all(math.dist(met, end) > 1e-4 for end in ends):
                    yield met


def _met(bend: Bend, t: float, other: Segment, u: float) -> Point | None:
    """The point near t at which a cubic meets another edge, by Newton's method; None where
    they meet beyond their ends."""
    for _ in range(12):
        (x, y), (dx, dy) = bend_at(bend, t), slope_at(bend, t)
        if isinstance(other, Straight):
            (x0, y0), (ux, uy) = other.start, other.tangents[0]
            off, rate = (x - x0) * uy - (y - y0) * ux, dx * uy - dy * ux
        elif isinstance(other, Arc):
            px, py = x - other.centre[0], y - other.centre[1]
            away = math.hypot(px, py)
            off, rate = away - other.radius, (px * dx + py * dy) / (away or 1.0)
        else:
            u = _nearest(other, (x, y))
            (x0, y0), (ux, uy) = bend_at(other, u), slope_at(other, u)
            length = math.hypot(ux, uy) or 1.0
            off, rate = ((x - x0) * uy - (y - y0) * ux) / length, (dx * uy - dy * ux) / length
        if abs(off) < 1e-10:
            break
        if abs(rate) < 1e-9:
            return None
        t -= max(-0.1, min(0.1, off / rate))
    slack = 1e-5
    if not -slack <= t <= 1 + slack or not lies_on((x, y), other):
        return None
    return x, y
