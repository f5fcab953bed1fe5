"""Photographs of printed target pages, by a camera that is worked out here from first principles.

The PDF file itself is drawn by another library; each pixel's ray is bent back through the lens and
followed to the paper.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cache

import cv2
import numpy as np
import pypdfium2
from numpy.typing import NDArray

from legend.camera.picture import Picture
from legend.camera.target.target_page import TargetPage
from legend.camera.target.target_pdf import ForPanel, target_sheets
from legend.description.shapes.edge import Edge
from legend.drawing.pdf.paper import Paper
from legend.drawing.pdf.sheets import printed
from legend.standards import INCH

#: Dots to the mm of the paper as it is drawn, and how much paper is drawn round the page, mm.
FINE, _ROUND = 300 / INCH, 30.0
_METAL = 0.45


@dataclass(frozen=True, eq=False)
class Laid:
    """Light from the paper, 0 to 1, by rows from the top; `origin` is where the first is, mm."""

    light: NDArray[np.float32]
    origin: tuple[float, float]

    @cache  # noqa: B019 - few papers are made, and all photographed often
    def spread(self, blur: float) -> NDArray[np.float32]:
        """Its light as a lens spreads it: before it is sampled."""
        return cv2.GaussianBlur(self.light, (0, 0), blur)


@dataclass(frozen=True)
class Taken:
    """A camera: where it stands, what it looks at, its turn about that line, and its lens."""

    size: tuple[int, int] = (1000, 800)
    focal: float = 800.0
    eye: tuple[float, float, float] = (30.0, 20.0, 100.0)
    at: tuple[float, float] = (30.0, 20.0)
    roll: float = 0.0
    k1: float = 0.0
    k2: float = 0.0
    blur: float = 1.2
    noise: float = 0.004
    seed: int = 1
    covered: tuple[tuple[float, float, float, float], ...] = field(default=())

    @property
    def turn(self) -> NDArray[np.float64]:
        """Rows: the camera's right, down and forward, in the coordinates of the panel."""
        forward = np.array([*self.at, 0.0]) - self.eye
        forward /= np.linalg.norm(forward)
        up = np.array([0.0, 1.0, 0.0])
        right = np.cross(forward, up)
        right /= np.linalg.norm(right)
        down = np.cross(forward, right)
        a = math.radians(self.roll)
        return np.array(
            [math.cos(a) * right + math.sin(a) * down, math.cos(a) * down - math.sin(a) * right,
             forward]
        )  # fmt: skip

    def paper_at(self, pixels: NDArray[np.float64]) -> NDArray[np.float64]:
        """Where on the paper the rays of pixels end, mm."""
        middle = (np.array(self.size) - 1) / 2
        bent = (pixels - middle) / self.focal
        rays = bent.copy()
        for _ in range(30 if self.k1 or self.k2 else 0):
            r2 = (rays**2).sum(axis=1, keepdims=True)
            before, rays = rays, bent / (1 + self.k1 * r2 + self.k2 * r2**2)
            if np.abs(rays - before).max() < 1e-9:
                break
        ways = np.column_stack([rays, np.ones(len(rays))]) @ self.turn
        eye = np.array(self.eye)
        return (eye - ways * (eye[2] / ways[:, 2:]))[:, :2]

    def seen(self, places: NDArray[np.float64], height: float = 0.0) -> NDArray[np.float64]:
        """Where points are seen, px, that lie so high above the paper."""
        points = np.column_stack([places, np.full(len(places), height)]) - self.eye
        x, y, z = self.turn @ points.T
        u, v = x / z, y / z
        r2 = u**2 + v**2
        bend = 1 + self.k1 * r2 + self.k2 * r2**2
        middle = (np.array(self.size) - 1) / 2
        return np.column_stack([u * bend, v * bend]) * self.focal + middle


