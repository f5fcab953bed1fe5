"""Tell exactly what part of each pixel lies within an outline."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
Layer = NDArray[np.float32]

#: Left, top, width, height of a window of a picture, px.
Window = tuple[int, int, int, int]


def covered(outlines: Sequence[Points], window: Window) -> Layer:
    """The part of each pixel of a window that lies within closed outlines, 0 to 1.

    The outlines are polygons, px, (n, 2) each; one that runs the other way round within another
    is a hole. The areas are exact: each side is parted at the borders of pixels, and what it
    leaves to its right is summed up along the row.
    """
    left, top, width, height = window
    begins = np.concatenate(list(outlines)) + np.array([0.5 - left, 0.5 - top])
    ends = np.roll(begins, -1, axis=0)
    last = np.cumsum([len(outline) for outline in outlines]) - 1
    ends[last] = begins[np.concatenate([[0], last[:-1] + 1])]  # each closes on itself
    steps = _steps(begins, ends, width, height)
    return np.clip(np.abs(np.cumsum(steps, axis=1)[:, :width]), 0, 1).astype(np.float32)


def _steps(p: Points, q: Points, width: int, height: int) -> NDArray[np.float64]:
    """By how much more each pixel of a row is covered than the one before it."""
    far = (np.maximum(p[:, 1], q[:, 1]) <= 0) | (np.minimum(p[:, 1], q[:, 1]) >= height)
    p, q = _within_rows(p[~far], q[~far], height)
    a, b = _parted(p, q)
    middle = (a + b) / 2
    row = np.clip(np.floor(middle[:, 1]).astype(int), 0, height - 1)
    x = np.clip(middle[:, 0], 0, width)
    column = np.floor(x).astype(int)
    down = b[:, 1] - a[:, 1]
    later = down * (x - column)  # what the next pixel is covered more by
    at, size = row * (width + 2) + column, height * (width + 2)
    steps = np.bincount(at, down - later, size) + np.bincount(at + 1, later, size)
    return np.asarray(steps, float).reshape(height, width + 2)


def _within_rows(p: Points, q: Points, height: int) -> tuple[Points, Points]:
    """Sides cut to what of them lies between the first row and the last."""
    d = q - p
    steep = np.abs(d[:, 1]) > 1e-12
    p, q, d = p[steep], q[steep], d[steep]
    t = np.clip(np.stack([-p[:, 1], height - p[:, 1]]) / d[:, 1], 0, 1)
    t0, t1 = np.minimum(*t)[:, None], np.maximum(*t)[:, None]
    return p + t0 * d, p + t1 * d


def _parted(p: Points, q: Points) -> tuple[Points, Points]:
    """Sides parted wherever they go over a border of pixels."""
    count = len(p)
    parts, owners = [np.zeros(count), np.ones(count)], [np.arange(count)] * 2
    for axis in (0, 1):
        a, d = p[:, axis], q[:, axis] - p[:, axis]
        first = np.ceil(np.minimum(a, a + d)).astype(int)
        last = np.floor(np.maximum(a, a + d)).astype(int)
        crossings = np.where(np.abs(d) > 1e-12, np.maximum(last - first + 1, 0), 0)
        owner = np.repeat(np.arange(count), crossings)
        before = np.repeat(np.cumsum(crossings) - crossings, crossings)
        border = first[owner] + np.arange(len(owner)) - before
        parts.append(np.clip((border - a[owner]) / d[owner], 0, 1))
        owners.append(owner)
    part, owner = np.concatenate(parts), np.concatenate(owners)
    order = np.lexsort((part, owner))
    part, owner = part[order], owner[order]
    places = p[owner] + part[:, None] * (q - p)[owner]
    same = owner[1:] == owner[:-1]
    return places[:-1][same], places[1:][same]


def window_of(outlines: Sequence[Points], shape: tuple[int, int], margin: int = 2) -> Window | None:
    """The part of a picture of this shape, (height, width), that outlines may touch; or None."""
    points = np.concatenate(list(outlines))
    x0, y0 = np.maximum(np.floor(points.min(axis=0)).astype(int) - margin, 0)
    x1, y1 = np.minimum(np.ceil(points.max(axis=0)).astype(int) + margin + 1, shape[::-1])
    if x1 <= x0 or y1 <= y0:
        return None
    return int(x0), int(y0), int(x1 - x0), int(y1 - y0)
