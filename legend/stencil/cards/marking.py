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
from legend.stencil.cards.site import SAME

#: Boxes one a row, or numbers in rows.
Boxes = NDArray[np.float64]

#: From a number to its own window, to that of another, and from figures to other figures, to
#: holes and to the rim, mm. Common practice, no source.
_BESIDE, _FROM_OTHERS, _BETWEEN, _FROM_RIM = 2.0, 4.0, 3.0, 3.0
#: How finely places for words are looked for, mm.
_STEP = 1.5


def room_for_numbers(
    numbers: Sequence[Outline],
    shapes: Sequence[BaseGeometry],
    taken: Boxes,
    rooms: Sequence[Box],
) -> list[Outline | None]:
    """Each number beside its window, or None where there is no room for it.

    `shapes` are the windows; `taken`, what else to keep clear of, are boxes, one a row; `rooms`
    are what the numbers should stand in, one after the other, where the one before has no room.
    """
    windows = shapely.bounds(np.array(shapes, dtype=object))
    others = taken
    placed: list[Outline | None] = []
    for own, number in enumerate(numbers):
        last = _beside(number, own, shapes[own], windows, others, rooms)
        placed.append(last)
        if last is not None:
            others = np.vstack([others, last.bounds])
    return placed


def _beside(
    number: Outline,
    own: int,
    shape: BaseGeometry,
    windows: Boxes,
    taken: Boxes,
    rooms: Sequence[Box],
) -> Outline | None:
    _, _, width, height = number.bounds
    corners = np.array(list(_corners(windows[own].tolist(), width, height)))
    boxes = np.hstack([corners, np.add(corners, (width, height))])
    apart = np.full(len(windows), _FROM_OTHERS)
    apart[own] = _BESIDE
    clear = (_apart(boxes, windows) > apart - SAME).all(axis=1)
    clear &= (_apart(boxes, taken) > _BETWEEN - SAME).all(axis=1)
    if shape.area < shape.envelope.area - SAME:  # beside the rectangle round it, but far from it
        clear &= shapely.distance(shapely.box(*boxes.T), shape) < 2 * _BESIDE - SAME
    for x0, y0, x1, y1 in rooms:
        low = (boxes[:, :2] >= (x0 + _FROM_RIM, y0 + _FROM_RIM)).all(axis=1)
        high = (boxes[:, 2:] <= (x1 - _FROM_RIM, y1 - _FROM_RIM)).all(axis=1)
        able = np.flatnonzero(clear & low & high)
        if len(able):
            return number.moved(*corners[able[0]].tolist())
    return None


def _apart(boxes: Boxes, others: Boxes) -> Boxes:
    """How far each box is from each of the others."""
    one, other = boxes[:, None], others[None]
    gaps = np.maximum(one[..., :2] - other[..., 2:], other[..., :2] - one[..., 2:])
    apart: Boxes = np.hypot(*np.moveaxis(np.maximum(gaps, 0.0), -1, 0))
    return apart


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
    sizes: Sequence[tuple[float, float]], taken: Boxes, room: Box
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
            columns = np.flatnonzero((xs < right) & (xs + width > left))
            rows = np.flatnonzero((ys < top) & (ys + height > bottom))
            if len(columns) and len(rows):
                free[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1] = False
        if free.any():
            places = np.argwhere(free)
            row, column = places[places.sum(axis=1).argmin()]
            return which, (float(xs[column]), float(ys[row]))
    return None
