"""Measure how blurred a picture is, by the sharpest steps on the panel: rims, scribed lines.

A step across a bevel is wider than the picture is blurred, and no edge by itself tells the two
apart. Within the panel there are steps without a bevel, and no step is sharper than the picture.
"""

from __future__ import annotations

import numpy as np

from legend.camera.panel.edges.profiles import light_at
from legend.camera.picture import Picture
from legend.camera.view import Points, View
from legend.description.tables.panel import Panel

#: So far within the edge steps are looked for, mm.
_WITHIN = 2.5
#: The least that light ranges over the panel, of the lightest: less is grain and noise.
_RANGES = 0.3
#: How far apart light is taken at first, px and mm, whichever is more; and how high a step is at
#: least, of the whole range of light.
_SPACED, _SPACED_MM, _LEAST = 3, 0.3, 0.25
#: How many of the steepest are measured, and the fewest that tell.
_MOST, _FEWEST = 1500, 60
#: How far to both sides of a step its light is taken, px, and from where on it must be even.
_REACH, _EVEN = 6.0, 3.5
#: Light on a side of a step is even that varies by less than this share of the step.
_VARIES = 0.12
#: So large a share of the steps is sharper than what is told: of some, noise makes them steeper.
_SHARPER = 0.25
#: No picture is sharper than its pixels are wide, and light between them is even, px.
_SHARPEST = 0.5


def blur_within(picture: Picture, view: View, panel: Panel) -> float | None:
    """The standard deviation of the blur, px, of sharp steps within a panel; None without any.

    1. Light is taken on a grid over the panel; where neighbours differ most, a step may be.
    2. Across each, along the slope, light is taken finely. Steps between two even levels count.
    3. A blurred step's height over its steepest slope is √(2π) standard deviations.
    """
    width, height = panel.size
    fineness = view.pixels_per_mm((width / 2, height / 2))
    spaced = max(_SPACED / fineness, _SPACED_MM)
    xs = np.arange(_WITHIN, width - _WITHIN, spaced)
    ys = np.arange(_WITHIN, height - _WITHIN, spaced)
    if len(xs) < 4 or len(ys) < 4:
        return None
    grid = np.stack(np.meshgrid(xs, ys), axis=-1)
    pixels = view.to_picture(grid.reshape(-1, 2)).reshape(grid.shape)
    light = np.nan_to_num(light_at(picture, pixels)).mean(axis=2)
    low, high = np.percentile(light, [0.5, 99.5])
    if high - low < _RANGES * high:
        return None
    up, across = (np.gradient(light, axis=k) for k in (0, 1))
    steep = np.hypot(up, across)
    sites = np.argsort(steep, axis=None)[-_MOST:]
    sites = sites[steep.ravel()[sites] > _LEAST / 2 * (high - low)]
    if len(sites) < _FEWEST:
        return None
    way = np.column_stack([across.ravel()[sites], up.ravel()[sites]])
    at = grid.reshape(-1, 2)[sites]
    first = view.to_picture(at)
    way = view.to_picture(at + way / np.linalg.norm(way, axis=1)[:, None] / fineness) - first
    way /= np.linalg.norm(way, axis=1)[:, None]
    widths = _widths(picture, first, way, _LEAST * (high - low))
    if len(widths) < _FEWEST:
        return None
    return max(float(np.quantile(widths, _SHARPER)), _SHARPEST)


def _widths(picture: Picture, places: Points, ways: Points, least: float) -> Points:
    """The blur of steps at places, px, across each along its way, of those that are steps."""
    t = np.arange(-2 * _REACH, 2 * _REACH + 0.25, 0.5)
    light = light_at(picture, places[:, None] + t[None, :, None] * ways[:, None]).mean(axis=2)
    slope = np.gradient(light, 0.5, axis=1)
    inner = np.abs(t) < _REACH
    middle = np.where(inner, np.nan_to_num(slope), -1).argmax(axis=1)
    half = round(2 * _REACH)
    index = np.clip(middle[:, None] + np.arange(-half, half + 1), 0, len(t) - 1)
    light = light[np.arange(len(light))[:, None], index]
    t = np.arange(-half, half + 1) * 0.5
    below, above = light[:, t < -_EVEN], light[:, t > _EVEN]
    height = above.mean(axis=1) - below.mean(axis=1)
    with np.errstate(invalid="ignore"):
        good = height > least
        for side in (below, above):
            good &= np.ptp(side, axis=1) < _VARIES * height + 0.02
    steepest = slope[np.arange(len(slope)), middle]
    out: Points = (height / np.maximum(steepest, 1e-9))[good] / np.sqrt(2 * np.pi)
    return out
