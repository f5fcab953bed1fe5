"""Make a picture of light: blur, noise, the curve of the file, its compression and its tags."""

from __future__ import annotations

import io
import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

Light = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Sensor:
    """How light becomes a file. Blurs in px; `full` electrons are white, `read` their noise.

    `orientation` is the tag of EXIF by which a viewer turns the picture upright; `quality` is
    that of JPEG, None for a PNG; `focal` is the focal length
    that the tags tell, px. Red is drawn larger than green by `fringe` px at the corners, and blue
    smaller; on a flatbed, whose lines of sensors lie behind each other, they are `rows_apart`.
    """

    blur: float = 0.6
    defocus: float = 0.0
    motion: tuple[float, float] = (0.0, 0.0)
    full: float = 6000.0
    read: float = 4.0
    vignette: float = 0.0
    exposure: float | None = None
    sharpened: float = 0.0
    fringe: float = 0.0
    rows_apart: float = 0.0
    quality: int | None = 92
    orientation: int = 1
    focal: float | None = None
    dpi: float | None = None


def developed(light: Light, sensor: Sensor, rng: np.random.Generator) -> bytes:
    """The file of a picture, upright as it is given; sRGB by IEC 61966-2-1."""
    light = blurred(_fringed(light, sensor), sensor)
    if sensor.vignette:
        light *= _falloff(light.shape[:2], sensor.vignette)[..., None]
    if sensor.exposure is None:
        light *= _metered(light[::7, ::7])
    else:
        light *= sensor.exposure
    if sensor.full:
        noise = rng.standard_normal(light.shape, dtype=np.float32)
        noise *= np.sqrt(np.maximum(light, 0) / sensor.full + (sensor.read / sensor.full) ** 2)
        light += noise
    values = encoded(light, sensor.sharpened)
    return _file(values, sensor)


def _metered(light: Light) -> float:
    """The exposure that a camera chooses: by all that is seen, a little of it too light."""
    by_middle = 0.32 / max(float(light.mean()), 1e-6)
    by_bright = 1.0 / max(float(np.percentile(light, 97)), 1e-6)
    return min(by_middle, by_bright)


def blurred(light: Light, sensor: Sensor) -> Light:
    """Light as the lens and the hand spread it."""
    if sensor.blur:
        light = cv2.GaussianBlur(light, (0, 0), sensor.blur)
    if sensor.defocus:
        light = cv2.filter2D(light, -1, _disc(sensor.defocus))
    if any(sensor.motion):
        light = cv2.filter2D(light, -1, _streak(sensor.motion))
    return np.asarray(light, np.float32)


def encoded(light: Light, sharpened: float = 0.0) -> NDArray[np.uint8]:
    """Linear light as the values of a file, which a camera sharpens when they are encoded."""
    table = np.arange(4097) / 4096
    curve = np.where(table <= 0.0031308, 12.92 * table, 1.055 * table ** (1 / 2.4) - 0.055)
    steps = np.clip(light * 4096 + 0.5, 0, 4096).astype(np.uint16)
    if not sharpened:
        return np.round(curve * 255).astype(np.uint8)[steps]
    values = (curve * 255).astype(np.float32)[steps]
    values += sharpened * (values - cv2.GaussianBlur(values, (0, 0), 1.2))
    return np.round(np.clip(values, 0, 255)).astype(np.uint8)


def _fringed(light: Light, sensor: Sensor) -> Light:
    """Light with red and blue a little aside of green."""
    if not (sensor.fringe or sensor.rows_apart):
        return light
    rows, columns = light.shape[:2]
    middle = np.array([(columns - 1) / 2, (rows - 1) / 2])
    out = light.copy()
    for channel, way in ((0, 1), (2, -1)):
        scale = 1 + way * sensor.fringe / float(np.hypot(*middle))
        shift = (1 - scale) * middle + (0, way * sensor.rows_apart)
        move = np.array([[scale, 0, shift[0]], [0, scale, shift[1]]])
        # not cubic interpolation: it would sharpen the two
        out[..., channel] = cv2.warpAffine(
            light[..., channel],
            move,
            (columns, rows),
            flags=cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_REPLICATE,
        )
    return out


def _disc(radius: float) -> Light:
    reach = int(np.ceil(radius)) + 1
    y, x = np.mgrid[-reach : reach + 1, -reach : reach + 1]
    disc = np.clip(radius + 0.5 - np.hypot(x, y), 0, 1)
    return np.asarray(disc / disc.sum(), np.float32)


def _streak(way: tuple[float, float]) -> Light:
    reach = int(np.ceil(max(map(abs, way)))) + 1
    kernel = np.zeros((2 * reach + 1, 2 * reach + 1), np.float32)
    for t in np.linspace(-0.5, 0.5, 33):
        x, y = reach + t * way[0], reach + t * way[1]
        i, j = int(y), int(x)
        for di, dj in ((0, 0), (0, 1), (1, 0), (1, 1)):
            kernel[i + di, j + dj] += (1 - abs(y - i - di)) * (1 - abs(x - j - dj))
    return kernel / kernel.sum()


def _falloff(shape: tuple[int, int], depth: float) -> Light:
    rows, columns = shape
    y = (np.arange(rows) / rows - 0.5)[:, None] * rows / max(shape)
    x = (np.arange(columns) / columns - 0.5)[None] * columns / max(shape)
    return np.asarray(1 - depth * (x**2 + y**2) / 0.39, np.float32)


#: How an upright picture is stored under each tag, so that the tag turns it upright again.
_STORED = {
    1: None,
    3: Image.Transpose.ROTATE_180,
    6: Image.Transpose.ROTATE_90,
    8: Image.Transpose.ROTATE_270,
}


def _file(values: NDArray[np.uint8], sensor: Sensor) -> bytes:
    image = Image.fromarray(values)
    stored = _STORED[sensor.orientation]
    if stored is not None:
        image = image.transpose(stored)
    exif = Image.Exif()
    if sensor.orientation != 1:
        exif[0x0112] = sensor.orientation
    if sensor.focal:  # by the diagonals: 43.27 mm is that of a frame of 35 mm film
        on_film = sensor.focal / math.hypot(*values.shape[:2]) * math.hypot(24, 36)
        exif.get_ifd(0x8769)[0xA405] = round(on_film)
    out = io.BytesIO()
    dpi = {"dpi": (sensor.dpi, sensor.dpi)} if sensor.dpi else {}
    if sensor.quality is None:
        image.save(out, "PNG", compress_level=1, **dpi)
    else:
        image.save(out, "JPEG", quality=sensor.quality, exif=exif, **dpi)
    return out.getvalue()
