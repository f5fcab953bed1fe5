"""Make up the light across an edge of its parts: front, bevel, wall or shadow, backing.

A step lies between each part and the next. Those of the panel are as blurred as the picture is,
that at the far side of a wall or a shadow also more. What the camera sharpened is taken back first
(see `sharpening`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from legend.camera.panel.edges.normal import normal_cumulative
from legend.camera.panel.edges.sharpening import AMOUNTS, unsharpened

Numbers = NDArray[np.float64]

#: What may lie beyond the edge before the backing: nothing, a shadow, or the wall of the edge.
Band = Literal["", "shadow", "wall"]

#: The parameters that every way has: where the edge is, the blur, the sharpening.
FIRST = 3
#: What a profile of an edge that is made up right lies off, in weighted light: it is never less.
LEAST_OFF = 0.003
#: The share of the whole step that an edge is seen by; and that of a bevel, which is seldom nearly
#: as dark as what lies behind.
_SEEN_STEP, _SEEN_BEVEL = 0.12, 0.25
#: How far the light of a bevel or a wall is of another colour than metal or the panel's own coat
#: can be, as a share of the whole step: by what the backing throws on it. A standard deviation.
_OTHER_COLOUR = 0.1
#: What is believed counts as a profile that lies off by so many times the least.
BELIEF = 5.0


@dataclass(frozen=True, slots=True, eq=False)
class Profile:
    """Offsets, mm; the light there in each colour; what each offset counts; a pixel's width, mm;
    and the blur of the picture, mm, where other steps tell it.

    `unsharpened` is the light as it was before the camera sharpened it by each of `AMOUNTS`.
    """

    t: Numbers
    values: Numbers
    weights: Numbers
    pixel: float
    blur: float | None = None
    unsharpened: Numbers = field(init=False)

    def __post_init__(self) -> None:
        light = unsharpened(self.t, self.values, self.pixel)
        object.__setattr__(self, "unsharpened", light)

    def before(self, sharp: Numbers) -> Numbers:
        """The light before it was sharpened, for each amount: amounts × offsets × colours."""
        place = np.clip(sharp, 0, AMOUNTS[-1]) / AMOUNTS[1]
        low = np.minimum(place.astype(int), len(AMOUNTS) - 2)
        part = (place - low)[:, None, None]
        out: Numbers = (1 - part) * self.unsharpened[low] + part * self.unsharpened[low + 1]
        return out


@dataclass(frozen=True, slots=True)
class Way:
    """A way to make up a profile: with a bevel or without, and what band lies beyond the edge.

    Its parameters are, in turn: where the edge is, mm; the logarithm of the blur, mm; how much the
    camera sharpened; the logarithms of the widths of the bevel and of the band, mm, where they are
    there; of the band also that of how much more its far side is blurred, and, of a shadow, the
    logit of the share of light that it takes.
    """

    bevelled: bool
    band: Band

    @property
    def count(self) -> int:
        """How many parameters there are."""
        return FIRST + self.bevelled + {"": 0, "wall": 2, "shadow": 3}[self.band]

    def bevel(self, p: Numbers) -> Numbers:
        """The width of the bevel, mm."""
        return np.exp(p[..., FIRST]) if self.bevelled else np.zeros_like(p[..., 0])

    def width(self, p: Numbers) -> Numbers:
        """The width of the band beyond the edge, mm."""
        return np.exp(p[..., FIRST + self.bevelled]) if self.band else np.zeros_like(p[..., 0])

    def depth(self, p: Numbers) -> Numbers:
        """The share of light that a shadow takes, 0 to 1."""
        if self.band != "shadow":
            return np.zeros_like(p[..., 0])
        return np.asarray(1 / (1 + np.exp(-p[..., -1])))

    def design(self, t: Numbers, p: Numbers) -> Numbers:
        """What makes up profiles, one for each row of parameters: rows × offsets × parts.

        The parts are front, backing, how both change away from the edge, bevel, and wall. A shadow
        takes the same share of all the colours of the backing.
        """
        place, blur = p[..., 0, None], np.exp(p[..., 1, None])
        bevel, width = self.bevel(p)[..., None], self.width(p)[..., None]
        # The steps from the edge on: that, the far side of the bevel, the far side of the band.
        places, blurs = [place], [blur]
        if self.bevelled:
            places.append(place - bevel)
            blurs.append(blur)
        if self.band:
            places.append(place + width)
            blurs.append(blur * (1 + np.exp(p[..., FIRST + 1 + self.bevelled, None])))
        z, wide = t - np.stack(places), np.stack(blurs)
        steps = normal_cumulative(z / wide)
        beyond = backing = steps[0]
        ends = steps[1] if self.bevelled else beyond
        if self.band:
            far = steps[-1]
            share = self.depth(p)[..., None]
            backing = beyond * (1 - share * (1 - far)) if self.band == "shadow" else far
        columns = [1 - ends, backing]
        columns += [np.minimum(t - place + bevel, 0), np.maximum(t - place - width, 0)]
        if self.bevelled:
            columns.append(ends - beyond)
        if self.band == "wall":
            columns.append(beyond - backing)
        return np.stack(columns, axis=2)

    def solved(self, profile: Profile, p: Numbers) -> tuple[Numbers, Numbers]:
        """The light that suits the profile best of each part, and what is left of it, weighted.

        1. Bevel and wall are held near the light of front and backing where they are hardly seen.
        2. Both are of the panel: of its own colour, lighter or darker, or bare metal. What they
           would have of other colours is a part of the backing, and so counts against them.
        """
        weights = profile.weights[:, None]
        weighted = self.design(profile.t, p) * weights
        wanted = profile.before(p[:, 2]) * weights
        count = weighted.shape[2]
        contrast = max(float(np.ptp(profile.values)), 0.02)
        held = 4 * LEAST_OFF / contrast * float(np.sqrt(len(weights) / 30))
        holds = np.zeros((count - 4, count))
        holds[:, :2] = -0.5 * held
        holds[:, 4:] = held * np.eye(count - 4)
        turned = weighted.transpose(0, 2, 1)
        normal = turned @ weighted + holds.T @ holds + np.eye(count) * 1e-6
        right = turned @ (wanted)
        parts = np.linalg.solve(normal, right)
        own = of_panel(parts[:, 4:], parts[:, :1]) if count > 4 else parts[:, 4:]
        strict = BELIEF * LEAST_OFF / (_OTHER_COLOUR * contrast)
        if count > 4:
            normal[:, 4:, 4:] += strict**2 * np.eye(count - 4)
            right[:, 4:] += strict**2 * own
        parts = np.linalg.solve(normal, right)
        left = weighted @ parts - wanted
        lights = np.concatenate([parts[:, :2], parts[:, 4:]], axis=1)
        dark = np.minimum(lights, 0) * np.sqrt(len(weights)) * 3  # light is not less than none
        other = strict * (parts[:, 4:] - own)
        return parts, np.concatenate([left, holds @ parts, dark, other], axis=1)

    def hidden(self, profile: Profile, p: Numbers) -> bool:
        """Whether light hardly changes at the edge itself, against the whole step."""
        light = np.sqrt(np.maximum(self.solved(profile, p[None])[0][0], 0))
        within = light[4 if self.bevelled else 0]
        beyond = light[-1] if self.band == "wall" else light[1] * np.sqrt(1 - self.depth(p))
        whole = max(float(np.abs(light[0] - light[1]).max()), 1e-6)
        least = _SEEN_BEVEL if self.bevelled else _SEEN_STEP
        return float(np.abs(within - beyond).max()) < least * whole


def of_panel(light: Numbers, front: Numbers) -> Numbers:
    """The light nearest to this that is the front's, lighter or darker, with white added."""
    count = front.shape[-1]
    white = np.full(count, count**-0.5)
    grey = (light @ white)[..., None]
    coloured = front - (front @ white)[..., None] * white
    ridge = 1e-4 * (front**2).sum(axis=-1, keepdims=True) + 1e-9
    share = (light * coloured).sum(axis=-1, keepdims=True)
    share = np.maximum(share / ((coloured**2).sum(axis=-1, keepdims=True) + ridge), 0)
    # No less white than the front's own colour has in it at this share.
    least = share * (front @ white)[..., None]
    short = grey < least
    along = (light * front).sum(axis=-1, keepdims=True)
    alone = np.maximum(along / ((front**2).sum(axis=-1, keepdims=True) + 1e-9), 0) * front
    out: Numbers = np.where(short, alone, share * coloured + np.maximum(grey, 0) * white)
    return out
