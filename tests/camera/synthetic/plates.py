"""Make panels as builders make them: sawn a little askew, drilled a little off, filed, deburred."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np

from legend.description.shapes.edge import Edge
from legend.description.shapes.shape import keys_of_shape
from legend.description.tables.description import Description, Hole

from .coverage import Points
from .rims import edge_rim, grown, parted, round_rim, turned

#: How a broken edge faces: so much outwards for so much upwards, of a length of one.
SLANT, STEEP = 0.6, 0.8


@dataclass(frozen=True, slots=True, eq=False)
class RealHole:
    """A hole as it came out, on the plate as it lies: the rim on the front, mm.

    `size` is the diameter of the drill, or width and height; `angle` is clockwise. A chamfer is
    as wide as it is deep. `lean` is how far the hole goes aside from the front to the back.
    """

    id: str
    key: str
    at: tuple[float, float]
    size: tuple[float, ...]
    angle: float
    rim: Points
    chamfer: float = 0.0
    burr: float = 0.0
    lean: tuple[float, float] = (0.0, 0.0)

    def at_depth(self, depth: float, thickness: float) -> Points:
        """The outline of the hole so far beneath the front, mm."""
        rim = grown(self.rim, self.chamfer - depth) if depth < self.chamfer else self.rim
        return rim + np.array(self.lean) * (depth / thickness)

    @property
    def radius(self) -> float:
        """How far it reaches from its middle, with its chamfer and burr, mm."""
        reach = np.linalg.norm(self.rim - self.at, axis=1).max()
        return float(reach) + self.chamfer + self.burr


@dataclass(frozen=True, slots=True, eq=False)
class Plate:
    """A panel as it came out; its front lies at height 0, its back at -`thickness`, mm.

    `size` is what the builder believes it to be. The outline runs anticlockwise; where its edge is
    broken, by a `bevel` so wide, the outline lies below the front.
    """

    size: tuple[float, float]
    outline: Points
    holes: tuple[RealHole, ...]
    thickness: float = 2.0
    bevel: float = 0.15
    rectangular: bool = True

    @property
    def edge_depth(self) -> float:
        """How deep below the front its outline lies, mm."""
        return SLANT / STEEP * self.bevel

    @property
    def datum(self) -> Points:
        """The 3 x 3 matrix from places on the plate as it lies to mm from its true datum.

        x is the distance from the best straight line along the left edge, y that from the best
        one along the lower edge, as callipers would find them; each line is fitted to the middle
        nine tenths of its edge. Other outlines: their own coordinates.
        """
        return _datum(self)

    def measured(self, places: Points) -> Points:
        """Places on the plate as it lies, in mm from its true datum."""
        out: Points = places @ self.datum[:2, :2].T + self.datum[:2, 2]
        return out

    def places(self, measured: Points) -> Points:
        """Where places that are measured from the true datum are on the plate as it lies."""
        back = np.linalg.inv(self.datum)
        out: Points = measured @ back[:2, :2].T + back[:2, 2]
        return out


@lru_cache(maxsize=4)
def _datum(plate: Plate) -> Points:
    if not plate.rectangular:
        return np.eye(3)
    width, height = plate.size
    lower = _line(plate.outline, 0, 0, width)
    left = _line(plate.outline, 1, 0, height)
    return np.array([left, lower, (0, 0, 1)])


def _line(outline: Points, along: int, level: float, length: float) -> tuple[float, float, float]:
    """The distance from the line along a lower (0) or left (1) edge, as factors of x, y and 1."""
    on = (np.abs(outline[:, 1 - along] - level) < 1) & (
        np.abs(outline[:, along] - length / 2) < 0.45 * length
    )
    slope, off = np.polyfit(outline[on, along], outline[on, 1 - along], 1)
    norm = math.hypot(1, slope)
    x, y = (-slope, 1) if along == 0 else (1, -slope)
    return x / norm, y / norm, -off / norm


# --- How well it was made ---


@dataclass(frozen=True, slots=True)
class Hand:
    """How steady the builder's hand was: standard deviations in mm and degrees, shares 0 to 1."""

    off: float = 0.2
    oversize: float = 0.03
    filed: float = 0.15
    turn: float = 0.4
    chamfered: float = 0.25
    burred: float = 0.3
    ragged: float = 0.008
    lean: float = 0.5
    sides: float = 0.02
    square: float = 0.02
    size: float = 0.02


#: An ordinary hand, and one that does everything right.
ORDINARY, STEADY = Hand(), Hand(0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0)

#: A hole as it is wanted: where, and the keys of its shape in a description.
Wanted = Mapping[str, Any]


def made(
    size: tuple[float, float],
    holes: Mapping[str, Hole] | Mapping[str, Wanted],
    rng: np.random.Generator,
    hand: Hand = ORDINARY,
    thickness: float = 2.0,
    corner: float = 0.0,
    edge: Edge | None = None,
) -> Plate:
    """A panel of this size (or with this edge) and with these holes, from the lower left.

    The holes are marked out from the edges as they were sawn.
    """
    outline = _sawn(size, corner, rng, hand) if edge is None else edge_rim(edge, parts=720)
    bevel = rng.uniform(0.05, 0.25)
    bare = Plate(size, outline, (), thickness, bevel, edge is None)
    real = []
    for id, hole in holes.items():
        wanted = hole if isinstance(hole, Hole) else Hole.model_validate(hole)
        real.append(_drilled(id, wanted, bare, rng, hand))
    return replace(bare, holes=tuple(real))


