"""Define the [as_drilled] table, and place holes as measured, by a best rigid fit where need be.

What a builder measures after drilling is measured either from an edge of the panel or from
wherever was convenient. From an edge, the places are taken as they are: that is where the
holes are, and the legends follow them. Measured from elsewhere (a corner of the bench, the
glass of a scanner), only how the holes lie to each other is known; they are then laid upon
the design by the best rigid fit, a turn and a shift, and the misfit that is left is theirs.

The best fit is found by the singular value decomposition of the covariance of the two sets
of places (W. Kabsch, Acta Cryst. A32, 1976, p. 922); it takes no change of scale, because a
rule has none.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from pydantic import Field

from legend.description.shapes.hole_shapes import SHAPES
from legend.description.shapes.shape import left_out, shapes_with
from legend.description.table import Clash, Table
from legend.description.tables.hole import Hole, Measuring
from legend.description.values.file_values import ListName
from legend.description.values.length_values import Datum
from legend.description.values.text_values import HoleId
from legend.sentences import listed
from legend.vector import Vector

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Points = NDArray[np.float64]

#: Where holes as drilled may be measured from: as in [panel], or from nowhere that is known.
DrilledDatum = Literal[Datum, "best fit"]


# --- What the description says ---


class DrilledHole(Hole):
    """A hole as measured after drilling: its place, and whatever else is not as designed."""

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """More than one shape; none is needed, where the shape is as designed."""
        if any(key in given for key in SHAPES):
            yield from super().clashes(given)
            return
        for key in given:
            if takers := shapes_with(key):
                yield key, f"has a {key} without its {listed(takers, 'or')}; give both"

    def laid_on(self, design: Hole, at: tuple[float, float]) -> Hole:
        """The hole of the design as it was drilled, `at` a place measured from the datum."""
        own = {key: getattr(self, key) for key in self.model_fields_set - {"sources", "at"}}
        if own.keys() & SHAPES.keys():
            own = left_out() | own
        sources = {**design.sources, **{key: self.source_of(key) for key in ("", "at", *own)}}
        return design.model_copy(update={**own, "at": at, "sources": sources})


class AsDrilled(Table):
    """The holes as measured after drilling: in a list, or one by one; or the name of a list."""

    hole_list: ListName | None = None
    """The name of a file with the measured holes, of the same form as that of the design; of the
    sizes, only those that came out otherwise are needed."""
    datum: DrilledDatum | None = None
    """Where they are measured from. With "best fit" they are measured from anywhere, x to the right
    and y upwards, and are turned and shifted until they lie best on their design. Left out, the
    panel's datum."""
    holes: dict[HoleId, DrilledHole] = Field(default_factory=dict)
    """The measured holes, each under its name in the design: its `at`, and what else is not as
    designed."""


# --- The fit ---


@dataclass(frozen=True, slots=True)
class RigidFit:
    """A turn about the origin, in degrees clockwise, and then a shift, in mm."""

    turn: float = 0.0
    shift: tuple[float, float] = (0.0, 0.0)

    def moved(self, x: float, y: float) -> tuple[float, float]:
        """Where the fit takes a point."""
        return Vector(x, y).turned(self.turn) + self.shift


def best_fit(points: Points, onto: Points) -> RigidFit:
    """The turn and the shift that take `points` nearest to `onto`, by least squares.

    Both have the shape (n, 2). One point is only shifted; no points are left where they are.
    """
    import numpy as np

    if not len(points):
        return RigidFit()
    middle, onto_middle = points.mean(axis=0), onto.mean(axis=0)
    u, _, vt = np.linalg.svd((points - middle).T @ (onto - onto_middle))
    if np.linalg.det(u @ vt) < 0:  # a mirror image is no way to lay a panel
        vt[1] = -vt[1]
    turned = u @ vt
    x, y = (onto_middle - middle @ turned).tolist()
    return RigidFit(-math.degrees(math.atan2(turned[0, 1], turned[0, 0])), (x, y))


def misfit(fit: RigidFit, points: Points, onto: Points) -> float:
    """How far the points lie from where they should after a fit: root mean square, mm."""
    import numpy as np

    if not len(points):
        return 0.0
    off = np.array([fit.moved(x, y) for x, y in points.tolist()]) - onto
    return float(np.sqrt((off**2).sum(axis=1).mean()))


# --- What came of the drilling ---


@dataclass(frozen=True, slots=True)
class Drilling:
    """How the holes of a panel came out, in panel coordinates and mm.

    `design` is where each was to be; `off` is how far from there it lies, right and up, and
    `alone` the same once what all have in common is taken out of it: `common`, the best fit of
    the design upon the holes. `measured` is the fit by which measured places were laid on
    the design, None where they were measured from a datum. `mirrored` tells that they would
    fit far better as a mirror image.
    """

    design: Mapping[str, Hole]
    off: Mapping[str, tuple[float, float]]
    alone: Mapping[str, tuple[float, float]]
    common: RigidFit
    measured: RigidFit | None = None
    mirrored: bool = False

    @property
    def spread(self) -> float:
        """Root mean square of how far the holes are off, mm."""
        return _root_mean_square(self.off)

    @property
    def spread_alone(self) -> float:
        """The same once what all holes have in common is taken out."""
        return _root_mean_square(self.alone)


def _root_mean_square(off: Mapping[str, tuple[float, float]]) -> float:
    squares = [x * x + y * y for x, y in off.values()]
    return math.sqrt(sum(squares) / len(squares)) if squares else 0.0


#: A mirror image fits so much better that it must be one: by this factor, and this far off, mm.
_MIRRORED_BY, _MIRRORED_OFF = 4.0, 1.0


def drilled(
    design: Mapping[str, Hole], measured: AsDrilled, designed: Measuring, own: Measuring | None
) -> tuple[dict[str, Hole], Drilling]:
    """The holes where they are, in the order of the design, and how that compares with it.

    `designed` is how the design is measured; `own` how the holes were, None for the best fit.
    Every hole of the design is among those measured.
    """
    import numpy as np

    was_to_be = np.array([designed.on_panel(hole.at) for hole in design.values()])
    places = [measured.holes[id].at for id in design]
    fit = None
    if own is None:
        fit = best_fit(np.array(places), was_to_be)
        places = [fit.moved(x, y) for x, y in places]
    else:
        places = [own.on_panel(at) for at in places]
    are = np.array(places)
    common = best_fit(was_to_be, are)
    holes = {
        id: measured.holes[id].laid_on(hole, designed.measured(at))
        for (id, hole), at in zip(design.items(), places, strict=True)
    }
    expected = [common.moved(x, y) for x, y in was_to_be.tolist()]
    return holes, Drilling(
        dict(design),
        dict(zip(design, _pairs(are - was_to_be), strict=True)),
        dict(zip(design, _pairs(are - np.array(expected)), strict=True)),
        common,
        fit,
        _mirrored(are, was_to_be),
    )


def _mirrored(points: Points, onto: Points) -> bool:
    """Whether a mirror image of the points would fit far better than they do."""
    flipped = points * (-1, 1)
    off, off_flipped = (misfit(best_fit(each, onto), each, onto) for each in (points, flipped))
    return off > _MIRRORED_OFF and off > _MIRRORED_BY * off_flipped


def _pairs(points: Points) -> list[tuple[float, float]]:
    return [(x, y) for x, y in points.tolist()]
