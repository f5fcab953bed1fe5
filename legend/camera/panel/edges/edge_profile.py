"""Tell in the mean profile across an edge which of its steps is where the panel ends.

Where a panel ends there is rarely a step alone. A sawn edge is broken with a file: a narrow bevel,
lighter or darker than the front, lies within the edge. And beyond it may lie a shadow, which is as
dark at the edge as the edge of the panel itself. So the profile is made up of what may be there:

    front | bevel | shadow | backing

with a step between each and the next, those of the panel as blurred as the picture is, that of
the shadow also more. A shadow is the backing, only darker; a bevel has any light of its own. What
of them is there is taken by how well it fits. Where one edge does not tell, the others of the same
panel do: they are as blurred, and a file that goes round breaks them alike.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.camera.panel.edges.normal import normal_cumulative

Numbers = NDArray[np.float64]

#: How far within and beyond the edge the profile is looked at, mm; and px more.
_WITHIN, _BEYOND, _MORE = 1.5, 1.3, 2.0
#: The widest bevel that a sawn edge is broken by, mm. Common practice, no source.
WIDEST_BEVEL = 0.35
#: What bevel and shadow must better the fit by, each: the share of the mean square that stays.
_BETTER = 0.6
#: The least mean square, in weighted light: noise that is there however well it fits.
_LEAST_OFF = 0.003
#: How much less likely a way is that costs more: its share falls by e over the inverse of this.
_SURE = 3.0
#: The doubt, mm, by how much further than that a profile lies off what it is made up of.
_UNLIKE = 5.0
#: The part that may be wall of what a bevel is wider than others, as a standard deviation.
_PART = 0.7
#: What lies off less than this is made up as it is believed to be.
_FITS = 0.02
#: The fewest offsets that a profile is told by.
_FEWEST = 14
#: Neighbouring samples are off together: so many count as one.
_SAMPLES_AS_ONE = 5.0


@dataclass(frozen=True, slots=True, eq=False)
class EdgeProfile:
    """Where the panel ends in a profile, mm outwards of its origin, and how surely.

    `shown` is where the likeliest way to make it up has that place, and `deviation` the standard
    deviation of it; `blur` the picture's, mm. `bevel` is the
    width of a band within the edge, `shadow` that of a dark band beyond it, mm, 0 for none. `off`
    is how far the profile lies off what it is made up of, root mean square of weighted light.
    """

    place: float
    shown: float
    deviation: float
    blur: float
    bevel: float
    shadow: float
    off: float


@dataclass(frozen=True, slots=True)
class AsOthers:
    """What the other edges of a panel tell of one: the blur, and the width of the bevel, mm.

    A bevel of 0 is not known.
    """

    blur: float
    bevel: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class _Made:
    """One way to make up the profile: its parameters, and how far off it lies."""

    bevelled: bool
    shaded: bool
    parameters: Numbers
    off: float
    deviation: float


def edge_profile(
    offsets: Numbers, light: Numbers, pixel: float, others: AsOthers | None = None
) -> EdgeProfile | None:
    """Where the panel ends in linear light across its edge, each colour, from within outwards.

    `pixel` is its width, mm. None where the profile is not whole.
    """
    kept = (offsets > -_WITHIN - _MORE * pixel) & (offsets < _BEYOND + _MORE * pixel)
    kept &= np.isfinite(light).all(axis=1)
    t, values = offsets[kept], light[kept]
    if len(t) < _FEWEST:
        return None
    profile = _Profile(t, values, 1 / np.sqrt(np.maximum(values.mean(axis=1), 0) + 0.01), pixel)
    ways = [
        _made(profile, others, bevelled, shaded)
        for bevelled, shaded in itertools.product((False, True), (False, True))
    ]
    return _told(ways, others)


def _told(ways: list[_Made], others: AsOthers | None) -> EdgeProfile:
    """The edge by all ways, each by how likely it is: how well it fits, and how simple it is.

    Where others have a bevel, one is there, seen or not, and nothing speaks against it.
    """
    granted = bool(others and others.bevel)
    costs = np.array(
        [
            np.log(max(way.off, _LEAST_OFF) ** 2)
            - np.log(_BETTER) * (way.shaded + (way.bevelled and not granted))
            for way in ways
        ]
    )
    likely = np.exp(-_SURE * (costs - costs.min()))
    likely /= likely.sum()
    made = ways[int(np.argmax(likely))]
    places = np.array([way.parameters[0] for way in ways])
    place = float(likely @ places)
    variance = float(likely @ [way.deviation**2 for way in ways] + likely @ (places - place) ** 2)
    variance += (max(made.off - _FITS, 0) * _UNLIKE) ** 2
    _, blur, bevel, gap, _, _ = map(float, _parts(made.parameters, made.bevelled, made.shaded))
    if others and others.bevel:
        # A band wider than the bevels elsewhere may in part be the wall of the edge, seen askew.
        variance += (_PART * max(bevel - others.bevel, 0)) ** 2
    return EdgeProfile(
        place,
        float(made.parameters[0]),
        float(np.sqrt(variance)),
        blur,
        bevel if made.bevelled else 0.0,
        gap if made.shaded else 0.0,
        made.off,
    )


def as_others(profiles: Sequence[EdgeProfile]) -> AsOthers:
    """What the edges of one panel tell together: the blur of most, and the bevel if most have one.

    A narrow band beside three edges is no shadow, which a lamp casts beside two at most.
    """
    fit = [each for each in profiles if each.off < _FITS] or list(profiles)
    blur = float(np.median([each.blur for each in fit]))
    bevels = [each.bevel for each in fit if each.bevel]
    bands = [each.bevel or each.shadow for each in fit if 0 < each.shadow < WIDEST_BEVEL]
    if len(bevels) + len(bands) >= 3 > 2 * len(bevels):
        bevels += bands
    return AsOthers(blur, float(np.median(bevels)) if 2 * len(bevels) >= len(fit) else 0.0)


# --- Fits ---


def _parts(p: Numbers, bevelled: bool, shaded: bool) -> tuple[Numbers, ...]:
    """The edge, the blur, the bevel's width, the shadow's, the blur of its edge, mm; its depth.

    The depth is the share of light that the shadow takes, 0 to 1.
    """
    place, blur = p[..., 0], np.exp(p[..., 1])
    bevel = np.exp(p[..., 2]) if bevelled else np.zeros_like(place)
    if not shaded:
        return place, blur, bevel, np.zeros_like(place), blur, np.zeros_like(place)
    gap, soft, depth = np.moveaxis(p[..., 2 + bevelled :], -1, 0)
    return place, blur, bevel, np.exp(gap), blur * (1 + np.exp(soft)), 1 / (1 + np.exp(-depth))


def _design(t: Numbers, p: Numbers, bevelled: bool, shaded: bool) -> Numbers:
    """What the profile is made up of: parameters × offsets × front, backing, ramps and bevel.

    A shadow takes the same share of all the colours of the backing.
    """
    place, blur, bevel, gap, soft, depth = (
        each[..., None] for each in _parts(np.atleast_2d(p), bevelled, shaded)
    )
    beyond = normal_cumulative((t - place) / blur)
    ends = normal_cumulative((t - place + bevel) / blur) if bevelled else beyond
    backing = beyond
    if shaded:
        backing = beyond * (1 - depth * normal_cumulative((place + gap - t) / soft))
    columns = [1 - ends, backing]
    columns.append(np.minimum(t - place + bevel, 0))
    columns.append(np.maximum(t - place - gap, 0))
    if bevelled:
        columns.append(ends - beyond)
    return np.stack(columns, axis=2)


def _solved(design: Numbers, values: Numbers, weights: Numbers, bevelled: bool) -> Numbers:
    """What is left of the profile, weighted, when its parts have the light that suits it best.

    A bevel so narrow that its light is hardly seen is held near that of front and backing.
    """
    contrast = max(float(np.ptp(values)), 0.02)
    weighted = design * weights[:, None]
    turned = weighted.transpose(0, 2, 1)
    normal = turned @ weighted
    normal += np.eye(design.shape[2]) * 1e-6
    held = 0.0
    if bevelled:
        held = 4 * _LEAST_OFF / contrast * float(np.sqrt(len(weights) / 30))
        way = np.array([-0.5, -0.5, 0, 0, 1.0]) * held
        normal += np.outer(way, way)
    right = turned @ (values * weights[:, None])
    parts = np.linalg.solve(normal, right)
    left = weighted @ parts - values * weights[:, None]
    if bevelled:
        held_off = (parts[:, 4:] - (parts[:, :1] + parts[:, 1:2]) / 2) * held
        # Light is not less than none.
        dark = np.minimum(parts[:, [0, 1, 4]], 0) * np.sqrt(len(weights)) * 3
        left = np.concatenate([left, held_off, dark], axis=1)
    return np.asarray(left)


@dataclass(frozen=True, slots=True, eq=False)
class _Profile:
    """Offsets, mm; the light there in each colour; what each offset counts; a pixel's width, mm."""

    t: Numbers
    values: Numbers
    weights: Numbers
    pixel: float


