"""An outline that looks the same turned is as sure, place by place, whichever way it lies."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.camera.panel.turning import all_turns
from legend.camera.view import SidesDoubt, View

SIDE = 60.0
DOUBT = SidesDoubt((SIDE, SIDE), 0.01, 0.04, 0.02, 0.03)


def test_a_place_is_as_sure_as_the_sides_next_to_it() -> None:
    doubt = SidesDoubt((100.0, 60.0), 0.01, 0.04, 0.02, 0.03)
    assert doubt.at((0, 0)) == pytest.approx(1.96 * np.hypot(0.01, 0.03))
    assert doubt.at((100, 60)) == pytest.approx(1.96 * np.hypot(0.02, 0.04)) == doubt.most
    middle = 1.96 * np.hypot(np.hypot(0.01, 0.02) / 2, np.hypot(0.03, 0.04) / 2)
    assert doubt.at((50, 30)) == pytest.approx(middle)


@given(st.floats(0, SIDE), st.floats(0, SIDE))
def test_what_is_seen_in_a_picture_is_as_sure_however_the_panel_is_turned(
    x: float, y: float
) -> None:
    onto = np.array([[8.0, 0.3, 40.0], [0.2, -8.0, 560.0], [0.0, 0.0, 1.0]])
    views = all_turns(View(onto, uncertainty=DOUBT), (SIDE, SIDE))
    assert len(views) == 4
    pixels = views[0].to_picture(np.array([[x, y]]))
    for view in views:
        (place,) = view.to_panel(pixels)
        assert view.uncertainty_at(tuple(place)) == pytest.approx(DOUBT.at((x, y)), rel=1e-6)
