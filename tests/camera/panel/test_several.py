"""Scans of one panel turned between them tell its own angle from the scanner's."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.camera.panel.several import squareness
from legend.camera.view import View

ANGLE = st.floats(-0.01, 0.01)


def _view(turn: float, panel: float, shear: float, scales: tuple[float, float]) -> View:
    """A scan of a panel out of square, by distances from its edges."""
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    scanner = np.array([[scales[0], scales[0] * np.tan(shear)], [0.0, scales[1]]])
    own = np.array([[1.0, np.tan(panel)], [0.0, 1.0]])
    onto = np.eye(3)
    onto[:2, :2] = scanner @ np.array([[c, s], [s, -c]]) @ own
    return View(onto)


@given(ANGLE, ANGLE, st.floats(-20, 20), st.floats(11.7, 11.9), st.floats(11.7, 11.9))
def test_both_angles_are_found(panel: float, shear: float, turn: float, a: float, b: float) -> None:
    views = [_view(turn + quarter, panel, shear, (a, b)) for quarter in (0, 90)]
    found = squareness(views)
    assert found is not None
    assert found.panel == pytest.approx(panel, abs=2e-4)
    assert found.scanner == pytest.approx(shear, abs=2e-4)


@given(ANGLE, st.floats(-5, 5))
def test_scans_that_lie_alike_tell_neither(panel: float, turn: float) -> None:
    views = [_view(turn + half, panel, 0.001, (11.8, 11.8)) for half in (0, 180, 3)]
    assert squareness(views) is None
    assert squareness(views[:1]) is None
