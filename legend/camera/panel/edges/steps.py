"""Find one side of the panel in profiles across it: by the sharpest step, placed sub-pixel.

Where the step is, is told on the square root of linear light, in which the noise of a sensor is
even, so that a dark step counts as much as a light one. The sharpest is taken, not the outermost:
a shadow has a soft edge. Its place is then taken on linear light, in which a lens and a scanner
blur: there a blurred step passes half its height where the sharp one stood.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.camera.opencv import weighed_along
from legend.camera.panel.edges.edge_profile import EdgeProfile
from legend.camera.panel.edges.normal import normal_cumulative
from legend.camera.panel.edges.profiles import Profiles
from legend.camera.panel.edges.straight_line import StraightLine, straight_line

Numbers = NDArray[np.float64]

#: The step is looked for with a blur of this many pixels; and with this much, of which a share is
#: taken off.
_SOFT, _SOFTER, _OF_SOFTER = 1.0, 3.0, 0.8
#: Slopes of a side against where it is expected that are tried.
_SLOPES = 41
#: A rival is a step whose votes are this share of the sharpest's.
_RIVAL = 0.4
#: A step in a profile is there if it has this share of the side's own height.
_STEP_SHARE = 0.35
#: A profile is whole that lies within the picture so much further than a side may be, px.
_CLEAR = 4.0
#: The blur of a step that its place is fitted with, px, at least and at most.
_LEAST_BLUR, _MOST_BLUR = 0.45, 4.0


@dataclass(frozen=True, slots=True, eq=False)
class SeenSide:
    """A side of the panel as a picture shows it.

    `line` is its line in the coordinates of the profiles: mm outwards of where it was expected,
    along it, where `edge` tells that the panel ends, or else by the sharpest step; `found` is that
    of each profile. `pixel` is the width of a pixel there, mm. `covered` is the share of profiles
    with a good step there, `height` that step on the square root of linear light (0 to 1), `blur`
    its standard deviation, mm. `rivals` are other steps beside it, mm outwards of it and their
    votes as a share of its own.
    """

    line: StraightLine
    covered: float
    height: float
    blur: float
    rivals: tuple[tuple[float, float], ...]
    profiles: Profiles
    found: Numbers
    pixel: float
    edge: EdgeProfile | None = None


def seen_side(profiles: Profiles, turn: float, pixel: float, within: float) -> SeenSide | None:
    """The side that profiles cross, or None where nothing of a step runs along them.

    `turn` is how far it may be turned against where it is expected, radians, `within` how far
    beside that it is looked for, mm; `pixel` the width of a pixel, mm.
    """
    light = np.nan_to_num(profiles.light.astype(np.float64))
    near = np.abs(profiles.offsets) < within + _CLEAR * pixel
    whole = np.asarray(np.isfinite(profiles.light[:, near, 0]).all(axis=1))
    if whole.sum() < 0.3 * len(whole):
        return None
    root = np.sqrt(np.maximum(light, 0))
    sample = pixel / profiles.step
    steepness = _steepness(root, _SOFT * sample)
    # A soft step is as steep where the picture is blurred more: that is taken off.
    steepness = np.maximum(steepness - _OF_SOFTER * _steepness(root, _SOFTER * sample), 0)
    steepness[~whole] = 0
    steepness[:, np.abs(profiles.offsets) > within] = 0
    votes, slope = _best_slope(steepness, profiles, turn)
    best = int(np.argmax(votes))
    if votes[best] <= 0:
        return None
    middle = float(profiles.offsets[best])
    expected = middle + slope * (profiles.along - profiles.along.mean())
    aligned = _aligned(light[whole], expected[whole], profiles)
    if not _reaches(aligned, profiles.step, pixel):
        return None
    blur = _blur(aligned, profiles.step, pixel)
    found, heights = _placed(light, aligned, expected, profiles, blur)
    level = float(np.median(np.abs(heights[whole]))) if whole.any() else 0.0
    if level <= 0:
        return None
    good = whole & (np.abs(heights) > _STEP_SHARE * level) & np.isfinite(found)
    if good.sum() < 8:
        return None
    weights = np.where(good, 1.0, 0.0)
    line = straight_line(profiles.along, np.where(good, found, 0.0), weights, floor=0.02 * pixel)
    kept = line.weights > 0.2
    return SeenSide(
        line,
        float(kept.mean()),
        _root_height(aligned, profiles.step, blur),
        blur,
        _rivals(votes, best, profiles, blur, pixel),
        profiles,
        np.where(good, found, np.nan),
        pixel,
    )


def _steepness(root: Numbers, soft: float) -> Numbers:
    """How steep each profile is at each offset, over all colours, softened along it."""
    half = int(np.ceil(3 * soft))
    k = np.arange(-half, half + 1, dtype=float)
    kernel = k * np.exp(-0.5 * (k / soft) ** 2)
    slope = weighed_along(root, kernel / np.abs(kernel * k).sum())  # 1 a sample gives 1
    out: Numbers = np.sqrt(np.einsum("ijk,ijk->ij", slope, slope))
    return out


def _best_slope(steepness: Numbers, profiles: Profiles, turn: float) -> tuple[Numbers, float]:
    """The votes for each offset of a line at the slope that has the most for one, and the slope."""
    greatest = steepness.max(axis=1)
    cap = np.median(greatest)  # beyond it a step counts no more: a scratch is no edge
    votes = np.minimum(steepness, cap) if cap > 0 else steepness
    far = profiles.along - profiles.along.mean()
    best, out, slope = -1.0, votes.mean(axis=0), 0.0
    rows, most = np.arange(len(votes)), round(turn * np.abs(far).max() / profiles.step)
    padded = np.pad(votes, [(0, 0), (most, most)])
    moved = np.lib.stride_tricks.sliding_window_view(padded, votes.shape[1], axis=1)
    for each in np.linspace(-turn, turn, _SLOPES):
        shift = np.rint(each * far / profiles.step).astype(int)
        summed = moved[rows, most + shift].mean(axis=0)
        if summed.max() > best:
            best, out, slope = float(summed.max()), summed, float(each)
    return out, slope


def _aligned(light: Numbers, expected: Numbers, profiles: Profiles) -> Numbers:
    """The median of all profiles, each moved onto the line: what lies beside the edge all along."""
    shift = np.rint(expected / profiles.step).astype(int)[:, None]
    columns = np.arange(light.shape[1]) + shift
    inside = (columns >= 0) & (columns < light.shape[1])
    rows = np.arange(len(light))[:, None]
    moved = light[rows, np.clip(columns, 0, light.shape[1] - 1)]
    moved[~inside] = np.nan
    out = np.full(light.shape[1:], np.nan)
    seen = inside.mean(axis=0) > 0.5
    # What is no number comes last, so that the median stands in the middle of those that are.
    ordered, count = np.sort(moved[:, seen], axis=0), inside[:, seen].sum(axis=0)
    each = np.arange(len(count))
    out[seen] = (ordered[(count - 1) // 2, each] + ordered[count // 2, each]) / 2
    return out


def _reaches(aligned: Numbers, step: float, pixel: float) -> bool:
    """Whether enough is seen on both sides of the edge to place it."""
    middle, reach = len(aligned) // 2, max(4, round(3.5 * pixel / step))
    return bool(np.isfinite(aligned[max(middle - reach, 0) : middle + reach + 1]).all())


def _levels(aligned: Numbers, step: float, blur: float) -> tuple[Numbers, Numbers]:
    """The light within and beyond the edge, some blurs off it, each colour."""
    middle = len(aligned) // 2
    near, far = max(2, round(2.2 * blur / step)), max(4, round(4.0 * blur / step))
    inside = aligned[max(middle - far, 0) : middle - near + 1]
    outside = aligned[middle + near : middle + far + 1]
    return np.nanmean(inside, axis=0), np.nanmean(outside, axis=0)


def _root_height(aligned: Numbers, step: float, blur: float) -> float:
    """The height of the step on the square root of linear light, over all colours."""
    inside, outside = np.maximum(_levels(aligned, step, blur), 0)
    return float(np.sqrt(((np.sqrt(inside) - np.sqrt(outside)) ** 2).mean()))


def _along_colour(inside: Numbers, outside: Numbers) -> Numbers:
    """The direction in colour from beyond the edge to within, of length one."""
    way = inside - outside
    return np.asarray(way / max(float(np.sqrt((way**2).sum())), 1e-9))


def _blur(aligned: Numbers, step: float, pixel: float) -> float:
    """The standard deviation of the blur of the step, mm: by its height and steepest slope."""
    blur = 0.8 * pixel
    middle = len(aligned) // 2
    for _ in range(4):
        inside, outside = _levels(aligned, step, blur)
        way = _along_colour(inside, outside)
        reach = max(2, round(1.5 * pixel / step))
        part = aligned[middle - reach : middle + reach + 1] @ way
        steepest = float(np.nanmax(np.abs(np.diff(part)))) / step
        if steepest <= 0:
            break
        new = abs(float((inside - outside) @ way)) / steepest / np.sqrt(2 * np.pi)
        blur = float(np.clip(new, _LEAST_BLUR * pixel, _MOST_BLUR * pixel))
    return blur


def _placed(
    light: Numbers, aligned: Numbers, expected: Numbers, profiles: Profiles, blur: float
) -> tuple[Numbers, Numbers]:
    """Where each profile passes half its step, mm outwards, and how high the step is.

    A blurred step between two levels is fitted to each, near the line, all three unknown.
    """
    scalar = light @ _along_colour(*_levels(aligned, profiles.step, blur))
    window = max(4, round(3.2 * blur / profiles.step))
    reach = max(1, round(1.5 * blur / profiles.step))
    start = _steepest_near(scalar, expected, profiles, reach + window // 2)
    k = np.arange(-window, window + 1)
    middle = np.rint((start - profiles.offsets[0]) / profiles.step).astype(int)
    index = middle[:, None] + k
    inside = ((index >= 0) & (index < scalar.shape[1])).all(axis=1)
    index = np.clip(index, 0, scalar.shape[1] - 1)
    values = scalar[np.arange(len(scalar))[:, None], index]
    offsets = profiles.offsets[index]
    place = start.copy()
    height = np.zeros(len(place))
    for _ in range(6):
        z = (offsets - place[:, None]) / blur
        rise = normal_cumulative(z)
        bell = np.exp(-0.5 * z**2) / np.sqrt(2 * np.pi) / blur
        design = np.stack([np.ones_like(z), -rise, bell], axis=2)
        normal = np.einsum("nki,nkj->nij", design, design)
        normal += np.eye(3) * 1e-9 * normal.trace(axis1=1, axis2=2)[:, None, None]
        right = np.einsum("nki,nk->ni", design, values)
        level, height, moved = np.linalg.solve(normal, right[..., None])[..., 0].T
        with np.errstate(all="ignore"):
            change = np.where(np.abs(height) > 1e-6, moved / height, 0.0)
        place = place + np.clip(change, -blur, blur)
    lost = ~inside | (np.abs(place - start) > 3 * blur)
    return np.where(lost, np.nan, place), np.where(lost, 0.0, height)


def _steepest_near(scalar: Numbers, expected: Numbers, profiles: Profiles, reach: int) -> Numbers:
    """The offset where each profile is steepest, near the line."""
    soft = np.abs(scalar[:, 2:] - scalar[:, :-2])
    soft = np.pad(soft, [(0, 0), (1, 1)])
    soft[:, 1:-1] = (soft[:, :-2] + 2 * soft[:, 1:-1] + soft[:, 2:]) / 4
    middle = np.rint((expected - profiles.offsets[0]) / profiles.step).astype(int)
    k = np.arange(-reach, reach + 1)
    index = np.clip(middle[:, None] + k, 0, scalar.shape[1] - 1)
    near = soft[np.arange(len(scalar))[:, None], index]
    return np.asarray(profiles.offsets[index[np.arange(len(scalar)), near.argmax(axis=1)]])


def _rivals(
    votes: Numbers, best: int, profiles: Profiles, blur: float, pixel: float
) -> tuple[tuple[float, float], ...]:
    """Other steps along the same side: how far outwards of it, mm, and their share of its votes."""
    apart = max(2.5 * blur, 2.5 * pixel)
    inner = votes[1:-1]
    crest = np.nonzero((inner >= votes[:-2]) & (inner > votes[2:]))[0] + 1
    out = []
    for each in crest:
        far = float(profiles.offsets[each] - profiles.offsets[best])
        share = float(votes[each] / votes[best])
        if abs(far) > apart and share > _RIVAL:
            out.append((far, share))
    return tuple(sorted(out, key=lambda one: -one[1]))
