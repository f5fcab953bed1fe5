"""Replace cubics that turn too tightly for the pen by arcs.

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
    Run,
    Segment,
    Straight,
    bend_at,
    bending_at,
    part_of,
    slope_at,
)
from legend.vector import Vector

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
    slopes = [slope for i in range(33) if any(slope := slope_at(bend, i / 32))]
    return any(abs(a.turn_to(b)) > _SUDDEN for a, b in itertools.pairwise(slopes))


def _is_tight(bend: Bend, half: float) -> bool:
    """Whether a cubic bends more tightly than the pen can follow on the inside."""
    count = 8 if _is_plain(bend) else 48
    for i in range(count + 1):
        slope, bending = slope_at(bend, i / count), bending_at(bend, i / count)
        if abs(slope.cross(bending)) * half > slope.length**3:  # the curvature is 1 / half
            return True
    return False


def _is_plain(bend: Bend) -> bool:
    """Whether the control points of a cubic turn so little that it bends evenly."""
    legs = [q - p for p, q in itertools.pairwise(bend) if math.dist(p, q) > 1e-9]
    return sum(abs(a.turn_to(b)) for a, b in itertools.pairwise(legs)) < _PLAIN_TURN


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
    leaves, arrives = bend.tangents
    across = bend.end - bend.start
    square = across.dot(across)
    along = across.dot(leaves + arrives)
    bent = 2 * (1 - leaves.dot(arrives))
    if bent < 1e-9:
        ahead = 4 * across.dot(arrives)
        if ahead < 1e-12:
            return None
        length = square / ahead
    else:
        length = (math.sqrt(along * along + bent * square) - along) / bent
    joint = (bend.start + bend.end + length * (leaves - arrives)) / 2
    first = _arc_from(bend.start, leaves, joint)
    second = _arc_from(bend.end, -arrives, joint)
    if first is None or second is None:
        return None
    return [first, second.backwards()]


def _arc_from(start: Vector, heading: Vector, end: Vector) -> Straight | Arc | None:
    """The arc that leaves a point with a heading and comes to another; None for a point."""
    chord = (end - start).length
    if chord < 1e-9:
        return None
    across = heading.cross(end - start)
    if abs(across) < 1e-7 * chord:
        return Straight(start, end)
    radius = chord * chord / (2 * across)  # to the left positive
    centre = start + radius * heading.left
    begin = (start - centre).angle
    swept = (end - centre).angle - begin
    sweep = swept % math.tau if radius > 0 else swept % math.tau - math.tau
    return Arc(start, end, centre, abs(radius), begin, sweep)


def _strays(bend: Bend, pieces: list[Straight | Arc]) -> float:
    """How far a cubic strays from the arcs or lines that stand for it."""
    most = 0.0
    for i in range(1, 8):
        point = bend_at(bend, i / 8)
        offs = []
        for piece in pieces:
            if isinstance(piece, Arc):
                offs.append(abs(math.dist(point, piece.centre) - piece.radius))
            else:
                offs.append(abs((point - piece.start).cross(piece.tangents[0])))
        most = max(most, min(offs))
    return most
