"""Tell what was found of a hole in a picture: its place, shape and size, and how sure they are."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from legend.camera.view import Points
from legend.description.shapes.edge import Edge
from legend.description.shapes.shape import Shape


class Doubt(StrEnum):
    """Why what was found may be no hole, or not be where or as large as is told."""

    SMALL = "so small that it may be a dot or a punch mark"
    PALE = "not like the other holes within"
    PART = "seen in part only"
    RAGGED = "its rim is ragged, or not of this shape"
    ASIDE = "lit from one side, so that its wall or chamfer may be taken for its rim"
    SHADED = "lighter within than the face, so that a shadow may be taken for its rim"
    UNKNOWN = "of no shape that is known"
    FAINT = "so faint that it was found only by looking where it should be"
    APART = "the pictures do not agree"


@dataclass(frozen=True, slots=True, eq=False)
class FoundHole:
    """A hole as a picture shows it, in panel coordinates and mm.

    `angle` is how far it is turned, degrees clockwise. `uncertainty` is how far its middle may be
    off, `size_uncertainty` its diameter or any other of its sizes, both at 95 %. `support` is how
    much of its rim was seen, 0 to 1, `within` the root light in its middle; `chamfer` how wide the
    chamfer round it is, `out_of_round` by how much its greatest diameter is more than its least.
    """

    at: tuple[float, float]
    angle: float
    shape: Shape
    uncertainty: float
    size_uncertainty: float
    support: float
    within: float
    chamfer: float | None = None
    out_of_round: float = 0.0
    doubts: tuple[Doubt, ...] = ()

    @property
    def edge(self) -> Edge:
        """Its rim on the panel."""
        return self.shape.edge.turned(self.angle).moved(*self.at)

    @property
    def width(self) -> float:
        """Its diameter, or the longer side of the box round it before it is turned, mm."""
        return max(self.shape.size)

    def outline(self, parts: int = 24) -> Points:
        """Points along its rim, mm."""
        import numpy as np

        return np.array([(p.x, p.y) for p in self.edge.points(parts)])
