"""Find where the light steps along rays that cross the rim of a hole, to parts of a pixel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.camera.holes.light import Floats, Light
from legend.camera.opencv import weighed_along
from legend.camera.view import Points, View

#: Samples to the pixel along a ray, and by how many pixels steps are smoothed (the standard
#: deviation of a bell curve), so that noise makes few.
_PER_PIXEL, _SMOOTH = 3.0, 0.9
#: A step is told from noise by so many times its spread, and is at least so much of root light.
_OVER_NOISE, _LEAST = 4.0, 0.012
#: A step of so much root light is one in any noise: what is noisier than that is no noise, but
#: light that changes all along the ray.
_SURE = 0.06
#: A step is at least this part of the strongest one of its ray.
_LEAST_PART = 0.1
#: So many steps of a ray are kept, the strongest ones.
MOST_STEPS = 6


@dataclass(frozen=True, slots=True, eq=False)
class Steps:
    """Where the light steps along rays: shape (rays, `MOST_STEPS`), NaN where there is none.

    `offset` is how far out along the ray, mm; `rise` by how much root light grows outwards
    there; `pixel` is the length of a pixel on the panel, mm.
    """

    offset: Floats
    rise: Floats
    pixel: float


def steps_along(
    light: Light, view: View, begin: Points, way: Points, reach: tuple[float, float]
) -> Steps:
    """The steps along rays from points of the panel, each with its unit way outwards.

    They are looked for from `reach[0]`, which is negative inwards, to `reach[1]`, mm.
    """
    x, y = begin.mean(axis=0).tolist()
    pixel = 1 / view.pixels_per_mm((x, y))
    step = pixel / _PER_PIXEL
    pad = int(3 * _SMOOTH * _PER_PIXEL)
    along = np.arange(np.floor(reach[0] / step) - pad, np.ceil(reach[1] / step) + pad + 1) * step
    places = begin[:, None] + way[:, None] * along[:, None]
    linear, root = light.at(view.to_picture(places.reshape(-1, 2)))
    shape = (len(begin), len(along))
    slope, root_slope = (_slope(each.reshape(shape)) for each in (linear, root))
    strength = np.abs(root_slope)
    # 1. A step is where root light changes fastest.
    inner = strength[:, 1:-1]
    peak = (inner >= strength[:, :-2]) & (inner > strength[:, 2:])
    peak[:, :pad] = peak[:, -pad:] = False
    # The height of a step that is blurred by so much is its slope times the width of the blur.
    width = np.sqrt(2 * np.pi) * np.hypot(_SMOOTH, 0.7) * _PER_PIXEL
    noise = 1.4826 * np.median(strength) * width
    least = max(_LEAST, min(_OVER_NOISE * noise, _SURE))
    height = inner * width
    strongest = np.where(peak, height, 0).max(axis=1, keepdims=True)
    peak &= (height > least) & (height > _LEAST_PART * strongest)
    ray, at = np.nonzero(peak)
    at += 1
    # 2. It is placed where linear light does.
    where = _placed(np.abs(slope), ray, at)
    offset = along[0] + where * step
    return _kept(ray, offset, root_slope[ray, at] * width, len(begin), pixel)


def _slope(profiles: Floats) -> Floats:
    """How fast smoothed profiles change, by sample; and between rays that are neighbours."""
    sigma = _SMOOTH * _PER_PIXEL
    half = int(3 * sigma)
    t = np.arange(-half, half + 1)
    bell = np.exp(-(t**2) / (2 * sigma**2))
    kernel = t * bell / (t * t * bell).sum()
    return weighed_along(profiles, kernel)


def _placed(strength: Floats, ray: NDArray[np.intp], at: NDArray[np.intp]) -> Floats:
    """The peak of a curve by parabola, near each sample of a ray, in samples."""
    near = int(_PER_PIXEL)
    span = np.arange(-near, near + 1)
    index = np.clip(at[:, None] + span, 1, strength.shape[1] - 2)
    values = strength[ray[:, None], index]
    # What lies nearer counts for more, or a stronger neighbour would be taken.
    best = index[np.arange(len(ray)), (values * np.exp(-((span / near) ** 2))).argmax(axis=1)]
    for _ in range(near):  # up to the top
        left, mid, right = (
            strength[ray, np.clip(best + k, 0, strength.shape[1] - 1)] for k in (-1, 0, 1)
        )
        best = np.clip(
            best + np.where(right > mid, 1, np.where(left > mid, -1, 0)), 1, strength.shape[1] - 2
        )
    left, mid, right = (strength[ray, best + k] for k in (-1, 0, 1))
    bend = left - 2 * mid + right
    shift = np.where(bend < 0, 0.5 * (left - right) / np.where(bend < 0, bend, -1), 0.0)
    out: Floats = best + np.clip(shift, -1, 1)
    return out


def _kept(ray: NDArray[np.intp], offset: Floats, rise: Floats, rays: int, pixel: float) -> Steps:
    """The strongest steps of each ray, beside each other."""
    order = np.lexsort((-np.abs(rise), ray))
    ray, offset, rise = ray[order], offset[order], rise[order]
    first = np.searchsorted(ray, np.arange(rays))
    place = np.arange(len(ray)) - first[ray]
    kept = place < MOST_STEPS
    offsets, rises = (np.full((rays, MOST_STEPS), np.nan) for _ in range(2))
    offsets[ray[kept], place[kept]] = offset[kept]
    rises[ray[kept], place[kept]] = rise[kept]
    return Steps(offsets, rises, pixel)
