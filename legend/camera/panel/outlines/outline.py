"""See a panel that is no rectangle by its outline: round, a polygon, or from a drawing.

The given outline is laid on the edge of what is seen and moved until it fits: by the iterative
closest points of P. J. Besl, N. D. McKay, "A method for registration of 3-D shapes", IEEE
Transactions on Pattern Analysis and Machine Intelligence 14 (2), 1992, each point looked for
across the outline only. What the outline does not tell stays as it was to begin with: the turn of
a round panel.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from legend.camera.panel.edges.doubt import side_deviation
from legend.camera.panel.edges.profiles import profiles_along
from legend.camera.panel.edges.steps import SeenSide, seen_side
from legend.camera.panel.edges.true_edges import with_true_edges
from legend.camera.picture import Picture
from legend.camera.view import Points, View
from legend.description.tables.panel import Panel

#: Arcs are taken in so many parts: of a circle of 100 mm they are true to 0.002 mm.
_ARC_PARTS = 360
#: Points of the outline lie so far apart, mm, or as many as this lie on it.
_APART, _MOST_POINTS = 0.25, 2400
#: Stretches of the outline that are looked at together turn by at most this, degrees.
_STRETCH_TURN = 20.0
#: The least length of such a stretch, mm.
_LEAST_STRETCH = 4.0
#: Beside a corner, so much of the outline is left out, mm.
_BESIDE_CORNER = 1.0
#: A direction in which the outline may be moved is told by it if it counts this share of the best.
_TOLD = 1e-3
#: The standard deviation in median absolute deviations; and how many of it a point lies astray.
_DEVIATIONS, _ASTRAY = 1.4826, 4.685
#: The least spread of points that is believed, mm.
_LEAST_SPREAD = 1e-3


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """Points of an outline one after the other, mm, the directions out of it, and along it."""

    places: Points
    outward: Points
    along: Points


@dataclass(frozen=True, slots=True, eq=False)
class OutlineFit:
    """A view, the stretches that were seen of all there are, and how far it may be off, mm."""

    view: View
    sides: tuple[SeenSide, ...]
    covered: float
    deviation: float


def stretches(panel: Panel) -> list[Stretch]:
    """The outline of a panel, in stretches that are nearly straight, without its corners."""
    corners = np.array(panel.edge.points(_ARC_PARTS), float)
    closed = np.vstack([corners, corners[:1]])
    ways = np.diff(closed, axis=0)
    lengths = np.hypot(*ways.T)
    ends = np.concatenate([[0.0], np.cumsum(lengths)])
    bearing = np.degrees(np.unwrap(np.arctan2(ways[:, 1], ways[:, 0])))
    out: list[Stretch] = []
    begin = 0
    for k in range(1, len(ways) + 1):
        sharp = k < len(ways) and abs(bearing[k] - bearing[k - 1]) > _STRETCH_TURN / 2
        if k < len(ways) and not sharp and abs(bearing[k] - bearing[begin]) < _STRETCH_TURN:
            continue
        first, last = ends[begin] + _BESIDE_CORNER, ends[k] - _BESIDE_CORNER
        if last - first >= _LEAST_STRETCH:
            step = max(_APART, ends[-1] / _MOST_POINTS)
            along = np.arange(first, last, step)
            out.append(_stretch(closed, ends, ways / lengths[:, None], along))
        begin = k
    return out


def _stretch(closed: Points, ends: Points, ways: Points, along: Points) -> Stretch:
    part = np.clip(np.searchsorted(ends, along, side="right") - 1, 0, len(ways) - 1)
    places = closed[part] + (along - ends[part])[:, None] * ways[part]
    # Between the middles of neighbouring parts the direction turns evenly, as round an arc.
    outward = np.column_stack([ways[part, 1], -ways[part, 0]])
    return Stretch(places, outward, along)


def outline_fit(
    picture: Picture, view: View, panel: Panel, reaches: tuple[float, ...], ends: bool = False
) -> OutlineFit | None:
    """The view that takes the panel's outline to where the picture shows it; None for too little.

    Each reach, mm, is one round: how far beside where the outline is expected it is looked for.
    With `ends`, the last round tells where the panel ends from where the sharpest steps are.
    """
    parts = stretches(panel)
    whole = sum(len(part.along) for part in parts)
    sides: list[SeenSide] = []
    deviation = 0.0
    for k, reach in enumerate(reaches, 1):
        sides = [side for part in parts if (side := _seen(picture, view, part, reach))]
        if ends and k == len(reaches):
            sides = with_true_edges(sides)
        if sum(len(side.found) for side in sides) < 0.4 * whole:
            return None
        move, deviation = _move(sides)
        matrix = np.eye(3)
        matrix[:2] += move
        onto = view.onto @ matrix
        view = replace(view, onto=onto / onto[2, 2])
    covered = sum(float(np.isfinite(side.found).sum()) for side in sides) / whole
    return OutlineFit(view, tuple(sides), covered, deviation)


def _seen(picture: Picture, view: View, part: Stretch, reach: float) -> SeenSide | None:
    profiles = profiles_along(picture, view, part.places, part.outward, part.along, reach + 1.6)
    length = float(np.ptp(part.along))
    pixel = 1 / view.pixels_per_mm(tuple(part.places[len(part.places) // 2]))
    return seen_side(profiles, min(1.2 * reach / length, 0.3), pixel, reach)


def _move(sides: list[SeenSide]) -> tuple[Points, float]:
    """The affine move, 2 × 3, by which the outline best fits the points found; what it may be off.

    Stretches count by how surely they are placed. Each may be off as a whole; how far that puts a
    point of the outline off at most is told as a standard deviation, mm.
    """
    rows, wanted, counts = [], [], []
    for side in sides:
        good = np.isfinite(side.found) & (side.line.weights > 0.2)
        shift = side.edge.place - side.edge.shown if side.edge else 0.0
        x, y = side.profiles.places[good].T
        u, v = side.profiles.outward[good].T
        rows.append(np.column_stack([u * x, u * y, u, v * x, v * y, v]))
        wanted.append(side.found[good] + shift)
        counts.append(side.line.weights[good] / side_deviation(side) ** 2)
    design, offsets, weights = np.concatenate(rows), np.concatenate(wanted), np.concatenate(counts)
    size = float(np.abs(design[:, :2]).max())
    scale = np.array([1 / size, 1 / size, 1, 1 / size, 1 / size, 1])
    apart = offsets
    for _ in range(6):
        spread = max(_DEVIATIONS * float(np.median(np.abs(apart))), _LEAST_SPREAD)
        root = np.sqrt(weights) * np.maximum(1 - (apart / (_ASTRAY * spread)) ** 2, 0)
        inverse = scale[:, None] * np.linalg.pinv(design * scale * root[:, None], _TOLD) * root
        move = inverse @ offsets
        apart = offsets - design @ move
    ends = np.cumsum([0, *map(len, rows)])
    alone = [
        inverse[:, a:b].sum(axis=1) * side_deviation(side)
        for side, a, b in zip(sides, ends[:-1], ends[1:], strict=True)
    ]
    places = np.concatenate([side.profiles.places for side in sides])
    there = np.column_stack([places, np.ones(len(places))])
    off = sum((there @ each[:3]) ** 2 + (there @ each[3:]) ** 2 for each in alone)
    return move.reshape(2, 3), float(np.sqrt(np.max(off) / 2))
