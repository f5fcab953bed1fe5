"""The synthetic camera draws things where its truth says that they are."""

from __future__ import annotations

import math
from dataclasses import replace

import cv2
import numpy as np
import pytest
from camera.synthetic.backings import Backing
from camera.synthetic.coverage import covered
from camera.synthetic.eyes import Camera, Eye, Flatbed
from camera.synthetic.lights import Bar
from camera.synthetic.plates import STEADY, Plate, made
from camera.synthetic.rims import round_rim
from camera.synthetic.scenes import Scene, light_of
from camera.synthetic.shots import truth_of
from camera.synthetic.surfaces import Finish

from legend.camera.view import View

RIGHT, DOWN = np.array([0.5, 0]), np.array([0, 0.5])
MIDDLE = np.array([14.3, 15.8])

SIZE = (60.0, 40.0)
HOLES = {"a": {"at": [10, 10], "drill": 9}, "b": {"at": [48, 29], "drill": 3.2}}

TILTED = Camera.over(
    (30, 20),
    (500, 700),
    9.5,
    tilt=14,
    towards=60,
    roll=4,
    k1=-0.08,
    k2=0.02,
    decentred=(0.01, -0.02),
)
SCANNED = Flatbed.over(SIZE, 300, (1.002, 0.997), 0.1, 1.5)


def _flat(eye: Eye, plate: Plate) -> np.ndarray:
    """White paint over nothing, evenly lit: what is bright is the face."""
    scene = Scene(
        plate,
        Finish("paint", (1, 1, 1), 0, (1, 1), 0),
        eye,
        Bar((0, 0), 1, 0),
        Backing((0, 0, 0), grain=0),
        walls=(0, 0, 0),
    )
    return light_of(scene, np.random.default_rng(0))[..., 1]


def _centroid(dark: np.ndarray, view: View) -> tuple[float, float, float]:
    """The middle of an area on the panel, from how much of each pixel it fills."""
    rows, columns = np.nonzero(dark > 1e-4)
    pixels = np.column_stack([columns, rows]).astype(float)
    at = view.to_panel(pixels)
    right, down = view.to_panel(pixels + RIGHT), view.to_panel(pixels + DOWN)
    left, up = view.to_panel(pixels - RIGHT), view.to_panel(pixels - DOWN)
    area = np.abs(np.linalg.det(np.stack([right - left, down - up], axis=1)))
    weight = dark[rows, columns] * area
    x, y = (at * weight[:, None]).sum(axis=0) / weight.sum()
    return float(x), float(y), float(2 * math.sqrt(weight.sum() / math.pi))


@pytest.mark.parametrize("eye", [TILTED, SCANNED], ids=["photo", "scan"])
def test_a_hole_is_seen_where_it_is(eye: Eye) -> None:
    plate = made(SIZE, HOLES, np.random.default_rng(1), STEADY, thickness=1e-6)
    plate = Plate(plate.size, plate.outline, plate.holes, plate.thickness, bevel=0)
    view, light = eye.view(plate), _flat(eye, plate)
    for hole in truth_of(plate, view).holes:
        u, v = np.round(view.to_picture(np.array([hole.at]))[0]).astype(int)
        reach = int(hole.size[0] * 6.5)
        dark = np.ones_like(light)
        part = np.s_[max(v - reach, 0) : v + reach, max(u - reach, 0) : u + reach]
        dark[part] = light[part]
        x, y, diameter = _centroid(1 - dark, view)
        assert (x, y) == pytest.approx(hole.at, abs=0.002)
        assert diameter == pytest.approx(hole.size[0], abs=0.004)


def test_what_is_filled_is_exact() -> None:
    disc = round_rim(20.0) + MIDDLE
    for way in (1, -1):
        part = covered([disc[::way]], (0, 0, 30, 30))
        n = len(disc)
        assert part.sum() == pytest.approx(n / 2 * 100 * math.sin(2 * math.pi / n), rel=1e-6)
        y, x = np.mgrid[:30, :30]
        assert (part * x).sum() / part.sum() == pytest.approx(14.3, abs=2e-3)
        assert (part * y).sum() / part.sum() == pytest.approx(15.8, abs=2e-3)
    ring = covered([disc, (round_rim(8.0) + MIDDLE)[::-1]], (2, 3, 25, 25))
    assert ring[13, 12] == pytest.approx(0, abs=1e-6)
    assert ring.sum() == pytest.approx(math.pi * (100 - 16), rel=1e-3)


def test_the_datum_is_that_of_the_edges() -> None:
    plate = made(SIZE, HOLES, np.random.default_rng(5))
    outline = plate.measured(plate.outline)
    lower = outline[(np.abs(outline[:, 1]) < 1) & (np.abs(outline[:, 0] - 30) < 27)]
    assert np.polyfit(lower[:, 0], lower[:, 1], 1) == pytest.approx([0, 0], abs=3e-3)
    left = outline[(np.abs(outline[:, 0]) < 1) & (np.abs(outline[:, 1] - 20) < 18)]
    assert np.polyfit(left[:, 1], left[:, 0], 1) == pytest.approx([0, 0], abs=3e-3)


@pytest.mark.parametrize("eye", [TILTED, SCANNED], ids=["photo", "scan"])
def test_an_eye_sees_forth_and_back(eye: Eye) -> None:
    places = np.random.default_rng(2).uniform((0, 0), SIZE, (40, 2))
    for height in (0.0, -2.0):
        assert eye.back(eye.see(places, height), height) == pytest.approx(places, abs=1e-5)
    plate = made(SIZE, HOLES, np.random.default_rng(5))
    assert eye.view(plate).to_picture(plate.measured(places)) == pytest.approx(
        eye.see(places), abs=1e-6
    )


def test_a_camera_sees_as_opencv_says() -> None:
    places = np.random.default_rng(3).uniform((0, 0), SIZE, (50, 2))
    heights = np.random.default_rng(4).uniform(-3, 1, 50)
    u, v = TILTED.lens.middle
    inner = np.array([[TILTED.lens.focal, 0, u], [0, TILTED.lens.focal, v], [0, 0, 1]])
    turn, _ = cv2.Rodrigues(TILTED.turning)
    shift = -TILTED.turning @ np.array(TILTED.place)
    bends = np.array([TILTED.lens.k1, TILTED.lens.k2, 0, 0])
    space = np.column_stack([places, heights])
    seen, _ = cv2.projectPoints(space, turn, shift, inner, bends)
    assert TILTED.see(places, heights) == pytest.approx(seen.reshape(-1, 2), abs=1e-4)


def test_a_steady_hand_drills_where_it_should_from_the_edges() -> None:
    hand = replace(STEADY, sides=0.05, square=0.1, size=0.1)
    plate = made(SIZE, HOLES, np.random.default_rng(6), hand)
    truth = truth_of(plate, TILTED.view(plate))
    assert [hole.at for hole in truth.holes] == [pytest.approx(h["at"]) for h in HOLES.values()]
