"""Match the holes that were found in a picture to those of a design.

The panel may lie turned in the picture: of the ways in which its outline may lie, that one holds
in which the most holes are where they are wanted. A round panel may lie turned by any angle, which
its holes alone tell: it is tried every degree, and then brought to where they fit best.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from legend.camera.holes.found_hole import FoundHole
from legend.camera.view import Points, View
from legend.description.tables.as_drilled import RigidFit, best_fit
from legend.description.tables.description import Hole

#: How far from where it is wanted a hole is looked for, mm: at first, and once it is known how the
#: panel lies. One drilled further off is told as missing, and as one too many.
#: Common practice, no source: see `standards.DRILLED_SLIP`.
_GATES, _LAST = (6.0, 4.0, 3.0), 3.0
#: A hole is of so much of the width that is wanted, at least and at most, or off by no more, mm: a
#: pilot hole, or a dot of the pen where one is to be drilled, is not the hole.
_LEAST_WIDTH, _MOST_WIDTH, _OFF_WIDTH = 0.6, 1.6, 1.0
#: One way to lie is told from another by this part of the holes at least.
_CLEARLY = 0.2
#: How far from where it is wanted a hole of a round panel may lie, mm, of which it is not yet known
#: to half a degree how it is turned; turns that differ by no more than this are one, degrees; and
#: so many are looked at closely.
_TURNING, _APART, _MOST_TURNS = 3.0, 3.0, 12


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
    wanted: Sequence[Wanted],
    found: Sequence[FoundHole],
    ways: Sequence[Points],
    measured: bool = False,
) -> Matching:
    """The best of all matchings; `ways` are the places of the found holes by each way to lie.

    Of ways that do about equally well, the first is taken; or, where the wanted places were
    `measured` on the same panel, and so are those of holes as they were drilled, the nearest.
    """
    tried = [
        _matched(wanted, found, way.reshape(-1, 2), (_LAST,) if measured else _GATES, not measured)
        for way in ways
    ]
    return _best(tried, measured)


def turned_about(
    wanted: Sequence[Wanted],
    found: Sequence[FoundHole],
    places: Points,
    about: tuple[float, float],
    measured: bool = False,
) -> tuple[float, Matching]:
    """By how much a panel lies turned about a place, and its holes as they match when turned back.

    The angle is in degrees anticlockwise, -180 to 180. `places` are those of the found holes as if
    it were not turned; so are those that the matching is of, turned back. `measured` is as in
    `matched`.
    """
    places = places.reshape(-1, 2)
    goals = np.array([each.at for each in wanted]).reshape(-1, 2)
    numbers = {each.id: i for i, each in enumerate(wanted)}

    def turn_by(matching: Matching) -> float:
        return _turn(
            places[[*matching.pairs.values()]] - about,
            goals[[numbers[id] for id in matching.pairs]] - about,
        )

    tried: list[tuple[float, Matching]] = []
    for degrees in sorted(range(-179, 181), key=abs):
        matching = _matched(wanted, found, turned_back(places, about, degrees), (_TURNING,))
        if matching.pairs:
            tried.append((turn_by(matching), matching))
    # Neighbouring degrees come to the same turn: each is looked at once, what matches most first.
    tried.sort(key=lambda one: -len(one[1].pairs))
    turns: list[float] = []
    for turn, _ in tried:
        if len(turns) < _MOST_TURNS and all(abs(_between(turn, other)) > _APART for other in turns):
            turns.append(turn)
    turns.sort(key=abs)
    if not turns:
        return 0.0, _matched(wanted, found, places)
    ways = [turned_back(places, about, turn) for turn in turns]
    matching = matched(wanted, found, ways, measured)
    if not matching.pairs:
        return 0.0, matching
    turn = turn_by(matching)
    last = _matched(wanted, found, turned_back(places, about, turn))
    return turn, replace(last, open_=matching.open_)


def turned_back(places: Points, about: tuple[float, float], degrees: float) -> Points:
    """Places of a panel that lies turned so about a place, degrees anticlockwise, on the panel."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    out: Points = (places - about) @ np.array([[c, -s], [s, c]]) + about
    return out


def _turn(found: Points, wanted: Points) -> float:
    """The turn about the origin that takes wanted places nearest to found ones, degrees."""
    along = float((found * wanted).sum())
    across = float((wanted[:, 0] * found[:, 1] - wanted[:, 1] * found[:, 0]).sum())
    return math.degrees(math.atan2(across, along))


def _between(one: float, other: float) -> float:
    """From one angle to another the shorter way, degrees."""
    return (other - one + 180) % 360 - 180


def _best(tried: Sequence[Matching], measured: bool) -> Matching:
    """The matching that is best; `open_` where another would nearly do as well."""
    order = sorted(range(len(tried)), key=lambda k: (-len(tried[k].pairs), tried[k].off))
    best = tried[order[0]]

    def nearly(rival: Matching) -> bool:
        return rival.off < 1.5 * best.off + 0.1

    rival = tried[order[1]] if len(order) > 1 else None
    as_many = rival and len(rival.pairs) > len(best.pairs) - _CLEARLY * len(best.pairs)
    open_ = bool(best.pairs and as_many and rival and nearly(rival))
    if measured:
        return replace(best, way=order[0])
    way = min(
        k
        for k, each in enumerate(tried)
        if len(each.pairs) == len(best.pairs) and (nearly(each) or each is best)
    )
    return replace(tried[way], way=way, open_=open_)


def seen_otherwise(hole: tuple[float, float], by: View, now: View) -> tuple[float, float]:
    """Where a place of the panel by one view is by another of the same picture."""
    x, y = now.to_panel(by.to_picture(np.array([hole])))[0].tolist()
    return x, y


def _matched(
    wanted: Sequence[Wanted],
    found: Sequence[FoundHole],
    places: Points,
    gates: Sequence[float] = _GATES,
    rigid: bool = True,
) -> Matching:
    """The holes matched gate by gate, mm; the panel shifted and turned in between if `rigid`."""
    goals = np.array([each.at for each in wanted]).reshape(-1, 2)
    fit, pairs = RigidFit(), dict[int, int]()
    for gate in gates:
        moved = np.array([fit.moved(x, y) for x, y in places.tolist()]).reshape(-1, 2)
        pairs = _nearest(wanted, found, goals, moved, gate)
        if not pairs:
            break
        if rigid:
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
