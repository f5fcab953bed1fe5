"""Holes are found in pictures where they are, by their front rims, each as surely as it is told."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
from camera.synthetic.eyes import Camera
from camera.synthetic.marks import pen_dots, punch_marks
from camera.synthetic.plates import STEADY, Hand, made
from camera.synthetic.shots import BLACK_PAPER, Shot, photo, scan

from legend.camera.holes.finding import discs_in, hole_like, holes_in
from legend.camera.holes.found_hole import Doubt, FoundHole
from legend.camera.holes.light import Light, light_of
from legend.camera.picture import Picture, picture_in
from legend.camera.view import View
from legend.description.shapes.hole_shapes import CutOut, Drilled, Hexagon, Slot

SIZE = (84.0, 56.0)
EDGE = np.array([(0.0, 0.0), (84.0, 0.0), SIZE, (0.0, 56.0)])
HOLES = {
    "a": {"at": [14, 42], "drill": 9.5},
    "b": {"at": [36, 44], "drill": 6.5},
    "c": {"at": [12, 12], "drill": 3.2},
    "d": {"at": [66, 40], "cutout": [22, 14], "corner_radius": 1.5},
    "e": {"at": [38, 14], "slot": [18, 4], "angle": 60},
    "f": {"at": [66, 14], "hexagon": 10},
}


def _found(shot: Shot) -> tuple[Light, list[FoundHole]]:
    picture = picture_in(shot.data, "picture")
    light = light_of(picture, shot.truth.view, EDGE)
    return light, holes_in(light, shot.truth.view, EDGE)


def _near(holes: Sequence[FoundHole], at: tuple[float, float]) -> FoundHole:
    return min(holes, key=lambda hole: math.dist(hole.at, at))


def _far(size: tuple[float, float], shape: tuple[int, int], over: tuple[float, float]) -> Camera:
    """A camera of 12 megapixels, of whose picture only the middle is taken."""
    return Camera.over(over, shape, 9.0, focal=0.77 * 4000 / shape[1])


def test_holes_of_every_shape_are_where_they_are_and_dots_and_punch_marks_are_doubted() -> None:
    hand = Hand(chamfered=0, filed=0, burred=0)
    plate = made(SIZE, HOLES, np.random.default_rng(4), hand, thickness=2.0)
    rng = np.random.default_rng(8)
    marks = (*pen_dots(plate, 4, rng), *punch_marks(plate, 3, rng))
    shot = scan(plate, 4, backing=BLACK_PAPER, marks=marks)
    light, found = _found(shot)
    assert len([hole for hole in found if Doubt.SMALL not in hole.doubts]) == len(HOLES)
    for true in shot.truth.holes:
        hole = _near(found, true.at)
        if true.key == "hexagon":
            hole = hole_like(light, shot.truth.view, hole, Hexagon(hexagon=10.0), 0.0)
        assert math.dist(hole.at, true.at) < min(hole.uncertainty, 0.08)
        assert not hole.doubts
        kind = {"drill": Drilled, "cutout": CutOut, "slot": Slot, "hexagon": Hexagon}[true.key]
        assert isinstance(hole.shape, kind)
        if true.key == "drill":
            assert hole.width == pytest.approx(true.size[0], abs=0.05)
        if true.key in ("cutout", "slot"):
            assert hole.shape.size == pytest.approx(true.size, abs=0.15)
            assert hole.angle == pytest.approx(true.angle, abs=0.3)


def test_a_camera_from_aside_is_not_misled_by_the_wall() -> None:
    hand = Hand(chamfered=0, filed=0, burred=0, lean=0)
    holes = {id: HOLES[id] for id in "abc"}
    plate = made(SIZE, holes, np.random.default_rng(4), hand, thickness=3.0)
    shape = (620, 900)
    aside = (SIZE[0] / 2, SIZE[1] / 2)
    eye = Camera.over(aside, shape, 9.0, focal=0.77 * 4000 / shape[1], tilt=14, towards=300)
    shot = photo(plate, 5, shape=shape, eye=eye, backing=BLACK_PAPER)
    view = shot.truth.view
    assert view.eye
    _, found = _found(shot)
    for true in shot.truth.holes:
        hole = _near(found, true.at)
        # Were the back rim taken for the front one, it would be off by much more.
        way = math.dist(view.eye[:2], true.at) * 3.0 / (view.eye[2] + 3.0)
        assert way > 0.4
        assert math.dist(hole.at, true.at) < min(hole.uncertainty, 0.13)
        assert hole.width == pytest.approx(true.size[0], abs=0.1)


def test_a_chamfer_is_told_and_the_hole_within_it_measured() -> None:
    hand = Hand(chamfered=1, filed=0, burred=0)
    holes = {id: HOLES[id] for id in "abc"}
    plate = made(SIZE, holes, np.random.default_rng(6), hand, thickness=2.0)
    shot = scan(plate, 6, backing=BLACK_PAPER)
    _, found = _found(shot)
    told = 0
    for true in shot.truth.holes:
        hole = _near(found, true.at)
        assert hole.width == pytest.approx(true.size[0], abs=0.1)
        assert math.dist(hole.at, true.at) < hole.uncertainty
        if hole.chamfer:
            told += 1
            assert hole.chamfer == pytest.approx(true.chamfer, abs=0.08)
    assert told >= 2


def test_coloured_paper_as_light_as_the_metal_is_told_from_it_by_its_colour() -> None:
    plate = made(SIZE, {"a": HOLES["a"], "b": HOLES["b"]}, np.random.default_rng(4), STEADY)
    tone = np.full((700, 1000, 3), (128, 128, 128), np.uint8)
    view = View(np.array([[11.0, 0, 30], [0, -11.0, 660], [0, 0, 1]]))
    y, x = np.mgrid[:700, :1000]
    place = view.to_panel(np.column_stack([x.ravel(), y.ravel()]).astype(float))
    off = (place < 0).any(axis=1) | (place > SIZE).any(axis=1)
    for hole in plate.holes:
        off |= np.hypot(*(place - hole.at).T) < hole.size[0] / 2
    tone.reshape(-1, 3)[off] = (60, 120, 215)  # as light as the grey, to the eye
    light = light_of(Picture(tone, None, "paper"), view, EDGE)
    found = holes_in(light, view, EDGE)
    assert len(found) == 2
    for hole in plate.holes:
        assert math.dist(_near(found, hole.at).at, hole.at) < 0.05


def test_the_coins_of_a_photograph_are_counted() -> None:
    data = pytest.importorskip("skimage.data")
    grey = data.coins()  # 24 coins, in four rows of six, on an uneven ground
    height, width = grey.shape
    scale = 4.0
    view = View(np.array([[scale, 0, 0], [0, -scale, height - 1], [0, 0, 1]]))
    x, y = (width - 1) / scale, (height - 1) / scale
    edge = np.array([(0, 0), (x, 0), (x, y), (0, y)])
    light = Light(Picture(np.repeat(grey[:, :, None], 3, axis=2), None, "coins"))
    coins = discs_in(light, view, edge)
    assert len(coins) == 24
    rows = sorted(coins, key=lambda coin: -coin.at[1])
    for k in range(4):
        assert np.ptp([coin.at[1] for coin in rows[6 * k : 6 * k + 6]]) < 10
    # On some the shade on one side is taken for the rim: of these it is told.
    misled = {Doubt.PART, Doubt.ASIDE}
    whole = [coin for coin in coins if not misled & {*coin.doubts}]
    assert len(whole) >= 18
    assert all(36 < coin.width * scale < 64 for coin in whole)


def test_a_rim_that_no_drill_and_no_file_leaves_is_doubted() -> None:
    """A hole that seems oval by a seventh: a lit chamfer on one side of it, as a rule."""
    y, x = np.mgrid[:240, :240]
    far = np.hypot((x - 118) / 36, (y - 121) / 31)
    light = np.clip(1 / (1 + np.exp(-(far - 1) * 40)), 0, 1)
    rgb = np.repeat((40 + 160 * light).astype(np.uint8)[..., None], 3, axis=2)
    view = View(np.array([[10.0, 0, 0], [0, -10.0, 239], [0, 0, 1]]))
    edge = np.array([(0.0, 0.0), (23.9, 0.0), (23.9, 23.9), (0.0, 23.9)])
    (hole,) = holes_in(Light(Picture(rgb, None, "drawn")), view, edge)
    assert isinstance(hole.shape, Drilled)
    assert hole.out_of_round == pytest.approx(1.0, abs=0.1)
    assert Doubt.RAGGED in hole.doubts
    assert hole.uncertainty > 0.4