#: What is believed of a bevel's and a shadow's width before they are seen: the middle and the
#: standard deviation of their logarithms; and of how much softer the shadow's edge is, and deep.
_BEVEL, _GAP, _SOFTER = (np.log(0.13), 0.6), (np.log(0.5), 0.8), (0.0, 1.2)
_DEPTH = (0.0, 1.5)
#: What is believed counts as a profile that lies off by so many times the least.
_BELIEF = 5.0
#: How well a blur is known that other edges have told, as a share, and one that none has; and how
#: well the width of a bevel that others have.
_BLUR_KNOWN, _BLUR_UNKNOWN, _BEVEL_KNOWN = 0.08, 0.8, 0.3


def _made(profile: _Profile, others: AsOthers | None, bevelled: bool, shaded: bool) -> _Made:
    """The best fit of one way to make up the profile."""
    fits = []
    for starts in _starts(profile.pixel, others, bevelled, shaded):
        design = _design(profile.t, starts, bevelled, shaded)
        left = _solved(design, profile.values, profile.weights, bevelled)
        best = starts[int(np.argmin((left**2).sum(axis=(1, 2))))]
        fits.append(_refined(profile, best, others, bevelled, shaded))
    return min(fits, key=lambda each: each.off)


def _starts(pixel: float, others: AsOthers | None, bevelled: bool, shaded: bool) -> list[Numbers]:
    """Parameters to begin with: of each lot, the best is bettered."""
    blurs = [0.65 * pixel, pixel, 1.7 * pixel] if others is None else [others.blur]
    near = np.arange(-2.4, 3.0, 0.8) * pixel
    axes = [near, np.log(blurs)]
    if bevelled:
        axes.append(np.log([others.bevel] if others and others.bevel else [0.07, 0.12, 0.2, 0.3]))
    if not shaded:
        return [_crossed(axes)]
    gaps = np.log([0.12, 0.25, 0.5, 0.9, 1.4])
    soft = [np.log([0.2, 1.5]), np.array([-0.5])]
    found = _crossed([*axes, gaps, *soft])
    # What was found may have been the far edge of the shadow.
    beyond = _crossed([near[::2], *axes[1:], gaps[2:], *soft])
    beyond[:, 0] -= np.exp(beyond[:, 2 + bevelled])
    return [found, beyond]


