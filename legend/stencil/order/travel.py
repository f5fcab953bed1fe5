"""Order visits to places for short travel, by farthest insertion.

By farthest insertion (Rosenkrantz, Stearns and Lewis, 1977; from memory):

1. Visits are taken up one by one, each time the one farthest from all that were.
2. Each is put between those two of the tour where the way grows least by it.
3. Once all have their place, each is taken out again and put where it now serves best; then
   so are stretches of two visits and of three, either way round.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from legend.lettering.outlines.curve_points import Points

#: How many visits in a row are taken out at once.
_STRETCHES = (1, 2, 3)

_Places = NDArray[np.complexfloating[Any, Any]]


def tour(entry: Points, leave: Points, begin: Points | None = None) -> list[int]:
    """An order of visits with short travel between them.

    Visit i is entered at row i of `entry` and left at row i of `leave`. The tour begins at the
    point `begin` where that is given, and anywhere else; it ends anywhere.
    """
    if not len(entry):
        return []
    visits = _Tour(entry @ (1, 1j), leave @ (1, 1j), None if begin is None else complex(*begin))
    for visit in visits.farthest_first():
        visits.insert([visit])
    for count in _STRETCHES:
        for visit in range(len(entry)):
            visits.insert(visits.taken_out(visit, count))
    return visits.order


class _Tour:
    """Visits in order; all places are complex numbers, whose differences are the ways."""

    def __init__(self, entries: _Places, leaves: _Places, home: complex | None) -> None:
        self.order: list[int] = []
        self._entries, self._leaves, self._home = entries, leaves, home
        # The same in the order of the tour.
        self._entered = self._left = np.empty(0, dtype=complex)

    def farthest_first(self) -> Iterator[int]:
        """All visits, each time the one farthest from those before it."""
        first = self._entries.mean() if self._home is None else self._home
        away = np.abs(self._entries - first)
        for _ in self._entries:
            visit = int(away.argmax())
            yield visit
            away = np.minimum(away, np.abs(self._entries - self._entries[visit]))
            away[visit] = -1

    def insert(self, visits: list[int]) -> None:
        """Put a stretch of visits where the way grows least by it, either way round."""
        ways = [visits] if len(visits) == 1 else [visits, visits[::-1]]
        grown = [self._growth(way) for way in ways]
        way, grows = min(zip(ways, grown, strict=True), key=lambda pair: float(pair[1].min()))
        place = int(grows.argmin())
        self.order[place:place] = way
        self._entered = _with(self._entered, place, self._entries[way])
        self._left = _with(self._left, place, self._leaves[way])

    def _growth(self, way: list[int]) -> NDArray[np.float64]:
        """By how much the way grows with a stretch put before each visit, and behind the last."""
        entry, leave = self._entries[way[0]], self._leaves[way[-1]]
        within = np.abs(self._entries[way[1:]] - self._leaves[way[:-1]]).sum()
        grows = np.full(len(self.order) + 1, within)
        grows[1:] += np.abs(self._left - entry)
        grows[:-1] += np.abs(self._entered - leave)
        grows[1:-1] -= np.abs(self._left[:-1] - self._entered[1:])
        if self._home is not None:
            grows[0] += abs(entry - self._home)
            grows[0] -= abs(self._entered[0] - self._home) if self.order else 0.0
        return grows

    def taken_out(self, visit: int, count: int) -> list[int]:
        """Take out a visit, and those that follow it, so many in all as far as there are."""
        place = self.order.index(visit)
        taken = self.order[place : place + count]
        del self.order[place : place + count]
        self._entered = _without(self._entered, place, count)
        self._left = _without(self._left, place, count)
        return taken


def _with(places: _Places, at: int, more: _Places) -> _Places:
    """The places with more before one of them; numpy's own way takes longer than all the rest."""
    return np.concatenate((places[:at], more, places[at:]))


def _without(places: _Places, at: int, count: int) -> _Places:
    return np.concatenate((places[:at], places[at + count :]))
