"""Tell film from the base coat, pixel by pixel: light of the panel in, cover by film out.

The light is divided by that of the base coat round about, which takes out that it is uneven. What
is left differs from 1 by noise, by shadow, which takes alike from red, green and blue, and by film,
which does not where it is coloured. So the direction from base to film is weighed by how little
noise and shadow there is along each of its parts: along it, in linear light, a pixel that film half
covers is half way.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Light = NDArray[np.float32]
Floats = NDArray[np.float64]

#: How deep shadows, and what else there is of uneven light, are reckoned with: as a part of the
#: light, a standard deviation.
_SHADOW = 0.25
#: How far its colour is from even, besides noise, in the same measure: what the colours of light,
#: and of what it is thrown back by, make of it. Common practice, no source.
_UNEVEN = 0.05
#: Of so many pixels of a patch the base coat is told.
_SAMPLE = 8_000
#: Pixels further from the base coat than so many times its spread are none of it.
_OUT = 3.0
#: Light is alike to begin with that differs by no more than this, as a logarithm.
_ALIKE = 0.2
#: Of the pixels that film must cover, this part is taken for its colour: those least like base.
_SURE = 0.35
#: How much red, green and blue make of lightness, in files with colours at half the fineness:
#: ITU-R BT.601-7, 2.5.1. Film is as light as the base coat that differs by less.
_LIGHTNESS, _AS_LIGHT = np.array([0.299, 0.587, 0.114]), 0.05
#: What part of the light clear film lets through, and how light its haze and its gloss are at the
#: most, as a part of white; where nothing in the picture is so many times lighter than base coat
#: and film, as a part of the base coat. Common practice, no source.
_CLEAR, _HAZE, _MUCH_LIGHTER, _HAZE_ON_BASE = np.linspace(0.85, 1.0, 16), 0.2, 2.0, 0.55
#: How uneven its colour may be found, as a part of the base coat, and of the haze.
_NOT_EVEN, _NOT_EVEN_PART = 0.05, 0.3
#: Of fewer pixels no colour is told.
_FEWEST = 20


def of_base(light: Light, usable: NDArray[np.bool_]) -> Light:
    """Light by that of the base coat at the same place: about 1 where there is no film.

    The base coat is what there is most of, its light a quadratic of the place, in logarithms;
    what lies far off that is left out step by step. What is not usable is not a number.
    """
    h, w, _ = light.shape
    rows, columns = np.nonzero(usable)
    if len(rows) < 100:
        return np.full(light.shape, np.nan, np.float32)
    some = slice(None, None, max(1, len(rows) // _SAMPLE))
    rows, columns = rows[some], columns[some]
    terms = _terms(columns / w - 0.5, rows / h - 0.5)
    logs = np.log(np.maximum(light[rows, columns].astype(float), 1e-3))
    fit = np.zeros((terms.shape[1], 3))
    fit[0] = _mode(logs)
    far = np.sqrt(((logs - fit[0]) ** 2).sum(axis=1))
    spread = 0.25
    for _ in range(8):
        kept = far < _OUT * spread
        if kept.sum() < 50:
            break
        some = terms[kept]
        fit = np.linalg.solve(some.T @ some + 1e-9 * np.eye(6), some.T @ logs[kept])
        far = np.sqrt(((logs - terms @ fit) ** 2).sum(axis=1))
        spread = max(1.4826 * float(np.median(far[kept])), 0.005)
    x, y = np.arange(w) / w - 0.5, np.arange(h) / h - 0.5
    base = np.empty_like(light)
    for channel in range(3):
        c = fit[:, channel]
        across = c[0] + c[1] * x + c[3] * x * x
        down = c[2] * y + c[5] * y * y
        logs_here = (across[None] + down[:, None] + c[4] * np.outer(y, x)).astype(np.float32)
        np.exp(logs_here, out=base[:, :, channel])
    out = light / base
    out[~usable] = np.nan
    return out


def _terms(x: Floats, y: Floats) -> Floats:
    return np.column_stack([np.ones_like(x), x, y, x * x, x * y, y * y])


def _mode(logs: Floats) -> Floats:
    """Where most lie: of some of them the one that has the most within a fifth of the light."""
    some, all_ = logs[:: max(1, len(logs) // 150)], logs[:: max(1, len(logs) // 800)]
    near = (np.abs(some[:, None] - all_[None]).max(axis=2) < _ALIKE).sum(axis=1)
    most: Floats = some[int(near.argmax())]
    return most


@dataclass(frozen=True, slots=True, eq=False)
class Film:
    """The colour of film by that of the base coat, and the direction that tells one by.

    `noise` is how far a pixel of the base coat is from none, as a part of the way to film: a
    standard deviation; `shadow` how far one is that has a fifth less light. `base` is the light of
    the base coat, and `white` what is lightest in the picture.
    """

    colour: Floats
    direction: Floats
    noise: float
    shadow: float
    base: Floats
    white: float

    @property
    def is_as_clear(self) -> bool:
        """Whether clear film would look like this: as the base coat, but for a little haze, which
        has no colour.
        """
        light = self.colour * self.base
        hazes = light - _CLEAR[:, None] * self.base
        even = hazes.mean(axis=1, keepdims=True)
        uneven = np.abs((hazes - even) / self.base).max(axis=1)
        strong = even[:, 0] / float(_LIGHTNESS @ self.base)
        allowed = _NOT_EVEN + _NOT_EVEN_PART * np.abs(strong)
        alike = (uneven < allowed) & (even[:, 0] > -_NOT_EVEN * self.base.mean())
        if not alike.any():
            return False
        haze = float(even[alike, 0].min())
        if self.white > _MUCH_LIGHTER * float(_LIGHTNESS @ np.maximum(light, self.base)):
            return haze < _HAZE * self.white
        return haze < max(_HAZE * self.white, _HAZE_ON_BASE * float(_LIGHTNESS @ self.base))

    def cover(self, by_base: Light) -> Light:
        """The part of each pixel that film covers, 0 to 1 but for noise; 0 where it is untold."""
        return _along(by_base, self.direction)

    def by_light(self, by_base: Light) -> Light:
        """The same by lightness, which a file keeps finer than colour; 0 where film is as light
        as the base coat. A shadow is taken for film.
        """
        lighter = float(_LIGHTNESS @ (self.colour - 1))
        if abs(lighter) < _AS_LIGHT:
            return np.zeros(by_base.shape[:2], np.float32)
        return _along(by_base, _LIGHTNESS / lighter)


def _along(by_base: Light, direction: Floats) -> Light:
    out: Light = (by_base - 1) @ direction.astype(np.float32)
    out[~np.isfinite(out)] = 0
    return out


@dataclass(frozen=True, slots=True, eq=False)
class BaseNoise:
    """How the base coat varies, by itself: the covariance of its three colours, by its light."""

    covariance: Floats

    @property
    def weights(self) -> Floats:
        """By which differences are weighed, noise and shadow reckoned with."""
        uneven = _UNEVEN**2 * np.eye(3) + _SHADOW**2 * np.ones((3, 3))
        return np.asarray(np.linalg.inv(self.covariance + uneven), float)

    def unlike(self, by_base: Light) -> Light:
        """How unlike the base coat each pixel is: 0 where it is untold."""
        off = by_base - 1
        out: Light = np.einsum("hwi,ij,hwj->hw", off, self.weights.astype(np.float32), off)
        out[~np.isfinite(out)] = 0
        return np.sqrt(np.maximum(out, 0))

    def film(self, colour: Floats, base: Floats, white: float) -> Film:
        """Film of a colour, by that of the base coat, whose own light is `base`; that of white is
        what is lightest.
        """
        off = colour - 1
        direction = self.weights @ off
        direction = direction / max(float(direction @ off), 1e-9)
        noise = float(np.sqrt(direction @ self.covariance @ direction))
        shadow = float(abs(0.2 * direction.sum()))
        return Film(colour, direction, noise, shadow, base, white)


def base_noise(patches: Sequence[Light]) -> BaseNoise:
    """How the base coat of some patches varies: by the nearer pixels."""
    covariances = []
    for patch in patches:
        every = max(1, round(np.sqrt(patch.size / 3 / _SAMPLE)))
        off = patch[::every, ::every].reshape(-1, 3).astype(float) - 1
        off = off[np.isfinite(off[:, 0])]
        if len(off) < 100:
            continue
        far = np.abs(off).max(axis=1)
        near = off[far < 3 * max(float(np.median(far)), 1e-3)]
        covariances.append(np.cov(near.T))
    pooled = np.median(covariances, axis=0) if covariances else np.zeros((3, 3))
    return BaseNoise(pooled + 0.005**2 * np.eye(3))


def film_colour(patches: Sequence[Light], noise: BaseNoise, pixels: float) -> Floats:
    """The colour of the film on some patches, by that of the base coat; black where none is seen.

    `pixels` is how many it must cover of them in all.
    """
    colours, unlike = [], []
    for patch in patches:
        some = patch[::2, ::2]
        far = noise.unlike(some)
        rows = far > 0
        unlike.append(far[rows])
        colours.append(some[rows])
    every, far = np.concatenate(colours).astype(float), np.concatenate(unlike)
    if len(far) < _FEWEST:
        return np.zeros(3)
    count = int(np.clip(_SURE * pixels / 4, _FEWEST, len(far)))
    top = np.argpartition(-far, count - 1)[:count]
    out: Floats = np.median(every[top], axis=0)
    return out
