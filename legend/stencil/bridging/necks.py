"""Find the parts of rigid stock that must hang by a bridge: islands, and all but islands.

Stock is worn down by half a bridge all round, in thought: a part that then comes apart from
the sheet hangs by necks that are narrower than a bridge. What was an island must not; nor may
what is all but one, since its mouth is no wider than a hair. Other bays may: they are told.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely import Point
from shapely.geometry.base import BaseGeometry

from legend.lettering.outlines.curve_points import Points
from legend.lettering.outlines.mouths import worn
from legend.standards import SHUT_MOUTH

#: What is left on when stock is worn down by half a bridge, mm: what bridges are planned on is
#: as rough.
_GRACE = 0.008
#: Of what is left of an island when it is worn, a part that is smaller than this, mm², or than
#: this part of the largest, is too little to count, or a bay.
_CRUMB, _BAY = 0.001, 0.001
#: An island that is narrower than a bridge is to hang by its own width, less twice this, mm.
_LESS = 0.001
#: Ink between two parts of stock that is no wider than this may as well be no ink, mm.
_NO_INK = 0.05

#: What is worn is broadened by so much more, to be sure of it, and parts that are no further
#: apart than this, mm, meet.
_MORE, _NOTHING = 1.02, 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Core:
    """What is left of a part of the stock when it is worn by `radius`, mm, all round.

    `mouth` is where the part is all but open to the rest of the stock, or has a mouth that is
    as good as shut.
    """

    shape: BaseGeometry
    radius: float
    mouth: Point | None = None

    def moved(self, by: Points) -> Core:
        """The same core, moved by (dx, dy)."""
        return self.mapped(lambda points: points + by)

    def mapped(self, to: Callable[[Points], Points]) -> Core:
        """The same core, moved or turned."""
        return Core(shapely.transform(self.shape, to), self.radius)


def half_a_bridge(bridge: float) -> float:
    """By how much stock is worn to see what hangs by less than a bridge, mm."""
    return bridge / 2 - _GRACE


def cores(ink: BaseGeometry, bridge: float) -> list[Core]:
    """The cores of the islands that ink encloses, and of bays that are as good as shut."""
    radius = half_a_bridge(bridge)
    sheet, islands = worn(ink, 0.0)
    _, apart = worn(ink, radius)
    size = shapely.area(apart)
    is_bay = np.ones(len(apart), dtype=bool)
    found: list[Core] = []
    for index, island in enumerate(islands):
        mouth = _all_but_open(island, [sheet, *np.delete(islands, index)])
        within = shapely.intersects(apart, island)
        own = within & (size > max(_CRUMB, _BAY * size[within].max(initial=0.0)))
        is_bay &= ~own
        found += [Core(each, radius, mouth) for each in apart[own]]
        if not own.any():
            widest = shapely.maximum_inscribed_circle(island)
            middle = shapely.get_point(widest, 0).buffer(widest.length / 4)
            found.append(Core(middle, min(widest.length, radius) - _LESS, mouth))
    return [*found, *_shut(apart[is_bay], [core.shape for core in found], ink, bridge)]


def _all_but_open(island: BaseGeometry, others: Sequence[BaseGeometry]) -> Point | None:
    """Where an island meets other stock, or is parted from it by next to no ink."""
    nearest = shapely.shortest_line(island, shapely.union_all(others))
    return nearest.centroid if nearest.length < _NO_INK else None


def _shut(
    bays: NDArray[np.object_], held: Sequence[BaseGeometry], ink: BaseGeometry, bridge: float
) -> Iterator[Core]:
    """The cores, of those of bays, whose bays have a mouth that is as good as shut."""
    if not len(bays):
        return
    hair = bridge * SHUT_MOUTH / 2
    sheet, apart = worn(ink, hair)
    is_held = meet(apart, held)
    for bay in bays:
        own = shapely.intersects(apart, bay)
        if own.any() and not (own & is_held).any():
            others = shapely.union_all([sheet, *apart[~own]])
            yield Core(bay, half_a_bridge(bridge), _mouth(apart[own][0], others, ink, hair))


def _mouth(part: BaseGeometry, others: BaseGeometry, ink: BaseGeometry, hair: float) -> Point:
    """Where a part of the stock, worn by a hair, hangs together with others."""
    nearest = shapely.shortest_line(part, others)
    around = part.envelope.buffer(nearest.length + 2 * hair)
    broad = [shape.buffer(_MORE * hair) for shape in (part, others.intersection(around))]
    necks = shapely.get_parts(around.difference(shapely.union_all([ink, *broad])))
    joins = shapely.dwithin(necks, broad[0], _NOTHING) & shapely.dwithin(necks, broad[1], _NOTHING)
    if not joins.any():
        return nearest.centroid
    return shapely.point_on_surface(necks[joins][shapely.area(necks[joins]).argmin()])


def meet(shapes: NDArray[np.object_], others: ArrayLike) -> NDArray[np.bool_]:
    """Which of some shapes meet any of some others."""
    met = np.zeros(len(shapes), dtype=bool)
    met[shapely.STRtree(others).query(shapes, "intersects")[0]] = True
    return met
