"""Choose, of all rings that light steps on round a hole, the rim of its front.

A plain hole has one ring, and on the side away from the camera part of a second, the rim at its
back. A chamfer, or a burr all round, has two about one middle, and the inner one is the hole's own.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from legend.camera.holes.chamfers import chamfered, chamfered_as_reckoned, is_width
from legend.camera.holes.fitting import Rays, Ring, rays_of, ring_near, rings_near
from legend.camera.holes.light import Floats, Light
from legend.camera.holes.lit_chamfer import lit_chamfer
from legend.camera.holes.rims import Rim, RoundRim, some_points
from legend.camera.holes.walls import MOST_THICKNESS, sunk, trust_in, wall_seen
from legend.camera.view import View

#: A rim is looked for again where it was found further off than this, mm.
_STAYED = 0.03
#: How far from the rough outline of a hole its rim is looked for, inwards and outwards, mm; and
#: how far inwards at the most, as a part of the hole.
_REACH, _MOST_INWARDS = 1.2, 0.45
#: Rings are begun so far apart, mm or pixels, and steps may lie so far off at first.
_BEGUN_APART, _BEGUN_PIXELS, _GATE, _GATE_PIXELS = 0.13, 1.2, 0.18, 1.8
#: Less of a rim than this is no ring; and so much there must be of the hole's own.
_LEAST_SUPPORT, _LEAST_OF_RIM = 0.22, 0.3
#: A ring that is so much worse than the best is none of two.
_NEARLY = 0.4
#: A ring over a wall takes so much of the steps beside another, and as much of all, less this.
_WHOLE, _AS_MUCH = 0.6, 0.06
#: With so much of it on steps, a ring is whole.
_WHOLE_RING = 0.8
#: Within a ring that may be that of a chamfer the rim is looked for so far in, mm, or at so much of
#: its radius at the least.
_CHAMFER, _CHAMFER_PART = 0.45, 0.6
#: Rings so much of their distance aside of each other lie about one middle.
_ABOUT_ONE = 0.6
#: The tones beside a rim are taken so many pixels off it; with less between hole and face, in root
#: light, none can be told.
_CLEAR_PIXELS, _NO_STEP = 1.6, 0.02
#: Steps beside a ring that lie to one side, by more than this, are looked into, mm.
_LOPSIDED = 0.012
#: Rings nearer to each other than this are one, mm and pixels.
_ONE, _ONE_PIXELS = 0.1, 1.3
#: A round hole is oval where it is out of round by so much, mm and standard deviations, and the
#: steps then lie so much nearer to it, mm and pixels, or so much more of them on it. It is looked
#: for so near to the circle, mm.
_OVAL, _OVAL_SURELY, _MORE, _LEFT, _LEFT_PIXELS = 0.1, 4.0, 0.08, 0.012, 0.1
_NEAR = 0.9


@dataclass(frozen=True, slots=True, eq=False)
class FrontRim:
    """The rim of a hole's front as it was fitted.

    `chamfer` is how wide its chamfer is, mm; `lopsided` how far it may be led astray by steps on
    one side of it that are not told, mm; `size_open` by how much its diameter may be another, mm,
    as where its chamfer `is_half_shaded`: dark on one side and light on the other; `place_open` by
    how much its middle.
    """

    ring: Ring
    rays: Rays
    chamfer: float | None = None
    lopsided: float = 0.0
    size_open: float = 0.0
    is_half_shaded: bool = False
    place_open: float = 0.0


def front_rim(light: Light, view: View, rough: Rim) -> FrontRim | None:
    """The rim of the front of a hole whose outline is about known; None where there is none.

    A round rim is fitted as a circle, and as an oval where that is much nearer: with more to fit,
    an oval is led astray sooner by the wall that is seen.
    """
    if not isinstance(rough, RoundRim):
        return _fitted(light, view, rough)
    round_ = _fitted(light, view, replace(rough, oval=None))
    if round_ and not rough.oval and (round_.chamfer or _is_neat(round_)):
        return round_
    begin = rough if round_ is None or rough.oval else round_.ring.rim
    assert isinstance(begin, RoundRim)
    oval = _fitted(light, view, replace(begin, oval=begin.oval or (0.0, 0.0)), _NEAR)
    if round_ is None or oval is None:
        return oval or round_
    return oval if _is_oval(oval, round_) else round_


def _is_neat(found: FrontRim) -> bool:
    """Whether a circle leaves nothing for an oval to tell."""
    pixel = found.rays.steps.pixel
    return found.ring.support > 1 - _MORE and found.ring.spread < _LEFT + _LEFT_PIXELS * pixel


def _is_oval(oval: FrontRim, round_: FrontRim) -> bool:
    rim = oval.ring.rim
    assert isinstance(rim, RoundRim)
    deviation = 4 * math.sqrt(float(np.linalg.eigvalsh(oval.ring.covariance[3:, 3:])[-1]))
    if rim.out_of_round < max(_OVAL, _OVAL_SURELY * deviation):
        return False
    left = _LEFT + _LEFT_PIXELS * oval.rays.steps.pixel
    nearer = oval.ring.spread < round_.ring.spread - left
    more = oval.ring.support > round_.ring.support + _MORE
    return (nearer and oval.ring.support > round_.ring.support - 0.05) or more


def _fitted(light: Light, view: View, rough: Rim, reach: float = _REACH) -> FrontRim | None:
    """The rim as it is found from a rough one; it is looked for again from where it was found."""
    rays = _trusted(light, view, rough, reach)
    rings = _rings(rays, _all_begins(rays))
    found = _chosen(rings, rays, view)
    for _ in range(2):
        if found is None:
            return None
        moved = np.abs(found.ring.rim.numbers - rays.rim.numbers)[:2].max()
        if moved < _STAYED and abs(found.ring.mean_offset) < _STAYED:
            break
        begins = [ring.mean_offset - found.ring.mean_offset for ring in rings]
        rays = _trusted(light, view, found.ring.rim, 0.8 * _REACH)
        rings = _rings(rays, begins)
        found = _chosen(rings, rays, view)
    if found is None or found.chamfer is not None:
        return found
    lit = _by_its_light(light, view, found)
    if lit.chamfer or view.eye is None:
        return lit  # a scanner's line of lenses shows walls so, and not how much of them
    half = _half_shaded(light, view, found)
    return half if half.is_half_shaded else lit


def _by_its_light(light: Light, view: View, found: FrontRim) -> FrontRim:
    """The round rim that was found as light has it, with a chamfer where that shows."""
    rim = found.ring.rim
    if not isinstance(rim, RoundRim) or rim.oval:
        return found
    lit = lit_chamfer(light, view, rim.at, rim.radius)
    if lit is None:
        return found
    at = (rim.at[0] + lit.moved[0], rim.at[1] + lit.moved[1])
    return replace(
        found,
        ring=replace(found.ring, rim=RoundRim(at, lit.radius)),
        chamfer=lit.chamfer,
        lopsided=found.lopsided * (1 - lit.likely),
        size_open=2 * lit.radius_open,
        place_open=lit.place_open,
    )


def _trusted(light: Light, view: View, rim: Rim, reach: float) -> Rays:
    """The rays across a rim, with how far each can be trusted."""
    points, ways = some_points(rim, 32)
    inwards = min(reach, _MOST_INWARDS * _half_width(points))
    rays = rays_of(light, view, rim, (-inwards, reach))
    return replace(rays, trust=trust_in(view, rays.points, rays.ways))


def _half_width(points: Floats) -> float:
    """About half of the least width of an outline."""
    around = points - points.mean(axis=0)
    spread = np.linalg.svd(around, compute_uv=False)
    return float(spread[-1] / math.sqrt(len(points)) * math.sqrt(2))


# --- The rings there are ---


def _all_begins(rays: Rays) -> Floats:
    """Where rings may lie, as offsets, so close to each other that none is missed."""
    offsets = rays.steps.offset
    if np.isnan(offsets).all():
        return np.empty(0)
    low, high = float(np.nanmin(offsets)), float(np.nanmax(offsets))
    apart = max(_BEGUN_APART, _BEGUN_PIXELS * rays.steps.pixel)
    return np.arange(low, high + apart / 2, apart)


def _rings(rays: Rays, begins: Sequence[float] | Floats) -> list[Ring]:
    """The rings that steps lie on, from the innermost."""
    pixel = rays.steps.pixel
    rings = rings_near(rays, begins, max(_GATE, _GATE_PIXELS * pixel)) if len(begins) else []
    found = [ring for ring in rings if ring is not None and ring.support >= _LEAST_SUPPORT]
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


# --- The right one ---


def _chosen(rings: Sequence[Ring], rays: Rays, view: View) -> FrontRim | None:
    """The front rim of a hole, and its chamfer.

    1. The best ring is the rim, if there is no other about it.
    2. Of two about one middle the inner is the hole's own, unless it is the rim of the back, which
       a camera over the middle of a large hole sees all round.
    """
    pixel = rays.steps.pixel
    best = max(rings, key=lambda ring: _worth(ring, pixel), default=None)
    if best is None or best.support < _LEAST_OF_RIM:
        return None
    pairs = [
        pair
        for inner, outer in combinations(rings, 2)
        if max(_worth(inner, pixel), _worth(outer, pixel)) > _NEARLY * _worth(best, pixel)
        if (pair := chamfered(rays, inner, outer, view))
    ]
    if not pairs and (pair_ := chamfered_as_reckoned(rays, best, view)):
        pairs = [pair_]
    if not pairs:
        beside = _beside(best, rays)
        if beside.lopsided > _LOPSIDED and (over := _over_wall(best, rays, beside)):
            return FrontRim(over, rays)
        return FrontRim(best, rays, lopsided=beside.lopsided)
    pair = max(pairs, key=lambda it: (it.ring.support + it.ring_support) / (it.ring.spread + 0.01))
    seen = wall_seen(view, rays.points, rays.ways, MOST_THICKNESS)
    if float(seen.min()) > 0.5 * pair.width:
        return FrontRim(best, rays)
    return FrontRim(pair.ring, rays, pair.width, size_open=2 * pair.aside)


def _half_shaded(light: Light, view: View, found: FrontRim) -> FrontRim:
    """The hole within the ring of its chamfer, where that is dark on one side and light opposite.

    What is dark within then goes over a part of the chamfer, and is round about another middle. It
    is whole all the same, as the rim of the back is not; on what is light there are shadows that
    look so too. The hole is placed by the ring of the chamfer; its size is the surer the better
    both lie about one middle. Where they hardly do, the outer one may be the hole's own, and what
    is dark a shadow: then the hole is as it was found, and its size open.
    """
    outer, pixel = found.ring, found.rays.steps.pixel
    rim = outer.rim
    if not isinstance(rim, RoundRim) or not _is_whole(outer) or not _is_lighter_out(outer):
        return found
    x, y = rim.at
    seen = float(wall_seen(view, found.rays.points, found.rays.ways, MOST_THICKNESS).min())
    begin = RoundRim(rim.at, max(rim.radius - _CHAMFER, _CHAMFER_PART * rim.radius))
    rays = _trusted(light, view, begin, _REACH)
    for inner in _rings(rays, _all_begins(rays)):
        assert isinstance(inner.rim, RoundRim)
        width = rim.radius - inner.rim.radius
        is_dark = _is_whole(inner) and _is_lighter_out(inner)
        if not (is_dark and is_width(width, pixel)) or seen > 0.5 * width:
            continue
        aside = math.dist(inner.rim.at, np.add(rim.at, sunk(view, (x, y), width)))
        if aside <= _ABOUT_ONE * width:
            ring = replace(outer, rim=replace(rim, radius=inner.rim.radius))
            return FrontRim(ring, found.rays, width, size_open=2 * aside, is_half_shaded=True)
        if aside <= width + 2 * pixel:
            return replace(found, size_open=2 * width, is_half_shaded=True)
    return found


def _is_lighter_out(ring: Ring) -> bool:
    """Whether it is darker within a ring than without."""
    return float(np.nanmedian(ring.rise)) > 0


def _is_whole(ring: Ring) -> bool:
    """Whether a ring is seen all round, also where it can be trusted little."""
    return min(ring.support, float(ring.on.mean())) >= _WHOLE_RING


@dataclass(frozen=True, slots=True, eq=False)
class _Beside:
    """What steps there are outside of a ring: the outermost of each ray, NaN where there is none.

    `lopsided` is how far they lie off, mm, times how much they lie to one side, 0 to about 0.3: a
    wall, or a chamfer in light from one side, does so; a burr or scratches do not.
    """

    offset: Floats
    lopsided: float


def _beside(ring: Ring, rays: Rays) -> _Beside:
    expected = rays.columns @ (ring.rim.numbers - rays.rim.numbers)
    off = rays.steps.offset - expected[:, None]
    outside = (off > max(_ONE, _ONE_PIXELS * rays.steps.pixel)) & (off < _REACH)
    outermost = np.where(outside, rays.steps.offset, -np.inf).max(axis=1)
    has = np.isfinite(outermost)
    outermost[~has] = np.nan
    if not has.any():
        return _Beside(outermost, 0.0)
    gap = float(np.median((outermost - expected)[has]))
    to_one_side = float(np.hypot(*(rays.ways * has[:, None]).sum(axis=0))) / len(has)
    return _Beside(outermost, gap * to_one_side)


def lit_to_one_side(light: Light, view: View, found: FrontRim) -> float:
    """By how much the face beside a rim is lighter or darker on one side of it than further off.

    As a part of the step at the rim. Beside a front rim the face begins at once; a wall, a chamfer
    or a shadow that was taken for the hole has something else there, on one side.
    """
    points, ways = some_points(found.ring.rim, 72)
    first = (found.chamfer or 0.0) + _CLEAR_PIXELS * found.rays.steps.pixel

    def tone(offsets: tuple[float, ...], way: float = 1.0) -> Floats:
        out = way * (first + np.array(offsets))
        places = points[:, None] + ways[:, None] * out[None, :, None]
        root = light.at(view.to_picture(places.reshape(-1, 2)))[1]
        return np.asarray(np.median(root.reshape(len(points), -1), axis=1), float)

    near, far = tone((0.0, 0.08, 0.16, 0.24)), tone((0.7, 0.85, 1.0, 1.15))
    step = float(np.median(far) - np.median(tone((0.0, 0.1, 0.2, 0.3), -1.0)))
    if abs(step) < _NO_STEP:
        return 1.0
    part = np.clip((near - far) / step, -1, 1)
    return 2 * float(np.hypot(*(ways * part[:, None]).sum(axis=0))) / len(part)


def _over_wall(ring: Ring, rays: Rays, beside: _Beside) -> Ring | None:
    """The ring that goes by the outer steps where there are two, if there is one as good.

    On the side where a wall is seen, its lower rim may be the stronger step. A ring of steps on it,
    and on the front rim elsewhere, is as round as one may wish, and too small.
    """
    has = np.isfinite(beside.offset)
    offset = np.where(has[:, None], np.nan, rays.steps.offset)
    offset[:, 0] = np.where(has, beside.offset, offset[:, 0])
    steps = replace(rays.steps, offset=offset)
    gate = max(_GATE, _GATE_PIXELS * rays.steps.pixel)
    begin = ring.mean_offset + 2 * beside.lopsided
    found = ring_near(replace(rays, steps=steps), begin, 1.5 * gate)
    if found is None:
        return None
    as_much = found.support > ring.support - _AS_MUCH and found.on[has].mean() > _WHOLE
    return found if as_much and found.spread < 1.3 * ring.spread + 0.05 * rays.steps.pixel else None
