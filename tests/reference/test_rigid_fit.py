"""The best rigid fit of drilled holes, as SciPy finds it.

Sources: W. Kabsch, Acta Cryst. A32 (1976), 922; `scipy.spatial.transform.Rotation.align_vectors`
(the same problem in space, of which ours is the plane z = 0) and `scipy.spatial.procrustes`
(which also takes scale and mirror images, so that it never fits worse).
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.linalg import orthogonal_procrustes
from scipy.optimize import least_squares
from scipy.spatial import procrustes
from scipy.spatial.transform import Rotation

from legend.description.tables.as_drilled import best_fit, misfit


def clouds(seed: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Holes of a panel, and the same holes drilled by hand and measured from somewhere else."""
    random = np.random.default_rng(seed)
    design = random.uniform((0, 0), (400, 120), (random.integers(3, 40), 2))
    drilled = design + random.normal(0, 0.4, design.shape)
    turn = random.uniform(-np.pi, np.pi)
    c, s = np.cos(turn), np.sin(turn)
    return drilled @ np.array([[c, s], [-s, c]]) + random.uniform(-200, 200, 2), design


@pytest.mark.parametrize("seed", range(25))
def test_turn_shift_and_misfit_are_those_of_scipy(seed: int) -> None:
    points, onto = clouds(seed)
    fit = best_fit(points, onto)
    flat = [np.c_[each - each.mean(axis=0), np.zeros(len(each))] for each in (onto, points)]
    rotation, root_sum_square = Rotation.align_vectors(*flat)
    about_z = rotation.as_euler("zyx", degrees=True)
    assert about_z[1:] == pytest.approx([0, 0], abs=1e-6)
    # Ours is clockwise, as a knob is read; theirs turns x towards y.
    assert (fit.turn + about_z[0] + 180) % 360 - 180 == pytest.approx(0, abs=1e-6)
    assert misfit(fit, points, onto) == pytest.approx(root_sum_square / np.sqrt(len(points)))
    moved = np.array([fit.moved(x, y) for x, y in points])
    assert moved.mean(axis=0) == pytest.approx(onto.mean(axis=0))
    turned, _ = orthogonal_procrustes(points - points.mean(axis=0), onto - onto.mean(axis=0))
    assert np.linalg.det(turned) == pytest.approx(1)  # these are no mirror images
    assert (points - points.mean(axis=0)) @ turned + onto.mean(axis=0) == pytest.approx(moved)


@pytest.mark.parametrize("seed", range(5))
def test_nothing_near_fits_better(seed: int) -> None:
    points, onto = clouds(seed)
    fit = best_fit(points, onto)

    def off(guess: NDArray[np.float64]) -> NDArray[np.float64]:
        c, s = np.cos(guess[0]), np.sin(guess[0])
        return (points @ np.array([[c, -s], [s, c]]) + guess[1:] - onto).ravel()

    start = [np.radians(fit.turn + 0.5), fit.shift[0] + 1, fit.shift[1] - 1]
    found = least_squares(off, start, xtol=1e-15, ftol=1e-15, gtol=1e-15)
    assert np.degrees(found.x[0]) == pytest.approx(fit.turn, abs=1e-5)
    assert found.x[1:] == pytest.approx(fit.shift, abs=1e-3)


@pytest.mark.parametrize("seed", range(5))
def test_a_fit_that_may_stretch_is_never_worse(seed: int) -> None:
    points, onto = clouds(seed)
    size = np.linalg.norm(onto - onto.mean(axis=0))
    _, _, disparity = procrustes(onto, points)
    ours = misfit(best_fit(points, onto), points, onto)
    assert size * np.sqrt(disparity / len(points)) <= ours + 1e-9
    assert ours < 1.0  # and ours finds the holes, which lie within a millimetre or so
