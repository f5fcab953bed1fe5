"""Short travel: places to visit in, an order of visits out.

The nearest place is gone to next, and the order so found is then made shorter by turning
runs of visits about and by moving short runs elsewhere, as long as that gains anything. The
better of two such orders, begun at different places, is taken.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from legend.lettering.outline import Points

#: Long tours are made shorter in windows of this many visits, each half over the one before.
_WINDOW = 120

#: So many visits are worth a second order.
_MANY = 12

#: The least gain that is worth a change, mm.
_LEAST_GAIN = 1e-6

#: What stands for the place where a tour begins and ends, among the numbers of the visits.
_HOME = -1

#: What stands for a way that may not be gone, mm.
_CLOSED = 1e6

#: What a change gains, the run from i to j it moves, and after which place it goes (-1: turned).
Change = tuple[float, int, int, int]


def tour(entry: Points, leave: Points, begin: Points | None = None) -> list[int]:
    """An order of visits with short travel between them.

    Visit i is entered at row i of `entry` and left at row i of `leave`. The tour begins at the
    point `begin` where that is given, and anywhere else; it ends anywhere.
    """
    count = len(entry)
    if count < 2:
        return list(range(count))
    if count >= _WINDOW:
        return _long_tour(entry, leave, begin)
    travel = _travel(entry, leave, begin)
    orders = [_improved(_nearest_first(travel, count), travel)]
    if count >= _MANY:
        orders.append(_improved(_nearest_first(travel, 0), travel))
    return min(orders, key=lambda order: _length(order, travel))[1:]


def _long_tour(entry: Points, leave: Points, begin: Points | None) -> list[int]:
    """An order of many visits, whose ways are never all looked at together."""
    order = [_HOME, *_nearest_of_many(entry, leave, begin)]
    for first in range(0, len(order) - _WINDOW // 2, _WINDOW // 2):
        window = order[first : first + _WINDOW]
        visits = [visit for visit in window if visit != _HOME]
        travel = _travel(entry[visits], leave[visits], begin)
        ways = np.roll(travel, 1, (0, 1)) if window[0] == _HOME else travel[:-1, :-1]
        order[first : first + _WINDOW] = _between_ends(window, ways)
    return order[1:]


def _travel(entry: Points, leave: Points, begin: Points | None) -> NDArray[np.float64]:
    """How far it is from each visit to each other, mm; in the last place from and to home."""
    count = len(entry)
    travel = np.zeros((count + 1, count + 1))
    travel[:count, :count] = np.hypot(*(leave[:, None] - entry[None]).transpose(2, 0, 1))
    if begin is not None:
        travel[count, :count] = np.hypot(*(entry - begin).T)
    return travel


def _between_ends(window: list[int], ways: NDArray[np.float64]) -> list[int]:
    """A part of a tour made shorter, its first and its last visit staying where they are."""
    ways[:, 0] = _CLOSED
    ways[-1, 0] = 0
    return [window[i] for i in _improved(list(range(len(window))), ways)]


def _length(order: list[int], travel: NDArray[np.float64]) -> float:
    """How long a round trip is, mm."""
    return float(travel[order, [*order[1:], order[0]]].sum())


def _nearest_first(travel: NDArray[np.float64], begin: int) -> list[int]:
    """A round trip that always goes on to the nearest place not yet seen, told from the last.

    It is thought out beginning at another place.
    """
    at = begin
    order = [at]
    open_travel = travel.copy()
    open_travel[:, at] = math.inf
    for _ in range(len(travel) - 1):
        at = int(open_travel[at].argmin())
        open_travel[:, at] = math.inf
        order.append(at)
    home = order.index(len(travel) - 1)
    return order[home:] + order[:home]


def _nearest_of_many(entry: Points, leave: Points, begin: Points | None) -> list[int]:
    """The visits, from each to the nearest that is still open; the first is nearest to `begin`."""
    still_open, places = np.arange(len(entry)), entry.T.copy()
    at = entry[0] if begin is None else begin
    order = []
    while len(still_open):
        nearest = int(np.hypot(*(places - at[:, None])).argmin())
        order.append(int(still_open[nearest]))
        at = leave[order[-1]]
        still_open, places = np.delete(still_open, nearest), np.delete(places, nearest, axis=1)
    return order


def _improved(order: list[int], travel: NDArray[np.float64]) -> list[int]:
    """A round trip made shorter by turning runs of visits about and by moving short runs."""
    for _ in range(4 * len(order)):
        path = np.array([*order, order[0]])
        grid = travel[path[:, None], path[None]]
        changes = sorted([*_turns(grid), *_moves(grid)], reverse=True)
        if not changes:
            break
        # Changes to parts of the trip that are well apart do not disturb each other.
        changed = np.zeros(len(path), dtype=bool)
        for _, i, j, k in changes:
            part = slice(min(i, k + 1 if k >= 0 else i) - 1, max(j, k) + 2)
            if not changed[part].any():
                changed[part] = True
                order = _with_change(order, i, j, k)
    return order


def _with_change(order: list[int], i: int, j: int, k: int) -> list[int]:
    run = order[i : j + 1]
    if k < 0:
        return order[:i] + run[::-1] + order[j + 1 :]
    if k < i:
        return order[: k + 1] + run + order[k + 1 : i] + order[j + 1 :]
    return order[:i] + order[j + 1 : k + 1] + run + order[k + 1 :]


def _turns(grid: NDArray[np.float64]) -> Iterator[Change]:
    """The runs whose turning about gains most; `grid` is in visiting order."""
    count = len(grid) - 1
    there = np.concatenate([[0], np.cumsum(np.diagonal(grid, 1))])
    back = np.concatenate([[0], np.cumsum(np.diagonal(grid, -1))])
    i, j = np.arange(1, count)[:, None], np.arange(1, count)[None]
    now = there[j + 1] - there[i - 1]
    then = grid[i - 1, j] + back[j] - back[i] + grid[i, j + 1]
    gain = np.where(i < j, now - then, -math.inf)
    for value, row, column in _greatest(gain):
        yield value, row + 1, column + 1, -1


def _moves(grid: NDArray[np.float64]) -> Iterator[Change]:
    """The runs of up to three visits whose moving elsewhere gains most."""
    count = len(grid) - 1
    k = np.arange(count)[None]
    step = np.diagonal(grid, 1)
    for length in range(1, min(4, count - 1)):
        i = np.arange(1, count - length + 1)[:, None]
        j = i + length - 1
        freed = grid[i - 1, i] + grid[j, j + 1] - grid[i - 1, j + 1]
        added = grid[k, i] + grid[j, k + 1] - step[k]
        gain = np.where((k < i - 1) | (k > j), freed - added, -math.inf)
        for value, row, column in _greatest(gain):
            yield value, row + 1, row + length, column


def _greatest(gain: NDArray[np.float64]) -> Iterator[tuple[float, int, int]]:
    """The greatest gain of each row, where it is one, and where it stands."""
    column = gain.argmax(axis=1)
    value = gain[np.arange(len(gain)), column]
    for row in np.flatnonzero(value > _LEAST_GAIN).tolist():
        yield float(value[row]), row, int(column[row])
