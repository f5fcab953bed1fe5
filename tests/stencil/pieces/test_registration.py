"""Registration marks: what is cut on a hole, for each way of working."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import shapely
from holes import EVERY_SHAPE

from legend.description.reading.description_file import parse
from legend.description.tables.description import Description
from legend.description.tables.stock import StockLimits, limits
from legend.layout import lay_out
from legend.layout.artwork import Opening
from legend.layout.openings import lay_openings
from legend.lettering.outlines.outline import Outline
from legend.stencil.cutting import cut
from legend.stencil.pieces.registration import registration
from legend.stencil.sheet import Cut

GAP = 0.5


def mark_on(hole: dict[str, Any], **stencil: Any) -> tuple[Outline | None, Opening, StockLimits]:
    described = Description.model_validate(
        {
            "panel": {"size": [200, 100]},
            "holes": {"A": {"at": [50, 40]} | hole},
            "stencil": stencil,
        }
    )
    (opening,) = lay_openings(described)
    bounds = limits(described.stencil)
    return registration(opening, described.stencil, bounds), opening, bounds


SHAPES = [{**table, "angle": angle} for table in EVERY_SHAPE.values() for angle in (0, 25, 90)]


@pytest.mark.parametrize("hole", SHAPES)
def test_a_disc_sits_in_the_hole_with_an_even_gap(hole: dict[str, Any]) -> None:
    mark, opening, bounds = mark_on(hole)
    assert mark is not None
    assert bounds.registration_gap == GAP
    plug = shapely.Polygon(mark.shape.exterior)
    wanted = opening.outline.shape.buffer(-GAP, quad_segs=200)
    assert plug.hausdorff_distance(wanted) < 0.01


@pytest.mark.parametrize("hole", SHAPES)
def test_cross_lines_are_one_closed_slit_through_the_middle(hole: dict[str, Any]) -> None:
    mark, opening, bounds = mark_on(hole, registration="cross")
    assert mark is not None
    (slit,) = (shapely.Polygon(ring) for ring in mark.shape.interiors)
    assert slit.centroid.distance(shapely.Point(opening.centre)) < 1e-6
    x0, y0, x1, y1 = slit.bounds
    assert math.isclose(x1 - x0, y1 - y0)
    arm, width = x1 - x0, bounds.gap
    assert math.isclose(slit.area, 2 * arm * width - width**2, rel_tol=1e-6)
    # The slit opens the disc without parting it.
    assert mark.shape.geom_type == "Polygon"
    assert mark.shape.buffer(-bounds.stroke / 2).geom_type == "Polygon"


def test_paint_through_film_has_the_hole_as_drilled() -> None:
    mark, opening, _ = mark_on({"drill": 9.5}, method="paint-through")
    assert mark is not None
    disc = shapely.Polygon(mark.shape.exterior)
    assert disc.symmetric_difference(opening.outline.shape).area < 1e-6
    assert not mark.shape.interiors
    crossed, _, _ = mark_on({"drill": 9.5}, method="paint-through", registration="cross")
    assert crossed is not None and len(crossed.shape.interiors) == 1


@pytest.mark.parametrize("method", ["lift-off", "paint-through"])
def test_film_may_have_no_marks_on_its_holes(method: str) -> None:
    assert mark_on({"drill": 9.5}, method=method, registration="none")[0] is None


@pytest.mark.parametrize("hole", SHAPES)
def test_paint_through_film_has_any_hole_as_it_is(hole: dict[str, Any]) -> None:
    mark, opening, _ = mark_on(hole, method="paint-through")
    assert mark is not None
    whole = shapely.Polygon(mark.shape.exterior)
    assert whole.symmetric_difference(opening.outline.shape).area < 1e-6


#: Those that are too large to be pinned by a bolt, and have sides to be sighted by.
SIGHTED = [hole for hole in SHAPES if hole.keys() & {"cutout", "polygon", "front_mounted"}]


@pytest.mark.parametrize("hole", [hole for hole in SHAPES if hole not in SIGHTED])
def test_a_sheet_has_the_hole_right_through(hole: dict[str, Any]) -> None:
    mark, opening, _ = mark_on(hole, method="paint-through", stock="sheet")
    assert mark is not None
    assert mark.shape.equals_exact(opening.outline.shape, 1e-9)


def test_a_sheet_has_sights_along_the_sides_of_a_large_cut_out() -> None:
    hole = {"cutout": [40, 18], "corner_radius": 2, "angle": 10}
    mark, opening, _ = mark_on(hole, method="paint-through", stock="sheet")
    assert mark is not None
    sights = shapely.get_parts(mark.shape)
    assert len(sights) == 4
    edge = opening.outline.shape
    assert shapely.covers(edge.buffer(1e-3), sights).all()
    # Each lies along a straight part of the edge, so that it can be seen through the slot.
    lying = shapely.length(shapely.intersection(edge.exterior.buffer(1e-4), sights)) / 2
    assert (lying > 5).all()


def test_a_sheet_has_sights_along_the_sides_of_a_large_polygon() -> None:
    hole = {"polygon": [[-20, -15], [20, -15], [20, 5, 4], [0, 20], [-20, 5]], "angle": 10}
    mark, opening, _ = mark_on(hole, method="paint-through", stock="sheet")
    assert mark is not None
    sights = shapely.get_parts(mark.shape)
    assert len(sights) == 5
    edge = opening.outline.shape
    assert shapely.covers(edge.buffer(1e-3), sights).all()
    lying = shapely.length(shapely.intersection(edge.exterior.buffer(1e-4), sights)) / 2
    assert (lying > 5).all()


def test_sights_that_would_meet_are_none() -> None:
    hole = {"polygon": [[-40, -1], [40, -6], [40, 8]]}
    mark, opening, _ = mark_on(hole, method="paint-through", stock="sheet")
    assert mark is not None
    assert mark.shape.equals_exact(opening.outline.shape, 1e-9)


def test_cross_lines_are_left_out_where_the_plug_is_not_about_the_middle() -> None:
    # Two lobes with a neck that no plug passes: it sits in the larger, the middle is in the other.
    lobes = [[-4, -4], [4, -4], [4, -0.4], [6, -0.4], [6, -9], [24, -9], [24, 9], [6, 9]]
    hole = {"polygon": [*lobes, [6, 0.4], [4, 0.4], [4, 4], [-4, 4]]}
    mark, opening, _ = mark_on(hole, registration="cross")
    assert mark is not None
    assert len(mark.contours) == 1
    assert mark.bounds[0] > opening.centre[0] + 6
    assert opening.outline.shape.contains(mark.shape)


def test_a_notch_too_narrow_to_cut_is_left_off_the_disc_but_not_of_the_hole() -> None:
    narrow = {"keyed": [12, 1.2, 1]}
    disc, opening, _ = mark_on(narrow)
    assert disc is not None
    assert disc.bounds[3] - opening.centre[1] == pytest.approx(5.5, abs=0.01)
    hole, opening, _ = mark_on(narrow, method="paint-through", stock="sheet")
    assert hole is not None
    assert hole.bounds[3] - opening.centre[1] == pytest.approx(7)


@pytest.mark.parametrize(("drill", "gap"), [(2.0, 0.3), (1.0, None)])
def test_small_holes(drill: float, gap: float | None) -> None:
    mark, opening, _ = mark_on({"drill": drill}, registration="cross")
    if gap is None:
        assert mark is None, "a disc that small cannot be weeded"
    else:
        assert mark is not None
        assert len(mark.contours) == 1, "no room for cross lines"
        assert np.ptp(mark.shape.bounds[::2]) == pytest.approx(drill - 2 * gap, abs=1e-3)
        assert mark.shape.centroid.distance(shapely.Point(opening.centre)) < 1e-6


def test_a_sheet_has_a_hole_for_every_screw_that_holds_a_part() -> None:
    artwork = lay_out(
        parse(
            "[panel]\nsize = [200, 120]\n[holes]\nV = { at = [60, 55], drill = 56, angle = 10 }\n"
            '[stencil]\nmethod = "paint-through"\nstock = "sheet"\npiece = "control"\n'
            '[[control]]\nhole = "V"\nkind = "meter"\nname = "VOLTS"\n'
            "fixings = { square = 64, drill = 3.2 }\n"
        )
    )
    sheets = cut(artwork).sheets
    cuts = [
        path.outline.shape
        for sheet in sheets
        for placed in sheet.placed
        for path in placed.piece.paths
        if path.cut is Cut.REGISTRATION
    ]
    screws = [shape for shape in cuts if shape.area < 10]
    assert [shape.area for shape in screws] == pytest.approx([math.pi * 1.6**2] * 4, rel=1e-2)
    own = max(cuts, key=lambda shape: shape.area).centroid
    assert [own.distance(shape.centroid) for shape in screws] == pytest.approx(
        [32 * math.sqrt(2)] * 4, abs=0.01
    )
