"""The blur of a picture is told by steps on the panel, and by nothing else."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from legend.camera.panel.edges.sharpness import blur_within
from legend.camera.picture import Picture
from legend.camera.view import View
from legend.description.tables.panel import Panel

PER_MM = 10
PANEL = Panel(size=(60.0, 40.0))
VIEW = View(np.array([[PER_MM, 0.0, 50.0], [0.0, -PER_MM, 450.0], [0.0, 0.0, 1.0]]))


def _picture(blur: float, holes: bool = True, noise: float = 0.004) -> Picture:
    """A light panel on black, drilled or not, blurred in linear light by so many pixels."""
    light = np.full((1000, 1400), 0.03, np.float64)
    cv2.rectangle(light, (100, 100), (1299, 899), 0.6, -1)
    for x, y, radius in ((350, 350, 60), (800, 600, 90), (1050, 300, 40)) if holes else ():
        cv2.circle(light, (x, y), radius, 0.02, -1, cv2.LINE_AA)
    light = cv2.GaussianBlur(light, (0, 0), 2 * blur)  # drawn at twice the size
    light = cv2.resize(light, (700, 500), interpolation=cv2.INTER_AREA)
    light += np.random.default_rng(5).normal(0, noise, light.shape)
    light = np.clip(light, 0, 1)
    coded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    grey = np.rint(255 * coded).astype(np.uint8)
    return Picture(np.repeat(grey[..., None], 3, axis=2), None, "drawn", None)


@pytest.mark.parametrize("blur", [0.6, 1.0, 1.8])
def test_rims_of_holes_tell_the_blur(blur: float) -> None:
    told = blur_within(_picture(blur), VIEW, PANEL)
    # Pixels that take the mean of their square blur by 0.29 of one, light between them by 0.3.
    assert told == pytest.approx(np.hypot(blur, 0.42), rel=0.12)


def test_a_plain_panel_tells_none() -> None:
    assert blur_within(_picture(0.8, holes=False), VIEW, PANEL) is None
    assert blur_within(_picture(0.8, holes=False, noise=0.03), VIEW, PANEL) is None
