"""The outline keeps its curve whatever is done to it."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.lettering.outlines.curve_points import ROUNDNESS, arc_points
from legend.lettering.outlines.outline import FLATNESS, Contour, Outline

lengths = st.floats(-200, 200)
sizes = st.floats(0.2, 100)
angles = st.floats(-720, 720)


@st.composite
def contours(draw: st.DrawFn) -> Contour:
    """A star-shaped contour of lines, quadratics and cubics round a point, counter-clockwise."""
    corners = draw(st.integers(3, 9))
    radii = draw(st.lists(st.floats(2, 20), min_size=corners, max_size=corners))
    codes = draw(st.text("LQC", min_size=corners - 1, max_size=corners))
    cx, cy = draw(lengths), draw(lengths)

    def at(turn: float, radius: float) -> tuple[float, float]:
        angle = math.tau * turn / corners
        return cx + radius * math.cos(angle), cy + radius * math.sin(angle)

    points = [at(0, radii[0])]
    for number, code in enumerate(codes):
        radius, following = radii[number], radii[(number + 1) % corners]
        between = {"L": (), "Q": (0.5,), "C": (0.3, 0.6)}[code]
        points += [at(number + part, (radius + following) / 2) for part in between]
        points.append(points[0] if number + 1 == corners else at(number + 1, following))
    return Contour(codes, np.array(points))


def fine(contour: Contour, steps: int = 60) -> np.ndarray:
    """Points of the true curve, by de Casteljau's rule."""
    found = []
    for _, points in contour.segments():
        for t in np.linspace(0, 1, steps, endpoint=False):
            row = points
            while len(row) > 1:
                row = row[:-1] + (row[1:] - row[:-1]) * t
            found.append(row[0])
    return np.array(found)


@settings(max_examples=40)
@given(contours())
def test_flat_lies_within_flatness_of_the_curve(contour: Contour) -> None:
    ring = shapely.linearrings(contour.flat)
    assert shapely.distance(shapely.points(fine(contour)), ring).max() < FLATNESS * 1.01
    curve = shapely.linearrings(fine(contour, 400))
    assert shapely.distance(shapely.points(contour.flat), curve).max() < FLATNESS


@given(contours())
def test_flat_is_a_closed_ring_through_the_nodes(contour: Contour) -> None:
    assert (contour.flat[0] == contour.flat[-1]).all()
    nodes = np.array([points[0] for _, points in contour.segments()])
    assert len(nodes) == contour.nodes
    gaps = np.abs(contour.flat[None] - nodes[:, None]).max(axis=2).min(axis=1)
    assert gaps.max() < 1e-9


@given(st.lists(contours(), min_size=1, max_size=4), lengths, lengths)
def test_flattened_together_or_one_by_one_rings_are_the_same(
    found: list[Contour], dx: float, dy: float
) -> None:
    shift = np.array([dx, dy])
    twice = Outline(tuple(each for one in found for each in (one, one.moved(shift))))
    for index, one in enumerate(found):
        alone = Contour(one.codes, one.points).flat
        assert np.allclose(twice.rings[2 * index], alone, atol=1e-9)
        assert np.allclose(twice.rings[2 * index + 1], alone + shift, atol=1e-9)


@given(contours())
def test_reversed_is_the_same_curve_the_other_way(contour: Contour) -> None:
    back = contour.reversed()
    assert back.signed_area == pytest.approx(-contour.signed_area, rel=1e-6)
    assert np.allclose(back.flat, contour.flat[::-1], atol=1e-9)
    assert back.nodes == contour.nodes
    assert np.allclose(back.reversed().flat, contour.flat, atol=1e-9)


@given(contours(), st.integers(0, 8))
def test_started_elsewhere_is_the_same_curve(contour: Contour, segment: int) -> None:
    segments = list(contour.segments())
    segment %= len(segments)
    moved = contour.started_at(segment)
    assert (moved.points[0] == segments[segment][1][0]).all()
    assert moved.nodes == contour.nodes
    assert moved.signed_area == pytest.approx(contour.signed_area, rel=1e-9)
    assert (
        shapely.linearrings(moved.flat).hausdorff_distance(shapely.linearrings(contour.flat)) < 1e-9
    )


