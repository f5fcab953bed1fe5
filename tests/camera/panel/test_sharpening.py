"""What a camera sharpened across an edge is taken back, and told from bevels."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ndtr

from legend.camera.panel.edges.edge_profile import edge_profile
from legend.camera.panel.edges.made_edge import made_ways
from legend.camera.panel.edges.sharpening import AMOUNTS, sharpened_blur, unsharpened

PIXEL, BLUR = 0.1, 0.09
T = np.arange(-2.0, 2.0, PIXEL / 2)


def _coded(light: np.ndarray) -> np.ndarray:
    return np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)


def _linear(values: np.ndarray) -> np.ndarray:
    return np.where(values <= 0.04045, values / 12.92, ((values + 0.055) / 1.055) ** 2.4)


def _sharpened(light: np.ndarray, amount: float, over: float) -> np.ndarray:
    """Light as a camera gives it that sharpens by an amount, over so many pixels."""
    bell = np.exp(-0.5 * ((T[:, None] - T) / (over * PIXEL)) ** 2)
    values = _coded(light)
    soft = bell @ values / bell.sum(axis=1, keepdims=True)
    return _linear(values + amount * (values - soft))


STEP = np.repeat((0.7 - 0.66 * ndtr(T / BLUR))[:, None], 3, axis=1)


@pytest.mark.parametrize("k", [1, 3, 5])
def test_sharpening_is_taken_back(k: int) -> None:
    back = unsharpened(T, _sharpened(STEP, AMOUNTS[k], 1.3), PIXEL)[k]
    assert np.abs(back - STEP).max() < 1e-6


def test_light_that_was_not_sharpened_stays() -> None:
    assert np.allclose(unsharpened(T, STEP, PIXEL)[0], STEP)


def test_a_sharpened_step_seems_less_blurred() -> None:
    light = _sharpened(STEP, 0.5, 1.3)[:, 0]
    steepest = np.abs(np.diff(_coded(light))).max() / np.abs(np.diff(_coded(STEP[:, 0]))).max()
    told = sharpened_blur(np.array(BLUR), np.array(0.5), PIXEL)
    assert BLUR / steepest == pytest.approx(float(told), rel=0.1)


@pytest.mark.parametrize("amount", [0.3, 0.7])
@pytest.mark.parametrize("over", [1.1, 1.4])
def test_the_line_that_sharpening_leaves_is_no_bevel(amount: float, over: float) -> None:
    ways = made_ways(T, _sharpened(STEP, amount, over), PIXEL)
    assert ways is not None
    edge = edge_profile(ways)
    assert edge.bevel == 0
    assert abs(edge.place) < 0.02
