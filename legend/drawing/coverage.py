"""Shapes in, the exact share of every pixel that each of them covers out.

The picture is never held: it comes as runs. Along the rows, the cover only changes at
pixels that an edge passes through, so that the work is in proportion to the length of
the edges, not to the area of the panel. The share is the true area of the shape within
the pixel, so that a stroke stands where it should to a small part of a pixel.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from legend.drawing.curves import flattened, segments_of
from legend.lettering.outline import Outline

Floats = NDArray[np.float64]

#: How far an edge may lie from its curve, in pixels.
_FLATNESS = 0.02


@dataclass(frozen=True, slots=True)
class Grid:
    """The pixels of a picture: `scale` pixels to the mm, `left` and `top` in panel mm."""

    width: int
    height: int
    scale: float
    left: float
    top: float


@dataclass(frozen=True, slots=True, eq=False)
class Runs:
    """What covers a band of rows, as runs along them.

    Run i begins at pixel `starts[i]`, counted along rows of `stride` pixels, of which the
    last is outside the picture. `cover[k, i]` is the sum of the shares of shape k's
    outlines: 0 to 1, and more where its outlines lie on each other.
    """

    rows: int
    starts: NDArray[np.intp]
    cover: Floats
    stride: int


class Edges:
    """The edges of several shapes, each given by its outlines, in pixels."""

    def __init__(self, shapes: Sequence[Sequence[Outline]], grid: Grid) -> None:
        self._grid = grid
        self._count = len(shapes)
        outlines = [outline for shape in shapes for outline in shape]
        shape_of = np.repeat(np.arange(len(shapes)), [len(shape) for shape in shapes])
        edges, owner = flattened(segments_of(outlines), _FLATNESS / grid.scale)
        edges = (edges - (grid.left, grid.top)) * (grid.scale, -grid.scale)
        turning = edges[:, 0, 0] * edges[:, 1, 1] - edges[:, 1, 0] * edges[:, 0, 1]
        clockwise = np.bincount(owner, turning, minlength=len(outlines)) > 0
        edges = np.where(clockwise[owner, None, None], edges[:, ::-1], edges)
        level = edges[:, 0, 1] == edges[:, 1, 1]
        self._edges = edges[~level]
        self._shape = shape_of[owner[~level]]

    def bands(self, rows: int) -> Iterator[Runs]:
        """The whole picture from the top, so many rows at a time."""
        count = -(-self._grid.height // rows)
        ends = self._edges[:, :, 1] / rows
        first = np.clip(np.floor(ends.min(axis=1)).astype(np.intp), 0, count)
        last = np.clip(np.floor(ends.max(axis=1)).astype(np.intp), -1, count - 1)
        repeats = np.maximum(last - first + 1, 0)
        which = np.repeat(np.arange(len(first)), repeats)
        band = first[which] + np.arange(len(which)) - (np.cumsum(repeats) - repeats)[which]
        which = which[np.argsort(band, kind="stable")]
        ends_at = np.cumsum(np.bincount(band, minlength=count))
        for k, (begin, end) in enumerate(pairwise([0, *ends_at.tolist()])):
            top, bottom = k * rows, min((k + 1) * rows, self._grid.height)
            here = which[begin:end]
            yield self._runs(self._edges[here], self._shape[here], top, bottom)

    def _runs(self, edges: Floats, shape: NDArray[np.intp], top: int, bottom: int) -> Runs:
        """The cover of rows `top` up to, not including, `bottom`, by the edges that cross them."""
        edges, which = _split(edges, 1)
        shape = shape[which]
        row = np.floor((edges[:, 0, 1] + edges[:, 1, 1]) / 2).astype(np.intp)
        inside = (row >= top) & (row < bottom)
        edges, which = _split(edges[inside], 0)
        row, shape = row[inside][which] - top, shape[inside][which]

        stride = self._grid.width + 1
        middle = (edges[:, 0, 0] + edges[:, 1, 0]) / 2
        column = np.clip(np.floor(middle).astype(np.intp), 0, stride - 1)
        rise = edges[:, 1, 1] - edges[:, 0, 1]
        here_only = rise * np.clip(1 - (middle - column), 0, 1)
        begins = np.arange(bottom - top) * stride
        at_cell = np.concatenate([row * stride + column, begins])
        cells, at = np.unique(at_cell, return_inverse=True)
        key = shape * len(cells) + at[: len(row)]
        size = (self._count, len(cells))
        after = np.bincount(key, rise, minlength=size[0] * size[1]).reshape(size)
        np.cumsum(after, axis=1, out=after)
        in_cell = np.bincount(key, here_only, minlength=size[0] * size[1]).reshape(size)
        in_cell[:, 1:] += after[:, :-1]

        gap = np.diff(cells, append=(bottom - top) * stride) > 1
        starts = np.repeat(cells, 1 + gap)
        follows = np.zeros(len(starts), dtype=bool)
        follows[np.cumsum(1 + gap)[gap] - 1] = True
        cover = np.empty((self._count, len(starts)))
        cover[:, ~follows] = in_cell
        cover[:, follows] = after[:, gap]
        return Runs(bottom - top, starts + follows, cover, stride)


def _split(edges: Floats, axis: int) -> tuple[Floats, NDArray[np.intp]]:
    """Cut edges where they cross the whole numbers of an axis; also which edge each came from."""
    a, b = edges[:, 0, axis], edges[:, 1, axis]
    low, high = np.minimum(a, b), np.maximum(a, b)
    first = np.floor(low)
    pieces = np.maximum(1, np.ceil(high) - first).astype(np.intp)
    which = np.repeat(np.arange(len(edges)), pieces)
    if len(which) == len(edges):
        return edges, which
    step = np.arange(len(which)) - (np.cumsum(pieces) - pieces)[which]
    line = (first[which] + step)[:, None] + (0, 1)
    ends = np.clip(line, low[which, None], high[which, None])
    ends = np.where((a > b)[which, None], ends[:, ::-1], ends)
    span = np.where(a == b, 1, b - a)
    t = (ends - a[which, None]) / span[which, None]
    t[pieces[which] == 1] = 0, 1
    cut = np.empty((len(which), 2, 2))
    cut[:, :, axis] = ends
    other = 1 - axis
    begin = edges[which, 0, other, None]
    cut[:, :, other] = begin + t * (edges[which, 1, other, None] - begin)
    whole = pieces[which] == 1
    cut[whole] = edges[which[whole]]
    return cut, which
