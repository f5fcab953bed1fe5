"""Outlines that were drawn: what shape of hole each of them is, and where it stands."""

from __future__ import annotations

import io
import math
from typing import Any

import ezdxf
import pytest
import shapely
from holes import EVERY_SHAPE, hole_of, holes
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.reading.hole_lists.dxf_drawing import read_dxf
from legend.description.reading.hole_lists.dxf_holes import read_dxf_holes
from legend.description.shapes.edge import Arc, Edge
from legend.description.shapes.recognising import Drawn, recognised
from legend.description.tables.description import Hole
from legend.layout.edges import outline_of
from legend.vector import Vector


def edge_of(drawn: Drawn) -> Edge:
    hole = hole_of(drawn.shape, angle=drawn.angle)
    return hole.shape.edge.turned(hole.angle).moved(*drawn.at)


def apart(one: Edge, other: Edge) -> float:
    return float(outline_of(one).shape.hausdorff_distance(outline_of(other).shape))


@settings(deadline=None)
@given(hole=holes(), x=st.floats(-100, 100), y=st.floats(-100, 100))
def test_what_is_drawn_is_recognised_where_it_stands(hole: Hole, x: float, y: float) -> None:
    edge = hole.shape.edge.turned(hole.angle).moved(x, y)
    found = recognised(edge)
    name = next(key for key in hole.model_fields_set if key in EVERY_SHAPE)
    assert found
    assert apart(edge_of(found), edge) < 0.01
    like = {"d_connector": "polygon"}
    (made, *_) = found.shape
    assert made == like.get(name, name) or made in ("cutout", "drill")
    if name != "polygon" and name != "d_connector":
        assert found.at == pytest.approx((x, y), abs=1e-6)


def test_sides_and_arcs_that_go_on_are_one() -> None:
    whole = hole_of(EVERY_SHAPE["slot"]).shape.edge
    halved = Edge(
        tuple(
            Arc(arc.centre, arc.radius, *ends)
            for arc in whole.arcs
            for ends in (
                (arc.begin, arc.begin + arc.sweep / 3),
                (arc.begin + arc.sweep / 3, arc.end),
            )
        )
    )
    found = recognised(halved)
    assert found and found.shape == {"slot": [pytest.approx(20), pytest.approx(6)]}
    corners = [(0, 0), (5, 0), (20, 0), (20, 12), (0, 12)]
    square = recognised(Edge.polygon(corners))
    assert square and square.shape == {"cutout": [20, 12]} and square.at == (10, 6)


def test_what_is_no_hole_that_can_be_described_is_none() -> None:
    lens = Edge((Arc(Vector(0, -6), 10, 53, -53), Arc(Vector(0, 6), 10, -127, -233)))
    assert recognised(lens) is None
    askew = hole_of({"polygon": [[-5, -5, 3], [5, -5], [6, 6], [-5, 5]]}).shape.edge
    turning = Edge((*askew.arcs[:1], Arc(Vector(8, -5), 2, -90, -180), *askew.arcs[1:]))
    assert recognised(turning) is None


# --- In drawings ---


def drawing_of(*edges: Edge, units: int = 4, single: bool = False) -> bytes:
    """A drawing with edges as polylines, or as single lines and arcs in any order."""
    drawing = ezdxf.new("R2010")
    drawing.header["$INSUNITS"] = units
    space = drawing.modelspace()
    for edge in edges:
        if not single:
            space.add_lwpolyline(_with_bulges(edge), format="xyb", close=True)
            continue
        for side in sorted(edge.sides, key=str):
            if isinstance(side, Arc):
                # Arcs of a drawing run anticlockwise from the right.
                ends = sorted((90 - side.begin, 90 - side.end))
                space.add_arc(side.centre, side.radius, *ends)
            else:
                space.add_line(side.last, side.first)
    text = io.StringIO()
    drawing.write(text)
    return text.getvalue().encode()


def _with_bulges(edge: Edge) -> list[tuple[float, float, float]]:
    points = []
    for side in edge.sides:
        bulge = -math.tan(math.radians(side.sweep) / 4) if isinstance(side, Arc) else 0.0
        points.append((*side.first, bulge))
    return points


@settings(deadline=None, max_examples=25)
@given(hole=holes(), single=st.booleans())
def test_edges_come_out_of_a_drawing_as_they_went_in(hole: Hole, single: bool) -> None:
    edge = hole.shape.edge.turned(hole.angle).moved(50, 40)
    content = drawing_of(edge, single=single)
    if "drill" in hole.model_fields_set:
        return  # that is drawn as a circle
    (contour,) = read_dxf(content, "mm").contours
    assert apart(contour.edge, edge) < 0.01
    assert shapely.LinearRing(contour.edge.points(8)).is_ccw


