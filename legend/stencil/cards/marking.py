"""Find room for what is cut through a card: a number beside each window, and what it says.

Numbers stand beside their own windows, nearer to these than to any other, and everything that
is cut keeps card between itself and the next cut.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from legend.lettering.outlines.outline import Box, Outline

#: From a number to its own window, to that of another, and from figures to other figures, to
#: holes and to the rim, mm. Common practice, no source.
_BESIDE, _FROM_OTHERS, _BETWEEN, _FROM_RIM = 2.0, 4.0, 3.0, 3.0
#: How finely places for words are looked for, mm.
_STEP = 1.5


def room_for_numbers(
    numbers: Sequence[Outline],
    windows: Sequence[BaseGeometry],
    taken: Sequence[BaseGeometry],
    rooms: Sequence[Box],
) -> list[Outline | None]:
    """Each number beside its window, or None where there is no room for it.

    `taken` are holes and stops to keep clear of; `rooms` are what the numbers should stand in,
    one after the other, where the one before has no room.
    """
    around = np.array(windows, dtype=object)
    others = list(taken)
    placed: list[Outline | None] = []
    for own, number in enumerate(numbers):
        placed.append(_beside(number, own, around, np.array(others, dtype=object), rooms))
        if (last := placed[-1]) is not None:
            others.append(shapely.box(*last.bounds))
    return placed


def _beside(
    number: Outline,
    own: int,
    windows: NDArray[np.object_],
    taken: NDArray[np.object_],
    rooms: Sequence[Box],
) -> Outline | None:
    _, _, width, height = number.bounds
    corners = np.array(list(_corners(windows[own].bounds, width, height)))
    ends = np.add(corners, (width, height))
    boxes = shapely.box(*corners.T, *ends.T)
    apart = np.full(len(windows), _FROM_OTHERS)
    apart[own] = _BESIDE
    clear = (shapely.distance(boxes[:, None], windows[None]) > apart - 1e-6).all(axis=1)
    if len(taken):
        clear &= (shapely.distance(boxes[:, None], taken[None]) > _BETWEEN - 1e-6).all(axis=1)
    for x0, y0, x1, y1 in rooms:
        low = (corners >= (x0 + _FROM_RIM, y0 + _FROM_RIM)).all(axis=1)
        high = (ends <= (x1 - _FROM_RIM, y1 - _FROM_RIM)).all(axis=1)
        able = np.flatnonzero(clear & low & high)
        if len(able):
            return number.moved(*corners[able[0]].tolist())
    return None


def _corners(window: Box, width: float, height: float) -> Iterator[tuple[float, float]]:
    """The lower left corners where a number may stand beside a window, the best first."""
    x0, y0, x1, y1 = window
    left, right = x0 - _BESIDE - width, x1 + _BESIDE
    below, above = y0 - _BESIDE - height, y1 + _BESIDE
    middle = (y0 + y1 - height) / 2
    yield left, middle
    yield right, middle
    yield x0, above
    yield x0, below
    yield (x0 + x1 - width) / 2, above
    yield (x0 + x1 - width) / 2, below
    yield x1 - width, above
    yield x1 - width, below
    for x in (left, right):
        yield x, y1 - height
        yield x, y0
    # Anywhere else along the sides.
    for x in np.arange(x0, x1 - width, 2 * _STEP).tolist():
        yield x, above
        yield x, below
    for y in np.arange(y0, y1 - height, 2 * _STEP).tolist():
        yield left, y
        yield right, y


def room_for_words(
    sizes: Sequence[tuple[float, float]], taken: NDArray[np.float64], room: Box
) -> tuple[int, tuple[float, float]] | None:
    """Where the first of some words stands that has room, and which it is.

    They have these sizes; the place is that of their lower left corner, as high and as far left
    as can be. `taken` are the boxes of all that they keep clear of.
    """
    x0, y0, x1, y1 = room
    clear_of = np.add(taken, (-_BETWEEN, -_BETWEEN, _BETWEEN, _BETWEEN))
    for which, (width, height) in enumerate(sizes):
        xs = np.arange(x0 + _FROM_RIM, x1 - _FROM_RIM - width + 1e-6, _STEP)
        ys = np.arange(y1 - _FROM_RIM - height, y0 + _FROM_RIM - 1e-6, -_STEP)
        free = np.ones((len(ys), len(xs)), dtype=bool)
        for left, bottom, right, top in clear_of.tolist():
            across = (xs < right) & (xs + width > left)
            up = (ys < top) & (ys + height > bottom)
            free &= ~(up[:, None] & across[None])
        if free.any():
            row, column = np.argwhere(free)[_nearest_to_a_corner(free)]
            return which, (float(xs[column]), float(ys[row]))
    return None


def _nearest_to_a_corner(free: NDArray[np.bool_]) -> int:
    """Which of the free places is nearest to the upper left corner."""
    return int(np.argwhere(free).sum(axis=1).argmin())
