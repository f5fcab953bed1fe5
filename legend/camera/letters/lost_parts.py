"""Find the letters that are missing from a piece of film, which came off with the tape."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from legend.camera.letters.grids import cover_of, grid_round, places_of
from legend.camera.letters.rough_place import Place
from legend.camera.view import Points
from legend.stencil.contours import parts

if TYPE_CHECKING:
    from legend.camera.letters.laid_piece import SeenPiece

#: A part of which less than this is seen of film is lost.
_LOST = 0.35
#: Parts that are smaller than so many pixels are not looked at: too little is seen of them.
_FEWEST = 12


def lost_parts(seen: SeenPiece, place: Place) -> tuple[Points, ...]:
    """A point on the edge of each part of a piece, which lies so, that is not there."""
    grid = seen.grid
    c, s = math.cos(math.radians(place.clockwise)), math.sin(math.radians(place.clockwise))
    mx, my = seen.wanted.middle
    found = []
    for mark in seen.wanted.marks:
        for part in parts(mark):
            own = grid_round(part.bounds, 0.0, grid.scale)
            inside = cover_of([part], own) > 0.95
            if inside.sum() < _FEWEST:
                continue
            x, y = (places_of(own)[inside] - (mx, my)).T
            right, up = mx + c * x + s * y + place.right, my - s * x + c * y + place.up
            columns = np.clip(((right - grid.left) * grid.scale).astype(int), 0, grid.width - 1)
            rows = np.clip(((grid.top - up) * grid.scale).astype(int), 0, grid.height - 1)
            if np.median(seen.cover[rows, columns]) < _LOST:
                found.append(part.contours[0].points[0])
    return tuple(found)