def made_from(
    description: Description,
    rng: np.random.Generator,
    hand: Hand = ORDINARY,
    thickness: float = 2.0,
) -> Plate:
    """The panel of a description."""
    panel = description.panel
    holes = {
        id: hole.model_copy(update={"at": panel.from_datum(hole.at)})
        for id, hole in description.holes.items()
    }
    edge = panel.edge if panel.outline else None
    return made(panel.size, holes, rng, hand, thickness, panel.corner_radius, edge)


def rows(
    size: tuple[float, float], drills: Sequence[float], rng: np.random.Generator
) -> dict[str, Wanted]:
    """Drilled holes on a grid that is a little disturbed, one of each of these diameters."""
    width, height = size
    across = max(1, round(math.sqrt(len(drills) * width / height)))
    down = math.ceil(len(drills) / across)
    out: dict[str, Wanted] = {}
    for k, drill in enumerate(drills):
        i, j = k % across, k // across
        x = (i + 0.5 + rng.uniform(-0.08, 0.08)) * width / across
        y = (j + 0.5 + rng.uniform(-0.08, 0.08)) * height / down
        out[f"h{k + 1}"] = {"at": [round(x, 1), round(y, 1)], "drill": drill}
    return out


def _drilled(id: str, hole: Hole, plate: Plate, rng: np.random.Generator, hand: Hand) -> RealHole:
    shape = hole.shape
    key = keys_of_shape(type(shape))[0]
    x, y = plate.places(np.array([hole.at]))[0] + rng.normal(0, hand.off, 2) * min(
        1.0, rng.uniform(0.2, 1.4)
    )
    angle = hole.angle + (rng.normal(0, hand.turn) if key != "drill" else 0.0)
    round_one = key == "drill"
    if round_one:
        diameter = shape.diameter + abs(rng.normal(0, hand.oversize))
        rim = round_rim(diameter, hand.ragged, rng)
        size: tuple[float, ...] = (diameter,)
        if rng.random() < hand.filed:
            stretch = 1 + rng.uniform(0.02, 0.08)
            angle = float(rng.uniform(0, 180))
            rim = turned(rim * (stretch, 1), angle)
            size = (diameter * stretch, diameter)
    else:
        rim = turned(edge_rim(shape.edge), angle)
        more = float(rng.normal(0, hand.oversize))
        rim = grown(rim, more)
        rim = rim + hand.ragged * _waves(rim, rng)
        x0, y0, x1, y1 = shape.edge.box
        size = (x1 - x0 + 2 * more, y1 - y0 + 2 * more)
    chamfer = float(rng.uniform(0.2, 0.7)) if round_one and rng.random() < hand.chamfered else 0.0
    burr = 0.0
    if round_one and not chamfer and hand.burred:  # a drill leaves some lip in any case
        burr = float(rng.uniform(*((0.08, 0.35) if rng.random() < hand.burred else (0.02, 0.05))))
    lean = np.tan(np.radians(rng.normal(0, hand.lean, 2))) * plate.thickness
    return RealHole(
        id,
        key,
        (float(x), float(y)),
        size,
        float(angle),
        rim + np.array([x, y]),
        chamfer,
        burr,
        (float(lean[0]), float(lean[1])),
    )


def _waves(rim: Points, rng: np.random.Generator) -> Points:
    """What a file leaves on an edge: waves a millimetre or so long, about 1 rms."""
    along = np.arange(len(rim)) / len(rim) * 2 * math.pi
    out = np.zeros_like(rim)
    for k in range(5, 45):
        out += rng.normal(size=2) * np.cos(k * along + rng.uniform(0, 7))[:, None] / 5
    return out


def _sawn(size: tuple[float, float], corner: float, rng: np.random.Generator, hand: Hand) -> Points:
    width, height = np.array(size) + rng.normal(0, hand.size, 2)
    shear = rng.normal(0, hand.square)
    edge = Edge.rectangle(width, height, corner).moved(width / 2, height / 2)
    rim = edge_rim(edge, 1.0)
    rim = rim + np.column_stack([shear * rim[:, 1] / height, np.zeros(len(rim))])
    for axis, level, length, half in (
        (0, 0, width, height),
        (0, height, width, height),
        (1, 0, height, width),
        (1, width, height, width),
    ):
        bow = rng.normal(0, hand.sides) + rng.normal(0, hand.sides / 2) * np.sin(
            rim[:, axis] / length * rng.uniform(4, 14)
        )
        near = 1 - np.clip(np.abs(rim[:, 1 - axis] - level) / half, 0, 1)
        part = rim[:, axis] / length
        rim[:, 1 - axis] += near * bow * 4 * part * (1 - part)
    return parted(rim, 1.0)