def _widest(others: AsOthers | None) -> float:
    """The widest that a bevel may be, mm."""
    if others and others.bevel:
        return min(1.5 * others.bevel + 0.05, WIDEST_BEVEL)
    return WIDEST_BEVEL


def _crossed(axes: list[Numbers]) -> Numbers:
    return np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, len(axes))


def _refined(
    profile: _Profile, start: Numbers, others: AsOthers | None, bevelled: bool, shaded: bool
) -> _Made:
    """The fit near a start, by steps of K. Levenberg and D. W. Marquardt."""
    blur = (np.log(others.blur), _BLUR_KNOWN) if others else (np.log(profile.pixel), _BLUR_UNKNOWN)
    bevel = (np.log(others.bevel), _BEVEL_KNOWN) if others and others.bevel else _BEVEL
    believed = [(0.0, 1.0), blur, *[bevel] * bevelled, *[_GAP, _SOFTER, _DEPTH] * shaded]
    middles, spreads = (np.array(each) for each in zip(*believed, strict=True))
    scale = _BELIEF * _LEAST_OFF
    highest = np.full(len(start), 2.5)
    if bevelled:
        highest[2] = np.log(_widest(others))

    def left(p: Numbers) -> Numbers:
        design = _design(profile.t, np.atleast_2d(p), bevelled, shaded)
        off = _solved(design, profile.values, profile.weights, bevelled)
        belief = (np.atleast_2d(p) - middles) / spreads * scale
        return np.concatenate([off.reshape(len(off), -1), belief], axis=1)

    p, here, damping = start.copy(), left(start)[0], 1e-3
    step = np.array([0.02 * profile.pixel, *([0.02] * (len(p) - 1))])
    slopes = np.zeros((len(p), len(here)))
    for _ in range(12):
        slopes = (left(p + np.diag(step)) - here) / step[:, None]
        normal, right = slopes @ slopes.T, slopes @ here
        gain = 0.0
        for _ in range(6):
            moved = p - np.linalg.solve(normal + damping * np.diag(np.diag(normal)), right)
            moved[0] = np.clip(moved[0], -_WITHIN, _BEYOND)
            moved[1:] = np.clip(moved, -6.0, highest)[1:]
            there = left(moved)[0]
            if there @ there < here @ here:
                gain = 1 - float(there @ there) / float(here @ here)
                p, here, damping = moved, there, damping / 4
                break
            damping *= 8
        if gain < 1e-4:
            break
    off = float(np.sqrt((here @ here) / profile.values.size))
    cover = np.linalg.inv(slopes @ slopes.T + 1e-12 * np.eye(len(p)))
    deviation = max(off, _LEAST_OFF) * float(np.sqrt(max(cover[0, 0], 0) * _SAMPLES_AS_ONE))
    return _Made(bevelled, shaded, p, off, deviation)
