"""The synthetic camera sees walls, back rims and shadows where they are by plain geometry."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import pytest
import shapely
from camera.synthetic.backings import Backing
from camera.synthetic.eyes import Camera
from camera.synthetic.lights import Bar, Lamp
from camera.synthetic.marks import punch_marks, scratches, scribed_crosses
from camera.synthetic.plates import STEADY, Plate, made
from camera.synthetic.scenes import Scene, light_of
from camera.synthetic.surfaces import ALUMINIUM, Finish, grain

SIZE = (60.0, 40.0)
BLACK = Finish("paint", (0.0, 0.0, 0.0), 0, (1, 1), 0)
WHITE = Finish("paint", (1.0, 1.0, 1.0), 0, (1, 1), 0)
NOTHING = Backing((0, 0, 0), grain=0)
EVEN = Bar((0, 0), 1, 0)


def _plate(thickness: float, holes: dict[str, dict[str, object]]) -> Plate:
    return replace(made(SIZE, holes, np.random.default_rng(0), STEADY, thickness), bevel=0)


def _light(scene: Scene) -> np.ndarray:
    return light_of(scene, np.random.default_rng(1)).mean(axis=2)


@pytest.mark.parametrize("thickness", [1.5, 3.0])
def test_as_much_of_a_wall_is_seen_as_lies_between_its_rims(thickness: float) -> None:
    eye = Camera.over((30, 20), (400, 560), 8.0, tilt=8, towards=130, k1=-0.05)
    plate = _plate(thickness, {"a": {"at": [50, 32], "drill": 9}})
    scene = Scene(plate, BLACK, eye, EVEN, NOTHING, walls=(1.0, 1.0, 1.0))
    rim = plate.holes[0].rim
    front = shapely.Polygon(eye.see(rim))
    seen = front.difference(shapely.Polygon(eye.see(rim, -thickness))).area
    assert seen > 50
    light = _light(scene)
    rows, columns = np.nonzero(light > 0.02)
    middle = eye.see(rim).mean(axis=0)
    reach = np.hypot(columns - middle[0], rows - middle[1]).max()
    assert reach < 9 / 2 * 8.0 * 1.1
    assert (light > 0.02).sum() == pytest.approx(seen, rel=0.15)


def test_the_shadow_falls_away_from_the_lamp() -> None:
    eye = Camera.over((30, 20), (480, 640), 7.0)
    lamp = Lamp((-900.0, 20.0, 900.0), eye.place, (30, 20), size=60, power=0.9, ambient=0.1)
    plate = _plate(3.0, {})
    light = _light(Scene(plate, BLACK, eye, lamp, Backing((0.8, 0.8, 0.8), grain=0)))
    beside = eye.see(np.array([(-1.5, 20.0), (61.5, 20.0), (75.0, 20.0)]))
    left, right, far = (light[round(y), round(x)] for x, y in beside)
    assert right < 0.6 * left
    assert right < 0.6 * far
    # by the height of the lamp, the shadow of the right edge ends 3.2 mm beside it, on the backing
    edge, end = eye.see(np.array([(60.0, 20.0)]))[0], eye.see(np.array([(63.2, 20.0)]), -3.0)[0]
    row = light[round(end[1]), : round(beside[2][0])]
    lit = np.flatnonzero(row < far / 2)
    assert lit.max() == pytest.approx(end[0], abs=2)
    assert end[0] > edge[0] + 5


def test_brushed_metal_is_streaked_along_and_primer_is_not() -> None:
    brushed = grain(ALUMINIUM, SIZE, 10, np.random.default_rng(0))
    along, across = (np.abs(np.diff(brushed, axis=axis)).mean() for axis in (1, 0))
    assert across > 4 * along
    plain = grain(replace(ALUMINIUM, kind="primer"), SIZE, 10, np.random.default_rng(0))
    along, across = (np.abs(np.diff(plain, axis=axis)).mean() for axis in (1, 0))
    assert across == pytest.approx(along, rel=0.1)


def test_brushed_metal_mirrors_the_lamp_in_a_band_across() -> None:
    eye = Camera.over((30, 20), (400, 560), 8.0)
    lamp = Lamp((30.0, 20.0, 400.0), eye.place, (30, 20), size=60, glare=3, silhouette=0)
    flat = replace(ALUMINIUM, grain=0.0)
    light = _light(Scene(_plate(2.0, {}), flat, eye, lamp, NOTHING))
    middle, aside, above = (
        light[round(y), round(x)] for x, y in eye.see(np.array([(30.0, 20), (48, 20), (30, 38)]))
    )
    assert middle - aside > 2 * (middle - above)


def test_marks_are_on_the_face_and_not_in_holes() -> None:
    eye = Camera.over((30, 20), (400, 560), 8.0)
    rng = np.random.default_rng(4)
    plate = _plate(2.0, {"a": {"at": [30, 20], "drill": 12}})
    marks = (
        *scratches(plate, 5, rng),
        *punch_marks(plate, 3, rng),
        *scribed_crosses(plate, rng),
    )
    bare = Scene(plate, WHITE, eye, EVEN, NOTHING)
    changed = np.abs(_light(replace(bare, marks=marks)) - _light(bare))
    assert (changed > 0.05).sum() > 300
    hole = np.zeros(eye.shape, np.uint8)
    cv2.fillPoly(hole, [np.round(eye.see(plate.holes[0].rim * 0.99 + (0.3, 0.2))).astype(int)], 1)
    assert changed[hole > 0].max() < 0.05
