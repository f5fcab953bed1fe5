"""Find the letters that are missing from a piece of film, which came off with the tape."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from legend.camera.grids import cover_of, grid_round, places_of
from legend.camera.letters.pieces.rough_place import Place
from legend.camera.opencv import blurred
from legend.camera.view import Points
from legend.stencil.contours import parts

if TYPE_CHECKING:
    from legend.camera.letters.film_seen.seen_film import SeenPiece

#: A part that is film to less than this part of what its blur leaves of it is lost.
_LOST = 0.35
#: Parts of fewer pixels, or of which blur leaves less, are not looked at.
_FEWEST, _LEAST_EXPECTED = 8, 0.25
#: Pixels round a part that its blur reaches.
_FRINGE = 8
_INSIDE = slice(_FRINGE, -_FRINGE)


def lost_parts(seen: SeenPiece, place: Place, blur: float) -> tuple[Points, ...]:
    """A point on the edge of each part of a piece, which lies so, that is not there.

    `blur` is that of the picture, mm.
    """
    grid = seen.patch.grid
    c, s = math.cos(math.radians(place.clockwise)), math.sin(math.radians(place.clockwise))
    mx, my = seen.wanted.middle
    found = []
    for mark in seen.wanted.marks:
        for part in parts(mark):
            own = grid_round(part.bounds, 0.0, grid.scale)
            cover = cover_of([part], own)
            expected = blurred(np.pad(cover, _FRINGE), blur * grid.scale)[_INSIDE, _INSIDE]
            inside = cover > 0.5
            if inside.sum() < _FEWEST or expected[inside].mean() < _LEAST_EXPECTED:
                continue
            x, y = (places_of(own)[inside] - (mx, my)).T
            right, up = mx + c * x + s * y + place.right, my - s * x + c * y + place.up
            columns = np.clip(((right - grid.left) * grid.scale).astype(int), 0, grid.width - 1)
            rows = np.clip(((grid.top - up) * grid.scale).astype(int), 0, grid.height - 1)
            if seen.patch.cover[rows, columns].mean() < _LOST * expected[inside].mean():
                found.append(part.contours[0].points[0])
    return tuple(found)