def test_closed_outlines_within_the_panel_are_holes() -> None:
    panel = Edge.rectangle(200, 100, 5).moved(100, 50)
    places = {"slot": (40, 50), "hexagon": (80, 50), "rounded cutout": (120, 50)}
    inside = [hole_of(EVERY_SHAPE[name]).shape.edge.moved(*at) for name, at in places.items()]
    title_block = Edge.rectangle(60, 20).moved(300, 10)
    found = read_dxf_holes(drawing_of(panel, *inside, title_block), "panel.dxf", "lower left", "mm")
    assert not found.faults
    assert list(found.holes.values()) == [
        {"at": ["40 mm", "50 mm"], "slot": ["20 mm", "6 mm"]},
        {"at": ["80 mm", "50 mm"], "hexagon": "10 mm"},
        {"at": ["120 mm", "50 mm"], "cutout": ["20 mm", "12 mm"], "corner_radius": "2 mm"},
    ]


def test_a_turned_outline_is_a_turned_hole() -> None:
    edge = hole_of(EVERY_SHAPE["cutout"]).shape.edge.turned(30).moved(50, 50)
    found = read_dxf_holes(drawing_of(edge), "panel.dxf", "upper left", "mm")
    (hole,) = found.holes.values()
    assert hole == {
        "at": ["50 mm", "-50 mm"],
        "cutout": ["20 mm", "12 mm"],
        "angle": pytest.approx(30),
    }


def test_what_is_drawn_round_a_hole_is_not_one() -> None:
    drawing = ezdxf.new("R2010", units=4)
    space = drawing.modelspace()
    space.add_lwpolyline([(0, 0), (30, 0), (30, 30), (0, 30)], close=True)  # a bezel
    space.add_circle((15, 15), 5)
    space.add_lwpolyline(_with_bulges(hole_of({"double_d": [12, 10]}).shape.edge), format="xyb",
                         close=True)  # fmt: skip
    space.add_circle((0, 0), 9)  # its nut
    text = io.StringIO()
    drawing.write(text)
    found = read_dxf_holes(text.getvalue().encode(), "panel.dxf", "lower left", "mm").holes
    assert {next(key for key in hole if key != "at") for hole in found.values()} == {
        "drill",
        "double_d",
    }
    assert {hole.get("note") for hole in found.values()} == {None, "Ø 18 mm drawn round it"}


def test_lines_that_meet_in_threes_enclose_nothing() -> None:
    drawing = ezdxf.new("R2010")
    space = drawing.modelspace()
    for x in (0, 10, 20):
        space.add_line((x, 0), (x, 10))
    for x in (0, 10):
        for y in (0, 10):
            space.add_line((x, y), (x + 10, y))
    space.add_spline([(50, 0), (60, 10), (70, 0)])
    text = io.StringIO()
    drawing.write(text)
    assert read_dxf(text.getvalue().encode(), "mm").contours == []


def test_curves_become_short_straight_lines() -> None:
    drawing = ezdxf.new("R2010")
    drawing.header["$INSUNITS"] = 5  # centimetres
    drawing.modelspace().add_ellipse((5, 5), major_axis=(3, 0), ratio=0.5)
    text = io.StringIO()
    drawing.write(text)
    (contour,) = read_dxf(text.getvalue().encode(), "mm").contours
    assert outline_of(contour.edge).area == pytest.approx(math.pi * 30 * 15, rel=1e-3)
    assert contour.edge.box == pytest.approx((20, 35, 80, 65), abs=0.01)


def test_a_drawing_seen_from_behind_is_read_as_it_lies() -> None:
    drawing = ezdxf.new("R2010", units=4)
    edge = hole_of(EVERY_SHAPE["rounded cutout"]).shape.edge.moved(30, 20)
    line: Any = drawing.modelspace().add_lwpolyline(_with_bulges(edge), format="xyb", close=True)
    line.dxf.extrusion = (0, 0, -1)
    text = io.StringIO()
    drawing.write(text)
    (contour,) = read_dxf(text.getvalue().encode(), "mm").contours
    mirrored = Edge.rectangle(20, 12, 2).moved(-30, 20)
    assert apart(contour.edge, mirrored) < 0.01
