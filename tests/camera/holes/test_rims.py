"""A rim moves with its numbers as it is reckoned to, whatever its shape, and a fit finds them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from legend.camera.holes.fitting import Rays, ring_near
from legend.camera.holes.rims import Rim, RoundRim, ShapedRim, begun, fit_columns
from legend.camera.holes.steps import MOST_STEPS, Steps
from legend.description.shapes.hole_shapes import (
    CutOut,
    DConnector,
    DoubleD,
    Hexagon,
    Keyed,
    Polygon,
    SingleD,
    Slot,
)

_RIMS: list[Rim] = [
    RoundRim((30.0, 20.0), 4.75),
    RoundRim((30.0, 20.0), 4.75, (0.1, -0.05)),
    *(
        ShapedRim((30.0, 20.0), 12.0, begun(shape))
        for shape in (
            CutOut(cutout=(40.0, 18.0), corner_radius=2.0),
            CutOut(cutout=(12.0, 12.0)),
            Slot(slot=(20.0, 4.0)),
            SingleD(single_d=(9.5, 8.6)),
            DoubleD(double_d=(9.5, 8.0)),
            Keyed(keyed=(12.0, 2.0, 1.0)),
            Hexagon(hexagon=8.0),
            DConnector(d_connector=9),
            Polygon(polygon=((-8.0, -6.0), (9.0, -5.0), (0.0, 9.0))),
        )
    ),
]


@pytest.mark.parametrize("rim", _RIMS, ids=lambda rim: type(getattr(rim, "shape", rim)).__name__)
def test_a_fit_finds_the_numbers_that_steps_were_made_with(rim: Rim) -> None:
    rng = np.random.default_rng(3)
    count = len(rim.numbers)
    changed = rim.numbers + rng.uniform(-0.12, 0.12, count)
    true = rim.with_numbers(changed)
    current = rim
    for _ in range(4):
        current = _fitted(current, true)
    numbers = current.numbers
    assert numbers[:2] == pytest.approx(true.numbers[:2], abs=0.01)
    if isinstance(rim, ShapedRim):
        assert numbers[2] == pytest.approx(true.numbers[2], abs=0.15)
    assert numbers[-1] == pytest.approx(true.numbers[-1], abs=0.06)


def _fitted(rim: Rim, true: Rim) -> Rim:
    """The rim fitted to steps where another rim crosses its rays."""
    import shapely

    points, ways, columns = fit_columns(rim, 160)
    ring, _ = true.points(true.shared_out(2400))
    line = shapely.LinearRing(ring)
    offset = np.full((len(points), MOST_STEPS), np.nan)
    for k, (point, way) in enumerate(zip(points, ways, strict=True)):
        ray = shapely.LineString([point - 0.8 * way, point + 0.8 * way])
        crossing = shapely.get_coordinates(ray.intersection(line))
        if len(crossing):
            offset[k, 0] = (crossing[0] - point) @ way
    steps = Steps(offset, np.where(np.isnan(offset), np.nan, 0.3), 0.1)
    found = ring_near(Rays(rim, points, ways, columns, steps, np.ones(len(points))), 0.0, 0.5)
    assert found is not None
    return found.rim


def test_ways_lead_outwards() -> None:
    for rim in _RIMS:
        points, ways = rim.points(rim.shared_out(100))
        assert np.hypot(*ways.T) == pytest.approx(1)
        around = (points - rim.numbers[:2]) * ways
        assert (around.sum(axis=1) > 0).mean() > 0.9  # all but those in a notch


def test_half_a_ring_tells_where_the_whole_one_is() -> None:
    rim = RoundRim((0.0, 0.0), 5.0)
    points, ways, columns = fit_columns(rim, 120)
    offset = np.full((len(points), MOST_STEPS), np.nan)
    true = 0.2 * ways[:, 0] - 0.1 * ways[:, 1] + 0.05
    half = ways[:, 0] > 0
    offset[half, 0] = true[half]
    steps = Steps(offset, np.where(np.isnan(offset), np.nan, 0.3), 0.1)
    found = ring_near(Rays(rim, points, ways, columns, steps, np.ones(len(points))), 0.0, 0.5)
    assert found is not None
    assert found.rim.numbers == pytest.approx([0.2, -0.1, 5.05], abs=1e-3)
    assert found.support == pytest.approx(0.5, abs=0.05)
    whole = 2 * math.sqrt(float(found.covariance[0, 0]))
    assert whole < 0.05
