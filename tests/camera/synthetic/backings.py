"""Make what lies beneath a plate: paper, a bench, a printed sheet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import cv2
import numpy as np

from .coverage import Points
from .surfaces import Colour, Texture, noise

Pattern = Literal["plain", "wood", "checks", "print", "rule", "cloth"]

#: Outlines on a printed page, mm, and the part of light that they send back.
Patch = tuple[tuple[Points, ...], float]


@dataclass(frozen=True, slots=True, eq=False)
class Sheet:
    """A printed page beneath the plate: its outline and patches where they lie, mm.

    `lift` tells how high above its bed the paper stands at places, mm; `paper` is its white.
    """

    outline: Points
    patches: tuple[Patch, ...]
    paper: float = 0.82
    lift: Callable[[Points], Points] | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Backing:
    """What the plate lies on, and what may lie on that."""

    colour: Colour = (0.75, 0.75, 0.73)
    pattern: Pattern = "plain"
    grain: float = 0.02
    sheet: Sheet | None = None
    gap: float = 0.0


def tile(backing: Backing, per_mm: float, rng: np.random.Generator) -> Texture:
    """The pattern of a backing, linear light, as a tile of 120 mm or less that repeats mirrored."""
    side = int(min(120.0, 1600 / per_mm) * per_mm)
    shape = (side, side)
    fine = 1 + backing.grain * (
        noise(shape, 0.15 * per_mm, 0.15 * per_mm, rng)
        + noise(shape, 1.5 * per_mm, 1.5 * per_mm, rng)
    )
    tone = np.multiply.outer(fine, np.array(backing.colour, np.float32))
    if backing.pattern == "plain":
        return np.asarray(tone, np.float32)
    y, x = np.mgrid[:side, :side] / per_mm
    if backing.pattern == "wood":
        wavy = y + 2.0 * noise(shape, 60 * per_mm, 8 * per_mm, rng)
        rings = (
            0.5
            + 0.5 * np.sin(wavy * 1.7) ** 3
            + 0.3 * noise(shape, 15 * per_mm, 0.15 * per_mm, rng)
        )
        return np.asarray(tone * (0.45 + 0.4 * rings)[..., None], np.float32)
    mask = np.zeros(shape, np.float32)
    if backing.pattern == "checks":
        mask = _soft(np.sin(x * np.pi / 7) * np.sin(y * np.pi / 7), per_mm * 0.3)
    elif backing.pattern == "rule":
        for pitch, line in ((10.0, 0.35), (50.0, 0.7)):
            for v in (x, y):
                off = np.abs((v + pitch / 2) % pitch - pitch / 2)
                mask = np.maximum(mask, np.clip((line / 2 - off) * per_mm + 0.5, 0, 1))
    elif backing.pattern == "cloth":
        mask = (0.5 + 0.25 * (np.sin(x * 7) + np.sin(y * 7))).astype(np.float32)
    else:
        mask = _words(side, per_mm, rng)
    dark = 0.12 if backing.pattern != "cloth" else 0.5
    return np.asarray(tone * (1 - (1 - dark) * mask[..., None]), np.float32)


def _soft(values: Texture, steep: float) -> Texture:
    return np.asarray(1 / (1 + np.exp(-values * steep * 8)), np.float32)


def _words(side: int, per_mm: float, rng: np.random.Generator) -> Texture:
    """Print all over, in lines of two sizes."""
    mask = np.zeros((side, side), np.uint8)
    for _ in range(int(side / per_mm)):
        x, y = (int(each) for each in rng.integers(0, side, 2))
        words = "".join(rng.choice(list("aeinorst gdlmu"), 24))
        size = float(rng.choice([2.5, 2.5, 5.0])) * per_mm / 22
        stroke = max(1, int(size * 2))
        font = cv2.FONT_HERSHEY_COMPLEX
        cv2.putText(mask, words, (x - side // 8, y), font, size, 255, stroke, cv2.LINE_AA)
    return np.asarray(mask / 255, np.float32)
