"""Tell which spot of a photograph is which hole: by the pattern that the holes stand in.

Two holes, laid on two spots that suit their sizes, say where all the others must be, roughly,
for a camera that looks at the panel more or less square on. What is found there says it better,
and so on: first a similarity, then an affine map, then a perspective.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from legend.camera.letters.by_holes.blobs import Blobs
from legend.camera.view import Points
from legend.layout.artwork import Opening

#: From so many of the largest holes pairs are taken; and so many first guesses are looked into.
_ANCHORS, _GUESSES, _BEST = 9, 4000, 30
#: So many pairs of a hole and a spot are looked at in one go.
_AT_ONCE = 400_000
#: How far the sizes of two spots may be from those of their holes, and from each other: as a
#: factor's logarithm, of the area.
_SIZE, _LIKE = 0.75, 0.6
#: How far off a spot may be, as a part of the pattern's width, from step to step.
_FIRST_REACH = 0.07
_REACHES = (0.05, 0.03, 0.015, 0.008, 0.006)
#: So many points at least carry a perspective; an affine map.
_PERSPECTIVE, _AFFINE = 4, 3
#: A spot that is so many times further off than the median is another's.
_FALSE = 3.0


@dataclass(frozen=True, slots=True, eq=False)
class Pattern:
    """Holes told in a picture: their indices, where their middles are, px, and the map from mm.

    `off` is how far they are from where the map has them, root mean square, px.
    """

    holes: NDArray[np.intp]
    middles: Points
    onto: Points
    off: float


def patterns_in(blobs: Blobs, openings: Sequence[Opening]) -> list[Pattern]:
    """What the holes may be, the most likely first: those that as many holes speak for, or nearly.

    Empty where no two holes can be told.
    """
    if len(openings) < 2 or len(blobs.areas) < 2:
        return []
    places = np.array([opening.centre for opening in openings], dtype=float)
    sizes = np.array([opening.outline.area for opening in openings])
    span = float(np.hypot(*np.ptp(places, axis=0)))
    starts = _guesses(places, sizes, blobs)
    scores = _scores(starts, places, sizes, blobs, span)
    grown: list[Pattern] = []
    for index in np.argsort(-scores, kind="stable")[:_BEST]:
        pattern = _grown(starts[index], places, sizes, blobs, span)
        if pattern and not any(_is_same(pattern, other, places) for other in grown):
            grown.append(pattern)
    grown.sort(key=lambda pattern: (-len(pattern.holes), pattern.off))
    return [each for each in grown if len(each.holes) >= 0.75 * len(grown[0].holes)]


def _guesses(places: Points, sizes: NDArray[np.float64], blobs: Blobs) -> NDArray[np.complex128]:
    """Similarities as (a, b): what is at z, y downwards, is seen at a z + b. Shape (n, 2)."""
    anchors = np.argsort(-sizes, kind="stable")[:_ANCHORS]
    z = places[:, 0] - 1j * places[:, 1]
    w = blobs.middles[:, 0] + 1j * blobs.middles[:, 1]
    one, other = np.nonzero(~np.eye(len(w), dtype=bool))
    found, worth = [], []
    for i, j in combinations(anchors.tolist(), 2):
        if abs(z[j] - z[i]) < 1e-6:
            continue
        a = (w[other] - w[one]) / (z[j] - z[i])
        scale = np.log(np.abs(a) ** 2 + 1e-12)
        first = np.log(blobs.areas[one] / sizes[i]) - scale
        second = np.log(blobs.areas[other] / sizes[j]) - scale
        fits = (np.abs(first) < _SIZE) & (np.abs(second) < _SIZE)
        fits &= np.abs(first - second) < _LIKE
        found.append(np.column_stack([a[fits], w[one[fits]] - a[fits] * z[i]]))
        worth.append((first[fits] - second[fits]) ** 2 + 0.3 * (first[fits] + second[fits]) ** 2)
    every = np.concatenate(found)
    return every[np.argsort(np.concatenate(worth), kind="stable")[:_GUESSES]]


def _scores(
    starts: NDArray[np.complex128],
    places: Points,
    sizes: NDArray[np.float64],
    blobs: Blobs,
    span: float,
) -> NDArray[np.float64]:
    """How many holes have a spot of their size near where each guess has them, near ones more."""
    z = places[:, 0] - 1j * places[:, 1]
    w = (blobs.middles[:, 0] + 1j * blobs.middles[:, 1]).astype(np.complex64)
    like = (np.log(blobs.areas)[None, :] - np.log(sizes)[:, None]).astype(np.float32)
    scores = np.zeros(len(starts))
    rows = max(1, _AT_ONCE // like.size)
    for begin in range(0, len(starts), rows):
        a, b = starts[begin : begin + rows].T
        expected = (a[:, None] * z + b[:, None]).astype(np.complex64)
        far = np.abs(expected[:, :, None] - w)
        near = 1 - far / (np.abs(a) * span * _FIRST_REACH).astype(np.float32)[:, None, None]
        scale = (2 * np.log(np.abs(a))).astype(np.float32)
        near[np.abs(like[None] - scale[:, None, None]) > _SIZE] = 0
        scores[begin : begin + rows] = np.clip(near, 0, None).max(axis=2).sum(axis=1)
    return scores


def _grown(
    start: NDArray[np.complex128],
    places: Points,
    sizes: NDArray[np.float64],
    blobs: Blobs,
    span: float,
) -> Pattern | None:
    """The holes that are found from a guess, each spot given to one hole only; None below two."""
    a, b = start
    onto = np.array([[a.real, a.imag, b.real], [a.imag, -a.real, b.imag], [0, 0, 1]])
    holes = spots = np.empty(0, dtype=np.intp)
    for reach in (_FIRST_REACH, *_REACHES):
        holes, spots = _matched(onto, places, sizes, blobs, reach * span)
        if len(holes) < 2:
            return None
        fitted = _fitted(places[holes], blobs.middles[spots])
        if fitted is None:
            break
        onto = _by_the_nearest(fitted, places[holes], blobs.middles[spots])
    off = mapped_by(onto, places[holes]) - blobs.middles[spots]
    rms = float(np.sqrt((off**2).sum(axis=1).mean()))
    return Pattern(holes, blobs.middles[spots], onto, rms)


def _by_the_nearest(onto: Points, mm: Points, px: Points) -> Points:
    """The map anew, those left out that it has far off beside the others: false ones."""
    off = np.hypot(*(mapped_by(onto, mm) - px).T)
    near = off <= _FALSE * np.median(off)
    if near.all() or near.sum() <= _PERSPECTIVE + 1:
        return onto
    fitted = _fitted(mm[near], px[near])
    return onto if fitted is None else fitted


def _matched(
    onto: Points, places: Points, sizes: NDArray[np.float64], blobs: Blobs, reach: float
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Holes and spots that belong together, the nearest first; `reach` is in mm."""
    seen = mapped_by(onto, places)
    scale = np.sqrt(np.abs(_magnified(onto, places)))
    far = np.hypot(*(seen[:, None] - blobs.middles[None]).transpose(2, 0, 1)) / scale[:, None]
    like = np.abs(np.log(blobs.areas)[None, :] - np.log(sizes * scale**2)[:, None])
    cost = far / reach + 0.5 * like
    cost[(far > reach) | (like > _SIZE)] = np.inf
    holes, spots = [], []
    for flat in np.argsort(cost, axis=None, kind="stable")[: len(places) * 6]:
        hole, spot = divmod(int(flat), len(blobs.areas))
        if not np.isfinite(cost[hole, spot]):
            break
        if hole not in holes and spot not in spots:
            holes.append(hole)
            spots.append(spot)
    return np.array(holes, dtype=np.intp), np.array(spots, dtype=np.intp)


