"""The shapes of holes: how each is read, said and punched, and what is wrong with bad ones."""

from __future__ import annotations

import math

import pytest
from holes import EVERY_SHAPE, hole_of, holes
from hypothesis import given

from legend.description.faults import DescriptionError
from legend.description.reading.description_file import parse
from legend.description.shapes.edge import Edge
from legend.description.shapes.hole_shapes import SHAPES, CutOut, Drilled, Polygon, Slot
from legend.description.shapes.polygon import encloses
from legend.description.tables.description import Hole


def read(shape: str, units: str = "mm") -> Hole:
    size = '["90 mm", "90 mm"]'
    text = f'units = "{units}"\npanel.size = {size}\n[holes]\nA = {{ at = [9, 9], {shape} }}\n'
    return parse(text).holes["A"]


def fault(shape: str) -> str:
    with pytest.raises(DescriptionError) as told:
        read(shape)
    (only,) = told.value.faults
    assert only.source.line == 4
    return only.message


def test_there_is_an_example_of_each() -> None:
    assert {next(iter(table)) for table in EVERY_SHAPE.values()} == set(SHAPES)


def test_a_hole_holds_one_shape_with_its_lengths_in_mm() -> None:
    assert read("drill = 9.5").shape == Drilled(9.5)
    assert read('cutout = [2, "10 mm"], corner_radius = "1/16"', "in").shape == CutOut(
        (50.8, 10), 1.5875
    )
    assert read('slot = ["20 mm", 0.125]', "in").shape == Slot((20, 3.175))
    corners = "[[-1, -1], [1, -1, '3 mm'], [0, 1]]"
    assert read(f"polygon = {corners}", "in").shape == Polygon(
        ((-25.4, -25.4), (25.4, -25.4, 3), (0, 25.4))
    )


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("drill", "Ø 9.5"),
        ("cutout", "20 × 12"),
        ("slot", "20 × 6"),
        ("single_d", "Ø 12, 11 across the flat"),
        ("double_d", "Ø 12, 10 across flats"),
        ("keyed", "Ø 12, notch 3 × 1.5"),
        ("hexagon", "hexagon, 10 across flats"),
        ("d_connector", "D-connector, 15 ways"),
        ("polygon", "polygon, 24 × 16"),
    ],
)
def test_sizes_in_words(name: str, words: str) -> None:
    assert hole_of(EVERY_SHAPE[name]).shape.words("{:.4g}".format) == words


@given(hole=holes())
def test_it_is_punched_within_its_edge_or_on_its_corners(hole: Hole) -> None:
    edge = hole.shape.edge
    for point in hole.shape.punched:
        assert encloses(edge, point) or edge.distance(point) < 1e-9
    if hole.shape.diameter is not None:
        assert hole.shape.punched == ((0, 0),)


def test_a_polygon_is_punched_where_its_corners_stand_out() -> None:
    punched = hole_of(EVERY_SHAPE["rounded polygon"]).shape.punched
    assert set(punched) == {(-8, -4), (11, -7), (11, 7), (-11, 7)} | set(punched)
    assert len(punched) == 6  # the corner that stands in is not drilled
    assert (0, 4) not in punched


def test_flats_notches_and_wide_sides_are_at_the_top() -> None:
    for name, up, down in (
        ("single_d", 5, 6),
        ("double_d", 5, 5),
        ("keyed", 7.5, 6),
        ("hexagon", 5, 5),
    ):
        _, bottom, _, top = hole_of(EVERY_SHAPE[name]).shape.edge.box
        assert (top, -bottom) == (pytest.approx(up), pytest.approx(down))
    edge = hole_of(EVERY_SHAPE["d_connector"]).shape.edge
    wide, narrow = (
        max(arc.at(90)[0] for arc in edge.arcs if (arc.centre[1] > 0) == upper)
        for upper in (True, False)
    )
    assert wide == pytest.approx(28.8 / 2)
    assert wide - narrow == pytest.approx((11.4 - 2 * 2.6) * math.tan(math.radians(10)))


def test_what_is_fitted_covers_it() -> None:
    assert hole_of(EVERY_SHAPE["double_d"]).shape.cover(1.25, 3).size == (18, 18)
    assert hole_of(EVERY_SHAPE["slot"]).shape.cover(1.25, 4).size == (24, 10)
    assert hole_of(EVERY_SHAPE["d_connector"]).shape.cover(1.2, 4).size == (39.1, 12.5)
    lopsided = Polygon(((-2, -2), (10, -2), (10, 6), (-2, 6)))
    assert lopsided.cover(1, 2).box == (-3, -3, 11, 7)


