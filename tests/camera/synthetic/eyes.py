"""See places in space as a phone or a flatbed does: from mm to pixels, exactly.

Space has the front of the plate at height 0 and what lies beneath it at heights below; x runs to
the right and y up, as one faces the plate.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from legend.camera.view import Lens, View

from .coverage import Points
from .plates import Plate

#: How far apart the places are for which `ground` is worked out, px.
_STEP = 16


class Eye(Protocol):
    """What sees: `shape` is (height, width) of its picture, px."""

    @property
    def shape(self) -> tuple[int, int]: ...

    @property
    def place(self) -> tuple[float, float, float] | None:
        """Where it stands, mm; None for a flatbed."""

    def see(self, places: Points, height: float | NDArray[np.float64] = 0.0) -> Points:
        """Where places (n, 2) at a height are drawn, px."""

    def back(self, pixels: Points, height: float = 0.0) -> Points:
        """The places at a height that are seen at pixels; a flatbed's wobble is left out."""

    def view(self, plate: Plate) -> View:
        """How it sees the front of a plate, by the true datum of that."""


def ground(eye: Eye, height: float) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """x and y of what each pixel sees at a height, mm: exact every 16 pixels, even between."""
    rows, columns = eye.shape
    x, y = np.arange(0, columns + _STEP, _STEP), np.arange(0, rows + _STEP, _STEP)
    nodes = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2).astype(float)
    places = eye.back(nodes, height).reshape(len(y), len(x), 2)
    return _between(places[..., 0], eye.shape), _between(places[..., 1], eye.shape)


def _between(nodes: NDArray[np.float64], shape: tuple[int, int]) -> NDArray[np.float32]:
    rows, columns = shape
    at, part = np.divmod(np.arange(columns), _STEP)
    part = part / _STEP
    wide = (nodes[:, at] * (1 - part) + nodes[:, at + 1] * part).astype(np.float32)
    at, part = np.divmod(np.arange(rows), _STEP)
    low = (part / _STEP).astype(np.float32)[:, None]
    out: NDArray[np.float32] = wide[at] * (1 - low) + wide[at + 1] * low
    return out


@dataclass(frozen=True, slots=True, eq=False)
class Camera:
    """A camera with a lens: where it stands, how it is held, and its picture's shape."""

    shape: tuple[int, int]
    lens: Lens
    place: tuple[float, float, float]
    turning: Points

    @classmethod
    def over(
        cls,
        middle: tuple[float, float],
        shape: tuple[int, int],
        per_mm: float,
        focal: float = 0.77,
        tilt: float = 0.0,
        towards: float = 0.0,
        roll: float = 0.0,
        aside: tuple[float, float] = (0.0, 0.0),
        k1: float = 0.0,
        k2: float = 0.0,
        decentred: tuple[float, float] = (0.0, 0.0),
    ) -> Camera:
        """A camera that sees `middle` near the middle of its picture, at so many pixels per mm.

        `focal` is the focal length in widths of the picture's longer side (0.77 is a phone's
        main camera, about 28 mm on 35 mm film); it leans by `tilt` degrees towards a bearing and
        is rolled clockwise. `aside` and `decentred` are in parts of the longer side.
        """
        rows, columns = shape
        longer = max(shape)
        f = focal * longer
        away = f / per_mm
        lean, way = math.radians(tilt), math.radians(towards)
        axis = np.array(
            [math.sin(lean) * math.sin(way), math.sin(lean) * math.cos(way), math.cos(lean)]
        )
        target = np.array(
            [middle[0] + aside[0] * longer / per_mm, middle[1] + aside[1] * longer / per_mm, 0]
        )
        eye = target + away * axis
        right = np.cross([0, 1, 0], axis)
        right = right / np.linalg.norm(right)
        down = -np.cross(axis, right)
        c, s = math.cos(math.radians(roll)), math.sin(math.radians(roll))
        turning = np.array([c * right + s * down, -s * right + c * down, -axis])
        at = ((columns - 1) / 2 + decentred[0] * longer, (rows - 1) / 2 + decentred[1] * longer)
        return cls(
            shape, Lens(f, at, k1, k2), (float(eye[0]), float(eye[1]), float(eye[2])), turning
        )

    def _onto(self, height: float) -> Points:
        """The matrix from places at a height to pixels without distortion."""
        f, (u, v) = self.lens.focal, self.lens.middle
        inner = np.array([[f, 0, u], [0, f, v], [0, 0, 1]])
        away = self.turning @ (np.array([0, 0, height]) - np.array(self.place))
        out: Points = inner @ np.column_stack([self.turning[:, 0], self.turning[:, 1], away])
        return out

    def see(self, places: Points, height: float | NDArray[np.float64] = 0.0) -> Points:
        """Where places (n, 2) at a height, or each at its own, are drawn, px."""
        space = np.column_stack([places, np.broadcast_to(height, len(places))])
        x, y, z = ((space - self.place) @ self.turning.T).T
        straight = self.lens.focal * np.column_stack([x / z, y / z]) + self.lens.middle
        return self.lens.bent(straight)

    def back(self, pixels: Points, height: float = 0.0) -> Points:
        """The places at a height that are seen at pixels."""
        return View(self._onto(height), self.lens).to_panel(pixels)

    def view(self, plate: Plate) -> View:
        """How it sees the front of a plate, by the true datum of that."""
        onto = self._onto(0.0) @ np.linalg.inv(plate.datum)
        x, y = plate.measured(np.array([self.place[:2]]))[0]
        return View(onto / onto[2, 2], self.lens, (float(x), float(y), self.place[2]))


