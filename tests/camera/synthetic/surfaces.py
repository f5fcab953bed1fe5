"""Say how the face of a plate looks: bare metal, primer or paint, and what is drawn on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import cv2
import numpy as np
from numpy.typing import NDArray

Colour = tuple[float, float, float]
Texture = NDArray[np.float32]

Kind = Literal["brushed", "mill", "primer", "paint"]


@dataclass(frozen=True, slots=True)
class Finish:
    """A surface: its colour in linear light, how metallic and glossy it is, how grainy.

    `rough` is how wide it spreads a reflection, as slopes along and across the grain.
    """

    kind: Kind
    colour: Colour
    gloss: float
    rough: tuple[float, float]
    grain: float

    @property
    def metallic(self) -> bool:
        """Whether what it shows is mostly what it reflects."""
        return self.kind in ("brushed", "mill")


ALUMINIUM = Finish("brushed", (0.62, 0.62, 0.61), 0.8, (0.05, 0.35), 0.10)
MILL = Finish("mill", (0.60, 0.60, 0.60), 0.85, (0.06, 0.14), 0.05)
BRASS = Finish("brushed", (0.62, 0.48, 0.22), 0.8, (0.05, 0.35), 0.10)
PRIMER = Finish("primer", (0.30, 0.30, 0.29), 0.02, (0.4, 0.4), 0.03)


def painted(colour: Colour, gloss: float = 0.04) -> Finish:
    """A sprayed coat of paint of a colour, with a little orange peel."""
    return Finish("paint", colour, gloss, (0.04, 0.04), 0.015)


def grain(
    finish: Finish, size: tuple[float, float], per_mm: float, rng: np.random.Generator
) -> Texture:
    """How much lighter or darker each place of a surface is, about 1, by its grain."""
    rows, columns = (int(side * per_mm) + 1 for side in reversed(size))
    whole = np.zeros((rows, columns), np.float32)
    if finish.kind == "brushed":
        octaves = [(40.0, 0.06, 0.6), (12.0, 0.10, 0.5), (4.0, 0.04, 0.6), (15.0, 0.8, 0.25)]
    elif finish.kind == "mill":
        octaves = [(30.0, 0.3, 0.7), (8.0, 0.08, 0.5), (3.0, 3.0, 0.5)]
    else:
        octaves = [(0.12, 0.12, 0.7), (0.6, 0.6, 0.5), (12.0, 12.0, 0.5)]
    for along, across, weight in octaves:
        whole += weight * noise((rows, columns), along * per_mm, across * per_mm, rng)
    return np.clip(1 + finish.grain * whole, 0.2, 2.0).astype(np.float32)


def noise(shape: tuple[int, int], along: float, across: float, rng: np.random.Generator) -> Texture:
    """Noise of mean 0 and rms 1 that is as long and wide as said, px; made coarse and enlarged."""
    rows, columns = shape
    fx, fy = max(1.0, along / 2), max(1.0, across / 2)
    coarse = rng.standard_normal((int(rows / fy) + 6, int(columns / fx) + 6), dtype=np.float32)
    coarse = cv2.GaussianBlur(
        coarse, (0, 0), max(0.3, along / fx / 2), sigmaY=max(0.3, across / fy / 2)
    )
    coarse /= coarse.std()
    return np.asarray(
        cv2.resize(coarse, (columns, rows), interpolation=cv2.INTER_CUBIC), np.float32
    )
