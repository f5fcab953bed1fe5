"""Take the letters of a shape upright, to be bridged alike however they stand on the panel."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from legend.lettering.faces.face import Letter
from legend.lettering.outlines.curve_points import Points
from legend.lettering.outlines.outline import Outline
from legend.lettering.symbols.names import NAMED
from legend.stencil.bridging.crossings import Bridge

#: How near to a part a letter of it lies, mm.
_NEAR = 0.01

#: What reaches this part of the capital height is as tall as a capital; the waist of others is that
#: of small letters.
_TALL = 0.85


def is_lettering(letter: Letter) -> bool:
    """Whether it is a letter and no symbol."""
    return NAMED.fullmatch(letter.text) is None


def letters_in(parts: Sequence[Outline], letters: Sequence[Letter]) -> list[list[Letter]]:
    """For each part of a shape the letters that it is made of, or is a part of."""
    found: list[dict[int, Letter]] = [{} for _ in parts]
    if letters:
        shapes = [letter.outline.shape for letter in letters]
        pieces, which = shapely.get_parts(shapes, return_index=True)
        spots = shapely.point_on_surface(pieces)
        tree = shapely.STRtree([part.shape for part in parts])
        for spot, part in tree.query(spots, "dwithin", _NEAR).T.tolist():
            found[part][int(which[spot])] = letters[int(which[spot])]
    return [list(each.values()) for each in found]


def waist_of(top: float, baseline: float, height: float) -> float:
    """The height at which level bridges are cut in a letter with this top: half as high as capitals
    are, or of lower letters as they are.
    """
    tall = height if top - baseline > _TALL * height else top - baseline
    return baseline + tall / 2


@dataclass(frozen=True, slots=True)
class Leaning:
    """How letters lean: to the right by `lean` for their height, about their baseline."""

    lean: float
    baseline: float

    def upright(self, polygon: shapely.Polygon) -> shapely.Polygon:
        """What leans, upright."""
        if not self.lean:
            return polygon
        return shapely.transform(polygon, lambda points: self._sheared(points, -self.lean))

    def leaned(self, points: Points) -> Points:
        """Points of what is upright where they lie when it leans."""
        return self._sheared(points, self.lean) if self.lean else points

    def corners(self, bridge: Bridge) -> Points:
        """The corners of a bridge when it leans, no narrower than it was."""
        if not self.lean:
            return bridge.corners
        along = bridge.along
        stretched = math.hypot(along[0] + self.lean * along[1], along[1])
        return self.leaned(replace(bridge, width=bridge.width * stretched).corners)

    def _sheared(self, points: Points, lean: float) -> Points:
        x, y = points.T
        return np.column_stack([x + lean * (y - self.baseline), y])
