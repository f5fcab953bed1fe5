"""Light a scene: by a lamp and the room it stands in, or by the bar of a flatbed.

Each says how much light falls on a surface, what a shiny one mirrors, and where shadows fall.
Places are mm; `normal` is the way a surface faces, (x, y, z); light is about 1 on the plate.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from .coverage import Points

Values = NDArray[np.float32]
Normal = tuple[float | Values, float | Values, float | Values]


#: Straight up, as the face of a plate.
UP: Normal = (0.0, 0.0, 1.0)


class Lighting(Protocol):
    """What lights a scene."""

    def on(
        self,
        x: Values,
        y: Values,
        normal: Normal = UP,
        lit: float | Values = 1.0,
        open_: float | Values = 1.0,
    ) -> Values:
        """The light on a surface; `lit` is the part of the lamp that is seen from there, `open_`
        that of the room."""

    def mirrored(self, x: Values, y: Values, normal: Normal, rough: tuple[float, float]) -> Values:
        """The light that a shiny surface sends to the eye."""

    def shadow(self, places: Points, depth: float) -> Points:
        """Where the shadow of places falls so far beneath them."""

    def penumbra(self, depth: float) -> float:
        """How soft a shadow is so far beneath what throws it: standard deviation, mm."""

    @property
    def slope(self) -> tuple[float, float]:
        """How far aside the lamp is for each mm up, about the plate's middle."""


@dataclass(frozen=True, slots=True)
class Lamp:
    """A lamp at a place, seen by an eye at another, in a room.

    `size` is the lamp's diameter; `power` and `ambient` are the light of lamp and room on the
    plate below the lamp; `room` is what is mirrored of the room, `uneven` how much lighter it is
    for each unit of slope, `glare` how bright the lamp's mirror image is, against the
    room's, `silhouette` how dark that of whoever holds the camera.
    """

    at: tuple[float, float, float]
    eye: tuple[float, float, float]
    middle: tuple[float, float]
    size: float = 120.0
    power: float = 0.6
    ambient: float = 0.4
    room: float = 0.6
    uneven: tuple[float, float] = (0.2, 0.4)
    glare: float = 2.0
    silhouette: float = 0.3
    shades: tuple[tuple[float, float, float, float], ...] = ()

    def on(
        self,
        x: Values,
        y: Values,
        normal: Normal = UP,
        lit: float | Values = 1.0,
        open_: float | Values = 1.0,
    ) -> Values:
        """The light on a surface; `shades` (x, y, width, depth 0 to 1) are soft shadows on it."""
        lx, ly, lz = self.at[0] - x, self.at[1] - y, self.at[2]
        r2 = lx**2 + ly**2 + lz**2
        r = np.sqrt(r2)
        (mx, my), (ax, ay, _) = self.middle, self.at
        near2 = (ax - mx) ** 2 + (ay - my) ** 2 + lz**2
        facing = np.maximum(0, (normal[0] * lx + normal[1] * ly + normal[2] * lz) / r)
        direct = self.power * facing * near2 / r2 * np.sqrt(near2) / lz * lit
        for sx, sy, width, depth in self.shades:
            direct = direct * (
                1 - depth * np.exp(-((x - sx) ** 2 + (y - sy) ** 2) / (2 * width**2))
            )
        return np.asarray(
            direct + self.ambient * open_ * (0.5 + 0.5 * np.asarray(normal[2])), np.float32
        )

    def mirrored(self, x: Values, y: Values, normal: Normal, rough: tuple[float, float]) -> Values:
        """The room, lighter to one side, and the lamp, spread along and across the grain."""
        vx, vy, vz = self.eye[0] - x, self.eye[1] - y, self.eye[2]
        n = np.sqrt(vx**2 + vy**2 + vz**2)
        vx, vy, vz = vx / n, vy / n, vz / n
        facing = 2 * (normal[0] * vx + normal[1] * vy + normal[2] * vz)
        rx, ry, rz = facing * normal[0] - vx, facing * normal[1] - vy, facing * normal[2] - vz
        up = np.maximum(rz, 0.08)
        sx, sy = np.clip(rx / up, -4, 4), np.clip(ry / up, -4, 4)
        room = self.room * np.clip(1 + self.uneven[0] * sx + self.uneven[1] * sy, 0.15, 2.5)
        # whoever holds the camera is mirrored below it, as wide as hands and head
        bx, by = np.hypot(rough[0], 0.16), np.hypot(rough[1], 0.16)
        body = np.exp(-((sx / bx) ** 2 + (sy / by) ** 2) / 2) * 0.16**2 / (bx * by)
        room = room * (1 - self.silhouette * body)
        s = self.size / 2 / self.at[2]
        wx, wy = np.hypot(rough[0], s), np.hypot(rough[1], s)
        dx, dy = sx - (self.at[0] - x) / self.at[2], sy - (self.at[1] - y) / self.at[2]
        lobe = self.glare * s**2 / (wx * wy) * 4 * np.exp(-((dx / wx) ** 2 + (dy / wy) ** 2) / 2)
        above = np.clip(rz * 2.5 + 0.5, 0, 1)  # what faces down mirrors the dark plate and bench
        return np.asarray(0.3 * self.room + above * (room + lobe - 0.3 * self.room), np.float32)

    def shadow(self, places: Points, depth: float) -> Points:
        """Away from the lamp, by the height of the lamp."""
        out: Points = places + (places - np.array(self.at[:2])) * depth / self.at[2]
        return out

    def penumbra(self, depth: float) -> float:
        """By the lamp's size and height."""
        return depth * self.size / self.at[2] / 4

    @property
    def slope(self) -> tuple[float, float]:
        """From the plate's middle."""
        return (self.at[0] - self.middle[0]) / self.at[2], (self.at[1] - self.middle[1]) / self.at[
            2
        ]


