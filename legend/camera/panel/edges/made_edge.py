"""Fit to the profile across an edge the ways in which it may be made up (see `edge_parts`)."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from legend.camera.panel.edges.askew import seen_width
from legend.camera.panel.edges.edge_parts import (
    BELIEF,
    FIRST,
    LEAST_OFF,
    Band,
    Numbers,
    Profile,
    Way,
    of_panel,
)
from legend.camera.panel.edges.sharpening import sharpened_blur

#: Bands that may lie beyond an edge of which nothing else is known.
_BANDS: tuple[Band, ...] = ("", "shadow")
#: How far within and beyond the edge the profile is looked at, mm; and px more.
_WITHIN, _BEYOND, _MORE = 1.5, 1.3, 2.0
#: The widest bevel that a sawn edge is broken by, mm. Common practice, no source.
WIDEST_BEVEL = 0.6
#: So far within, mm, the grain of the front is most of what is seen: it counts this share.
_FRONT, _OF_FRONT = 0.5, 0.35
#: A wall is looked for beside an edge that is told worse than the first, or has a bevel so many
#: times as wide as others.
_POOR, _WIDER = 0.009, 1.2
#: A backing is of the colour of the front that is off it by less than this, of the whole step.
_ONE_COLOUR = 0.08
#: Colours that pass half a step this far apart are parted by the lens, px; and the least step that
#: tells where it is passed, in linear light.
_PARTED, _LEAST_HEIGHT = 0.1, 0.03
#: The fewest offsets that a profile is told by.
_FEWEST = 14
#: Neighbouring samples are off together: so many count as one.
_SAMPLES_AS_ONE = 5.0
#: What is believed before it is seen of the width of a bevel and of the band beyond the edge: the
#: middle and the standard deviation of the logarithm; of how much softer the band's far side is,
#: and of how deep a shadow is.
_BEVEL, _WALL, _SHADOW = (np.log(0.13), 0.6), (np.log(0.25), 0.6), (np.log(0.5), 0.8)
_SOFTER, _DEPTH = (0.0, 1.2), (0.0, 1.5)
#: What is believed of how much a camera sharpens, and the most; and how well it is known when other
#: edges have told.
_SHARP, _SHARPEST, _SHARP_KNOWN = (0.15, 0.2), 1.0, 0.05
#: So many of each lot to begin with are bettered, those of the likeliest places.
_BETTERED = 3
#: After so many steps of a fit, how much the picture was sharpened is fitted too.
_THEN_SHARP = 5
#: Widths to begin with, mm: of walls, of shadows, and of those whose far side was found.
_WALLS, _NARROW, _WIDE = (0.15, 0.3, 0.5), (0.12, 0.25, 0.5, 0.9, 1.4), (0.5, 0.9, 1.4)
#: How well a blur is known that other steps have told, as a share, and one that none has; and how
#: well the width of a bevel that others have.
_BLUR_KNOWN, _BLUR_UNKNOWN, _BEVEL_KNOWN = 0.08, 0.8, 0.3


@dataclass(frozen=True, slots=True, eq=False)
class MadeEdge:
    """One way to make up the profile: its parameters, and how far off it lies.

    It is `hidden` if light hardly changes where it has the edge: what lies beside the edge would
    then be as light as the edge of the panel by chance.
    """

    way: Way
    parameters: Numbers
    off: float
    deviation: float
    hidden: bool

    @property
    def bevel(self) -> float:
        """The width of its bevel as it is seen, mm."""
        return float(self.way.bevel(self.parameters))


@dataclass(frozen=True, slots=True)
class AsOthers:
    """What the other edges of a panel tell of one: the blur and the whole width of the bevel, mm.

    `sharp` is how much the camera sharpened, `bevelled` how likely a bevel is.
    """

    blur: float
    bevel: float = 0.0
    sharp: float = 0.1
    bevelled: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class MadeWays:
    """The ways in which an edge may be made up, each as it fits best.

    `others` is what was known of other edges, with the bevel as wide as it would be seen here;
    `lean` how much the camera looks at the edge from aside (see `askew`); `walled` whether the wall
    of the edge may be seen.
    """

    fits: tuple[MadeEdge, ...]
    others: AsOthers | None
    lean: float
    walled: bool


def made_ways(
    offsets: Numbers,
    light: Numbers,
    pixel: float,
    blur: float | None = None,
    others: AsOthers | None = None,
    walled: bool = True,
    lean: float = 0.0,
) -> MadeWays | None:
    """What linear light across an edge, each colour, from within outwards, may be made up of.

    `pixel` is its width, `blur` that of the picture where the panel has other steps that tell it,
    mm. The wall of the edge may be seen if it is `walled`; `lean` is how much the camera looks at
    it from aside. None where the profile is not whole.
    """
    kept = (offsets > -_WITHIN - _MORE * pixel) & (offsets < _BEYOND + _MORE * pixel)
    kept &= np.isfinite(light).all(axis=1)
    t, values = offsets[kept], light[kept]
    if len(t) < _FEWEST:
        return None
    if _is_parted(t, values, pixel):
        values = values.mean(axis=1, keepdims=True)
    weights = 1 / np.sqrt(np.maximum(values.mean(axis=1), 0) + 0.01)
    weights[t < -_FRONT] *= _OF_FRONT
    if others:
        others = replace(others, bevel=seen_width(others.bevel, lean))
    profile = Profile(t, values, weights, pixel, blur)
    fits = [
        _made(profile, others, Way(bevelled, band)) for bevelled in (False, True) for band in _BANDS
    ]
    if walled and others:
        best = min(fits, key=lambda fit: fit.off)
        if best.off > _POOR or best.bevel > _WIDER * others.bevel:
            # A wall is told from a bevel where it is known how wide that is.
            fits.append(_made(profile, others, Way(bool(others.bevel), "wall")))
    return MadeWays(tuple(fits), others, lean, walled)


def _is_parted(t: Numbers, values: Numbers, pixel: float) -> bool:
    """Whether a lens draws the colours apart of an edge that is of one colour.

    What lies behind is then of the colour of the front, darker or lighter, or whiter, and yet the
    colours pass half their steps in different places. They tell little there, and mislead.
    """
    front, backing = values[t <= np.quantile(t, 0.2)], values[t >= np.quantile(t, 0.8)]
    inside, outside = np.median(front, axis=0), np.median(backing, axis=0)
    other = np.abs(outside - of_panel(outside[None], inside[None])[0]).max()
    height = outside - inside
    if other > _ONE_COLOUR * np.abs(height).max() or np.abs(height).min() < _LEAST_HEIGHT:
        return False
    halves = [_half_passed(t, share) for share in ((values - inside) / height).T]
    return bool(np.ptp(halves) > _PARTED * pixel)


def _half_passed(t: Numbers, share: Numbers) -> float:
    """Where a step from 0 to 1 first passes a half."""
    k = max(int((share > 0.5).argmax()), 1)
    low, high = share[k - 1], share[k]
    return float(t[k - 1] + (t[k] - t[k - 1]) * (0.5 - low) / max(high - low, 1e-9))


def _made(profile: Profile, others: AsOthers | None, way: Way) -> MadeEdge:
    """The best fit of one way to make up the profile."""
    best = []
    for starts in _starts(profile, others, way):
        left = way.solved(profile, starts)[1]
        order = np.argsort((left**2).sum(axis=(1, 2)))
        first = np.unique(starts[order, 0], return_index=True)[1]  # of each place, the best
        best += [starts[order[k]] for k in np.sort(first)[:_BETTERED]]
    return _refined(profile, np.array(best), others, way)


def _starts(profile: Profile, others: AsOthers | None, way: Way) -> list[Numbers]:
    """Parameters to begin with, in lots: of each, the best are bettered."""
    pixel = profile.pixel
    told = _told_blur(profile, others)
    blurs = [told] if told else [0.65 * pixel, pixel, 1.7 * pixel]
    near = np.arange(-2.4, 3.0, 0.8) * pixel
    if way.bevelled and others and others.bevel:
        # What was found may be where a bevel begins that is wider than this.
        near = np.append(near, others.bevel + np.array([-0.4, 0.4]) * pixel)
    axes = [near, np.log(blurs), np.array([others.sharp if others else 0.1])]
    if way.bevelled:
        axes.append(np.log([others.bevel] if others and others.bevel else [0.07, 0.12, 0.2, 0.3]))
    if not way.band:
        return [_crossed(axes)]
    soft = np.log([0.2, 1.5])
    # What was found may be the edge, or the far side of the band beyond it.
    if way.band == "wall":
        found = [_crossed([*axes, np.log([width]), soft]) for width in _WALLS]
        far = [lot.copy() for lot in found]
    else:
        depth = np.array([-0.5])
        found = [_crossed([*axes, np.log(_NARROW), soft, depth])]
        far = [_crossed([near[::2], *axes[1:], np.log(_WIDE), soft, depth])]
    for lot in far:
        lot[:, 0] -= way.width(lot)
    return found + far


def _told_blur(profile: Profile, others: AsOthers | None) -> float | None:
    """The blur, mm, by steps within the panel, or else by its other edges."""
    return profile.blur or (others.blur if others else None)


def widest_bevel(others: AsOthers | None) -> float:
    """The widest that a bevel may be, mm."""
    if others and others.bevel:
        return min(1.5 * others.bevel + 0.05, WIDEST_BEVEL)
    return WIDEST_BEVEL


def _crossed(axes: list[Numbers]) -> Numbers:
    return np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, len(axes))


def _refined(profile: Profile, starts: Numbers, others: AsOthers | None, way: Way) -> MadeEdge:
    """The best of the fits near some starts, by steps of K. Levenberg and D. W. Marquardt.

    All are bettered side by side, since that takes hardly longer than one.
    """
    told = _told_blur(profile, others)
    blur = (np.log(told), _BLUR_KNOWN) if told else (np.log(profile.pixel), _BLUR_UNKNOWN)
    bevel = (np.log(others.bevel), _BEVEL_KNOWN) if others and others.bevel else _BEVEL
    band = {"": [], "wall": [_WALL, _SOFTER], "shadow": [_SHADOW, _SOFTER, _DEPTH]}[way.band]
    sharp = (others.sharp, _SHARP_KNOWN) if others else _SHARP
    believed = [(0.0, 1.0), blur, sharp, *[bevel] * way.bevelled, *band]
    middles, spreads = (np.array(each) for each in zip(*believed, strict=True))
    scale = BELIEF * LEAST_OFF
    lots, count = starts.shape
    highest = np.full(count, 2.5)
    lowest = np.full(count, -6.0)
    lowest[2], highest[2] = 0.0, _SHARPEST
    if way.bevelled:
        highest[FIRST] = np.log(widest_bevel(others))

    def left(p: Numbers) -> Numbers:
        off = way.solved(profile, p)[1]
        seen = p.copy()  # what is believed of the blur is how it is seen, sharpened
        seen[:, 1] = np.log(sharpened_blur(np.exp(p[:, 1]), p[:, 2], profile.pixel))
        off = off.reshape(len(off), -1)
        return np.concatenate([off, (seen - middles) / spreads * scale], axis=1)

    p, here, damping = starts.copy(), left(starts), np.full(lots, 1e-3)
    step = np.array([0.02 * profile.pixel, *([0.02] * (count - 1))])
    slopes = np.zeros((lots, count, here.shape[1]))
    moving = np.arange(lots)  # those that are not at rest yet
    for turn in range(14):
        nudged = left((p[moving, None] + np.diag(step)).reshape(-1, count))
        nudged = nudged.reshape(len(moving), count, -1)
        slopes[moving] = (nudged - here[moving, None]) / step[:, None]
        gain, left_to_try = np.zeros(lots), moving
        for _ in range(6):
            slope, was = slopes[left_to_try], here[left_to_try]
            normal = slope @ slope.transpose(0, 2, 1)
            damped = normal * (1 + damping[left_to_try, None, None] * np.eye(count))
            moved = p[left_to_try] - np.linalg.solve(damped, slope @ was[..., None])[..., 0]
            moved[:, 0] = np.clip(moved[:, 0], -_WITHIN, _BEYOND)
            moved[:, 1:] = np.clip(moved, lowest, highest)[:, 1:]
            if turn < _THEN_SHARP:  # what fits badly yet would make good for it by sharpening
                moved[:, 2] = p[left_to_try, 2]
            there = left(moved)
            before, after = (was**2).sum(axis=1), (there**2).sum(axis=1)
            better = after < before
            done = left_to_try[better]
            p[done], here[done] = moved[better], there[better]
            gain[done] = 1 - after[better] / before[better]
            damping[done] /= 4
            left_to_try = left_to_try[~better]
            damping[left_to_try] *= 8
            if not len(left_to_try):
                break
        moving = moving[gain[moving] >= 1e-4] if turn >= _THEN_SHARP else moving
        if not len(moving):
            break
    best = int(np.argmin((here**2).sum(axis=1)))
    off = float(np.sqrt((here[best] @ here[best]) / profile.values.size))
    cover = np.linalg.inv(slopes[best] @ slopes[best].T + 1e-12 * np.eye(count))
    deviation = max(off, LEAST_OFF) * float(np.sqrt(max(cover[0, 0], 0) * _SAMPLES_AS_ONE))
    return MadeEdge(way, p[best], off, deviation, way.hidden(profile, p[best]))