@dataclass(frozen=True, slots=True, eq=False)
class Flatbed:
    """A flatbed scanner with a plate face down on it; the picture shows its face as one faces it.

    `onto` takes places on the glass to pixels. The carriage goes down the picture, and wobbles:
    `waves` are (length mm, phase, aside mm, along mm). What is beneath the face is seen through
    a lens that lies `path` mm off along the light and sees the line of the carriage only, so that
    heights go outwards along the line; None for a contact sensor.
    """

    shape: tuple[int, int]
    onto: Points
    waves: tuple[tuple[float, float, float, float], ...] = ()
    path: float | None = 350.0
    line_middle: float = 0.0
    place: None = None

    @classmethod
    def over(
        cls,
        size: tuple[float, float],
        dpi: float = 300.0,
        scales: tuple[float, float] = (1.0, 1.0),
        shear: float = 0.0,
        turn: float = 0.0,
        margin: float = 8.0,
        waves: tuple[tuple[float, float, float, float], ...] = (),
        path: float | None = 350.0,
        bed: float = 216.0,
    ) -> Flatbed:
        """A scan of the plate and `margin` mm round it; `shear` and `turn` in degrees clockwise."""
        per_mm = dpi / 25.4
        a, b = math.radians(turn), math.radians(turn + shear)
        # y of the plate goes up and that of the picture down
        m = per_mm * np.array(
            [
                [scales[0] * math.cos(a), scales[0] * math.sin(b)],
                [scales[1] * math.sin(a), -scales[1] * math.cos(b)],
            ]
        )
        corners = np.array([[0, 0], [size[0], 0], [size[0], size[1]], [0, size[1]]]) @ m.T
        low = corners.min(axis=0) - margin * per_mm
        high = corners.max(axis=0) + margin * per_mm
        onto = np.array([[*m[0], -low[0]], [*m[1], -low[1]], [0, 0, 1]])
        columns, rows = np.ceil(high - low).astype(int)
        middle = float((size[0] + 2 * margin - bed) / 2) if size[0] < bed else 0.0
        return cls((int(rows), int(columns)), onto, waves, path, middle * per_mm + columns / 2)

    def see(self, places: Points, height: float | NDArray[np.float64] = 0.0) -> Points:
        """Where places (n, 2) at a height, or each at its own, are drawn, px."""
        return self._wobbled(self._drawn(places, height))

    def _drawn(self, places: Points, height: float | NDArray[np.float64]) -> Points:
        pixels: Points = places @ self.onto[:2, :2].T + self.onto[:2, 2]
        if self.path:
            nearer = self.path / (self.path - np.broadcast_to(height, len(places)))
            pixels[:, 0] = self.line_middle + (pixels[:, 0] - self.line_middle) * nearer
        return pixels

    def _wobbled(self, pixels: Points) -> Points:
        per_mm = float(np.hypot(*self.onto[:2, 1]))
        out = pixels.copy()
        for length, phase, aside, along in self.waves:
            wave = np.sin(2 * math.pi * pixels[:, 1] / per_mm / length + phase) * per_mm
            out[:, 0] += aside * wave
            out[:, 1] += along * wave
        return out

    def back(self, pixels: Points, height: float = 0.0) -> Points:
        """The places at a height that are seen at pixels, but for the wobble."""
        pixels = pixels.copy()
        if self.path:
            nearer = self.path / (self.path - height)
            pixels[:, 0] = self.line_middle + (pixels[:, 0] - self.line_middle) / nearer
        out: Points = (pixels - self.onto[:2, 2]) @ np.linalg.inv(self.onto[:2, :2]).T
        return out

    def view(self, plate: Plate) -> View:
        """How it sees the face of a plate, by the true datum of that, but for the wobble."""
        return View(self.onto @ np.linalg.inv(plate.datum))
