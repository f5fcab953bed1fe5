"""Find how far the rim of a hole is seen from where the hole list has it.

Across the listed edge, the light is followed from the paint into the hole. Where the rim of the
metal is, the paint ends; further in, the wall of the hole and its far rim may be seen, or a disc of
film that lies in it. So of several steps those count that agree on one edge of the listed size.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.camera.letters.by_holes.landmarks import Landmark
from legend.camera.letters.by_holes.seen_panel import SeenPanel
from legend.camera.view import Points

Floats = NDArray[np.float64]

#: How far apart the steps along a ray across the rim are, mm.
_STEP = 0.04
#: A rim that is found on fewer rays is none.
_FEWEST_RAYS = 8
#: How far outside the rim paint is looked for, mm.
_OUTSIDE = 1.3
#: A step counts that is at least this part of that from paint to the darkest or lightest within.
_LEAST_STEP = 0.18
#: How far a hole may be larger or smaller than listed, mm, as a standard deviation: paint makes it
#: narrower, and a drill wider. Common practice, no source.
_SIZE_IS_RIGHT = 0.06
#: Where a ray leans from the camera by more than this, mm to the mm of its height, the wall of the
#: hole may be seen at its end. Such rays count so much.
_WALL_SEEN, _WALL_COUNTS = 0.03, 0.35
#: How far from the rim as it is known steps are looked for, mm, from round to round: on rays where
#: no wall is seen, and where one may be.
_WINDOWS = ((0.4, 0.0), (0.3, 0.0), (0.25, 0.0), (0.2, 0.08), (0.2, 0.08), (0.15, 0.08))
#: How much wall is counted at first, when the rim is only known roughly.
_WALL_AT_FIRST = 0.15
#: So near to its place, mm, must a rim be at whose every ray the wall may be seen: the back of the
#: metal is seen further in.
_NEAR = 0.3


@dataclass(frozen=True, slots=True, eq=False)
class Rim:
    """How far a rim is seen from its place: right and up, mm, and its covariance, mm².

    `larger` is by how much the hole is larger all round. `support` is the part of the rays on
    which the rim was found, those left out at whose end the wall may be seen; `spread` is how wide
    the step at the rim is, mm, as the standard deviation of the blur.
    """

    off: Floats
    covariance: Floats
    larger: float
    support: float
    spread: float


def rim_of(panel: SeenPanel, landmark: Landmark, reach: float) -> Rim | None:
    """The rim that lies within `reach` mm of its place; None where it is not seen."""
    points, normals = landmark.points, landmark.normals
    inner = 0.5 * min(landmark.opening.hole.shape.size)
    deep = min(reach + 0.6, 0.8 * inner)
    along = np.arange(-deep, max(_OUTSIDE, reach + 0.5) + _STEP, _STEP)
    light = panel.light_at(points[:, None] + along[None, :, None] * normals[:, None])
    if not np.isfinite(light).all():
        return None
    steps = _steps(light, along)
    if steps.max() <= 0:
        return None
    eye = panel.view.eye
    wall = np.zeros(len(points), dtype=bool)
    if eye is not None:
        away = landmark.at - np.array(eye[:2])
        wall = (normals @ away) > _WALL_SEEN * eye[2]
        if np.count_nonzero(~wall) < _FEWEST_RAYS:
            # All round a window under the camera the wall is seen. Its front is told by being near.
            wall[:], reach = False, min(reach, _NEAR)
    start = _start(steps, along, normals, np.where(wall, _WALL_AT_FIRST, 1.0), reach)
    return _refined(steps, along, normals, wall, start, reach)


def _steps(light: NDArray[np.float32], along: Floats) -> Floats:
    """How steeply the light grows unlike the paint, inwards, per mm, between the places along.

    Within the hole, most is 1 unlike it.
    """
    paint = np.median(light[:, along > 0.6].reshape(-1, 3), axis=0)
    unlike = np.sqrt((((light - paint) / np.maximum(paint, 0.01)) ** 2).sum(axis=2))
    full = np.percentile(unlike[:, along < -0.1], 90)
    unlike = unlike.astype(float) / max(float(full), 1e-6)
    steps = -np.diff(unlike, axis=1) / _STEP
    return _smooth(steps)


def _smooth(rows: Floats) -> Floats:
    """Rows smoothed by the normal law, 1.2 steps wide."""
    kernel = np.exp(-0.5 * (np.arange(-3, 4) / 1.2) ** 2)
    padded = np.pad(rows, ((0, 0), (3, 3)))
    n = rows.shape[1]
    out: Floats = sum(k * padded[:, i : i + n] for i, k in enumerate(kernel / kernel.sum()))
    return out


def _start(steps: Floats, along: Floats, normals: Points, counts: Floats, reach: float) -> Floats:
    """The shift, and the growth all round, at which most of the steps lie on the edge: roughly."""
    shifts = np.arange(-reach, reach + 0.05, 0.1)
    first = along[0] + _STEP / 2
    rows = np.arange(len(steps))
    clipped = np.clip(steps, 0, np.percentile(steps.max(axis=1), 50)) * counts[:, None]
    best, at = -np.inf, np.zeros(3)
    for larger in (-0.1, 0.0, 0.1):
        for dx in shifts:
            where = normals[:, :1] * dx + normals[:, 1:] * shifts + larger
            index = np.clip(np.round((where - first) / _STEP).astype(int), 0, steps.shape[1] - 1)
            score = clipped[rows[:, None], index].sum(axis=0)
            k = int(score.argmax())
            if score[k] > best:
                best, at = float(score[k]), np.array([dx, shifts[k], larger])
    return at


def _refined(
    steps: Floats,
    along: Floats,
    normals: Points,
    wall: NDArray[np.bool_],
    start: Floats,
    reach: float,
) -> Rim | None:
    """The edge to small parts of a pixel: the steps nearest to it, those that disagree left out."""
    centres = (along[:-1] + along[1:]) / 2
    peak = np.zeros_like(steps, dtype=bool)
    peak[:, 1:-1] = (steps[:, 1:-1] >= steps[:, :-2]) & (steps[:, 1:-1] > steps[:, 2:])
    peak &= steps > _LEAST_STEP * np.percentile(steps.max(axis=1), 80)
    design = np.column_stack([normals, np.ones(len(normals))])
    prior = np.diag([1 / reach**2, 1 / reach**2, 1 / _SIZE_IS_RIGHT**2])
    fit, spread = start.copy(), 0.1
    counts = np.where(wall, _WALL_COUNTS, 1.0)
    weight, found = counts, np.zeros(len(normals))
    for window, on_wall in _WINDOWS:
        expected = design @ fit
        far = np.where(peak, np.abs(centres[None] - expected[:, None]), np.inf)
        nearest = far.argmin(axis=1)
        seen = far[np.arange(len(far)), nearest] < np.where(wall, on_wall, window)
        if seen.sum() < _FEWEST_RAYS:
            return None
        found = _vertex(steps, centres, nearest)
        residual = found - expected
        spread = max(1.4826 * float(np.median(np.abs(residual[seen]))), 0.01)
        weight = np.asarray(np.where(seen, counts * _tukey(residual / spread), 0), float)
        if np.count_nonzero(weight) < _FEWEST_RAYS:
            return None
        normal = (design.T * weight) @ design / spread**2 + prior
        fit = np.asarray(np.linalg.solve(normal, (design.T * weight) @ found / spread**2), float)
    support = float((weight > 0.1)[~wall].mean())
    # Rays nearer than a pixel or two tell the same: a fourth of them is taken for independent.
    normal = (design.T * weight) @ design / (4 * spread**2) + prior
    covariance = np.linalg.inv(normal)[:2, :2] + 0.01**2 * np.eye(2)
    return Rim(fit[:2], covariance, float(fit[2]), support, _blur(steps, centres, found, weight))


def _vertex(steps: Floats, centres: Floats, at: NDArray[np.intp]) -> Floats:
    """Where each step is steepest: the top of the parabola through three places."""
    at = np.clip(at, 1, steps.shape[1] - 2)
    rows = np.arange(len(steps))
    before, here, after = steps[rows, at - 1], steps[rows, at], steps[rows, at + 1]
    bend = before - 2 * here + after
    shift = np.where(np.abs(bend) > 1e-9, 0.5 * (before - after) / np.where(bend == 0, 1, bend), 0)
    out: Floats = centres[at] + np.clip(shift, -1, 1) * _STEP
    return out


def _tukey(r: Floats) -> Floats:
    """The biweight of residuals, which leaves out those beyond 4.685 times their spread."""
    out: Floats = np.where(np.abs(r) < 4.685, (1 - (r / 4.685) ** 2) ** 2, 0)
    return out


def _blur(steps: Floats, centres: Floats, found: Floats, weight: Floats) -> float:
    """How wide the mean step is, as a standard deviation, mm: by its height against its area."""
    good = weight > 0.5
    if not good.any():
        return 0.0
    about = np.arange(-0.4, 0.41, _STEP)
    rows = [
        np.interp(f + about, centres, row) for f, row in zip(found[good], steps[good], strict=True)
    ]
    mean = np.clip(np.median(rows, axis=0), 0, None)
    area, height = mean.sum() * _STEP, mean.max()
    return float(area / (height * np.sqrt(2 * np.pi))) if height > 0 else 0.0