def mapped_by(onto: Points, points: Points) -> Points:
    """Points under a 3 × 3 matrix."""
    w = np.column_stack([points, np.ones(len(points))]) @ onto.T
    out: Points = w[:, :2] / w[:, 2:]
    return out


def _magnified(onto: Points, points: Points) -> NDArray[np.float64]:
    """By how much each place's surroundings are enlarged, in area."""
    w = np.column_stack([points, np.ones(len(points))]) @ onto[2]
    out: NDArray[np.float64] = np.linalg.det(onto) / w**3
    return out


def _fitted(mm: Points, px: Points) -> Points | None:
    """The map that takes mm to px by least squares, a perspective where there is enough for one."""
    if len(mm) < _AFFINE or _flat(mm):
        return None
    if len(mm) <= _PERSPECTIVE:
        x, *_ = np.linalg.lstsq(np.column_stack([mm, np.ones(len(mm))]), px, rcond=None)
        return np.vstack([x.T, [0, 0, 1]])
    return perspective(mm, px)


def _flat(mm: Points) -> bool:
    """Whether points stand in one line, nearly."""
    spread = np.linalg.svd(mm - mm.mean(axis=0), compute_uv=False)
    return bool(spread[1] < 0.02 * spread[0])


def perspective(mm: Points, px: Points) -> Points:
    """The perspective that takes mm to px: the direct linear transformation, both scaled first.

    R. Hartley, "In defense of the eight-point algorithm", IEEE Transactions on Pattern Analysis
    and Machine Intelligence 19 (6), 1997, for the scaling.
    """
    from_mm, from_px = _scaling(mm), _scaling(px)
    a, b = mapped_by(from_mm, mm), mapped_by(from_px, px)
    one, zero = np.ones(len(a)), np.zeros((len(a), 3))
    ones = np.column_stack([a, one])
    rows = np.vstack(
        [
            np.column_stack([ones, zero, -b[:, :1] * ones]),
            np.column_stack([zero, ones, -b[:, 1:] * ones]),
        ]
    )
    matrix = np.linalg.svd(rows)[2][-1].reshape(3, 3)
    onto = np.linalg.inv(from_px) @ matrix @ from_mm
    out: Points = onto / onto[2, 2]
    return out


def _scaling(points: Points) -> Points:
    middle = points.mean(axis=0)
    s = np.sqrt(2) / max(float(np.hypot(*(points - middle).T).mean()), 1e-9)
    return np.array([[s, 0, -s * middle[0]], [0, s, -s * middle[1]], [0, 0, 1]])


def _is_same(one: Pattern, other: Pattern, places: Points) -> bool:
    """Whether two patterns have the holes at the same places of the picture."""
    apart = mapped_by(one.onto, places) - mapped_by(other.onto, places)
    scale = np.sqrt(np.abs(_magnified(one.onto, places)))
    return bool(np.median(np.hypot(*apart.T) / scale) < 3.0)
