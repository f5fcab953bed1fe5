"""Find roughly where film letters lie: by correlation with their shape, turned step by step.

Phase correlation would be quicker and does not find a turn, so the shape is tried at every turn.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.camera.opencv import blurred, resampled
from legend.drawing.proofs.coverage import Grid

Cover = NDArray[np.float32]

#: How far round the shape film counts against it, mm, as the spread of a normal law.
_ROUND_ABOUT = 0.5
#: Of a shape that lies over holes, or over the edge, this part must be seen.
_LEAST_SHOWN = 0.5


@dataclass(frozen=True, slots=True)
class Place:
    """How far a piece lies from where it is wanted: right and up, mm, and clockwise, degrees.

    It is turned about the middle of its letters. `alike` is how alike it is to what is seen, by
    Dice's coefficient: twice the area in common by the sum of both.
    """

    right: float
    up: float
    clockwise: float
    alike: float = 0.0


def rough_place(
    seen: Cover,
    shape: Cover,
    grid: Grid,
    about: tuple[float, float],
    reach: float,
    turns: NDArray[np.float64],
    known: Cover | None = None,
) -> Place:
    """Where a shape lies in what is seen of film, both on the same grid: the likeliest place.

    `about` is what it is turned about, mm; `reach` how far off it is looked for, `turns` the
    degrees clockwise that are tried. Where it is not `known` whether there is film, nothing counts
    for or against a place at which most of the shape is seen.
    """
    size = _fast(seen.shape[0]), _fast(seen.shape[1])
    film = np.fft.rfft2(np.clip(seen, 0, 1), size)
    surely = None if known is None else np.fft.rfft2(known, size)
    steps = math.ceil(reach * grid.scale)
    best = Place(0.0, 0.0, 0.0, -1.0)
    for turn in turns.tolist():
        turned = turned_about(shape, grid, about, turn) if turn else shape
        zone = np.clip(3 * blurred(turned, _ROUND_ABOUT * grid.scale), 0, 1)
        zone = np.maximum(zone, turned)
        common = _correlated(film, turned, size, steps)
        within = _correlated(film, zone, size, steps)
        area = float(turned.sum())
        shown = area if surely is None else _correlated(surely, turned, size, steps)
        alike = 2 * common / (shown + np.maximum(within, common) + 1e-6)
        alike = np.where(shown < _LEAST_SHOWN * area, 0.0, alike)
        row, column = np.unravel_index(int(alike.argmax()), alike.shape)
        if alike[row, column] > best.alike:
            right, up = (int(column) - steps) / grid.scale, (steps - int(row)) / grid.scale
            best = Place(right, up, turn, float(alike[row, column]))
    return best


def _correlated(
    film: NDArray[np.complex128], shape: Cover, size: tuple[int, int], steps: int
) -> NDArray[np.float64]:
    """The sum of the product at every shift of the shape, up to so many pixels either way."""
    product = np.fft.irfft2(film * np.conj(np.fft.rfft2(shape, size)), size)
    rows, columns = (np.arange(-steps, steps + 1) % n for n in size)
    out: NDArray[np.float64] = product[np.ix_(rows, columns)]
    return out


def _fast(n: int) -> int:
    """The next size that is quickly transformed: a product of 2, 3 and 5."""
    while True:
        rest = n
        for factor in (2, 3, 5):
            while rest % factor == 0:
                rest //= factor
        if rest == 1:
            return n
        n += 1


def turned_about(shape: Cover, grid: Grid, about: tuple[float, float], degrees: float) -> Cover:
    """A shape on a grid, turned clockwise about a point of the panel."""
    x = (about[0] - grid.left) * grid.scale - 0.5
    y = (grid.top - about[1]) * grid.scale - 0.5
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    across, down = np.meshgrid(np.arange(grid.width) - x, np.arange(grid.height) - y)
    # Where each pixel comes from: y runs down here, and it is turned back.
    from_x = (c * across + s * down + x).astype(np.float32)
    from_y = (-s * across + c * down + y).astype(np.float32)
    return resampled(shape, from_x, from_y)
