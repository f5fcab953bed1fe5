"""Fit how a picture sees a rectangular panel to its four edges, and say how surely.

The view is what takes the best-fit lines of the four edges to the panel's given sides. Of a scan
it is affine: the two scales and the skew of a scanner are found with it. Six numbers take in six
of the eight that four lines have; which six is a matter of the datum:

- at a corner, the lines of the two edges that meet there are the axes, whole; of the edges
  opposite, their distance from the datum at the middle of their length is the width and height.
- at the centre, the lines half way between opposite edges are the axes.

So x is measured from the one edge and y from the other, as with a calliper held to the edges, and
the panel is taken to be square: a scanner that shears cannot be told from a panel out of square in
one picture (see `several`). Of a photograph, all four lines are sides, and the view is projective.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from legend.camera.panel.edges.profiles import profiles_across
from legend.camera.panel.edges.sharpness import blur_within
from legend.camera.panel.edges.steps import SeenSide, seen_side
from legend.camera.panel.edges.true_edges import with_true_edges
from legend.camera.panel.eye import eye_over
from legend.camera.picture import Picture
from legend.camera.view import Points, View
from legend.description.tables.panel import Panel
from legend.description.values.length_values import Datum

#: The sides in turn, anticlockwise: lower, right, upper, left.
SIDES = ("lower", "right", "upper", "left")
#: Beside a rounded corner, so much more of a side is left out at its ends, mm; and this share of
#: it, since corners are broken by hand and burred.
_BESIDE_CORNER, _SHARE_OF_END = 1.0, 0.02
#: So much more of a picture is looked at beside where a side may be, mm: what lies beside it.
_SEEN_BESIDE = 1.6
#: How far beside where sides are expected they are looked for, mm, and by how many profiles across
#: each at most.
Look = tuple[float, int]


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """A view, and the four sides that it was fitted to: lower, right, upper, left.

    The sides are told in mm of the view `before`, by which they were looked for.
    """

    view: View
    sides: tuple[SeenSide | None, ...]
    before: View


def fitted(
    picture: Picture,
    view: View,
    panel: Panel,
    looks: tuple[Look, ...],
    projective: bool,
    ends: bool = False,
) -> Fit:
    """The view that takes the panel's sides to where the picture shows them, look by look.

    The fit of the last look is told; or of one that does not find all four sides. With `ends`,
    the last look tells where the panel ends from where the sharpest steps are.
    """
    fit = Fit(view, (), view)
    for turn, look in enumerate(looks, 1):
        before = fit.view
        sides = sides_in(picture, before, panel, look)
        if None in sides:
            return Fit(before, sides, before)
        if ends and turn == len(looks):
            blur = blur_within(picture, before, panel)
            leans = _leans(before, panel.size)
            sides = tuple(with_true_edges([side for side in sides if side], blur, leans))
        all_four = [side for side in sides if side]
        if projective:
            matrix = _corners_to_corners(all_four, panel.size)
        else:
            matrix = _axes_to_axes(all_four, panel.size, panel.datum)
        onto = _scaled(before.onto @ np.linalg.inv(matrix))
        fit = Fit(replace(before, onto=onto), sides, before)
    return fit


def _leans(view: View, size: tuple[float, float]) -> tuple[float, ...] | None:
    """How far from below a camera each side lies outwards, over its height; None for a scanner."""
    if view.lens is None:
        return None
    eye = view.eye or eye_over(view.onto, view.lens.focal, view.lens.middle)
    if eye is None:
        return None
    (x, y, far), (width, height) = eye, size
    return y / far, (width - x) / far, (height - y) / far, x / far


def sides_in(picture: Picture, view: View, panel: Panel, look: Look) -> tuple[SeenSide | None, ...]:
    """The four sides as the picture shows them, looked for near where the view has them."""
    (width, height), corner_radius, (reach, most) = panel.size, panel.corner_radius, look
    corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
    out: list[SeenSide | None] = []
    for k in range(4):
        a, b = np.array(corners[k]), np.array(corners[(k + 1) % 4])
        length = float(np.hypot(*(b - a)))
        left_out = min(corner_radius + _BESIDE_CORNER + _SHARE_OF_END * length, 0.35 * length)
        way = (b - a) / length
        first, last = a + way * left_out, b - way * left_out
        profiles = profiles_across(
            picture, view, tuple(first), tuple(last), reach + _SEEN_BESIDE, most
        )
        turn = min(1.2 * reach / max(length - 2 * left_out, 1e-6), 0.06)
        pixel = 1 / view.pixels_per_mm(tuple((a + b) / 2))
        out.append(seen_side(profiles, turn, pixel, reach))
    return tuple(out)


def side_points(side: SeenSide) -> Points:
    """The two ends of a side's line, mm, in the coordinates in which it was expected."""
    profiles = side.profiles
    ends = [0, len(profiles.along) - 1]
    return np.array(
        [
            profiles.places[k] + profiles.outward[k] * side.line.at(float(profiles.along[k]))
            for k in ends
        ]
    )