@dataclass(frozen=True, slots=True)
class Bar:
    """The light of a flatbed: a bar across the carriage that shines from before or behind it.

    `slope` is how it leans; `fill` is what comes from all round; what is mirrored is little,
    unless a surface leans towards the bar.
    """

    slope: tuple[float, float] = (0.0, 0.8)
    fill: float = 0.35
    mirror: float = 0.35

    def on(
        self,
        x: Values,
        y: Values,
        normal: Normal = UP,
        lit: float | Values = 1.0,
        open_: float | Values = 1.0,
    ) -> Values:
        """Even everywhere."""
        a, b = self.slope
        facing = np.maximum(0, normal[0] * a + normal[1] * b + np.asarray(normal[2])) / np.sqrt(
            1 + a * a + b * b
        )
        bar = np.sqrt(1 + a * a + b * b) * (1 - self.fill) * facing * lit
        even = bar + self.fill * open_ * np.maximum(0.1, normal[2])
        return np.asarray(np.broadcast_to(even, np.shape(x)), np.float32)

    def mirrored(self, x: Values, y: Values, normal: Normal, rough: tuple[float, float]) -> Values:
        """Straight down the sensor mirrors itself; a surface that leans to the bar, the bar."""
        nx, ny, nz = (np.asarray(part) for part in normal)
        lean = np.maximum(nz, 0.1)
        sx, sy = (
            2 * nx * nz / np.maximum(2 * lean**2 - 1, 0.1),
            2 * ny * nz / np.maximum(2 * lean**2 - 1, 0.1),
        )
        wx, wy = rough[0] + 1.0, rough[1] + 0.15
        lobe = np.exp(-(((sx - self.slope[0]) / wx) ** 2 + ((sy - self.slope[1]) / wy) ** 2) / 2)
        return np.asarray(
            np.broadcast_to(self.mirror * (0.6 + 1.6 * lobe), np.shape(x)), np.float32
        )

    def shadow(self, places: Points, depth: float) -> Points:
        """Away from the bar."""
        out: Points = places - np.array(self.slope) * depth
        return out

    def penumbra(self, depth: float) -> float:
        """The bar is narrow, but glass and lamp spread its light."""
        return 0.12 * depth
