"""Fit the rim of a hole and the ring of its chamfer, or of its burr, as one.

The ring lies on the front of the panel, the hole's own rim as deep below it as the ring is wide: a
chamfer is cut at 45 degrees or about. So the rim is seen a little aside of where it is. Where there
is light on one half of a chamfer and shade on the other, each ring may show on one half alone.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from legend.camera.holes.fitting import Rays, Ring
from legend.camera.holes.light import Floats
from legend.camera.holes.walls import sunk
from legend.camera.view import View

#: The widest chamfer that is looked for, mm; and the narrowest, mm and pixels.
_WIDEST, _NARROWEST, _NARROWEST_PIXELS = 1.1, 0.12, 1.6
#: So much of a chamfer's ring must be seen.
_LEAST_RING = 0.22
#: How far the rim may be seen aside by more or less than is reckoned, in widths of the chamfer, one
#: standard deviation: of a camera whose place is known, and of a scanner, whose lens may look
#: askew by as much as 20 degrees at the ends of its line.
_ASIDE_OF_CAMERA, _ASIDE_OF_SCANNER = 0.12, 0.25
#: So nearly a chamfer lies about the middle of its hole, mm: one standard deviation.
#: Common practice, no source.
_ECCENTRIC = 0.02


@dataclass(frozen=True, slots=True, eq=False)
class Chamfered:
    """A hole with its chamfer: `ring` as a rim of its own size, placed where it is on the front.

    `width` is how far the chamfer's ring is outside it, mm; `ring_support` how much of that was
    seen; `aside` how far the rim was seen aside of where it was reckoned, mm, as it is where the
    dark of the hole goes over a part of its chamfer, and its diameter then seems larger by twice
    that.
    """

    ring: Ring
    width: float
    ring_support: float
    aside: float = 0.0


def is_width(width: float, pixel: float) -> bool:
    """Whether a chamfer may be so wide, mm, where a pixel is so long."""
    return max(_NARROWEST, _NARROWEST_PIXELS * pixel) <= width <= _WIDEST


def chamfered(rays: Rays, inner: Ring, outer: Ring, view: View) -> Chamfered | None:
    """The hole and its chamfer, if that is what two rings are; None where it is not."""
    pixel = rays.steps.pixel
    width = outer.mean_offset - inner.mean_offset
    if not is_width(width, pixel):
        return None
    if min(inner.support, outer.support) < _LEAST_RING:
        return None
    seen_aside = inner.rim.numbers[:2] - outer.rim.numbers[:2]
    reckoned = np.array(sunk(view, _middle(outer), width))
    aside = float(np.hypot(*(seen_aside - reckoned)))
    if aside > 2.5 * _aside(view, width) + 0.5 * pixel:
        return None
    change = inner.rim.numbers - rays.rim.numbers
    fitted = _fitted(rays, inner, change, seen_aside, width, view)
    return replace(fitted, aside=aside) if fitted else None


def chamfered_as_reckoned(rays: Rays, inner: Ring, view: View) -> Chamfered | None:
    """The hole with a chamfer whose ring is seen in part, where it must be for a camera."""
    pixel = rays.steps.pixel
    change = inner.rim.numbers - rays.rim.numbers
    rim = rays.columns @ change
    near = max(2.5 * inner.spread, 0.4 * pixel)
    narrowest = max(_NARROWEST, _NARROWEST_PIXELS * pixel)
    widths = np.arange(narrowest, _WIDEST, 0.4 * pixel)
    if not len(widths):
        return None
    asides = np.array([sunk(view, _middle(inner), float(width)) for width in widths])
    expected = rim[:, None] + widths - rays.ways @ asides.T
    off = np.abs(rays.steps.offset[:, None] - expected[..., None])
    shares = (np.where(np.isnan(off), np.inf, off).min(axis=2) < near).mean(axis=0)
    if shares.max() < _LEAST_RING + 2 * float(np.median(shares)):
        return None
    width = float(widths[int(np.argmax(shares))])
    aside = np.array(sunk(view, _middle(inner), width))
    return _fitted(rays, inner, change, aside, width, view)


def _middle(ring: Ring) -> tuple[float, float]:
    x, y = ring.rim.numbers[:2].tolist()
    return x, y


def _aside(view: View, width: float) -> float:
    """How surely it is known how far aside a rim is seen, mm."""
    return max(0.01, (_ASIDE_OF_CAMERA if view.eye else _ASIDE_OF_SCANNER) * width)


def _fitted(
    rays: Rays, inner: Ring, change: Floats, aside: Floats, width: float, view: View
) -> Chamfered | None:
    """Both rings by least squares, begun with the rim as it is seen, and the chamfer's width.

    Unknown are the change of the rim's numbers, then the width of the chamfer, then the shift to
    the right and up by which the rim is seen aside of the ring, which is held to what is reckoned.
    """
    pixel = rays.steps.pixel
    free, count = rays.columns.shape[1], len(rays.points)
    unknown = np.concatenate([change, [width], aside])
    unknown[:2] -= aside
    of_inner = np.hstack([rays.columns, np.zeros((count, 1)), rays.ways])
    of_outer = np.hstack([rays.columns, np.ones((count, 1)), np.zeros((count, 2))])
    columns = np.vstack([of_inner, of_outer])
    # No wall is beside a chamfer's ring, so that all of it can be trusted.
    trust = np.concatenate([rays.trust, np.ones(count)])
    offsets = np.vstack([rays.steps.offset] * 2)
    index = np.arange(2 * count)
    at = _middle(inner)
    spread, on = 0.5 * pixel, np.zeros(2 * count, bool)
    for _ in range(8):
        width = float(unknown[free])
        off = offsets - (columns @ unknown)[:, None]
        nearest = np.where(np.isnan(off), np.inf, np.abs(off)).argmin(axis=1)
        distance = off[index, nearest]
        limit = min(max(4 * spread, 0.5 * pixel), 0.35 * abs(width) + 0.3 * pixel)
        on = np.abs(distance) < limit
        if on[:count].sum() < free + 4 or on[count:].mean() < 0.8 * _LEAST_RING:
            return None
        spread = max(1.4826 * float(np.median(np.abs(distance[on]))), 0.06 * pixel)
        near = np.clip(1 - (np.where(on, distance, 0) / limit) ** 2, 0, 1) ** 2
        target = np.where(on, offsets[index, nearest], 0)
        weight = trust * on * near / spread**2
        normal, right = _normal(columns, target, weight, np.array(sunk(view, at, width)), view)
        normal[:free, :free] += np.diag(rays.rim.usual)
        right[:free] -= rays.rim.usual * rays.rim.numbers
        unknown = np.linalg.solve(normal, right)
    width = float(unknown[free])
    if width <= 0:
        return None
    apart = np.hypot(*(rays.points - np.roll(rays.points, 1, axis=0)).T).mean()
    alike = max(1.0, 2 * pixel / float(apart))
    weight = trust * on / (spread**2 * alike)
    normal, _ = _normal(columns, np.zeros(2 * count), weight, np.zeros(2), view)
    normal[:free, :free] += np.diag(rays.rim.usual)
    covariance: Floats = np.asarray(np.linalg.inv(normal), float)[:free, :free]
    covariance[[0, 1], [0, 1]] += _ECCENTRIC**2
    on_inner = on[:count]
    ring = Ring(
        rays.rim.with_numbers(rays.rim.numbers + unknown[:free]),
        float((rays.columns @ unknown[:free]).mean()),
        on_inner,
        float((rays.trust * on_inner).sum() / rays.trust.sum()),
        spread,
        covariance,
        inner.rise,
    )
    return Chamfered(ring, width, float(on[count:].mean()))


def _normal(
    columns: Floats, target: Floats, weight: Floats, reckoned: Floats, view: View
) -> tuple[Floats, Floats]:
    """The normal equations, the shift held to what is reckoned."""
    normal = (columns * weight[:, None]).T @ columns
    right = columns.T @ (weight * target)
    width = float(np.hypot(*reckoned))
    prior = 1 / _aside(view, max(width, 0.3)) ** 2
    normal[[-2, -1], [-2, -1]] += prior
    right[-2:] += prior * reckoned
    normal += np.eye(len(normal)) * 1e-6 * np.trace(normal) / len(normal)
    return normal, right
