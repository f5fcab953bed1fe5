"""Rasterise shapes: compute the exact share of every pixel that each shape covers.

The picture is never held: it comes as runs. Along the rows, the cover only changes at
pixels that an edge passes through, so that the work is in proportion to the length of
the edges, not to the area of the panel. The share is the true area of the shape within
the pixel, so that a stroke stands where it should to a small part of a pixel.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from legend.drawing.segments import flattened, segments_of
from legend.lettering.outlines.outline import Outline

Floats = NDArray[np.float64]

_Value = TypeVar("_Value", bound=np.generic)

#: About how many pixels a band has.
_BAND_PIXELS = 200_000
#: How far an edge may lie from its curve, in pixels.
_FLATNESS = 0.02
_HAIR = 1e-6


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
    """A band of rows as runs of pixels that are alike.

    Run i begins at pixel `starts[i]`, counted along rows of `stride` pixels, of which the
    last is outside the picture.
    """

    rows: int
    starts: NDArray[np.int32]
    stride: int

    def drawn(self, values: NDArray[_Value]) -> NDArray[_Value]:
        """The pixels, shape (rows, width), where each run has a value."""
        lengths = np.diff(self.starts, append=self.rows * self.stride)
        return np.repeat(values, lengths).reshape(self.rows, -1)[:, :-1]


class Edges:
    """The edges of several shapes, each given by its outlines, in pixels.

    They are flattened band by band, so that those of one band are held at a time.
    """

    def __init__(self, shapes: Sequence[Sequence[Outline]], grid: Grid) -> None:
        self._grid = grid
        self._count = len(shapes)
        self._outlines = [outline for shape in shapes for outline in shape]
        self._shape = np.repeat(np.arange(len(shapes)), [len(shape) for shape in shapes])
        self._tops, self._bottoms = self._reaches()

    def bands(self, rows: int | None = None) -> Iterator[tuple[Runs, Floats]]:
        """The whole picture from the top, so many rows at a time: their runs and the cover.

        `cover[k, i]`, of shape k and run i, is the sum of the shares of the shape's outlines:
        0 to 1, and more where its outlines lie on each other. `rows` are left out for as many
        as it is well to hold at once.
        """
        rows = rows or max(1, _BAND_PIXELS // self._grid.width)
        for top in range(0, self._grid.height, rows):
            bottom = min(top + rows, self._grid.height)
            here = np.flatnonzero((self._tops < bottom) & (self._bottoms >= top))
            edges, owner = self._edges([self._outlines[i] for i in here])
            ends = edges[:, :, 1]
            within = (ends.min(axis=1) < bottom) & (ends.max(axis=1) >= top)
            yield self._runs(edges[within], self._shape[here][owner[within]], top, bottom)

    def _reaches(self) -> tuple[Floats, Floats]:
        """The first and the last row that each outline can reach, by all of its points."""
        each = [sum([len(c.points) for c in outline.contours]) for outline in self._outlines]
        sizes = np.array(each, dtype=np.intp)
        tops, bottoms = np.full(len(sizes), np.inf), np.full(len(sizes), -np.inf)
        inked = np.flatnonzero(sizes)
        if len(inked):
            points = [c.points[:, 1] for outline in self._outlines for c in outline.contours]
            rows = (self._grid.top - np.concatenate(points)) * self._grid.scale
            begins = (np.cumsum(sizes) - sizes)[inked]
            tops[inked] = np.minimum.reduceat(rows, begins)
            bottoms[inked] = np.maximum.reduceat(rows, begins)
        # A hair more on both sides, for what rounding does to a point on a curve.
        return tops - _HAIR, bottoms + _HAIR

    def _edges(self, outlines: Sequence[Outline]) -> tuple[Floats, NDArray[np.intp]]:
        """The edges of outlines with the shape on one side of them, and whose each is."""
        grid = self._grid
        edges, owner = flattened(segments_of(outlines), _FLATNESS / grid.scale)
        edges = (edges - (grid.left, grid.top)) * (grid.scale, -grid.scale)
        turning = edges[:, 0, 0] * edges[:, 1, 1] - edges[:, 1, 0] * edges[:, 0, 1]
        clockwise = np.bincount(owner, turning, minlength=len(outlines)) > 0
        edges = np.where(clockwise[owner, None, None], edges[:, ::-1], edges)
        level = edges[:, 0, 1] == edges[:, 1, 1]
        return edges[~level], owner[~level]

    def _runs(
        self, edges: Floats, shape: NDArray[np.intp], top: int, bottom: int
    ) -> tuple[Runs, Floats]:
        """The cover of rows `top` up to, not including, `bottom`, by the edges that cross them.

        The area of a shape is what its edges sweep against its right side (Green's theorem):

        1. Edges are cut at the rows and then at the columns, so that each lies in one pixel.
        2. An edge that rises by r through a pixel adds r times the part of the pixel that is
           right of its middle to the pixel, and r to every pixel right of it in the row.
        3. Summed up along the rows, over the cells, which are the pixels that edges pass
           through and the first of each row, that is the share that is covered of each.
        4. Cells that are not neighbours have a run between them, covered as all that is right
           of the first of them.
        """
        # 1. Cut.
        edges, which = _split(edges, 1, top, bottom)
        shape = shape[which]
        row = np.floor((edges[:, 0, 1] + edges[:, 1, 1]) / 2).astype(np.intp)
        inside = (row >= top) & (row < bottom)
        edges, which = _split(edges[inside], 0)
        row, shape = row[inside][which] - top, shape[inside][which]

        # 2. What each adds: here, and further on.
        stride = self._grid.width + 1
        middle = (edges[:, 0, 0] + edges[:, 1, 0]) / 2
        column = np.clip(np.floor(middle).astype(np.intp), 0, stride - 1)
        rise = edges[:, 1, 1] - edges[:, 0, 1]
        here_only = rise * np.clip(1 - (middle - column), 0, 1)
        # 3. Summed up cell by cell, for each shape.
        begins = np.arange(bottom - top) * stride
        at_cell = np.concatenate([row * stride + column, begins])
        cells, at = np.unique(at_cell, return_inverse=True)
        key = shape * len(cells) + at[: len(row)]
        size = (self._count, len(cells))
        after = np.bincount(key, rise, minlength=size[0] * size[1]).reshape(size)
        np.cumsum(after, axis=1, out=after)
        in_cell = np.bincount(key, here_only, minlength=size[0] * size[1]).reshape(size)
        in_cell[:, 1:] += after[:, :-1]

        # 4. Runs between cells.
        gap = np.diff(cells, append=(bottom - top) * stride) > 1
        starts = np.repeat(cells, 1 + gap)
        follows = np.zeros(len(starts), dtype=bool)
        follows[np.cumsum(1 + gap)[gap] - 1] = True
        cover = np.empty((self._count, len(starts)))
        cover[:, ~follows] = in_cell
        cover[:, follows] = after[:, gap]
        return Runs(bottom - top, (starts + follows).astype(np.int32), stride), cover


def _split(
    edges: Floats, axis: int, begin: float = -np.inf, end: float = np.inf
) -> tuple[Floats, NDArray[np.intp]]:
    """Cut edges where they cross the whole numbers of an axis; also which edge each came from.

    Of an edge that is cut, the pieces before `begin` and after `end` are left out.
    """
    a, b = edges[:, 0, axis], edges[:, 1, axis]
    low, high = np.minimum(a, b), np.maximum(a, b)
    first, last = np.floor(low), np.ceil(high)
    crossing = last - first > 1
    if not crossing.any():
        return edges, np.arange(len(edges))
    first = np.maximum(first, begin)
    count = np.maximum(np.minimum(last, end) - first, 0)
    pieces = np.where(crossing, count, 1).astype(np.intp)
    which = np.repeat(np.arange(len(edges)), pieces)
    cut = edges[which]
    new = np.flatnonzero(crossing[which])
    edge = which[new]
    step = new - (np.cumsum(pieces) - pieces)[edge]
    line = (first[edge] + step)[:, None] + (0, 1)
    ends = np.clip(line, low[edge, None], high[edge, None])
    ends = np.where((a > b)[edge, None], ends[:, ::-1], ends)
    t = (ends - a[edge, None]) / (b - a)[edge, None]
    other = 1 - axis
    from_, to = edges[edge, 0, other, None], edges[edge, 1, other, None]
    cut[new, :, axis] = ends
    cut[new, :, other] = from_ + t * (to - from_)
    return cut, which