@given(contours(), st.tuples(*[st.floats(-3, 3)] * 4), lengths, lengths)
def test_transformed_scales_the_area_by_the_determinant(
    contour: Contour, matrix: tuple[float, float, float, float], e: float, f: float
) -> None:
    a, b, c, d = matrix
    determinant = a * d - b * c
    if abs(determinant) < 0.01:
        return
    outline = Outline((contour,))
    changed = outline.transformed((a, b, c, d, e, f))
    edge = shapely.linearrings(changed.contours[0].flat).length
    assert changed.contours[0].signed_area > 0
    assert changed.contours[0].signed_area == pytest.approx(
        contour.signed_area * abs(determinant),
        abs=FLATNESS * (edge + abs(determinant) * outline.shape.length),
    )


@given(contours(), lengths, lengths, lengths, lengths)
def test_moved_measures_as_if_made_there(
    contour: Contour, dx: float, dy: float, ex: float, ey: float
) -> None:
    moved = Outline((contour,)).moved(dx, dy).moved(ex, ey)
    afresh = Outline(tuple(Contour(c.codes, c.points) for c in moved.contours))
    assert moved.bounds == pytest.approx(afresh.bounds, abs=1e-9)
    assert moved.shape.equals_exact(afresh.shape, 1e-9)
    assert np.allclose(moved.contours[0].flat, afresh.contours[0].flat, atol=1e-9)


@given(contours(), angles, st.tuples(lengths, lengths))
@settings(max_examples=30)
def test_turned_clockwise_about_a_point(
    contour: Contour, degrees: float, about: tuple[float, float]
) -> None:
    outline = Outline((contour,))
    turned = outline.turned(degrees, about)
    x, y = contour.points[0] - about
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    assert turned.contours[0].points[0] == pytest.approx(
        (about[0] + c * x + s * y, about[1] - s * x + c * y), abs=1e-6
    )
    back = turned.turned(-degrees, about)
    assert np.allclose(back.contours[0].points, contour.points, atol=1e-6)


def test_a_quarter_turn_takes_the_top_to_the_right() -> None:
    turned = Outline.rectangle(-1, 4, 1, 5).turned(90)
    assert turned.bounds == pytest.approx((4, -1, 5, 1))


