"""Match the holes that were found in a picture to those of a design.

The panel may lie turned in the picture: of the ways in which its outline may lie, that one holds
in which the most holes are where they are wanted.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from legend.camera.holes.found_hole import FoundHole
from legend.camera.view import Points, View
from legend.description.tables.as_drilled import RigidFit, best_fit
from legend.description.tables.description import Hole

#: How far from where it is wanted a hole is looked for, mm: at first, and once it is known how the
#: panel lies. One drilled further off is told as missing, and as one too many.
#: Common practice, no source: see `standards.DRILLED_SLIP`.
_FIRST, _LAST = (6.0, 4.0), 3.0
#: A hole is of so much of the width that is wanted, at least and at most, or off by no more, mm: a
#: pilot hole, or a dot of the pen where one is to be drilled, is not the hole.
_LEAST_WIDTH, _MOST_WIDTH, _OFF_WIDTH = 0.6, 1.6, 1.0
#: One way to lie is told from another by this part of the holes at least.
_CLEARLY = 0.2


@dataclass(frozen=True, slots=True)
class Wanted:
    """A hole of the design, in panel coordinates and mm."""

    id: str
    at: tuple[float, float]
    hole: Hole

    @property
    def width(self) -> float:
        """Its diameter, or the longer side of the box round it."""
        return max(self.hole.shape.size)


@dataclass(frozen=True, slots=True, eq=False)
class Matching:
    """Which found hole is which: the number of the found one by the id of the wanted.

    `fit` takes found places to where they are wanted, `off` is what is left then, root mean square,
    mm; `way` is which of the ways it lies in, and `open_` tells that another would do as well.
    """

    pairs: Mapping[str, int]
    fit: RigidFit
    off: float
    way: int = 0
    open_: bool = False


def matched(
    wanted: Sequence[Wanted], found: Sequence[FoundHole], ways: Sequence[Points]
) -> Matching:
    """The best of all matchings; `ways` are the places of the found holes by each way to lie."""
    tried = [_matched(wanted, found, way.reshape(-1, 2)) for way in ways]
    order = sorted(range(len(tried)), key=lambda k: (-len(tried[k].pairs), tried[k].off))
    best = tried[order[0]]
    rival = tried[order[1]] if len(order) > 1 else None
    as_many = rival and len(rival.pairs) > len(best.pairs) - _CLEARLY * len(best.pairs)
    as_near = rival and rival.off < 1.5 * best.off + 0.1
    open_ = bool(best.pairs and as_many and as_near)
    return Matching(best.pairs, best.fit, best.off, order[0], open_)


def seen_otherwise(hole: tuple[float, float], by: View, now: View) -> tuple[float, float]:
    """Where a place of the panel by one view is by another of the same picture."""
    x, y = now.to_panel(by.to_picture(np.array([hole])))[0].tolist()
    return x, y


def _matched(wanted: Sequence[Wanted], found: Sequence[FoundHole], places: Points) -> Matching:
    goals = np.array([each.at for each in wanted]).reshape(-1, 2)
    fit, pairs = RigidFit(), dict[int, int]()
    for gate in (*_FIRST, _LAST):
        moved = np.array([fit.moved(x, y) for x, y in places.tolist()]).reshape(-1, 2)
        pairs = _nearest(wanted, found, goals, moved, gate)
        if not pairs:
            break
        fit = best_fit(places[[*pairs.values()]], goals[[*pairs.keys()]])
    moved = np.array([fit.moved(x, y) for x, y in places.tolist()]).reshape(-1, 2)
    off = [math.dist(moved[k], goals[i]) for i, k in pairs.items()]
    spread = math.sqrt(sum(each**2 for each in off) / len(off)) if off else 0.0
    return Matching({wanted[i].id: k for i, k in pairs.items()}, fit, spread)


def _nearest(
    wanted: Sequence[Wanted],
    found: Sequence[FoundHole],
    goals: Points,
    places: Points,
    gate: float,
) -> dict[int, int]:
    """Wanted and found holes two and two, the nearest first, each once."""
    if not len(goals) or not len(places):
        return {}
    far = np.hypot(*(goals[:, None] - places[None]).transpose(2, 0, 1))
    pairs: dict[int, int] = {}
    taken: set[int] = set()
    for flat in np.argsort(far, axis=None):
        i, k = divmod(int(flat), len(places))
        if far[i, k] > gate:
            break
        if i not in pairs and k not in taken and _is_size(wanted[i], found[k]):
            pairs[i] = k
            taken.add(k)
    return pairs


def _is_size(wanted: Wanted, found: FoundHole) -> bool:
    part = found.width / wanted.width
    return _LEAST_WIDTH < part < _MOST_WIDTH or (
        abs(found.width - wanted.width) < min(_OFF_WIDTH, 0.5 * wanted.width)
    )