def _at(points: Points, axis: int, place: float) -> float:
    """The other coordinate of the line through two points where one coordinate is `place`."""
    a, b = points
    part = (place - a[axis]) / (b[axis] - a[axis])
    return float(a[1 - axis] + part * (b[1 - axis] - a[1 - axis]))


def _axes_to_axes(sides: list[SeenSide], size: tuple[float, float], datum: Datum) -> Points:
    """The affine map from where the sides are seen to where they are given, mm to mm."""
    width, height = size
    lower, right, upper, left = (side_points(side) for side in sides)
    rows = [
        _one_axis(left, right, width, height, 1, "left" in datum, "right" in datum),
        _one_axis(lower, upper, height, width, 0, "lower" in datum, "upper" in datum),
    ]
    return np.array([*rows, [0.0, 0.0, 1.0]])


def _one_axis(
    low: Points, high: Points, across: float, along: float, axis: int, at_low: bool, at_high: bool
) -> Points:
    """One row of the map: `across` apart are the lines `low` and `high`, which run along `axis`.

    The row gives a panel's coordinate for [x, y, 1] as seen.
    """

    def point(line: Points, place: float) -> Points:
        other = _at(line, axis, place)
        return np.array([place, other, 1.0] if axis == 0 else [other, place, 1.0])

    ends = (0.0, along)
    if at_low:
        wanted = [(point(low, end), 0.0) for end in ends]
        wanted.append((point(high, along / 2), across))
    elif at_high:
        wanted = [(point(high, end), across) for end in ends]
        wanted.append((point(low, along / 2), 0.0))
    else:
        wanted = [((point(low, end) + point(high, end)) / 2, across / 2) for end in ends]
        wanted.append(((point(high, along / 2) - point(low, along / 2)), across))
    matrix = np.array([each for each, _ in wanted])
    out: Points = np.linalg.solve(matrix, np.array([value for _, value in wanted]))
    return out


def _corners_to_corners(sides: list[SeenSide], size: tuple[float, float]) -> Points:
    """The projective map from where the sides are seen to where they are given, mm to mm.

    All four lines are taken whole, whichever two of them are measured from.
    """
    width, height = size
    lines = [_through(*side_points(side)) for side in sides]
    seen = np.array([_crossing(lines[k - 1], lines[k]) for k in range(4)])
    given = np.array([[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]])
    return projective_map(seen, given)


def _through(a: Points, b: Points) -> Points:
    return np.cross(np.array([*a, 1.0]), np.array([*b, 1.0]))


def _crossing(one: Points, other: Points) -> Points:
    x, y, w = np.cross(one, other)
    return np.array([x / w, y / w])


def projective_map(seen: Points, given: Points) -> Points:
    """The 3 x 3 matrix that takes four points, no three in a line, to four others."""
    rows = []
    for (x, y), (u, v) in zip(seen, given, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y, -u])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y, -v])
    out: Points = np.linalg.svd(np.array(rows))[2][-1].reshape(3, 3)
    return _scaled(out)


def _scaled(matrix: Points) -> Points:
    out: Points = matrix / matrix[2, 2]
    return out
