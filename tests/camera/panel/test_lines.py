"""The best line goes through points of which some lie astray, and says how surely."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from legend.camera.panel.edges.straight_line import straight_line


@given(
    st.floats(-2, 2),
    st.floats(-0.05, 0.05),
    st.integers(0, 10_000),
    st.floats(0, 0.3),
)
def test_astray_points_do_not_move_a_line(
    middle: float, slope: float, seed: int, share: float
) -> None:
    random = np.random.default_rng(seed)
    along = np.linspace(0, 120, 240)
    offsets = middle + slope * (along - 60) + random.normal(0, 0.01, len(along))
    burred = random.random(len(along)) < share
    offsets[burred] += random.uniform(0.2, 2.0, burred.sum())
    line = straight_line(along, offsets, np.ones_like(along), 0.002)
    for place in (0.0, 60.0, 120.0):
        assert abs(line.at(place) - middle - slope * (place - 60)) < 0.012
    assert line.weights[burred].max(initial=0.0) < 0.05


def test_a_wave_makes_a_line_less_sure_than_noise_does() -> None:
    along = np.linspace(0, 100, 300)
    noise = np.random.default_rng(3).normal(0, 0.02, len(along))
    wave = 0.02 * np.sqrt(2) * np.sin(along / 100 * 2 * np.pi * 2.3)
    noisy, wavy = (straight_line(along, each, np.ones_like(along), 1e-3) for each in (noise, wave))
    assert wavy.deviation(0.0) > 2 * noisy.deviation(0.0)
    assert noisy.deviation(0.0) > noisy.deviation(50.0)