def laid(
    page: TargetPage, paper: Paper = "A4", off: dict[int, tuple[float, float, float]] | None = None
) -> Laid:
    """The page as printed, its sheets put together, each off by so much across and up, mm, and
    turned by so much, rad; the panel, of grey metal, lies on it."""
    width, height = page.panel
    edge = Edge.rectangle(width, height).moved(width / 2, height / 2)
    drawing, tiling = target_sheets(page, ForPanel(edge, "Test", "it", "light"), paper)
    data = printed(drawing, tiling, (0.0, 0.0))
    x0, y0, x1, y1 = page.border
    x0, y0, x1, y1 = x0 - _ROUND, y0 - _ROUND, x1 + _ROUND, y1 + _ROUND
    ys = y1 - (np.arange(int((y1 - y0) * FINE)) + 0.5) / FINE
    xs = x0 + (np.arange(int((x1 - x0) * FINE)) + 0.5) / FINE
    light = np.full((len(ys), len(xs)), 0.35, np.float32)
    across, up = tiling.lanes
    with pypdfium2.PdfDocument(data) as document:
        for tile, sheet in zip(tiling.tiles, document, strict=True):
            drawn = sheet.render(scale=FINE * INCH / 72, grayscale=True).to_numpy().squeeze()
            left = across[tile.column - 1] if tile.column else tile.view[0] - 12
            right = across[tile.column] if tile.column < len(across) else tile.view[2] + 12
            top = up[tile.row - 1] if tile.row else tile.view[3] + 12
            bottom = up[tile.row] if tile.row < len(up) else tile.view[1] - 12
            dx, dy, angle = (off or {}).get(tiling.tiles.index(tile), (0.0, 0.0, 0.0))
            i = (xs >= left) & (xs < right)
            j = (ys >= bottom) & (ys < top)
            gx, gy = np.meshgrid(xs[i] - dx, ys[j] - dy)
            mx, my = (left + right) / 2, (bottom + top) / 2
            gx, gy = (
                mx + (gx - mx) + angle * (gy - my),
                my + (gy - my) - angle * (gx - mx),
            )
            fine = np.array(drawn.shape[::-1]) / tiling.size  # whole pixels on the sheet
            px = (gx - tile.view[0] + tile.at[0]) * fine[0] - 0.5
            py = drawn.shape[0] - (gy - tile.view[1] + tile.at[1]) * fine[1] - 0.5
            light[np.ix_(j, i)] = 0.06 + 0.74 * _sampled(drawn / np.float32(255), px, py)
    panel = np.ix_((ys > 0) & (ys < height), (xs > 0) & (xs < width))
    light[panel] = _METAL
    return Laid(light, (float(xs[0]), float(ys[0])))


def photograph(
    paper: Laid, camera: Taken, name: str = "photo.jpg", focal: float | None = None
) -> Picture:
    """What a camera sees of the paper; `focal` is what it says of its own focal length."""
    width, height = camera.size
    x, y = camera.paper_at(np.indices((height, width))[::-1].reshape(2, -1).T.astype(float)).T
    light = _sampled(
        paper.spread(camera.blur), (x - paper.origin[0]) * FINE, (paper.origin[1] - y) * FINE
    )
    for x0, y0, x1, y1 in camera.covered:
        light[(x > x0) & (x < x1) & (y > y0) & (y < y1)] = 0.5
    light = light.reshape(height, width)
    light += np.random.default_rng(camera.seed).normal(0, camera.noise, light.shape)
    light = np.clip(light, 0, 1)
    values = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    grey = np.rint(values * 255).astype(np.uint8)
    return Picture(np.repeat(grey[:, :, None], 3, axis=2), None, name, focal)


def _sampled(
    values: NDArray[np.floating], x: NDArray[np.floating], y: NDArray[np.floating]
) -> NDArray[np.floating]:
    """What an array of rows has between its pixels, counted from the first."""
    columns = 1024  # OpenCV maps rows of 32767 at most
    whole = np.zeros(-(-x.size // columns) * columns, np.float32)
    across, up = whole.copy(), whole.copy()
    across[: x.size], up[: x.size] = x.ravel(), y.ravel()
    maps = (each.reshape(-1, columns) for each in (across, up))
    out = cv2.remap(
        values.astype(np.float32), *maps, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    return out.ravel()[: x.size].reshape(x.shape)
