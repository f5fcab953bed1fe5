"""Place bridges as a stencil cutter does, who has a habit for every build of letter.

What matters, in this order, and why:

1. It holds: every island by necks of a bridge each, a wide one on two sides. Nothing else counts
   where a part of the stencil tears off. Habits that do not hold are left out; `holding` judges.
2. The main run of every stroke stays whole: a letter is known by its long strokes. So no bridge
   crosses both legs of an "A", or the stem of a "4", a "B" or a "d".
3. A joint before a run: where a bar ends at a leg, or a bowl at a stem, the gap is read as the
   edge of the stroke that passes, and neither of the two looks broken.
4. Upright before level before slanted: gaps that stand like the letters are read as one manner.
5. In line with its kind: the two gaps of an "o" under each other, three in an "8", level gaps at
   one height in all letters of a face, so that a word looks as if one hand had cut it.
6. The least paint.

The habits are tried from the most particular on, and the next one where a habit does not fit the
letter, or would leave a sliver of opening too thin to paint:

- the axis of an "O", a "0" or an "8", which has no joints: its own two, or three, in one line;
- along the stem of a "B", "D", "P", "R", "4", "a", "b", "d", "p" or "q";
- else the cheapest bridges, those at joints much cheaper than others: both ends of the bar of an
  "A", the left end of that of an "e", and the axis of what they hold, as in a "Q".

What is no letter, a symbol or a window, has no joints: a triangle is crossed level on two sides.
That these are the places of the trade is common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from legend.stencil.bridging.crossings import STEEPEST, STEEPEST_AT_STEM, Bridge, Crossing
from legend.stencil.bridging.letter import BridgedLetter

#: An island wider than this many bridges is held on two sides. One wider than the second
#: number is too, where the second bridge stands in line with the first and costs no more than
#: `_AS_MUCH` times as much: it is for the eye, because a "b" with one gap reads as "h", and an
#: "o" as "u".
_TWO_SIDED, _MAYBE_TWO_SIDED, _AS_MUCH = 3, 2, 1.5

#: What a bridge costs beside an upright one in line that takes as much paint: one out of
#: line, a level one, a slanting one.
_OUT_OF_LINE, _LEVEL, _SLANTING = 1.5, 2.5, 4.5

#: A bridge of no more than so many widths is short, whatever it holds; and what crosses a diagonal
#: upright may be so many times longer than other bridges.
_SHORT, _DIAGONAL = 3.0, 1.5

#: Bridges across two legs match where one is no longer than so many times the other.
_MATCHED = 2.5

#: The steepest that the stroke of a round bowl may climb where it is cut beside its stem.
_ROUND_AT_STEM = 0.65

#: The directions that bridges lean in: square to the letter, and where that does not do, all.
_SQUARE = (0.0, 90.0)
_ALL = (*_SQUARE, -45.0, 45.0, -22.5, 22.5, -67.5, 67.5)


@dataclass(frozen=True, slots=True, eq=False)
class Column:
    """Holes of a letter that one upright line can run through, to be tied together.

    `rings` are the holes; `held` are the rings that are held already, the outside among them;
    `struck` are bridges that would leave a sliver, whose places are struck off.
    """

    letter: BridgedLetter
    rings: Sequence[int]
    held: Collection[int]
    struck: Sequence[Bridge] = ()

    def places(self, degrees: float, steepest: float = STEEPEST) -> Iterator[Crossing]:
        """Where bridges that lean by these degrees may tie these holes."""
        joined = {*self.rings, *self.held}
        places = self.letter.places(degrees, self.struck, steepest)
        return (place for place in places if joined.issuperset(place.rings))


#: The bridges of a column by one habit, or None where the habit does not fit it.
Habit = Callable[[Column], list[Bridge] | None]


def hold(column: Column, bridges: Sequence[Bridge]) -> bool:
    """Whether every hole that needs it is held on two sides."""
    letter = column.letter
    large = (ring for ring in column.rings if letter.size(ring) > _TWO_SIDED)
    return all(letter.on_two_sides(ring, bridges) for ring in large)


# --- Habits ---


def _across_legs(column: Column) -> list[Bridge] | None:
    """Two bridges level with each other, for one hole that is a triangle."""
    letter = column.letter
    hole, *more = column.rings
    if more or letter.size(hole) <= _MAYBE_TWO_SIDED or not letter.is_triangular(hole):
        return None
    middle = sum(side[0] for side in letter.extent(hole)) / 2
    best, least = None, math.inf
    legs = [place for place in column.places(90.0) if set(place.rings) == {0, hole}]
    left = [leg for leg in legs if leg.high.min() < middle]
    right = [leg for leg in legs if leg.low.max() > middle]
    for a in left:
        for b in right:
            _, i, j = np.intersect1d(a.x, b.x, return_indices=True)
            if len(i):
                k = int((a.cost[i] + b.cost[j]).argmin())
                pair = [a.bridge(i[k], 1.0), b.bridge(j[k], 1.0)]
                short, long = sorted(bridge.high - bridge.low for bridge in pair)
                if long < _MATCHED * short and (cost := _cost(pair)) < least:
                    best, least = pair, cost
    return best


def _on_axis(column: Column) -> list[Bridge] | None:
    """Upright bridges on the axis of a letter that is the same on its left and its right."""
    axis = column.letter.axis(column.rings)
    if axis is None or any(map(column.letter.tapers, column.rings)):
        return None
    return _in_one_line(column, axis, axis)


def _by_stem(column: Column) -> list[Bridge] | None:
    """Upright bridges along a stem, each hole held on two sides.

    As near to the stem as its strokes can be crossed: those of a round bowl where they do not climb
    steeply, so that a part of each stays with the stem, or a "d" reads as "cl"; the diagonal of a
    "4" as steep as it is.
    """
    letter = column.letter
    if (stem := letter.stem(column.rings)) is None:
        return None
    room = max(high[0] - low[0] for low, high in map(letter.extent, column.rings)) / 2
    steps = range(max(1, math.ceil(8 * room / letter.width) - 4))
    ladder: tuple[float, ...] = (STEEPEST, STEEPEST_AT_STEM)
    if letter.waist is None:
        steps, ladder = range(1), (STEEPEST,)
    elif stem.is_round:
        ladder = (_ROUND_AT_STEM, *ladder)
    for steepest in ladder:
        for step in steps:
            x = stem.edge + stem.side * letter.width * (1 / 2 + step / 8)
            bridges = _in_one_line(column, x, x + stem.side * letter.width / 8, steepest)
            if bridges and not stem.is_round:
                bridges = [bridge.into_holes(letter.width / 2) for bridge in bridges]
            if bridges and all(_is_held(letter, ring, bridges) for ring in column.rings):
                return bridges
    return None


def _is_held(letter: BridgedLetter, ring: int, bridges: Sequence[Bridge]) -> bool:
    """Whether a hole is held on two sides, or is too small to need that."""
    is_small = letter.waist is not None and letter.size(ring) <= _MAYBE_TWO_SIDED
    return is_small or letter.on_two_sides(ring, bridges)


def _in_one_line(
    column: Column, x: float, looked_at: float, steepest: float = STEEPEST
) -> list[Bridge] | None:
    """Upright bridges at `x`, as long as strokes are wide at another place near by.

    None is longer than its hole is large, or not by much across a diagonal: across so much ink
    there is a shorter way.
    """
    letter = column.letter
    places = column.places(0.0, steepest)
    found = [b for place in places for b in _on_line(letter, place, looked_at)]
    longest = max(_SHORT * letter.width, *map(letter.longest_side, column.rings))
    longest *= _DIAGONAL if steepest > STEEPEST else 1.0
    candidates = [replace(b, x=x) for b in found if b.high - b.low < longest]
    return _best(column, [candidates])


def _beside_slash(column: Column) -> list[Bridge] | None:
    """The axis of a "0" or an "O", above and below, and a slash through it cut at its ends."""
    letter = column.letter
    if len(column.rings) != 2 or not letter.is_slashed(column.rings):
        return None
    one, other = column.rings
    axis = (letter.extent(0)[0][0] + letter.extent(0)[1][0]) / 2
    own = [b for place in column.places(0.0) for b in _on_line(letter, place, axis)]
    bowl = [_best_of(b for b in own if {*b.rings} == {0, ring}) for ring in column.rings]
    ends = [
        place.bridge(int(at), 1.0)
        for degrees in _ALL
        for place in column.places(degrees)
        if {*place.rings} == {one, other}
        for at in np.flatnonzero(place.joint)
    ]
    ends.sort(key=_worth)
    if None in bowl or not ends:
        return None
    bridges = [*(b for b in bowl if b), ends[0]]
    far = [b for b in ends if math.dist(b.middle, ends[0].middle) > letter.width]
    return bridges if hold(column, bridges) else [*bridges, *far[:1]]


def _best_of(bridges: Iterable[Bridge]) -> Bridge | None:
    """The cheapest of some bridges."""
    return min(bridges, key=_worth, default=None)


def _in_line(column: Column) -> list[Bridge] | None:
    """Upright bridges in one line through several holes, as of an "&"."""
    letter = column.letter
    if len(column.rings) < 2 or any(map(letter.is_tongue, column.rings)):
        return None
    upright = list(column.places(0.0))
    choices = (
        [bridge for place in upright for bridge in _on_line(letter, place, x)]
        for x in _lines(column, upright)
    )
    return _best(column, choices)


def _square(column: Column) -> list[Bridge] | None:
    """The cheapest plan of upright and level bridges."""
    return _cheapest(column, _SQUARE)


def _any_way(column: Column) -> list[Bridge] | None:
    """The cheapest plan of bridges in whatever direction."""
    return _cheapest(column, _ALL)


def _cheapest(column: Column, leans: Iterable[float]) -> list[Bridge] | None:
    """The cheapest plan of all lines that the bridges may stand in; None where none is."""
    upright: list[Crossing] = []
    anywhere: list[Bridge] = []
    for degrees in leans:
        factor = _OUT_OF_LINE if not degrees else _LEVEL if degrees == 90 else _SLANTING
        for place in column.places(degrees):
            anywhere += (place.bridge(int(at), factor) for at in np.flatnonzero(place.joint))
            if degrees == 90 and column.letter.waist is not None:
                anywhere += _on_waist(place, -column.letter.waist, factor)
            else:
                anywhere.append(place.bridge(int(place.cost.argmin()), factor))
            upright += [] if degrees else [place]
    choices = (
        [*(bridge for place in upright for bridge in _on_line(column.letter, place, x)), *anywhere]
        for x in _lines(column, upright)
    )
    return _best(column, choices)


def _on_waist(place: Crossing, waist: float, factor: float) -> Iterator[Bridge]:
    """The level bridges across a strip: the cheapest, and the one at the waist of the face."""
    yield place.bridge(int(place.cost.argmin()), factor * _OUT_OF_LINE)
    near = int(np.abs(place.x - waist).argmin())
    if abs(place.x[near] - waist) < place.width / 2:
        yield place.bridge(near, factor)


def _lines(column: Column, upright: Sequence[Crossing]) -> list[float]:
    """The lines to try: across each hole, and where each strip is bridged most cheaply."""
    letter = column.letter
    if letter.waist is not None and (axis := letter.axis_of_holes(column.rings)) is not None:
        return [axis]
    found: list[float] = []
    for ring in column.rings:
        low, high = letter.extent(ring)
        middle, half = (low[0] + high[0]) / 2, (high[0] - low[0]) / 2
        found += (middle + half * np.linspace(-0.75, 0.75, 7)).tolist()
    found += [float(c.x[c.cost.argmin()]) for c in upright]
    # Lines nearer together than places are would give the same bridges.
    return list({round(8 * x / letter.width): x for x in found}.values())


def _on_line(letter: BridgedLetter, place: Crossing, x: float) -> Iterator[Bridge]:
    """The bridge on an upright line across a strip, if the strip can be bridged there."""
    index = int(np.abs(place.x - x).argmin())
    if abs(place.x[index] - x) <= letter.width / 8:
        yield replace(place.bridge(index, 1.0), x=x)


#: The habits for letters, and for what is none, the most particular first.
HABITS: tuple[Habit, ...] = (_on_axis, _by_stem, _beside_slash, _in_line, _square, _any_way)
HABITS_OF_SYMBOLS: tuple[Habit, ...] = (_across_legs, _on_axis, _by_stem, _square, _any_way)
#: The last resort: whatever holds at all.
ANY_WAY: Habit = _any_way

# --- The choice among candidates ---


def _best(column: Column, choices: Iterable[list[Bridge]]) -> list[Bridge] | None:
    """The plan that holds most and costs least, of those that these candidates give."""
    letter = column.letter
    best, least = None, (math.inf, math.inf)
    for candidates in choices:
        candidates.sort(key=_worth)
        bridges = _chosen(column, candidates)
        if bridges is None:
            continue
        once = sum(
            letter.size(ring) > _TWO_SIDED and not letter.on_two_sides(ring, bridges)
            for ring in column.rings
        )
        if (rank := (once, _cost(bridges))) < least:
            best, least = bridges, rank
    return best


def _chosen(column: Column, candidates: Sequence[Bridge]) -> list[Bridge] | None:
    """The cheapest bridges that tie a column, wide holes on two sides; None if none do."""
    letter = column.letter
    part = {ring: ring if ring in column.rings else 0 for ring in (*column.rings, *column.held)}
    chosen: list[Bridge] = []
    for bridge in candidates:
        a, b = (part[ring] for ring in bridge.rings)
        if a != b:
            chosen.append(bridge)
            part = {ring: min(a, b) if of in (a, b) else of for ring, of in part.items()}
    if any(part.values()):
        return None
    for ring in column.rings:
        size = letter.size(ring)
        if size > _MAYBE_TWO_SIDED and not letter.on_two_sides(ring, chosen):
            others = (b for b in candidates if ring in b.rings and not b.over_bay)
            own = [bridge for bridge in chosen if ring in bridge.rings]
            more = next((b for b in others if letter.is_another_side(ring, b, own)), None)
            most = _AS_MUCH * min(bridge.cost_elsewhere for bridge in own)
            if more and (
                size > _TWO_SIDED
                or (more.cost_elsewhere <= most and any(map(more.is_in_line, own)))
            ):
                chosen.append(more)
    return chosen


def _cost(bridges: Iterable[Bridge]) -> float:
    return sum(bridge.cost for bridge in bridges)


def _worth(bridge: Bridge) -> tuple[float, float]:
    """What to sort candidates by: the cheapest first; of equals, the lower."""
    return round(bridge.cost, 3), bridge.low
