"""Fit a rim to steps of light by robust least squares, and tell how sure it is.

Every ray may have several steps: the rim, the wall that is seen below it, the ring of a chamfer,
a scratch. A fit takes the step of each that is nearest to it; where it is begun at several sizes,
it comes to rest on one ring after the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.camera.holes.light import Floats, Light
from legend.camera.holes.rims import Rim, fit_columns, some_points
from legend.camera.holes.steps import Steps, steps_along
from legend.camera.view import Points, View

#: The scale of Tukey's weight, in spreads. J. W. Tukey's biweight, as in P. J. Huber, "Robust
#: Statistics", 1981.
_TUKEY = 4.685
#: The least spread of steps round a rim that is believed, in pixels.
_LEAST_SPREAD = 0.06
#: Rays across a rim, at the most: more see it hardly better.
_MOST_RAYS = 180


@dataclass(frozen=True, slots=True, eq=False)
class Rays:
    """The steps along rays from the points of a rim, and how far each can be trusted.

    `columns` is how far out each point moves with each number of the rim; `trust` is from 0 to 1.
    """

    rim: Rim
    points: Points
    ways: Points
    columns: Floats
    steps: Steps
    trust: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Ring:
    """A rim that was fitted: to which steps, how nearly, and how much of it there was.

    `mean_offset` is how far it lies out of the rim that the rays cross, on the average, mm; `on`
    tells which rays have a step on it, and `rise` by how much root light grows outwards there, NaN
    where there is none; `support` is the part of all trust that lies on it; `spread` that of the
    steps, mm; `covariance` that of its numbers.
    """

    rim: Rim
    mean_offset: float
    on: NDArray[np.bool_]
    support: float
    spread: float
    covariance: Floats
    rise: Floats


def rays_of(
    light: Light, view: View, rim: Rim, reach: tuple[float, float], trust: Floats | None = None
) -> Rays:
    """Look along rays across a rim. `trust` is left out for equal trust in all."""
    around = _round_about(rim)
    x, y = rim.numbers[:2].tolist()
    fineness = view.pixels_per_mm((x, y))
    count = int(np.clip(around * fineness, 40, _MOST_RAYS))
    points, ways, columns = fit_columns(rim, count)
    steps = steps_along(light, view, points, ways, reach)
    return Rays(rim, points, ways, columns, steps, np.ones(len(points)) if trust is None else trust)


def _round_about(rim: Rim) -> float:
    """About how long a rim is, mm."""
    points, _ = some_points(rim, 64)
    return float(np.hypot(*(points - np.roll(points, 1, axis=0)).T).sum())


def ring_near(rays: Rays, begin: float, gate: float) -> Ring | None:
    """The rim that steps near an offset lie on; None where there are too few.

    `begin` is how far out of the rays' own rim it is looked for, `gate` how far from there steps
    may lie at first, mm.
    """
    return rings_near(rays, [begin], gate)[0]


def rings_near(rays: Rays, begins: Sequence[float] | Floats, gate: float) -> list[Ring | None]:
    """The rim near each of several offsets, as `ring_near` finds it; all are fitted at once."""
    pixel, free = rays.steps.pixel, rays.columns.shape[1]
    count = len(begins)
    change = np.zeros((count, free))
    expected = np.repeat(np.asarray(begins, float)[:, None], len(rays.points), axis=1)
    spread = np.full(count, gate / 2)
    left = np.arange(count)  # those that are not at rest yet
    lost = np.zeros(count, bool)
    for turn in range(12):
        target, distance, _ = _nearest(rays.steps.offset, expected[left])
        limit = np.maximum(max(gate * 0.7**turn, pixel), _TUKEY * spread[left])
        on = np.abs(distance) < limit[:, None]
        enough = on.sum(axis=1) >= free + 4
        lost[left[~enough]] = True
        left, target, distance = left[enough], target[enough], distance[enough]
        limit, on = limit[enough], on[enough]
        residual = np.where(on, distance, 0)
        spread[left] = _spread(residual, on * rays.trust, pixel)
        wide = np.maximum(_TUKEY * spread[left], 0.3 * limit)
        weight = rays.trust * np.clip(1 - (residual / wide[:, None]) ** 2, 0, 1) ** 2 * on
        enough = (weight > 0.05).sum(axis=1) >= free + 2
        lost[left[~enough]] = True
        left, on, target, weight = left[enough], on[enough], target[enough], weight[enough]
        if not len(left):
            break
        usual = rays.rim.usual * spread[left, None] ** 2
        new = _solved(rays.columns, np.where(on, target, 0), weight, usual, rays.rim.numbers)
        moved = new @ rays.columns.T
        still = np.abs(moved - expected[left]).max(axis=1) < 1e-4
        change[left], expected[left] = new, moved
        if turn > 4:
            left = left[~still]
        if not len(left):
            break
    return [
        None if lost[k] else _ring(rays, change[k], expected[k], float(spread[k]))
        for k in range(count)
    ]


def _ring(rays: Rays, change: Floats, expected: Floats, spread: float) -> Ring | None:
    """The rim that came to rest there; None where too few steps lie on it."""
    pixel = rays.steps.pixel
    _, (distance,), (nearest,) = _nearest(rays.steps.offset, expected[None])
    on = np.abs(distance) < max(_TUKEY * spread, 0.7 * pixel)
    if on.sum() < rays.columns.shape[1] + 4:
        return None
    weight = rays.trust * on
    (spread,) = _spread(np.where(on, distance, 0)[None], weight[None], pixel).tolist()
    return Ring(
        rays.rim.with_numbers(rays.rim.numbers + change),
        float(expected.mean()),
        on,
        float(weight.sum() / rays.trust.sum()),
        spread,
        _covariance(rays, weight, spread),
        np.where(on, rays.steps.rise[np.arange(len(on)), nearest], np.nan),
    )


def _nearest(offsets: Floats, expected: Floats) -> tuple[Floats, Floats, NDArray[np.intp]]:
    """The step of each ray that is nearest to where each rim has it: its offset, how far it lies
    beyond, and which it is. NaN where a ray has none."""
    off = offsets - expected[..., None]
    nearest: NDArray[np.intp] = np.where(np.isnan(off), np.inf, np.abs(off)).argmin(axis=-1)
    target = offsets[np.arange(len(offsets)), nearest]
    return target, target - expected, nearest


def _spread(residual: Floats, trust: Floats, pixel: float) -> Floats:
    """The standard deviations of what lies about 0, row by row, by their medians.

    What is not to count has no trust.
    """
    far = np.where(trust > 0, np.abs(residual), np.inf)
    order = np.argsort(far, axis=1)
    share = np.cumsum(np.take_along_axis(trust, order, axis=1), axis=1)
    first = (share >= share[:, -1:] / 2).argmax(axis=1)
    middle = far[np.arange(len(far)), order[np.arange(len(far)), first]]
    return np.asarray(np.maximum(1.4826 * middle, _LEAST_SPREAD * pixel), float)


def _solved(
    columns: Floats, target: Floats, weight: Floats, usual: Floats, numbers: Floats
) -> Floats:
    """The changes of numbers by weighted least squares, held where rays and custom leave them open.

    Each row of `target` and `weight` is a fit; `usual` weighs how far the changed numbers are
    from 0.
    """
    normal = (columns.T * weight[:, None]) @ columns
    free = columns.shape[1]
    scale = np.trace(normal, axis1=1, axis2=2) / free
    held = normal + np.eye(free) * (usual + scale[:, None] * 1e-6)[:, None]
    right = (weight * target) @ columns - usual * numbers
    return np.asarray(np.linalg.solve(held, right[..., None])[..., 0], float)


def _covariance(rays: Rays, weight: Floats, spread: float) -> Floats:
    """The covariance of the numbers of a fit.

    Neighbouring rays see the same pixels, so that about two pixels' length of rim counts for one.
    """
    points = rays.points
    apart = np.hypot(*(points - np.roll(points, 1, axis=0)).T).mean()
    alike = max(1.0, 2 * rays.steps.pixel / float(apart))
    columns = rays.columns
    normal = (columns * weight[:, None]).T @ columns / (spread**2 * alike)
    scale = np.trace(normal) / len(normal)
    return np.asarray(np.linalg.inv(normal + np.diag(rays.rim.usual + scale * 1e-6)), float)
