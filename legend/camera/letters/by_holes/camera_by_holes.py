"""Fit a camera to the holes of a panel: least squares in numpy, with what is known of cameras.

Holes are few, and none stands quite where its list has it. A camera with a focal length that its
picture tells, and a lens as lenses are, follows their errors far less than a free perspective does.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from legend.camera.picture import Picture
from legend.camera.target.camera_fit import Camera, Corners, first_camera, turned_by
from legend.camera.view import Points

#: The usual focal length, as a part of the picture's longer side: 26 mm on 35 mm film.
_USUAL_FOCAL = 0.75
#: By what part a focal length may be off, as a standard deviation: one that the picture tells,
#: which is rounded to a millimetre; and the usual one. Common practice, no source.
_TOLD_OFF, _USUAL_OFF = 0.03, 0.25
#: How far the middle of the lens is from that of the picture, as a part of its longer side: of one
#: that was not cut, as those are that tell a focal length; and of one that may be.
_MIDDLE_OFF, _CUT_OFF = 0.003, 0.05
#: How strongly lenses bend, as a standard deviation of Brown's terms, on the focal length.
#: Common practice, no source.
_K1, _K2 = 0.03, 0.02
#: How well a hole list is kept, mm, as a standard deviation: as drilled, and measured.
_LIST_IS_RIGHT = 0.04
#: Holes that are off by more than so many standard deviations count less.
_AGREES = 2.0
#: How well the middle of a spot is that of a hole, mm, as a standard deviation.
_ROUGHLY = 0.3
#: Steps by which derivatives are found: of numbers and turns, px, and mm.
_TINY = np.array([1e-6, 1e-3, 1e-3, 1e-6, 1e-6, *[1e-7] * 3, *[1e-4] * 3])
_COUNT = len(_TINY)


@dataclass(frozen=True, slots=True, eq=False)
class HoleCamera:
    """A camera that was fitted to holes; `covariance` is that of its numbers: the logarithm of the
    focal length, the middle, the two terms of the lens, turn and shift.
    """

    camera: Camera
    covariance: Points

    def uncertainty_at(self, place: Points) -> float:
        """How far the view may be off at a place of the panel, mm, at 95 %."""
        rows = _derived(self.camera, place[None]).reshape(2, _COUNT)
        x, y = place.tolist()
        scale = self.camera.view().pixels_per_mm((x, y))
        spread = rows @ self.covariance @ rows.T / scale**2
        # The radius that holds 95 % of a round normal distribution.
        return math.sqrt(-2 * math.log(0.05) * float(np.linalg.eigvalsh(spread)[-1]))


def begun(picture: Picture, places: Points, pixels: Points) -> Camera:
    """A camera that has places, mm, about where they are seen, px."""
    corners = Corners(places, pixels, np.zeros(len(places), dtype=np.int64))
    return first_camera(corners, picture.size, _focal(picture))


def _focal(picture: Picture) -> float:
    return picture.focal or _USUAL_FOCAL * max(picture.size)


def fitted_to_spots(begin: Camera, picture: Picture, places: Points, pixels: Points) -> HoleCamera:
    """The camera that has holes about where spots are seen, px."""
    offs = begin.view().to_panel(pixels) - places
    return fitted_to_holes(begin, picture, places, offs, np.full(len(places), _ROUGHLY))


def fitted_to_holes(
    begin: Camera, picture: Picture, places: Points, offs: Points, spread: Points
) -> HoleCamera:
    """The camera that has holes where they are seen, by steps of Gauss and Newton.

    `offs` is how far each is seen from its place, by the camera to begin with, mm, and `spread` how
    well that was measured, a standard deviation.
    """
    seen = begin.view().to_picture(places + offs)
    scale = np.array([begin.view().pixels_per_mm((x, y)) for x, y in places.tolist()])
    sigma = np.sqrt(spread**2 + _LIST_IS_RIGHT**2) * scale
    likely = _likely(picture)
    camera, normal = begin, np.eye(_COUNT)
    for _ in range(12):
        residual = seen - camera.view().to_picture(places)
        far = np.hypot(*residual.T) / sigma
        weight = _AGREES / np.maximum(far, _AGREES) / sigma**2
        derived = _derived(camera, places)
        normal = np.einsum("n,nki,nkj->ij", weight, derived, derived) + np.diag(1 / likely**2)
        right = np.einsum("n,nki,nk->i", weight, derived, residual)
        right -= _held(camera, picture) / likely**2
        size = 1 / np.sqrt(np.diag(normal))
        step = size * np.linalg.solve(normal * np.outer(size, size), right * size)
        camera = _stepped(camera, step)
        if np.abs(step * size**-1).max() < 1e-4:
            break
    residual = seen - camera.view().to_picture(places)
    freedom = max(2 * len(places) - 6, 1)
    more = float(((residual / sigma[:, None]) ** 2).sum()) / freedom
    return HoleCamera(camera, np.asarray(np.linalg.inv(normal) * max(more, 1.0), float))


def _likely(picture: Picture) -> Points:
    """How far each number may be from what is known beforehand; places are quite unknown."""
    longer = max(picture.size)
    focal, middle = (_TOLD_OFF, _MIDDLE_OFF) if picture.focal else (_USUAL_OFF, _CUT_OFF)
    return np.array([focal, middle * longer, middle * longer, _K1, _K2, *[1e6] * 6])


def _held(camera: Camera, picture: Picture) -> Points:
    """How far each number is from what is known beforehand."""
    lens, (width, height) = camera.lens, picture.size
    x, y = lens.middle
    off = [math.log(lens.focal / _focal(picture)), x - (width - 1) / 2, y - (height - 1) / 2]
    return np.array([*off, lens.k1, lens.k2, *[0.0] * 6])


def _stepped(camera: Camera, step: Points) -> Camera:
    lens, (x, y) = camera.lens, camera.lens.middle
    focal, dx, dy, k1, k2 = step[:5].tolist()
    lens = replace(
        lens,
        focal=lens.focal * math.exp(float(np.clip(focal, -0.5, 0.5))),
        middle=(x + dx, y + dy),
        k1=lens.k1 + k1,
        k2=lens.k2 + k2,
    )
    return Camera(lens, turned_by(step[5:8]) @ camera.turn, camera.shift + step[8:11])


def _derived(camera: Camera, places: Points) -> Points:
    """How places in the picture move with each number, px: shape (n, 2, 11)."""
    solid = np.column_stack([places, np.zeros(len(places))])
    columns = []
    for k in range(_COUNT):
        step = np.zeros(_COUNT)
        step[k] = _TINY[k]
        more, less = (_stepped(camera, way * step).seen(solid) for way in (1, -1))
        columns.append((more - less) / (2 * _TINY[k]))
    return np.stack(columns, axis=2)
