"""Where a part of the travel stands."""

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from legend.layout.scales.tracks import RoundTrack, StraightTrack
from legend.lettering.outlines.outline import Outline
from legend.vector import Vector


def test_the_middle_of_a_symmetric_sweep_is_at_the_top() -> None:
    track = RoundTrack(Vector(10, 20), 5, -150, 300)
    assert track.point(0.5) == pytest.approx((10, 25))
    assert track.point(0.5, 2) == pytest.approx((10, 27))
    assert track.point(0)[0] < 10 < track.point(1)[0]


def test_travel_is_clockwise() -> None:
    track = RoundTrack(Vector(0, 0), 10, 0, 90)
    assert track.point(1) == pytest.approx((10, 0))


@given(
    st.floats(1, 40), st.floats(-180, 180), st.floats(0.5, 12), st.floats(0.5, 6), st.floats(0.5, 5)
)
def test_ink_pushed_outward_just_clears_the_circle(
    radius: float, start: float, width: float, height: float, out: float
) -> None:
    track = RoundTrack(Vector(3, -4), radius, start, 90)
    box = Outline.rectangle(0, 0, width, height)
    (pushed,) = track.pushed([box], [0.0], out)
    apart = shapely.distance(pushed.shape, shapely.Point(3, -4))
    assert radius + out <= apart + 1e-9
    assert apart < radius + out + 0.002
    x0, y0, x1, y1 = pushed.bounds
    dx, dy = (x0 + x1) / 2 - 3, (y0 + y1) / 2 + 4
    assert math.degrees(math.atan2(dx, dy)) % 360 == pytest.approx(start % 360, abs=0.01) or (
        abs(math.degrees(math.atan2(dx, dy)) - start) % 360 == pytest.approx(0, abs=0.01)
    )


def test_ink_beside_a_straight_track_stands_off_by_its_edge() -> None:
    track = StraightTrack(Vector(0, 0), Vector(0, 50), Vector(1, 0))
    narrow, wide = track.pushed(
        [Outline.rectangle(0, 0, 2, 3), Outline.rectangle(0, 0, 6, 3)], [0.1, 0.9], 4
    )
    assert narrow.bounds == pytest.approx((4, 3.5, 6, 6.5))
    assert wide.bounds == pytest.approx((4, 43.5, 10, 46.5))
