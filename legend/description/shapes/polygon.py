"""Make the edge of a polygon from its corners, and check that it can be cut.

The module does without `from __future__ import annotations`, as all do that types of keys are in.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import Annotated, Any

from pydantic import Discriminator, Field, Tag

from legend.description.shapes.edge import SAME, Arc, Edge
from legend.description.values.form import TAG, Form
from legend.description.values.length_values import Coordinate, Width
from legend.length_words import WithLengths
from legend.limits import MOST_CORNERS
from legend.vector import Vector

#: Into how many parts an arc is divided to see whether it meets another side.
_PARTS_OF_AN_ARC = 6


def _sharp_or_rounded(value: Any) -> str:
    return TAG + ("rounded" if isinstance(value, (list, tuple)) and len(value) > 2 else "sharp")


#: A corner: its place, and its radius where it has one of its own.
Corner = tuple[float, float] | tuple[float, float, float]
Corners = Annotated[
    tuple[
        Annotated[
            Annotated[tuple[Coordinate, Coordinate], Tag(TAG + "sharp")]
            | Annotated[tuple[Coordinate, Coordinate, Width], Tag(TAG + "rounded")],
            Discriminator(_sharp_or_rounded),
        ],
        ...,
    ],
    Field(min_length=3, max_length=MOST_CORNERS),
    Form(
        f"a list of 3 to {MOST_CORNERS} corners [x, y], or [x, y, radius] where one has a radius "
        "of its own, such as [[0, 0], [40, 0], [40, 20, 5], [0, 20]]",
        unit="mm",
    ),
]
#: Where a line turns.
Bends = Annotated[
    tuple[Annotated[tuple[Coordinate, Coordinate], Form("[x, y]", unit="mm")], ...],
    Field(max_length=MOST_CORNERS),
    Form(
        f"a list of at most {MOST_CORNERS} points [x, y], such as [[40, 20], [60, 20]]", unit="mm"
    ),
]


def polygon(corners: Sequence[Corner], radius: float = 0.0) -> Edge:
    """The edge with these corners, in either sense; `radius` is for those without their own."""
    if _enclosed([Vector(x, y) for x, y, *_ in corners]) < 0:
        corners = corners[::-1]
    radii = [own[0] if own else radius for _, _, *own in corners]
    return Edge.polygon([(x, y) for x, y, *_ in corners], radii)


def facing(corners: Sequence[Corner], ways: tuple[float, float]) -> list[Corner]:
    """Corners that are measured to the left where the first of `ways` is -1, or down, from the
    same point to the right and upwards."""
    right, up = ways
    return [
        (right * corner[0], up * corner[1])
        if len(corner) == 2
        else (right * corner[0], up * corner[1], corner[2])
        for corner in corners
    ]


def amiss(corners: Sequence[Corner], radius: float = 0.0) -> Iterator[WithLengths]:
    """What is wrong with a polygon, in words that go on from "has"; one thing at a time."""
    points = [Vector(x, y) for x, y, *_ in corners]
    for before, point in zip([*points[-1:], *points], points, strict=False):
        if before.distance(point) < SAME:
            yield WithLengths.of(
                "two corners after each other at [{}, {}] {unit}; leave one of them out", *point
            )
            return
    if not _is_simple(points):
        yield WithLengths.of(
            "sides that cross or touch each other; give its corners in their order round it"
        )
        return
    edge = polygon(corners, radius)
    for k, arc in enumerate(edge.arcs):
        if arc.radius and not _has_room(edge.arcs, k):
            yield WithLengths.of(
                "a radius of {} {unit} at a corner whose sides are too short for it, near [{}, {}] "
                "{unit}; make it smaller",
                arc.radius,
                *arc.first,
            )
            return
    if not _is_simple(edge.points(_PARTS_OF_AN_ARC)):
        yield WithLengths.of(
            "a rounded corner that reaches across another side; make its radius smaller"
        )


def encloses(edge: Edge, point: Vector) -> bool:
    """Whether a point lies within an edge, its arcs taken for short straight lines."""
    x, y = point
    inside = False
    flat = edge.points(_PARTS_OF_AN_ARC)
    for (x0, y0), (x1, y1) in zip([flat[-1], *flat], flat, strict=False):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) / (y1 - y0) * (x1 - x0):
            inside = not inside
    return inside


def _enclosed(points: Sequence[Vector]) -> float:
    """Twice the area: more than 0 where the corners run anticlockwise."""
    around = zip(points, [*points[1:], points[0]], strict=True)
    return sum(one.cross(other) for one, other in around)


def _has_room(arcs: Sequence[Arc], k: int) -> bool:
    """Whether an arc begins after the one before it ends, and ends before the next begins."""
    arc = arcs[k]
    before, after = arcs[k - 1], arcs[(k + 1) % len(arcs)]
    at_begin, at_end = arc.way(arc.begin), arc.way(arc.end)
    return (arc.first - before.last).dot(at_begin) > -SAME and (after.first - arc.last).dot(
        at_end
    ) > -SAME


def _is_simple(points: Sequence[Vector]) -> bool:
    """Whether the sides from point to point, and back to the first, meet at these points alone."""
    sides = list(zip(points, [*points[1:], points[0]], strict=True))
    last = len(sides) - 1
    for (i, (p, q)), (j, (r, s)) in combinations(enumerate(sides), 2):
        if j == i + 1 or (i, j) == (0, last):
            corner, one, other = (q, p, s) if j == i + 1 else (p, q, r)
            if _turn(one, corner, other) == 0 and _within(corner, one, other) is False:
                return False  # it runs back along itself
        elif _meet(p, q, r, s):
            return False
    return True


def _turn(p: Vector, q: Vector, r: Vector) -> int:
    """1 where the way from p by q to r turns left, -1 where it turns right, 0 for neither."""
    cross = (q - p).cross(r - p)
    return 0 if abs(cross) < SAME else 1 if cross > 0 else -1


def _within(point: Vector, p: Vector, q: Vector) -> bool:
    """Whether a point on the line through p and q lies between the two."""
    return all(
        min(a, b) - SAME <= c <= max(a, b) + SAME for a, b, c in zip(p, q, point, strict=True)
    )


def _meet(p: Vector, q: Vector, r: Vector, s: Vector) -> bool:
    """Whether the straight lines from p to q and from r to s have a point in common."""
    if max(p[0], q[0]) < min(r[0], s[0]) or max(r[0], s[0]) < min(p[0], q[0]):
        return False
    a, b, c, d = _turn(p, q, r), _turn(p, q, s), _turn(r, s, p), _turn(r, s, q)
    if a * b < 0 and c * d < 0:
        return True
    touching = ((a, r, p, q), (b, s, p, q), (c, p, r, s), (d, q, r, s))
    return any(turn == 0 and _within(point, one, other) for turn, point, one, other in touching)
