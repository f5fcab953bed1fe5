"""A broken edge that is looked at from aside reaches further than is seen of it."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ndtr

from legend.camera.panel.edges.askew import reach_beyond, reach_spread, seen_width, whole_width
from legend.camera.panel.edges.edge_profile import edge_profile
from legend.camera.panel.edges.made_edge import made_ways

PIXEL, BLUR, BEVEL = 0.1, 0.08, 0.3


@pytest.mark.parametrize("lean", [-0.5, 0.0, 0.2, 0.6])
def test_what_is_seen_of_a_bevel_tells_how_wide_it_is(lean: float) -> None:
    seen = seen_width(BEVEL, lean)
    assert whole_width(seen, lean) == pytest.approx(BEVEL)
    # What is seen of it and what lies beyond are the whole.
    assert seen + float(reach_beyond(np.array(seen), lean)) == pytest.approx(BEVEL)


def test_looked_at_from_above_all_of_a_bevel_is_seen() -> None:
    assert float(reach_beyond(np.array(0.3), 0.0)) == 0
    assert float(reach_spread(np.array(0.3), 0.0)) == 0


@pytest.mark.parametrize("slope", [0.7, 1.0])
@pytest.mark.parametrize("lean", [-0.3, 0.25, 0.5])
def test_the_panel_ends_where_callipers_take_hold_of_it(slope: float, lean: float) -> None:
    """The outer line of the bevel lies below the front, so that it is seen nearer the camera."""
    seen = BEVEL * (1 - slope * lean)
    t = np.arange(-2.0, 2.0, PIXEL / 2)
    front, outer = ndtr((t - (-BEVEL)) / BLUR), ndtr((t - (seen - BEVEL)) / BLUR)
    light = 0.6 * (1 - front) + 0.25 * (front - outer) + 0.03 * outer
    light = light + np.random.default_rng(2).normal(0, 0.0005, light.shape)
    ways = made_ways(t, np.repeat(light[:, None], 3, axis=1), PIXEL, BLUR, lean=lean)
    assert ways is not None
    edge = edge_profile(ways)
    assert abs(edge.place) < min(2 * edge.deviation, 0.06)
    assert abs(edge.shown - (seen - BEVEL)) < 0.015
