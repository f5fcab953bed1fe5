"""Tell in the mean profile across an edge which of its steps is where the panel ends.

Where a panel ends there is rarely a step alone. A sawn edge is broken with a file: a narrow bevel,
lighter or darker than the front, lies within the edge. And beyond it may lie a shadow, which is as
dark at the edge as the edge of the panel itself. So the profile is made up of what may be there:

    front | bevel | wall, or shadow | backing

with a step between each and the next, those of the panel as blurred as the picture is, that of
a band beyond also more. A shadow is the backing, only darker; a bevel, and the wall of the edge
where it is seen askew, are of the panel's own colour, lighter or darker, or bare metal. What is
there is taken by how well it fits.
Where one edge does not tell, the others of the same panel do: they are as blurred, and a file that
goes round breaks them alike.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from legend.camera.panel.edges.askew import (
    reach_beyond,
    reach_spread,
    seen_width,
    whole_width,
)
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
#: What bevel and shadow must better the fit by, each: the share of the mean square that stays.
_BETTER = 0.6
#: How much more a bevel must better the fit where no other edge has one.
_ALONE = 3.0
#: And a band beyond the edge. A wall is only seen where the camera stands beyond that edge.
_BANDS_COST: dict[Band, float] = {"": 0.0, "shadow": 1.0, "wall": 2.0}
#: What an edge costs that is not seen itself.
_BY_CHANCE = 1.5
#: How much less likely a way is that costs more: its share falls by e over the inverse of this.
_SURE = 3.0
#: The doubt, mm, by how much further than that a profile lies off what it is made up of.
_UNLIKE = 5.0
#: The part that may be wall of what a bevel is wider than others, as a standard deviation.
_PART = 0.7
#: What lies off less than this is made up as it is believed to be.
_FITS = 0.02
#: The doubt, mm, about a band that is as wide as a bevel may be, to this share: it is wider then.
_TOO_WIDE, _PINNED = 0.12, 0.97
#: A wall is looked for beside an edge that is told worse than the first, or has a bevel so many
#: times as wide as others.
_POOR, _WIDER = 0.009, 1.2
#: A backing is of the colour of the front that is off it by less than this, of the whole step.
_ONE_COLOUR = 0.08
#: Colours that pass half a step this far apart are parted by the lens, px; and the least step that
#: tells where it is passed, in linear light.
_PARTED, _LEAST_HEIGHT = 0.1, 0.03
#: How likely a bevel must be for its width to be believed of the other edges.
_MAYBE = 0.2
#: The fewest offsets that a profile is told by.
_FEWEST = 14
#: Neighbouring samples are off together: so many count as one.
_SAMPLES_AS_ONE = 5.0


@dataclass(frozen=True, slots=True, eq=False)
class EdgeProfile:
    """Where the panel ends in a profile, mm outwards of its origin, and how surely.

    `shown` is where the likeliest way to make it up has the edge in the picture, `place` where the
    panel ends, by all ways, and `deviation` the standard deviation of it; `blur` the picture's, mm,
    and `sharp` how much it was sharpened. `bevel` is the width of that within the edge as it is
    seen, `width` that of the `band` beyond it, mm, 0 for none. `off` is
    how far the profile lies off what it is made up of, root mean square of weighted light.
    `bevelled` is how likely a bevel is, 0 to 1, and `bevel_if` its whole width where there is
    one, of which a camera that looks at it askew sees less, or more.
    """

    place: float
    shown: float
    deviation: float
    blur: float
    sharp: float
    bevel: float
    width: float
    band: Band
    off: float
    bevelled: float
    bevel_if: float


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
class _Made:
    """One way to make up the profile: its parameters, and how far off it lies.

    It is `hidden` if light hardly changes where it has the edge: what lies beside the edge would
    then be as light as the edge of the panel by chance.
    """

    way: Way
    parameters: Numbers
    off: float
    deviation: float
    hidden: bool


def edge_profile(
    offsets: Numbers,
    light: Numbers,
    pixel: float,
    blur: float | None = None,
    others: AsOthers | None = None,
    walled: bool = True,
    lean: float = 0.0,
) -> EdgeProfile | None:
    """Where the panel ends in linear light across its edge, each colour, from within outwards.

    `pixel` is its width, `blur` that of the picture where the panel has other steps that tell it,
    mm. The wall of the edge may be seen if it is `walled`; `lean` is how much the camera looks at
    it from aside (see `askew`). None where the profile is not whole.
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
    told = _told(fits, others, lean)
    if walled and others and (told.off > _POOR or told.bevel > _WIDER * others.bevel):
        # A wall is told from a bevel where it is known how wide that is.
        wall = _made(profile, others, Way(bool(others.bevel), "wall"))
        return _told([*fits, wall], others, lean)
    return told


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


