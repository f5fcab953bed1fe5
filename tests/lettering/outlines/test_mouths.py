"""Mouths of bays: how wide they are found, and which bays there are."""

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from legend.lettering.outlines.boolean import united
from legend.lettering.outlines.mouths import narrowest_mouth, worn
from legend.lettering.outlines.outline import Outline


def open_ring(mouth: float, radius: float = 2.0, stroke: float = 0.4, at: float = 0.0) -> Outline:
    """A ring with a mouth so many mm wide, at an angle."""
    half = math.degrees(math.asin(mouth / 2 / (radius - stroke / 2)))
    return Outline.arc_stroke((0, 0), radius, at + half, at + 360 - half, stroke)


@given(mouth=st.floats(0.15, 0.48), at=st.floats(0, 360), radius=st.floats(0.8, 4))
def test_the_width_of_a_mouth(mouth: float, at: float, radius: float) -> None:
    ring = open_ring(mouth, radius, at=at).moved(30 * radius, at)
    assert narrowest_mouth(ring.shape, 0.1, 0.5) == pytest.approx(mouth, abs=0.02)


def test_a_mouth_that_is_wide_or_as_good_as_shut_is_none() -> None:
    for mouth in (0.05, 0.52, 1.0):
        assert math.isinf(narrowest_mouth(open_ring(mouth).shape, 0.1, 0.5))


def test_the_narrowest_of_several_mouths_counts() -> None:
    rings = [open_ring(mouth, at=90).moved(0, 3.8 * i) for i, mouth in enumerate((0.4, 0.3, 0.45))]
    assert narrowest_mouth(united(rings).outline.shape, 0.1, 0.5) == pytest.approx(0.3, abs=0.02)


def test_islands_and_what_no_disc_goes_into_are_no_bays() -> None:
    ring = Outline.arc_stroke((0, 0), 2, 0, 360, 0.4)
    slit = Outline.polygon([(0, 0), (2, 0), (2, 3), (1.2, 3), (1.2, 1), (0.8, 1), (0.8, 3), (0, 3)])
    for outline in (ring, slit):
        assert math.isinf(narrowest_mouth(outline.shape, 0.1, 0.5))


def test_worn_stock_comes_apart_at_its_necks() -> None:
    ink = open_ring(0.3).shape
    sheet, apart = worn(ink, 0.1)
    assert not len(apart)
    sheet, apart = worn(ink, 0.2)
    assert len(apart) == 1
    assert not sheet.intersects(apart[0])
    assert shapely.distance(sheet, ink) == pytest.approx(0.2, abs=0.003)
