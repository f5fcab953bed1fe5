"""Edges as outlines, grown and shrunk, against what GEOS makes of the same shapes."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import shapely
from holes import EVERY_SHAPE, hole_of, holes
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.shapes.edge import Arc, Edge
from legend.description.tables.description import Hole
from legend.layout.edges import grown, outline_of
from legend.lettering.outlines.curve_points import ROUNDNESS, along
from legend.lettering.outlines.outline import FLATNESS, Outline, cubics_of
from legend.vector import Vector

#: What two flattened curves may lie apart, mm.
_NEAR = 2 * FLATNESS


def _segment(radius: float, height: float) -> float:
    """The area that a flat at this height from the middle cuts off a disc."""
    return radius**2 * math.acos(height / radius) - height * math.sqrt(radius**2 - height**2)


_NOTCH = math.sqrt(6**2 - 1.5**2)
#: What corners of 90 degrees lack by a radius of 1.
_CORNER = 1 - math.pi / 4
_SLANT = math.tan(math.radians(10))


def _d_connector(width: float, height: float, radius: float) -> float:
    """By Steiner: the trapezoid between the middles of the corners, and what runs round it."""
    wide, high = width - 2 * radius, height - 2 * radius
    narrow = wide - 2 * high * _SLANT
    around = wide + narrow + 2 * high * math.hypot(1, _SLANT)
    return (wide + narrow) / 2 * high + around * radius + math.pi * radius**2


def _lacking(radius: float, turn: float) -> float:
    """What a corner that turns by so many degrees lacks by its radius."""
    half = math.radians(turn) / 2
    return radius**2 * (math.tan(half) - half)


_INWARDS = math.degrees(math.atan2(4, 3))  # how the sides of the notch of the polygon slope

_AREAS = {
    "drill": math.pi * 4.75**2,
    "cutout": 20 * 12,
    "rounded cutout": 20 * 12 - 4 * _CORNER * 2**2,
    "slot": 14 * 6 + math.pi * 3**2,
    "single_d": math.pi * 6**2 - _segment(6, 5),
    "double_d": math.pi * 6**2 - 2 * _segment(6, 5),
    "keyed": math.pi * 6**2 - _segment(6, _NOTCH) + 3 * (7.5 - _NOTCH),
    "hexagon": math.sqrt(3) / 2 * 10**2,
    "d_connector": _d_connector(28.8, 11.4, 2.6),
    "d_connector from the front": _d_connector(44.3, 12.3, 3.4),
    "polygon": 24 * 16 - 6 * 6 / 2,
    "rounded polygon": 24 * 16
    - 6 * 4 / 2
    - _CORNER * (4**2 + 3)
    - 2 * _lacking(1, _INWARDS)
    + _lacking(1, 2 * _INWARDS),
}


@pytest.mark.parametrize("name", EVERY_SHAPE)
@pytest.mark.parametrize("angle", [0, 33, 90, -200])
def test_areas_are_those_of_the_formulas(name: str, angle: float) -> None:
    hole = hole_of(EVERY_SHAPE[name], angle=angle)
    outline = outline_of(hole.shape.edge.turned(hole.angle))
    assert outline.shape.is_valid
    around = outline.shape.exterior.length
    assert _area(outline) == pytest.approx(_AREAS[name], abs=ROUNDNESS * around)


def _area(outline: Outline) -> float:
    """What an outline encloses, its curves divided far more finely than for measuring."""
    cubics, _, _ = cubics_of([contour.closed() for contour in outline.contours])
    parts = np.linspace(0, 1, 201)
    points = np.vstack([along(np.repeat(cubic[None], 201, 0), parts) for cubic in cubics])
    return float(shapely.Polygon(points).area)


@pytest.mark.parametrize("name", EVERY_SHAPE)
def test_curves_are_curves_and_nothing_is_of_no_length(name: str) -> None:
    outline = outline_of(hole_of(EVERY_SHAPE[name]).shape.edge)
    for code, points in outline.contours[0].segments():
        assert math.dist(points[0], points[-1]) > 1e-6
        assert code in "LC"
    assert outline.nodes <= 40


@given(hole=holes())
def test_the_box_of_an_edge_is_that_of_its_outline(hole: Hole) -> None:
    edge = hole.shape.edge.turned(hole.angle)
    assert edge.box == pytest.approx(outline_of(edge).bounds, abs=_NEAR)
    for arc in edge.arcs:
        assert edge.distance(arc.first) == pytest.approx(0, abs=1e-9)


@given(hole=holes(), x=st.floats(-40, 40), y=st.floats(-40, 40))
def test_the_distance_of_a_point_is_that_from_its_outline(hole: Hole, x: float, y: float) -> None:
    edge = hole.shape.edge
    away = outline_of(edge).shape.exterior.distance(shapely.Point(x, y))
    assert edge.distance((x, y)) == pytest.approx(away, abs=_NEAR)


@given(hole=holes())
def test_a_turned_edge_is_its_outline_turned(hole: Hole) -> None:
    edge = hole.shape.edge
    one, other = outline_of(edge.turned(hole.angle)), outline_of(edge).turned(hole.angle)
    assert one.shape.hausdorff_distance(other.shape) < _NEAR


@settings(deadline=None)
@given(hole=holes(), by=st.floats(0.01, 12))
def test_what_is_grown_contains_the_hole_by_the_distance(hole: Hole, by: float) -> None:
    edge = hole.shape.edge.turned(hole.angle)
    was, made = outline_of(edge).shape, grown(edge, by).shape
    assert made.is_valid
    assert made.buffer(_NEAR).contains(was.buffer(by, quad_segs=64))
    assert made.exterior.distance(was) == pytest.approx(by, abs=0.01)
    # And goes no further than to where its corners stay sharp.
    least = was.buffer(by + _NEAR, join_style="mitre", mitre_limit=4.1, quad_segs=64)
    assert made.difference(least).area < 0.02 * made.area


@settings(deadline=None)
@given(hole=holes(), by=st.floats(0.01, 12))
def test_what_is_shrunk_lies_within_the_hole_with_an_even_gap(hole: Hole, by: float) -> None:
    edge = hole.shape.edge.turned(hole.angle)
    was = outline_of(edge).shape
    made = grown(edge, -by)
    wanted = was.buffer(-by, quad_segs=64)
    if not made:
        assert wanted.area < 0.01
        return
    assert made.shape.is_valid
    assert was.contains(made.shape)
    assert was.exterior.distance(made.shape) == pytest.approx(by, abs=0.01)
    (*_, largest) = sorted(shapely.get_parts(wanted), key=lambda part: part.area)
    # Where flattened sides meet at a sharp angle, their corner strays further than they do.
    near = largest.buffer(_NEAR, join_style="mitre", mitre_limit=4.1)
    assert made.shape.difference(near).is_empty


def test_what_is_grown_keeps_its_corners_and_its_curves() -> None:
    for name, table in EVERY_SHAPE.items():
        edge = hole_of(table).shape.edge
        was, made = outline_of(edge), grown(edge, 1.5)
        assert made.nodes <= was.nodes or "polygon" in name
    keyed = hole_of(EVERY_SHAPE["keyed"]).shape.edge
    assert grown(keyed, 0).area == outline_of(keyed).area


def test_two_arcs_that_meet_in_points_stay_arcs_that_meet_in_points() -> None:
    half = math.degrees(math.acos(6 / 10))
    lower = Arc(Vector(0.0, -6.0), 10.0, half, -half)
    lens = Edge((lower, Arc(Vector(0.0, 6.0), 10.0, half - 180, -half - 180)))
    made = grown(lens, -0.8)
    assert set("".join(contour.codes for contour in made.contours)) <= {"C", "L"}
    assert made.nodes <= outline_of(lens).nodes
    # About the same middles, with smaller radii: the half height of a lens, and of its waist.
    _, bottom, right, top = made.bounds
    assert (bottom, top) == pytest.approx((-(9.2 - 6), 9.2 - 6), abs=1e-6)
    assert right == pytest.approx((9.2**2 - 6**2) ** 0.5, abs=1e-6)


def _closing(mouth: float) -> Edge:
    """A C, whose mouth closes where it is grown."""
    points = [(-9, -9), (9, -9), (9, -mouth), (0, -mouth), (0, mouth), (9, mouth), (9, 9), (-9, 9)]
    return Edge.polygon(points)


@pytest.mark.parametrize(("mouth", "by"), [(1.0, 1.5), (0.2, 0.5), (3.0, -4.6), (8.5, -0.4)])
def test_where_parts_meet_or_vanish_it_is_made_of_straight_lines(mouth: float, by: float) -> None:
    edge = _closing(mouth)
    made, was = grown(edge, by), outline_of(edge).shape
    if by > 0:
        assert made.shape.contains(was)
        assert made.shape.exterior.distance(was) == pytest.approx(by, abs=0.01)
        assert len(made.contours) == 1
    else:
        assert not made or was.exterior.distance(made.shape) == pytest.approx(-by, abs=0.01)


def test_nothing_is_left_of_what_has_no_room() -> None:
    assert not grown(Edge.circle(4), -2.5)
    assert not grown(Edge.rectangle(10, 2), -1.1)


def _corner(table: dict[str, Any]) -> Edge:
    return hole_of(table).shape.edge


def test_a_point_too_long_is_rounded() -> None:
    needle = _corner({"polygon": [[-20, -1], [20, 0], [-20, 1]]})
    made = grown(needle, 1)
    assert made.bounds[2] < 20 + 1.05