def _told(fits: list[_Made], others: AsOthers | None, lean: float) -> EdgeProfile:
    """The edge by all ways, each by how likely it is: how well it fits, and how simple it is.

    Where others have a bevel, one is there, seen or not, and nothing speaks against it; where none
    has, one speaks against itself all the more.
    """
    granted = bool(others and others.bevelled >= 0.5)
    bevel_costs = max(0.0, _ALONE * (1 - 2 * others.bevelled)) if others else 1.0
    costs = np.array(
        [
            np.log(max(fit.off, LEAST_OFF) ** 2)
            - np.log(_BETTER) * (_BANDS_COST[fit.way.band] + bevel_costs * fit.way.bevelled)
            + _BY_CHANCE * (fit.hidden and not (granted and fit.way == Way(True, "shadow")))
            for fit in fits
        ]
    )
    likely = np.exp(-_SURE * (costs - costs.min()))
    likely /= likely.sum()
    made = fits[int(np.argmax(likely))]
    bevels = np.array([float(fit.way.bevel(fit.parameters)) for fit in fits])
    places = np.array([fit.parameters[0] for fit in fits]) + reach_beyond(bevels, lean)
    place = float(likely @ places)
    variance = float(likely @ [fit.deviation**2 for fit in fits] + likely @ (places - place) ** 2)
    variance += float(likely @ reach_spread(bevels, lean) ** 2)
    variance += (max(made.off - _FITS, 0) * _UNLIKE) ** 2
    bevel = float(made.way.bevel(made.parameters))
    bevelled = np.array([fit.way.bevelled for fit in fits])
    if_any = fits[int(np.argmax(np.where(bevelled, likely, -1.0)))]
    if others:
        # A band wider than the bevels elsewhere may in part be the wall of the edge, seen askew.
        variance += (_PART * max(bevel - others.bevel, 0)) ** 2
    if bevel > _PINNED * _widest(others):
        variance += _TOO_WIDE**2
    return EdgeProfile(
        place,
        float(made.parameters[0]),
        float(np.sqrt(variance)),
        float(np.exp(made.parameters[1])),
        float(made.parameters[2]),
        bevel,
        float(made.way.width(made.parameters)),
        made.way.band,
        made.off,
        float(likely @ bevelled),
        float(whole_width(if_any.way.bevel(if_any.parameters), lean)),
    )


def as_others(profiles: Sequence[EdgeProfile]) -> AsOthers:
    """What the edges of one panel tell together: the blur of most, and the bevels that are seen.

    A narrow band beside three edges is no shadow, which a lamp casts beside two at most.
    """
    fit = [each for each in profiles if each.off < _FITS] or list(profiles)
    blur = float(np.median([each.blur for each in fit]))
    sharp = float(np.median([each.sharp for each in fit]))
    share = float(np.mean([each.bevelled for each in fit]))
    bevels = [each.bevel_if for each in fit if each.bevelled > _MAYBE]
    bands = [each.width for each in fit if not each.bevel and 0 < each.width < WIDEST_BEVEL]
    count = len([each for each in fit if each.bevel])
    if 4 * (count + len(bands)) >= 3 * len(fit) > 6 * count:
        bevels += bands
        share = (count + len(bands)) / len(fit)
    return AsOthers(blur, float(np.median(bevels)) if bevels else 0.0, sharp, share)


# --- Fits ---

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


def _made(profile: Profile, others: AsOthers | None, way: Way) -> _Made:
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


def _widest(others: AsOthers | None) -> float:
    """The widest that a bevel may be, mm."""
    if others and others.bevel:
        return min(1.5 * others.bevel + 0.05, WIDEST_BEVEL)
    return WIDEST_BEVEL


def _crossed(axes: list[Numbers]) -> Numbers:
    return np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, len(axes))


def _refined(profile: Profile, starts: Numbers, others: AsOthers | None, way: Way) -> _Made:
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
        highest[FIRST] = np.log(_widest(others))

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
    return _Made(way, p[best], off, deviation, way.hidden(profile, p[best]))
