"""A chamfer that is dark on one side and light opposite leads no diameter astray untold."""

from __future__ import annotations

import numpy as np
import pytest

from legend.camera.holes.finding import holes_in
from legend.camera.holes.found_hole import Doubt, FoundHole
from legend.camera.holes.light import Light
from legend.camera.picture import Picture
from legend.camera.view import View

#: Pixels to the mm of the drawn picture; where its hole is, its radius, how wide its chamfer, mm.
PER_MM, SIDE, AT, RADIUS, CHAMFER = 8.0, 24.0, (12.1, 11.8), 1.6, 0.6
EDGE = np.array([(0.0, 0.0), (SIDE, 0.0), (SIDE, SIDE), (0.0, SIDE)])
#: Light from the upper right falls on the lower left of a chamfer.
LIT = np.radians(215)


def _found(chamfer: float, dark: float) -> FoundHole:
    """What is found of a drawn hole, the lower left of whose chamfer is lit; on the other side it
    is as dark as the hole over so much of its width."""
    fine = 4
    count = round(SIDE * PER_MM * fine)
    y, x = (np.mgrid[:count, :count] + 0.5) / (PER_MM * fine)
    x, y = x - AT[0], SIDE - y - AT[1]
    far = np.hypot(x, y)
    shaded = RADIUS + chamfer * dark * (1 - np.cos(np.arctan2(y, x) - LIT)) / 2
    light = np.where(far < shaded, 0.02, np.where(far < RADIUS + chamfer, 0.3, 0.55))
    side = count // fine
    light = light.reshape(side, fine, side, fine).mean(axis=(1, 3))
    light += np.random.default_rng(1).normal(0, 0.004, light.shape)
    light = np.clip(light, 0, 1)
    coded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    rgb = np.repeat(np.rint(255 * coded).astype(np.uint8)[..., None], 3, axis=2)
    onto = np.array([[PER_MM, 0, -0.5], [0, -PER_MM, side - 0.5], [0, 0, 1]])
    (hole,) = holes_in(Light(Picture(rgb, None, "drawn")), View(onto), EDGE)
    return hole


@pytest.mark.parametrize("dark", [0.15, 0.3, 0.5])
def test_its_diameter_is_right_or_open(dark: float) -> None:
    hole = _found(CHAMFER, dark)
    assert np.hypot(*np.subtract(hole.at, AT)) < hole.uncertainty
    assert abs(hole.width - 2 * RADIUS) < hole.size_uncertainty


def test_the_diameter_of_a_plain_hole_is_not_open() -> None:
    hole = _found(0.0, 0.0)
    assert hole.at == pytest.approx(AT, abs=0.01)
    assert hole.width == pytest.approx(2 * RADIUS, abs=0.03)
    assert hole.size_uncertainty < 0.1
    assert Doubt.ASIDE not in hole.doubts
