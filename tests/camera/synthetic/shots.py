"""Take pictures of plates, each with what is true of it beside it: scans and photographs."""

from __future__ import annotations

import io
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageOps

from legend.camera.view import View

from .backings import Backing
from .coverage import Points
from .eyes import Camera, Flatbed
from .lights import Bar, Lamp
from .plates import Plate
from .scenes import Mark, Scene, light_of
from .sensors import Sensor, developed
from .surfaces import ALUMINIUM, Colour, Finish


@dataclass(frozen=True, slots=True, eq=False)
class TrueHole:
    """A hole as it is: its middle, mm from the true datum, size, turn clockwise, and rim."""

    id: str
    key: str
    at: tuple[float, float]
    size: tuple[float, ...]
    angle: float
    rim: Points
    chamfer: float
    burr: float


@dataclass(frozen=True, slots=True, eq=False)
class Truth:
    """What is true of a picture, in mm from the true datum; `view` is of the upright picture."""

    view: View
    holes: tuple[TrueHole, ...]
    outline: Points
    size: tuple[float, float]
    thickness: float


@dataclass(frozen=True, slots=True, eq=False)
class Shot:
    """The bytes of a picture's file, and the truth."""

    data: bytes
    truth: Truth
    ending: str = ".jpg"

    @property
    def rgb(self) -> NDArray[np.uint8]:
        """The picture, turned upright."""
        with Image.open(io.BytesIO(self.data)) as image:
            return np.asarray(ImageOps.exif_transpose(image).convert("RGB"))

    def written(self, folder: Path, name: str = "picture") -> Path:
        """The file of the picture in a folder."""
        path = folder / f"{name}{self.ending}"
        path.write_bytes(self.data)
        return path


def truth_of(plate: Plate, view: View) -> Truth:
    """What is true of a plate, by its datum."""
    holes = tuple(
        TrueHole(
            hole.id,
            hole.key,
            _pair(plate.measured(np.array([hole.at]))[0]),
            hole.size,
            hole.angle,
            plate.measured(hole.rim),
            hole.chamfer,
            hole.burr,
        )
        for hole in plate.holes
    )
    return Truth(view, holes, plate.measured(plate.outline), plate.size, plate.thickness)


def _pair(place: Points) -> tuple[float, float]:
    return float(place[0]), float(place[1])


def taken(scene: Scene, sensor: Sensor, seed: int) -> Shot:
    """The picture of a scene."""
    rng = np.random.default_rng([seed, 77])
    data = developed(light_of(scene, rng), sensor, rng)
    ending = ".png" if sensor.quality is None else ".jpg"
    return Shot(data, truth_of(scene.plate, scene.eye.view(scene.plate)), ending)


#: What is advised to lay behind: black paper, and paper of a colour.
BLACK_PAPER = Backing((0.03, 0.03, 0.03))
BLUE_PAPER = Backing((0.05, 0.12, 0.45))
RED_PAPER = Backing((0.45, 0.04, 0.03))
WHITE_PAPER = Backing((0.82, 0.82, 0.80))


def photo(
    plate: Plate,
    seed: int,
    shape: tuple[int, int] = (750, 1000),
    finish: Finish = ALUMINIUM,
    backing: Backing = BLACK_PAPER,
    marks: tuple[Mark, ...] = (),
    per_mm: float | None = None,
    tilt: float | None = None,
    sensor: Sensor | None = None,
    walls: Colour = (0.55, 0.55, 0.54),
    over: tuple[Mark, ...] = (),
    eye: Camera | None = None,
    lighting: Lamp | None = None,
) -> Shot:
    """A photograph by hand from above; what is not given is as it may come, by the seed."""
    rng = np.random.default_rng([seed, 5])
    width, height = plate.size
    per_mm = per_mm or 0.72 * min(shape[1] / width, shape[0] / height)
    any_eye = Camera.over(
        (width / 2, height / 2),
        shape,
        per_mm,
        focal=rng.uniform(0.72, 0.85),
        tilt=abs(rng.normal(0, 4)) if tilt is None else tilt,
        towards=rng.uniform(0, 360),
        roll=rng.normal(0, 2.5),
        aside=tuple(rng.normal(0, 0.015, 2)),
        k1=rng.normal(0.0, 0.03),
        k2=rng.normal(0, 0.02),
        decentred=tuple(rng.normal(0, 0.004, 2)),
    )
    eye = eye or any_eye
    way = rng.uniform(0, 2 * np.pi)
    high = rng.uniform(600, 1800)
    off = high * rng.uniform(0.3, 0.9)
    lamp = Lamp(
        (width / 2 + off * float(np.cos(way)), height / 2 + off * float(np.sin(way)), high),
        eye.place,
        (width / 2, height / 2),
        size=rng.uniform(60, 500),
        power=(power := rng.uniform(0.3, 0.7)),
        ambient=1 - power,
        uneven=tuple(rng.normal(0, 0.35, 2)),
        glare=rng.uniform(0.5, 3),
    )
    blur = Sensor(
        blur=0.75,
        defocus=abs(rng.normal(0, 0.4)),
        motion=tuple(rng.normal(0, 0.4, 2)),
        vignette=rng.uniform(0.0, 0.3),
        sharpened=rng.uniform(0, 0.5),
        full=rng.uniform(2500, 8000),
        quality=int(rng.integers(86, 96)),
        focal=eye.lens.focal,
    )
    return taken(
        Scene(plate, finish, eye, lighting or lamp, backing, marks, over=over, walls=walls),
        sensor or blur,
        seed,
    )


def scan(
    plate: Plate,
    seed: int,
    dpi: float = 300.0,
    finish: Finish = ALUMINIUM,
    backing: Backing = BLUE_PAPER,
    marks: tuple[Mark, ...] = (),
    turn: float | None = None,
    quarter: int = 0,
    sensor: Sensor | None = None,
    walls: Colour = (0.55, 0.55, 0.54),
    over: tuple[Mark, ...] = (),
) -> Shot:
    """A scan, the face on the glass; `quarter` lays the plate so many quarters clockwise."""
    rng = np.random.default_rng([seed, 6])
    contact = rng.random() < 0.5
    eye = Flatbed.over(
        plate.size,
        dpi,
        scales=tuple(1 + rng.normal(0, 0.0012, 2)),
        shear=rng.normal(0, 0.05),
        turn=(rng.normal(0, 0.6) if turn is None else turn) + 90 * quarter,
        waves=tuple(
            (rng.uniform(8, 90), rng.uniform(0, 6.3), rng.normal(0, 0.008), rng.normal(0, 0.015))
            for _ in range(3)
        ),
        path=None if contact else rng.uniform(280, 420),
    )
    bar = Bar((float(rng.normal(0, 0.05)), float(rng.choice([-1, 1]) * rng.uniform(0.5, 1.0))))
    plain = Sensor(
        blur=0.55 * dpi / 300,
        full=12000.0,
        read=3.0,
        exposure=0.95,
        quality=95,
        dpi=dpi,
        sharpened=rng.uniform(0, 0.3),
        rows_apart=0.0 if contact else rng.normal(0, 0.15),
    )
    shallow = (1.2 if contact else 0.3) * dpi / 300
    scene = Scene(plate, finish, eye, bar, backing, marks, over=over, walls=walls, shallow=shallow)
    return taken(scene, sensor or plain, seed)