@given(st.tuples(lengths, lengths), sizes, angles, st.floats(1, 360))
def test_arc_points_keep_within_roundness(
    centre: tuple[float, float], radius: float, begin: float, sweep: float
) -> None:
    points = arc_points(centre, radius, begin, begin + sweep)
    curve = fine(Contour("C" * (len(points) // 3), points), 40)
    count = len(points) // 3 * 40
    off = np.hypot(*(curve[:count] - centre).T) - radius
    assert np.abs(off).max() <= ROUNDNESS * 1.001 + 1e-9
    for point, degrees in ((points[0], begin), (points[-1], begin + sweep)):
        turn = math.radians(degrees)
        wanted = (centre[0] + radius * math.sin(turn), centre[1] + radius * math.cos(turn))
        assert point == pytest.approx(wanted, abs=1e-6)


@given(st.tuples(lengths, lengths), sizes)
def test_a_disc_has_its_area_and_nodes_at_its_extremes(
    centre: tuple[float, float], radius: float
) -> None:
    disc = Outline.disc(centre, radius)
    assert disc.area == pytest.approx(math.pi * radius**2, rel=0.04, abs=0.01)
    assert disc.area <= math.pi * (radius + ROUNDNESS) ** 2
    x, y = centre
    assert disc.bounds == pytest.approx((x - radius, y - radius, x + radius, y + radius), abs=1e-6)
    assert disc.contours[0].signed_area > 0


@given(sizes, st.floats(0.05, 0.9), angles, st.floats(5, 400))
def test_an_arc_stroke_has_the_area_of_a_ring_sector(
    radius: float, part: float, begin: float, sweep: float
) -> None:
    width = radius * part
    stroke = Outline.arc_stroke((3, -4), radius, begin, begin + sweep, width)
    wanted = math.radians(min(sweep, 360)) * radius * width
    length = 2 * (math.radians(min(sweep, 360)) * radius + width)
    assert abs(stroke.area - wanted) < FLATNESS * length + 1e-9
    assert stroke.shape.is_valid
    assert len(stroke.contours) == (2 if sweep >= 360 else 1)


@given(lengths, lengths, sizes, sizes, st.floats(0, 60))
def test_a_rounded_rectangle(x: float, y: float, w: float, h: float, radius: float) -> None:
    shape = Outline.rectangle(x, y, x + w, y + h, radius)
    kept = min(radius, w / 2, h / 2)
    wanted = w * h - (4 - math.pi) * kept**2
    assert shape.bounds == pytest.approx((x, y, x + w, y + h), abs=1e-9)
    assert abs(shape.area - wanted) < FLATNESS * (w + h) * 2 + 1e-6
    assert shape.contours[0].signed_area > 0


@given(st.tuples(lengths, lengths), st.tuples(lengths, lengths), sizes)
def test_a_line_stroke(p: tuple[float, float], q: tuple[float, float], width: float) -> None:
    if math.dist(p, q) < 0.1:
        return
    stroke = Outline.line_stroke(p, q, width)
    assert stroke.area == pytest.approx(math.dist(p, q) * width, rel=1e-6)
    assert stroke.contours[0].signed_area > 0
    assert shapely.Point(p).distance(stroke.shape) < 1e-6


def test_a_hole_and_an_island_in_it() -> None:
    rings = [Outline.disc((0, 0), r).contours[0] for r in (10, 6, 2)]
    outline = Outline((rings[0], rings[1].reversed(), rings[2]))
    assert outline.area == pytest.approx(math.pi * (100 - 36 + 4), rel=1e-3)
    assert len(outline.shape.geoms) == 2


def test_gathered_measures_like_one_outline() -> None:
    parts = [Outline.disc((x, 0), 2).moved(0, 1) for x in (0, 10, 20)]
    parts.insert(1, Outline(()))
    gathered = Outline.gathered(parts)
    afresh = Outline(gathered.contours)
    assert gathered.bounds == pytest.approx(afresh.bounds)
    assert gathered.area == pytest.approx(afresh.area)
    assert gathered.nodes == afresh.nodes
    assert gathered.moved(5, 5).area == pytest.approx(afresh.area)


def test_an_empty_outline() -> None:
    empty = Outline.gathered([])
    assert not empty
    assert empty.area == 0
    assert empty.shape.is_empty
    for measure in ("bounds", "control_box"):
        with pytest.raises(ValueError, match="no bounds"):
            getattr(empty, measure)


@given(contours())
def test_the_control_box_holds_the_bounds(contour: Contour) -> None:
    outline = Outline((contour,))
    x0, y0, x1, y1 = outline.control_box
    left, bottom, right, top = outline.bounds
    assert x0 <= left + 1e-9
    assert y0 <= bottom + 1e-9
    assert x1 >= right - 1e-9
    assert y1 >= top - 1e-9


def test_a_contour_that_touches_or_crosses_itself_is_measured_all_the_same() -> None:
    points = [(0, 0), (6, 0), (6, 4), (3, 4), (4, 2), (3, 1), (2, 2), (3, 4), (0, 4)]
    touching = Outline.polygon(points)
    assert touching.shape.is_valid
    assert len(touching.shape.interiors) == 1
    assert touching.area == pytest.approx(21)
    # Two curves that leave a node side by side cross each other as straight pieces.
    crossing = Outline.polygon(
        [(0, 0), (6, 0), (6, 4), (3, 4), (2.9, 3.9), (3, 3.9), (2.9, 4), (0, 4)]
    )
    assert crossing.shape.is_valid
    assert crossing.area == pytest.approx(24, abs=0.02)


def test_a_counter_that_touches_the_outside_twice_parts_the_ink() -> None:
    outer, hole = Outline.rectangle(0, 0, 6, 4), Outline.polygon([(3, 4), (4, 2), (3, 0), (2, 2)])
    shape = Outline((*outer.contours, *hole.contours)).shape
    assert shape.is_valid
    assert len(shapely.get_parts(shape)) == 2