@pytest.mark.parametrize(
    ("shape", "says"),
    [
        ("single_d = [9, 9]", "more than half of that, and less than all: between 4.5 and 9 mm"),
        ("single_d = [9, 4]", "has a flat 4 mm from the other side of a hole of 9 mm"),
        ("single_d = 9", "it must be [diameter, across the flat], two lengths"),
        ("double_d = [9, 10]", "has flats 10 mm apart in a hole of 9 mm; they must be nearer"),
        ("keyed = [9, 9, 1]", "has a notch 9 mm wide in a hole of 9 mm; it must be narrower"),
        ("keyed = [9, 2]", "it must be [diameter, width and depth of the notch], three lengths"),
        ("hexagon = 0", "has hexagon = 0; it must be a length of 0.01 to 2000 mm"),
        ("d_connector = 24", "must be the number of its ways: 9, 15, 25, 37 or 50"),
        ("d_connector = true", "must be the number of its ways: 9, 15, 25, 37 or 50"),
        ("drill = 9, front_mounted = true", "has a front_mounted, which a drill does not take"),
        ("polygon = [[0, 0], [9, 0]]", "it must be a list of 3 to 100 corners [x, y]"),
        ("polygon = [[0, 0], [9, 0], [9]]", "it must be a list of 3 to 100 corners [x, y]"),
        ("polygon = [[-1, -1], [9, -1], ['x', 9]]", '"x" is not a length'),
        ("polygon = [[-1, -1], [9, -1], [9, 9, -2]]", "it must be a list of 3 to 100 corners"),
        ("polygon = [[-1, -1], [9, -1], [9, -1], [0, 9]]", "two corners after each other at [9,"),
        ("polygon = [[-1, 0], [9, 0], [3, 0]]", "sides that cross or touch each other"),
        ("polygon = [[-1, -1], [9, 9], [9, -1], [-1, 9]]", "sides that cross or touch each other"),
        ("polygon = [[-9, -9], [9, -9], [9, 9], [0, -9], [-9, 9]]", "cross or touch each other"),
        ("polygon = [[-9, -9], [9, -9], [9, 9], [9, 0], [-9, 0]]", "cross or touch each other"),
        ("polygon = [[-9, -9], [9, -9, 12], [0, 9]]", "a radius of 12 mm at a corner whose sides"),
        ("polygon = [[-9, -9], [9, -9], [0, 9]], corner_radius = 6", "sides are too short for it"),
        ("polygon = [[1, 1], [9, 1], [5, 9]]", "does not lie round its `at`; give its corners as"),
    ],
)
def test_bad_sizes_are_faults(shape: str, says: str) -> None:
    assert says in fault(shape.replace("'", '"'))


def test_a_corner_may_not_be_rounded_across_another_side() -> None:
    corners = "[[-30, -30, 40], [30, -30], [30, 30], [-20, 30], [-26, -25], [-27, 30], [-30, 30]]"
    assert "a rounded corner that reaches across another side" in fault(f"polygon = {corners}")


def test_no_shape_or_two_are_faults_that_name_them_all() -> None:
    said = fault("note = 'x'".replace("'", '"'))
    assert said.startswith('Hole "A" has no shape; it takes one of drill (a diameter), single_d (')
    assert said.endswith("d_connector (the number of its ways) and polygon (a list of corners "
                         "[x, y]).")  # fmt: skip
    assert "has hexagon and slot; it takes one of" in fault("hexagon = 9, slot = [9, 2]")


@pytest.mark.parametrize("name", ["polygon", "rounded polygon"])
def test_corners_may_run_either_way_round(name: str) -> None:
    shape = hole_of(EVERY_SHAPE[name]).shape
    assert isinstance(shape, Polygon)
    other = Polygon(shape.polygon[::-1], shape.corner_radius)
    around = [(arc.centre, arc.radius) for arc in shape.edge.arcs]
    back = [(arc.centre, arc.radius) for arc in other.edge.arcs]
    first = back.index(around[0])
    assert back[first:] + back[:first] == around


def test_as_drilled_a_hole_may_have_come_out_in_another_shape() -> None:
    description = parse(
        "panel.size = [90, 90]\n[holes]\nA = { at = [9, 9], polygon = [[-3, -3], [3, -3], [0, 3]],"
        " corner_radius = 0.5 }\nB = { at = [40, 40], d_connector = 9, front_mounted = true }\n"
        "[as_drilled.holes]\nA = { at = [9, 9], hexagon = 6 }\n"
        "B = { at = [40, 40], cutout = [22, 12] }\n"
    )
    assert [hole.shape for hole in description.holes.values()] == [
        SHAPES["hexagon"](6),
        CutOut((22, 12)),
    ]


def test_a_key_of_a_shape_as_drilled_needs_its_shape() -> None:
    with pytest.raises(DescriptionError, match="a corner_radius without its cutout or polygon"):
        parse(
            "panel.size = [90, 90]\nholes.A = { at = [9, 9], cutout = [9, 9] }\n"
            "as_drilled.holes.A = { at = [9, 9], corner_radius = 1 }\n"
        )


def test_turned_by_quarters_nothing_is_off_by_a_hair() -> None:
    for k in range(-4, 5):
        assert Edge.rectangle(20, 10, 1).turned(90 * k).size == ((20, 10), (10, 20))[k % 2]


def test_every_key_may_be_left_out_but_the_place() -> None:
    assert hole_of({"drill": 3}).model_fields_set == {"at", "drill"}
    assert {name for name, key in Hole.model_fields.items() if key.is_required()} == {"at"}
