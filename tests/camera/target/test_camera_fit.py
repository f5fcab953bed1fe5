"""A camera is found again from corners that it saw; OpenCV is the judge of how well."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from target_photographs import Taken

from legend.camera.target.camera_fit import Corners, Fit, FocalGuess, fitted, homography
from legend.camera.target.target_page import target_page
from legend.camera.view import View

_PAGE = target_page(60, 40)


def _seen(camera: Taken, noise: float = 0.0, wrong: int = 0) -> tuple[Corners, NDArray[np.float64]]:
    """The corners of a page as a camera sees them, some at wrong places."""
    places = _PAGE.crossing_places
    random = np.random.default_rng(5)
    pixels = camera.seen(places) + random.normal(0, noise, places.shape)
    which = random.choice(len(places), wrong, replace=False)
    pixels[which] += random.uniform(-40, 40, (wrong, 2))
    return Corners(places, pixels, np.zeros(len(places), dtype=np.int64)), which


def _fit(camera: Taken, noise: float = 0.0, wrong: int = 0, likely: float = 0.35) -> Fit:
    corners, _ = _seen(camera, noise, wrong)
    return fitted(corners, camera.size, FocalGuess(camera.focal * 1.1, likely), _PAGE.panel)


@settings(max_examples=15, deadline=None)
@given(
    st.floats(-180, 180),
    st.floats(-70, 130),
    st.floats(-70, 110),
    st.floats(80, 250),
    st.floats(-0.15, 0.1),
)
def test_what_is_seen_tells_where_the_camera_is(
    roll: float, x: float, y: float, z: float, k1: float
) -> None:
    camera = Taken(eye=(x, y, z), roll=roll, k1=k1)
    fit = _fit(camera)
    assert fit.kept.all()
    spots = np.array([(0.0, 0), (60, 0), (60, 40), (0, 40), (30, 20)])
    off = np.hypot(*(fit.camera.view().to_panel(camera.seen(spots)) - spots).T)
    assert off.max() < 0.01
    assert off.max() <= fit.uncertainty(spots)
    assert fit.camera.eye[2] > 0


def test_tilted_it_tells_the_focal_length_as_opencv_does() -> None:
    camera = Taken(eye=(100, -35, 90), k1=-0.1)
    corners, _ = _seen(camera, noise=0.05)
    fit = fitted(corners, camera.size, FocalGuess(1000, 0.35), _PAGE.panel)
    lens = fit.camera.lens
    inner = np.array([[1000, 0, lens.middle[0]], [0, 1000, lens.middle[1]], [0, 0, 1]])
    flags = (
        cv2.CALIB_USE_INTRINSIC_GUESS | cv2.CALIB_FIX_PRINCIPAL_POINT | cv2.CALIB_FIX_ASPECT_RATIO
        | cv2.CALIB_ZERO_TANGENT_DIST | cv2.CALIB_FIX_K3
    )  # fmt: skip
    solid = np.column_stack([corners.places, np.zeros(len(corners.places))]).astype(np.float32)
    seen = corners.pixels.astype(np.float32)[:, None]
    _, inner, bends, _, _ = cv2.calibrateCamera(
        [solid], [seen], camera.size, inner, np.zeros(5), flags=flags
    )
    assert lens.focal == pytest.approx(inner[0, 0], rel=0.005)
    assert lens.focal == pytest.approx(camera.focal, rel=0.01)
    assert lens.k1 == pytest.approx(float(np.ravel(bends)[0]), abs=0.02)
    assert fit.focal_doubt < 0.01


def test_the_pose_is_that_of_opencv() -> None:
    camera = Taken(eye=(50, 0, 95), roll=30, k1=-0.08, k2=0.02)
    corners, _ = _seen(camera, noise=0.05)
    fit = fitted(corners, camera.size, FocalGuess(camera.focal, 0.04), _PAGE.panel)
    lens = fit.camera.lens
    inner = np.array([[lens.focal, 0, lens.middle[0]], [0, lens.focal, lens.middle[1]], [0, 0, 1]])
    solid = fit.lying.solid(corners.places, corners.sheets)
    done, turn, shift = cv2.solvePnP(
        solid, corners.pixels, inner, np.array([lens.k1, lens.k2, 0, 0])
    )
    assert done
    eye = -cv2.Rodrigues(turn)[0].T @ shift.ravel()
    assert np.abs(eye - fit.camera.eye).max() < 0.1
    assert np.abs(eye - camera.eye).max() < 1.0
    places = np.array([(0.0, 0.0), (60.0, 40.0)])
    by_opencv, _ = cv2.projectPoints(
        np.column_stack([places, [2.0, 2.0]]), turn, shift, inner,
        np.array([lens.k1, lens.k2, 0, 0]),
    )  # fmt: skip
    assert np.abs(fit.camera.view(2.0).to_picture(places) - by_opencv[:, 0]).max() < 0.05


def test_paper_that_was_stretched_and_rises_beside_the_panel() -> None:
    camera = Taken(eye=(45, 10, 100), k1=-0.05)
    places = _PAGE.crossing_places
    printed = places * (1, 1.004) - (0, 0.004 * 20)
    beside = np.maximum(-places[:, 0], 0)
    pixels = camera.seen(printed, 0.6 * (beside / 20) ** 2)
    pixels += np.random.default_rng(1).normal(0, 0.05, places.shape)
    corners = Corners(places, pixels, np.zeros(len(places), dtype=np.int64))
    fit = fitted(corners, camera.size, FocalGuess(800, 0.04), _PAGE.panel)
    spots = np.array([(0.0, 0), (60, 0), (60, 40), (0, 40), (30, 20)])
    off = np.hypot(*(fit.camera.view().to_panel(camera.seen(spots)) - spots).T)
    assert off.max() < 0.05
    assert off.max() < fit.uncertainty(spots)
    assert fit.lying.stretch == pytest.approx(0.004, abs=0.0015)
    assert fit.lying.lifts[0] == pytest.approx(0.6 * (16 / 20) ** 2, abs=0.15)


def test_wrong_corners_are_left_out() -> None:
    camera = Taken(eye=(45, 10, 100), k1=-0.05)
    corners, wrong = _seen(camera, noise=0.05, wrong=12)
    fit = fitted(corners, camera.size, FocalGuess(800, 0.04), _PAGE.panel)
    assert not fit.kept[wrong].any()
    assert fit.kept.sum() == len(fit.kept) - 12
    assert fit.noise == pytest.approx(0.05, rel=0.25)


def test_uncertainty_covers_the_errors() -> None:
    spots = np.array([(0.0, 0), (60, 0), (60, 40), (0, 40), (30, 20)])
    within = []
    for seed in range(10):
        camera = Taken(eye=(45, 10, 100), k1=-0.05)
        places = _PAGE.crossing_places
        pixels = camera.seen(places) + np.random.default_rng(seed).normal(0, 0.1, places.shape)
        corners = Corners(places, pixels, np.zeros(len(places), dtype=np.int64))
        fit = fitted(corners, camera.size, FocalGuess(800, 0.04), _PAGE.panel)
        off = np.hypot(*(fit.camera.view().to_panel(camera.seen(spots)) - spots).T)
        within.append(off.max() < fit.uncertainty(spots))
    assert np.mean(within) >= 0.9


def test_a_homography_is_that_of_opencv() -> None:
    random = np.random.default_rng(3)
    places = random.uniform(0, 60, (30, 2))
    pixels = Taken(eye=(45, 10, 100)).seen(places) + random.normal(0, 0.2, (30, 2))
    by_opencv, _ = cv2.findHomography(places, pixels, 0)
    ours, theirs = (
        View(np.asarray(each)).to_picture(places)
        for each in (homography(places, pixels), by_opencv)
    )
    assert np.abs(ours - theirs).max() < 0.1
    exact = Taken(eye=(45, 10, 100)).seen(places)
    assert np.abs(View(homography(places[:4], exact[:4])).to_picture(places) - exact).max() < 1e-6


@pytest.mark.parametrize(
    "points", [[(0, 0), (1, 1), (2, 2), (3, 3)], [(1, 1)] * 5, [(0, 0), (1, 0), (0, 1)]]
)
def test_points_that_tell_nothing(points: list[tuple[float, float]]) -> None:
    places = np.array(points, dtype=float)
    with pytest.raises(ValueError, match=r"line|place|four"):
        homography(places, places * 2 + 1)
