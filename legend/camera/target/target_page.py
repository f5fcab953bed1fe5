"""Lay out the page that a panel is photographed on: where its squares, corners and tones are.

Round the panel lies one flat tone, and round that a border of chequered squares, two deep. Each
white square bears a marker of an open dictionary, which names it; so a corner where two black
squares meet is known wherever it is seen, also where much of the border is covered. S.
Garrido-Jurado et al., "Automatic generation and detection of highly reliable fiducial markers
under occlusion", Pattern Recognition 47 (6), 2014; the library OpenCV has the markers.

The page is worked out of the size of the panel alone, so that it can be worked out again from
that when its photograph is measured. All is in panel coordinates, mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from legend.camera.view import Points
from legend.lettering.outlines.outline import Box

#: How much further than the panel the flat tone reaches all round, mm.
TONE_BEYOND = 8.0
#: At least so much white lies between the tone and the squares, mm.
_WHITE = 2.0
#: The side of the smallest squares, mm: with 7.5 pixels to the mm a cell of a marker is 4.5
#: pixels. The squares of a very large panel are larger, because markers are not enough.
LEAST_SIDE = 6.0
#: The side of a marker, as part of that of its square.
_MARKER = 0.7
#: The dictionary has a thousand markers. Pages on several sheets of paper use them in three
#: runs, by turns, so that a marker also tells on which of two neighbouring sheets it is.
RUN, RUNS = 333, 3
#: How many squares the border is deep.
DEEP = 2

#: A place in the grid of squares: of a square, or of its lower left corner.
Cell = tuple[int, int]


@dataclass(frozen=True)
class TargetPage:
    """The page for a panel of a width and height, mm.

    `side` is that of the squares, `across` and `up` how many of them the opening within the
    border is wide and high.
    """

    panel: tuple[float, float]
    side: float
    across: int
    up: int

    # --- Areas ---

    @property
    def tone(self) -> Box:
        """The box of the flat tone that the panel lies on."""
        width, height = self.panel
        return -TONE_BEYOND, -TONE_BEYOND, width + TONE_BEYOND, height + TONE_BEYOND

    @property
    def border(self) -> Box:
        """The box round all squares."""
        (x0, y0), (x1, y1) = self.corner((-DEEP, -DEEP)), self.corner(self._end)
        return x0, y0, x1, y1

    # --- Squares ---

    @cached_property
    def black(self) -> tuple[Box, ...]:
        """The black squares."""
        return tuple(self._square(cell) for cell in self._cells if not sum(cell) % 2)

    @cached_property
    def marked(self) -> tuple[Cell, ...]:
        """The white squares, by the places of their markers in a run."""
        return tuple(cell for cell in self._cells if sum(cell) % 2)

    def marker_box(self, cell: Cell) -> Box:
        """The box of the marker in a white square."""
        x0, y0, x1, y1 = self._square(cell)
        inset = (1 - _MARKER) / 2 * self.side
        return x0 + inset, y0 + inset, x1 - inset, y1 - inset

    # --- Corners ---

    @cached_property
    def crossings(self) -> tuple[Cell, ...]:
        """The corners at which four squares meet: once round, clockwise from the lower left."""
        last_x, last_y = self.across + 1, self.up + 1
        return (
            *((-1, j) for j in range(-1, last_y)),
            *((i, last_y) for i in range(-1, last_x)),
            *((last_x, j) for j in range(last_y, -1, -1)),
            *((i, -1) for i in range(last_x, -1, -1)),
        )

    @cached_property
    def crossing_places(self) -> Points:
        """Where these are, mm."""
        return np.array([self.corner(cell) for cell in self.crossings])

    @cached_property
    def crossing_sides(self) -> tuple[str, ...]:
        """The side of the panel that each lies along; those at the corners belong to one side."""
        return (
            *("left" for _ in range(self.up + 2)),
            *("upper" for _ in range(self.across + 2)),
            *("right" for _ in range(self.up + 2)),
            *("lower" for _ in range(self.across + 2)),
        )

    @property
    def clear_round_crossing(self) -> float:
        """How far from a crossing the nearest mark of a marker is, along either edge, mm."""
        return (1 - _MARKER) / 2 * self.side

    def corner(self, cell: Cell) -> tuple[float, float]:
        """Where the lower left corner of a square is, mm."""
        width, height = self.panel
        return (
            width / 2 + (cell[0] - self.across / 2) * self.side,
            height / 2 + (cell[1] - self.up / 2) * self.side,
        )

    @property
    def _end(self) -> Cell:
        return self.across + DEEP, self.up + DEEP

    @property
    def _cells(self) -> Iterator[Cell]:
        """All squares of the border, row by row from below."""
        across, up = self._end
        for j in range(-DEEP, up):
            for i in range(-DEEP, across):
                if not (0 <= i < self.across and 0 <= j < self.up):
                    yield i, j

    def _square(self, cell: Cell) -> Box:
        (x0, y0), (x1, y1) = self.corner(cell), self.corner((cell[0] + 1, cell[1] + 1))
        return x0, y0, x1, y1


@lru_cache(maxsize=8)
def target_page(width: float, height: float) -> TargetPage:
    """The page for a panel of this size, or for one that just fits into it, mm."""
    side = LEAST_SIDE
    while True:
        across, up = (_squares(length, side) for length in (width, height))
        if DEEP * (across + up) + 2 * DEEP**2 <= RUN:  # half of all squares are white
            return TargetPage((width, height), side, across, up)
        side += 1


def _squares(length: float, side: float) -> int:
    """How many squares an opening for such a length of panel is long."""
    return math.ceil((length + 2 * (TONE_BEYOND + _WHITE)) / side - 1e-6)
