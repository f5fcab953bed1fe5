"""Fit a rim to steps of light by robust least squares, and tell how sure it is.

Every ray may have several steps: the rim, the wall that is seen below it, the ring of a chamfer,
a scratch. A fit takes the step of each that is nearest to it; where it is begun at several sizes,
it comes to rest on one ring after the other.
"""

from __future__ import annotations

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


def ring_near(rays: Rays, begin: float, gate: float, first: Floats | None = None) -> Ring | None:
    """The rim that steps near an offset lie on; None where there are too few.

    `begin` is how far out of the rays' own rim it is looked for, `gate` how far from there steps
    may lie at first, mm.
    """
    offsets = rays.steps.offset
    free = rays.columns.shape[1]
    change = np.zeros(free) if first is None else first
    expected = rays.columns @ change + begin
    pixel = rays.steps.pixel
    spread = gate / 2
    for turn in range(12):
        off = offsets - expected[:, None]
        nearest = _nearest(off)
        distance = off[np.arange(len(off)), nearest]
        limit = max(gate * 0.7**turn, _TUKEY * spread, 1.0 * pixel)
        on = np.abs(distance) < limit
        if on.sum() < free + 4:
            return None
        residual = np.where(on, distance, 0)
        spread = _spread(residual[on], rays.trust[on], pixel)
        near = (
            np.clip(1 - (residual / (_TUKEY * max(spread, 0.3 * limit / _TUKEY))) ** 2, 0, 1) ** 2
        )
        weight = rays.trust * near * on
        if (weight > 0.05).sum() < free + 2:
            return None
        target = offsets[np.arange(len(off)), nearest]
        usual = rays.rim.usual * spread**2
        new = _solved(rays.columns, np.where(on, target, 0), weight, usual, rays.rim.numbers)
        moved = rays.columns @ new
        still = float(np.abs(moved - expected).max()) < 1e-4
        change, expected = new, moved
        if still and turn > 4:
            break
    off = offsets - expected[:, None]
    nearest = _nearest(off)
    index = np.arange(len(off))
    distance = off[index, nearest]
    on = np.abs(distance) < max(_TUKEY * spread, 0.7 * pixel)
    if on.sum() < free + 4:
        return None
    spread = _spread(distance[on], rays.trust[on], pixel)
    weight = rays.trust * on
    return Ring(
        rays.rim.with_numbers(rays.rim.numbers + change),
        float(expected.mean()),
        on,
        float(weight.sum() / rays.trust.sum()),
        spread,
        _covariance(rays, weight, spread),
        np.where(on, rays.steps.rise[index, nearest], np.nan),
    )


def _nearest(off: Floats) -> NDArray[np.intp]:
    out: NDArray[np.intp] = np.where(np.isnan(off), np.inf, np.abs(off)).argmin(axis=1)
    return out


def _spread(residual: Floats, trust: Floats, pixel: float) -> float:
    """The standard deviation of what lies about 0, by its median."""
    order = np.argsort(np.abs(residual))
    share = np.cumsum(trust[order])
    middle = np.abs(residual)[order][np.searchsorted(share, share[-1] / 2)]
    return max(1.4826 * float(middle), _LEAST_SPREAD * pixel)


def _solved(
    columns: Floats, target: Floats, weight: Floats, usual: Floats, numbers: Floats
) -> Floats:
    """The change of numbers by weighted least squares, held where rays and custom leave it open.

    `usual` weighs how far the changed numbers are from 0.
    """
    normal = (columns * weight[:, None]).T @ columns
    scale = np.trace(normal) / len(normal)
    held: Floats = normal + np.diag(usual + scale * 1e-6)
    return np.asarray(np.linalg.solve(held, columns.T @ (weight * target) - usual * numbers), float)


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
