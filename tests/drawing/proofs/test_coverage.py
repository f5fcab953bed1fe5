"""The share of every pixel that a shape covers: exact, wherever the shape lies."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from legend.drawing.proofs.coverage import Edges, Grid
from legend.lettering.outlines.outline import Outline

GRID = Grid(24, 16, 2.0, -1.0, 7.0)


def picture(edges: Edges, rows: int = GRID.height) -> NDArray[np.float64]:
    """All bands of so many rows, drawn out: shape (shapes, height, columns)."""
    drawn = []
    for runs, shares in edges.bands(rows):
        assert runs.starts[0] == 0
        assert (np.diff(runs.starts) > 0).all()
        drawn.append(np.array([runs.drawn(own) for own in shares]))
    return np.concatenate(drawn, axis=1)


def cover(*shapes: list[Outline]) -> NDArray[np.float64]:
    return picture(Edges(shapes, GRID))


def true_cover(shape: shapely.Geometry) -> NDArray[np.float64]:
    """The same, by cutting the shape with each pixel."""
    x = GRID.left + np.arange(GRID.width) / GRID.scale
    y = GRID.top - (np.arange(GRID.height) + 1) / GRID.scale
    left, bottom = np.meshgrid(x, y)
    side = 1 / GRID.scale
    pixels = shapely.box(left, bottom, left + side, bottom + side)
    return shapely.area(shapely.intersection(pixels, shape)) / side**2


# Rounded: GEOS, which it is compared with, errs where coordinates differ by less than 1e-100.
corner = st.floats(-3, 12).map(lambda v: round(v, 9))
corners = st.lists(st.tuples(corner, corner), min_size=3, max_size=3)


@settings(max_examples=40, deadline=None)
@given(corners)
def test_a_triangle_covers_each_pixel_by_its_true_area(points: list[tuple[float, float]]) -> None:
    shape = shapely.Polygon(points)
    if shape.area < 1e-3:
        return
    assert cover([Outline.polygon(points)])[0] == pytest.approx(true_cover(shape), abs=1e-9)


@settings(max_examples=20, deadline=None)
@given(st.floats(-2, 12), st.floats(-2, 9), st.floats(0.05, 5), st.floats(0.02, 2))
def test_a_ring_covers_each_pixel_by_its_true_area(
    x: float, y: float, radius: float, width: float
) -> None:
    width = min(width, radius)
    ring = Outline.arc_stroke((x, y), radius + width / 2, 0, 360, width)
    # The flatness of 0.02 pixels, along the three pixels of edge of a circle within one of them.
    assert cover([ring])[0] == pytest.approx(true_cover(ring.shape), abs=0.06)


def test_it_does_not_matter_which_way_an_outline_runs() -> None:
    ring = Outline.arc_stroke((4, 3), 2, 0, 360, 0.5)
    turned = Outline(tuple(contour.reversed() for contour in ring.contours))
    forth, back = cover([ring], [turned])
    assert forth.sum() == pytest.approx(ring.area * GRID.scale**2, rel=1e-2)
    assert back == pytest.approx(forth)


@pytest.mark.parametrize("rows", [1, 4, 5, 100])
def test_bands_give_the_same_as_the_whole(rows: int) -> None:
    edges = Edges([[Outline.disc((4, 3), 2.7)], [Outline.rectangle(-5, -5, 30, 2.3)]], GRID)
    assert picture(edges, rows) == pytest.approx(picture(edges))


@settings(max_examples=25, deadline=None)
@given(corners, st.integers(1, 7))
def test_bands_give_the_same_as_the_whole_wherever_they_cut(
    points: list[tuple[float, float]], rows: int
) -> None:
    edges = Edges([[Outline.polygon(points)], [Outline.disc(points[0], 1.5)]], GRID)
    assert picture(edges, rows) == pytest.approx(picture(edges), abs=1e-9)


def test_shapes_off_the_picture_leave_it_empty() -> None:
    beside = [Outline.disc((-9, 3), 2), Outline.disc((30, 3), 2), Outline.disc((4, 60), 2)]
    assert np.abs(cover(beside)).max() < 1e-12


def test_shapes_that_lie_on_each_other_add_up() -> None:
    both = cover([Outline.rectangle(0, 0, 4, 4), Outline.rectangle(2, 0, 6, 4)])[0]
    assert both[8, 8] == pytest.approx(2)  # at (3.25, 2.75)
    assert both[8, 3] == pytest.approx(1)
