"""A hole is told from its chamfer, as light as the front on one side and dark on the other."""

from __future__ import annotations

import numpy as np
import pytest

from legend.camera.holes.light import Light
from legend.camera.holes.lit_chamfer import lit_chamfer
from legend.camera.picture import Picture
from legend.camera.view import View

PER_MM, FINE, WIDE, BLUR = 10.0, 6, 12.0, 0.8
#: What blur, pixels, and light between them together come to, px.
SEEN_BLUR = 0.94
MIDDLE, RADIUS = (6.03, 5.96), 2.5
ONTO = np.array([[PER_MM, 0.0, -0.5], [0.0, PER_MM, -0.5], [0.0, 0.0, 1.0]])


def _light(chamfer: float, lit: float, dark: float) -> Light:
    """The light of a face with a hole: its chamfer is `lit` on the right, `dark` on the left."""
    side = int(WIDE * PER_MM)
    at = (np.arange(side * FINE) + 0.5) / FINE / PER_MM
    x, y = at[None] - MIDDLE[0], at[:, None] - MIDDLE[1]
    far = np.hypot(x, y)
    tone = (lit + dark) / 2 + (lit - dark) / 2 * x / np.maximum(far, 1e-6)
    light = np.where(far < RADIUS, 0.02, np.where(far < RADIUS + chamfer, tone, 0.5))
    light = light.reshape(side, FINE, side, FINE).mean(axis=(1, 3))
    reach = np.arange(-4, 5)
    bell = np.exp(-0.5 * (reach / BLUR) ** 2)
    for axis in (0, 1):
        light = np.apply_along_axis(np.convolve, axis, light, bell / bell.sum(), "same")
    light = np.clip(light + np.random.default_rng(4).normal(0, 0.004, light.shape), 0, 1)
    coded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    rgb = np.repeat(np.rint(255 * coded).astype(np.uint8)[..., None], 3, axis=2)
    return Light(Picture(rgb, None, "drawn"), blur=SEEN_BLUR)


@pytest.mark.parametrize("chamfer", [0.2, 0.35, 0.6])
def test_half_of_a_chamfer_is_as_light_as_the_front(chamfer: float) -> None:
    """What was found goes by the hole on the right, and by its chamfer on the left."""
    light = _light(chamfer, 0.52, 0.05)
    begun = (MIDDLE[0] - chamfer / 2, MIDDLE[1])
    told = lit_chamfer(light, View(ONTO), begun, RADIUS + chamfer / 2)
    assert told is not None
    assert told.likely > 0.8
    assert told.chamfer == pytest.approx(chamfer, abs=0.05)
    assert told.radius == pytest.approx(RADIUS, abs=0.04)
    assert np.hypot(*(np.add(begun, told.moved) - MIDDLE)) < 0.04


def test_a_plain_hole_stays_as_it_was_found() -> None:
    told = lit_chamfer(_light(0.0, 0.5, 0.5), View(ONTO), MIDDLE, RADIUS)
    assert told is not None
    assert told.likely < 0.3
    assert told.chamfer is None
    assert (told.moved, told.radius) == ((0.0, 0.0), RADIUS)


def test_what_cannot_be_told_is_open() -> None:
    """As light as the front on the right, as dark as the hole opposite: it may be a plain one."""
    light = _light(0.3, 0.5, 0.02)
    begun = (MIDDLE[0] - 0.15, MIDDLE[1])
    told = lit_chamfer(light, View(ONTO), begun, RADIUS + 0.15)
    assert told is not None
    off = np.hypot(*(np.add(begun, told.moved) - MIDDLE))
    assert off < max(0.04, told.place_open)
    assert abs(told.radius - RADIUS) < max(0.04, told.radius_open)


def test_a_hole_that_is_lighter_within_tells_nothing() -> None:
    light = _light(0.0, 0.5, 0.5)
    bright = Light(Picture(255 - light.picture.rgb, None, "drawn"), blur=SEEN_BLUR)
    assert lit_chamfer(bright, View(ONTO), MIDDLE, RADIUS) is None
