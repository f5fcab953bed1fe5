"""Tight turns: a run of a skeleton in, the same with arcs in place of its cubics out, if need be.

Where a cubic turns more tightly than the pen is wide, or all at once, no cubic follows the
edge of its stroke. Arcs do, or rather sectors of a circle; so the cubics of such a run are
taken as pairs of arcs that meet with common tangents.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

from legend.lettering.strokes.skeleton import (
    Arc,
    Bend,
    Point,
    Run,
    Segment,
    Straight,
    bend_at,
    part_of,
    slope_at,
)

#: A cubic whose control points turn by less than this in all bends evenly, radians.
_PLAIN_TURN = 1.8
#: A cubic that turns by more than this in a thirty-second of its course is sharp, radians.
_SUDDEN = 0.5
#: A cubic is halved at most so often.
_MOST_HALVINGS = 12


def without_tight_turns(run: Run, half: float, fit: float) -> Run:
    """The run as a pen of `half` width to each side can follow it.

    Where one of its cubics turns too tightly, all of them become arcs within `fit`.
    """
    bends = [segment for segment in run.segments if isinstance(segment, Bend)]
    if not any(_is_sharp(bend) or _is_tight(bend, half) for bend in bends):
        return run
    segments: list[Segment] = []
    for segment in run.segments:
        if isinstance(segment, Bend):
            segments.extend(_as_arcs(segment, fit, _MOST_HALVINGS))
        else:
            segments.append(segment)
    return replace(run, segments=tuple(segments))


def _is_sharp(bend: Bend) -> bool:
    """Whether a cubic turns so suddenly somewhere that no fitted edge follows it."""
    if _is_plain(bend):
        return False
    slopes = [slope_at(bend, i / 32) for i in range(33)]
    headings = [math.atan2(dy, dx) for dx, dy in slopes if dx or dy]
    return any(abs(_turned(a, b)) > _SUDDEN for a, b in itertools.pairwise(headings))


def _is_tight(bend: Bend, half: float) -> bool:
    """Whether a cubic bends more tightly than the pen can follow on the inside."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = bend
    count = 8 if _is_plain(bend) else 48
    for i in range(count + 1):
        t = i / count
        s = 1 - t
        dx, dy = slope_at(bend, t)
        ex = 6 * (s * (x2 - 2 * x1 + x0) + t * (x3 - 2 * x2 + x1))
        ey = 6 * (s * (y2 - 2 * y1 + y0) + t * (y3 - 2 * y2 + y1))
        if abs(dx * ey - dy * ex) * half > (dx * dx + dy * dy) ** 1.5:
            return True
    return False


def _is_plain(bend: Bend) -> bool:
    """Whether the control points of a cubic turn so little that it bends evenly."""
    legs = [(p, q) for p, q in itertools.pairwise(bend) if math.dist(p, q) > 1e-9]
    headings = [math.atan2(y1 - y0, x1 - x0) for (x0, y0), (x1, y1) in legs]
    turns = [abs(_turned(a, b)) for a, b in itertools.pairwise(headings)]
    return sum(turns) < _PLAIN_TURN


def _turned(first: float, second: float) -> float:
    """From one heading to another, the short way round."""
    return (second - first + math.pi) % math.tau - math.pi


# --- Arcs for cubics ---


def _as_arcs(bend: Bend, fit: float, halvings: int) -> list[Straight | Arc]:
    """A cubic as arcs and straight lines within `fit` of it, with common tangents."""
    if math.dist(bend.start, bend.end) < 1e-9:
        return []
    pair = _pair_of_arcs(bend)
    if pair is not None and (not halvings or _strays(bend, pair) < fit):
        return pair
    if not halvings:
        return [Straight(bend.start, bend.end)]
    first, second = part_of(bend, 0.0, 0.5), part_of(bend, 0.5, 1.0)
    return _as_arcs(first, fit, halvings - 1) + _as_arcs(second, fit, halvings - 1)


def _pair_of_arcs(bend: Bend) -> list[Straight | Arc] | None:
    """Two arcs from end to end of a cubic with its end tangents, of like lengths of tangent."""
    (x0, y0), (x1, y1) = bend.start, bend.end
    (tx, ty), (ux, uy) = bend.tangents
    vx, vy = x1 - x0, y1 - y0
    square = vx * vx + vy * vy
    along = vx * (tx + ux) + vy * (ty + uy)
    bent = 2 * (1 - (tx * ux + ty * uy))
    if bent < 1e-9:
        ahead = 4 * (vx * ux + vy * uy)
        if ahead < 1e-12:
            return None
        length = square / ahead
    else:
        length = (math.sqrt(along * along + bent * square) - along) / bent
    joint = ((x0 + x1 + length * (tx - ux)) / 2, (y0 + y1 + length * (ty - uy)) / 2)
    first = _arc_from(bend.start, (tx, ty), joint)
    second = _arc_from(bend.end, (-ux, -uy), joint)
    if first is None or second is None:
        return None
    return [first, second.backwards()]


def _arc_from(start: Point, heading: Point, end: Point) -> Straight | Arc | None:
    """The arc that leaves a point with a heading and comes to another; None for a point."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    chord = math.hypot(dx, dy)
    if chord < 1e-9:
        return None
    across = heading[0] * dy - heading[1] * dx
    if abs(across) < 1e-7 * chord:
        return Straight(start, end)
    radius = chord * chord / (2 * across)  # to the left positive
    centre = (start[0] - heading[1] * radius, start[1] + heading[0] * radius)
    begin = math.atan2(start[1] - centre[1], start[0] - centre[0])
    swept = math.atan2(end[1] - centre[1], end[0] - centre[0]) - begin
    sweep = swept % math.tau if radius > 0 else swept % math.tau - math.tau
    return Arc(start, end, centre, abs(radius), begin, sweep)


def _strays(bend: Bend, pieces: list[Straight | Arc]) -> float:
    """How far a cubic strays from the arcs or lines that stand for it."""
    most = 0.0
    for i in range(1, 8):
        x, y = bend_at(bend, i / 8)
        offs = []
        for piece in pieces:
            if isinstance(piece, Arc):
                offs.append(abs(math.dist((x, y), piece.centre) - piece.radius))
            else:
                (px, py), (tx, ty) = piece.start, piece.tangents[0]
                offs.append(abs((x - px) * ty - (y - py) * tx))
        most = max(most, min(offs))
    return most
