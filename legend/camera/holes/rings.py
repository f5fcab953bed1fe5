"""Choose, of all rings that light steps on round a hole, the rim of its front.

A plain hole has one ring, and on the side away from the camera part of a second, the rim at its
back. A chamfer, or a burr all round, has two whole ones about one middle, and the inner one is
the hole's own.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from legend.camera.holes.fitting import Rays, Ring, rays_of, ring_near
from legend.camera.holes.light import Floats, Light
from legend.camera.holes.rims import Rim
from legend.camera.holes.walls import MOST_THICKNESS, trust_in, wall_seen
from legend.camera.view import View

#: How far from the rough outline of a hole its rim is looked for, inwards and outwards, mm; and
#: how far inwards at the most, as a part of the hole.
_REACH, _MOST_INWARDS = 1.2, 0.45
#: Rings are begun so far apart, mm or pixels, and steps may lie so far off at first.
_BEGUN_APART, _GATE = 0.1, 0.18
#: Less of a rim than this is no ring; so much of one is whole.
_LEAST_SUPPORT, _WHOLE = 0.3, 0.62
#: Rings nearer to each other than this are one, mm and pixels.
_ONE, _ONE_PIXELS = 0.1, 1.3


@dataclass(frozen=True, slots=True, eq=False)
class FrontRim:
    """The rim of a hole's front as it was fitted; `around` is a chamfer's ring about it."""

    ring: Ring
    rays: Rays
    around: Ring | None = None


def front_rim(light: Light, view: View, rough: Rim) -> FrontRim | None:
    """The rim of the front of a hole whose outline is about known; None where there is none."""
    rim, found = rough, None
    for round_ in range(3):
        rays = _trusted(light, view, rim, 1.0 if round_ == 0 else 0.8)
        rings = _rings(rays)
        if not rings:
            return None
        ring, around = _chosen(rings, rays, view)
        found = FrontRim(ring, rays, around)
        if np.abs(ring.mean_offset) < 0.02 and round_:
            break
        rim = ring.rim
    return found


def _trusted(light: Light, view: View, rim: Rim, part: float) -> Rays:
    """The rays across a rim, with how far each can be trusted."""
    points, ways = rim.points(32)
    inwards = min(_REACH * part, _MOST_INWARDS * _half_width(points))
    rays = rays_of(light, view, rim, (-inwards, _REACH * part))
    trust = trust_in(view, rays.points, rays.ways)
    return Rays(rays.rim, rays.points, rays.ways, rays.columns, rays.steps, trust)


def _half_width(points: Floats) -> float:
    """About half of the least width of an outline."""
    around = points - points.mean(axis=0)
    spread = np.linalg.svd(around, compute_uv=False)
    return float(spread[-1] / math.sqrt(len(points)) * math.sqrt(2))


def _rings(rays: Rays) -> list[Ring]:
    """The rings that steps lie on, from the innermost."""
    offsets = rays.steps.offset
    if np.isnan(offsets).all():
        return []
    pixel = rays.steps.pixel
    apart = max(_BEGUN_APART, pixel)
    low, high = float(np.nanmin(offsets)), float(np.nanmax(offsets))
    found: list[Ring] = []
    for begin in np.arange(low, high + apart / 2, apart):
        ring = ring_near(rays, float(begin), max(_GATE, 1.8 * pixel))
        if ring is not None and ring.support >= _LEAST_SUPPORT:
            found.append(ring)
    found.sort(key=lambda ring: -_worth(ring, pixel))
    kept: list[Ring] = []
    for ring in found:
        if all(not _alike(ring, other, pixel) for other in kept):
            kept.append(ring)
    return sorted(kept, key=lambda ring: ring.mean_offset)


def _worth(ring: Ring, pixel: float) -> float:
    """How good a ring is: how much of it there is, how sharply, and how strongly it steps."""
    strength = float(np.nanmedian(np.abs(ring.rise)))
    return ring.support**2 * math.sqrt(strength) / (ring.spread + 0.15 * pixel)


def _alike(one: Ring, other: Ring, pixel: float) -> bool:
    apart = np.hypot(*(one.rim.numbers[:2] - other.rim.numbers[:2]))
    near = max(_ONE, _ONE_PIXELS * pixel)
    return abs(one.mean_offset - other.mean_offset) < near and float(apart) < 2 * near


def _chosen(rings: list[Ring], rays: Rays, view: View) -> tuple[Ring, Ring | None]:
    """The front rim of a hole, and the ring of a chamfer round it.

    1. The best ring is the rim, if no other is nearly as good.
    2. Of whole rings about one middle, the innermost is the hole's own, unless it is the rim of
       the back, which a camera over the middle of a large hole sees all round.
    """
    pixel = rays.steps.pixel
    best = max(rings, key=lambda ring: _worth(ring, pixel))
    whole = [ring for ring in rings if _is_whole(ring, best, pixel)]
    if len(whole) < 2:
        return best, None
    inner, outer = whole[0], whole[-1]
    gap = outer.mean_offset - inner.mean_offset
    seen = wall_seen(view, rays.points, rays.ways, MOST_THICKNESS)
    if float(seen.min()) > 0.5 * gap:
        return outer, None
    return inner, outer


def _is_whole(ring: Ring, best: Ring, pixel: float) -> bool:
    apart = np.hypot(*(ring.rim.numbers[:2] - best.rim.numbers[:2]))
    concentric = float(apart) < max(0.12, 1.0 * pixel)
    strong = np.nanmedian(np.abs(ring.rise)) > 0.2 * np.nanmedian(np.abs(best.rise))
    return ring.support >= _WHOLE and concentric and bool(strong)
