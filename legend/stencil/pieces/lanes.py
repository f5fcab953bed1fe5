"""Choose where to part a piece that is larger than the stock: a piece in, lanes out.

A lane is a straight line from side to side of a piece that runs clear of what is on it. What it
does to the legends is its `Harm`: best is none, where it runs between those of one control, or
group, and of the next. Lanes are chosen together, along one axis, so that

1. as little harm is done as can be: no word is cut through where any other way is left, and so on;
2. there are as few parts as can be;
3. each part of rigid sheet has two holes to be pinned by, or one that is not round;
4. the lanes are wide, and
5. the parts of rigid sheet alike; of film, the first ones large.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import IntEnum
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from legend.description.tables.stock import StockLimits
from legend.layout.artwork import Mark, Role
from legend.lettering.faces.face import Letter
from legend.lettering.outlines.outline import Box, Outline, box_round
from legend.stencil.contours import parts
from legend.stencil.pieces.uncut_piece import UncutPiece
from legend.stencil.pieces.weeding_boxes import BoxSizes
from legend.stencil.sheet import Cut, Piece

#: Marks of these roles may be cut through.
LINES = (Role.FRAME, Role.RULE)
#: Gaps that are wider by less than this factor are about as wide.
_WIDER = 1.25
#: A shape that fills its circle but for so small a part is one.
_ROUND = 0.01
#: What it costs to leave out what is blank, in parts.
_BLANK = 0.5
#: So many round holes pin a part, so that it does not turn.
_ENOUGH_TO_PIN = 2


class Harm(IntEnum):
    """What a lane runs through, the worst last."""

    NOTHING = 0
    LINE = 1
    WORDS = 2
    """Between two words of a title or another text that belongs to no control."""
    CONTROL = 3
    """Between the legends of one control: the marks of a scale, its name, its positions."""
    WORD = 4
    """Between two letters of a word."""
    GRADUATION = 5
    """Through graduations, or what else is no letter."""
    LETTER = 6
    """Through a letter."""


@dataclass(frozen=True, slots=True)
class Lane:
    """A line across an axis (0: upright, 1: level): where it stands, mm, what it harms, how wide
    the gap is that it runs in, whether in the middle of that, and whether on a step of a rule.
    """

    axis: int
    at: float
    harm: Harm
    width: float
    is_middle: bool = False
    is_on_step: bool = True


@dataclass(frozen=True, slots=True)
class Stock:
    """What a part may measure, mm, across and up; whether it is to be pinned by holes; and how
    boxes are drawn, on whose steps lanes stand, and which leave legends the least stock.
    """

    room: tuple[float, float]
    pinned: bool
    sizes: BoxSizes


def lanes(whole: UncutPiece, axis: int, stock: Stock, limits: StockLimits) -> list[Lane]:
    """The best lanes across an axis, so that every part has room on the stock; none where no
    lane makes that any better.
    """
    chosen: list[Lane] = []
    for worst in Harm:
        chosen, fits = _chosen(whole, axis, stock, limits, worst)
        if fits:
            break
    return chosen


def cross_lanes(whole: UncutPiece, stock: Stock, limits: StockLimits) -> list[Lane]:
    """Lanes either way that do no harm to legends, the widest first, one in each gap."""
    found = []
    for axis in (0, 1):
        widest: dict[float, Lane] = {}
        for lane in _every_lane(whole, axis, stock, limits, Harm.LINE):
            if lane.is_middle:
                widest.setdefault(lane.width, lane)
        sides = _Sides(whole, axis, stock, limits)
        begin, end = whole.box[axis], whole.box[axis + 2]
        found += [
            lane
            for lane in widest.values()
            if sides.are_parts(begin, lane.at) and sides.are_parts(lane.at, end)
        ]
    return sorted(found, key=lambda lane: (lane.harm, -lane.width))


def is_round(shape: Outline) -> bool:
    """Whether a hole is a circle, about which a part that it alone pins would turn."""
    x0, y0, x1, y1 = shape.bounds
    full = math.pi / 4 * (x1 - x0) * (y1 - y0)
    return abs((x1 - x0) - (y1 - y0)) < _ROUND * (x1 - x0) and abs(shape.area / full - 1) < _ROUND


def holds_still(holes: Sequence[Outline]) -> bool:
    """Whether a part of rigid sheet that is pinned by these holes can neither slide nor turn."""
    return len(holes) >= _ENOUGH_TO_PIN or any(not is_round(hole) for hole in holes)


def can_turn(piece: Piece) -> bool:
    """Whether a piece of rigid sheet can slide or turn when it is pinned by its own holes."""
    joins = {mark.bounds for mark in piece.join_marks}
    cuts = [path.outline for path in piece.paths if path.cut is Cut.REGISTRATION]
    return not holds_still([cut for cut in cuts if cut.bounds not in joins])


# --- What lanes cut through ---


@dataclass(frozen=True, slots=True)
class Harmed:
    """A word that is cut through, or else a control whose legends are parted; where, mm."""

    mark: Mark
    word: str
    place: tuple[float, float]


def harmed_by(lane: Lane, within: Box, whole: UncutPiece) -> list[Harmed]:
    """The words of a piece that a lane cuts through, which goes across a box; or else the controls
    whose legends it parts, each by one of its marks.
    """
    axis, at = lane.axis, lane.at

    def place(box: Box) -> tuple[float, float] | None:
        """Where a box is crossed, if it is."""
        middle = [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2]
        middle[axis] = at
        inside = within[1 - axis] < middle[1 - axis] < within[3 - axis]
        return (middle[0], middle[1]) if box[axis] < at < box[axis + 2] and inside else None

    if lane.harm >= Harm.WORD:
        legends = [mark for mark in whole.marks if mark.role not in LINES]
        found = [(mark, *each) for mark in legends for each in _words_of(mark)]
    elif lane.harm is Harm.CONTROL:
        of: dict[str, list[Mark]] = {}
        for mark in whole.marks:
            if mark.owner:
                of.setdefault(mark.owner, []).append(mark)
        boxes = [(marks[0], [mark.outline.bounds for mark in marks]) for marks in of.values()]
        found = [(mark, "", box_round(each)) for mark, each in boxes]
    else:
        return []
    return [Harmed(mark, word, spot) for mark, word, box in found if (spot := place(box))]


# --- Lanes ---


def _every_lane(
    whole: UncutPiece, axis: int, stock: Stock, limits: StockLimits, worst: Harm
) -> list[Lane]:
    """Lanes across an axis with no more harm than this, in order: the middle of each gap, its
    ends, and wherever in it a part would just fit the stock; on whole steps of a rule, where the
    gap has any.
    """
    begin, end = whole.box[axis], whole.box[axis + 2]
    room = stock.room[axis]
    fitting = np.arange(1, math.ceil((end - begin) / room) + 1) * room
    just_fits = np.concatenate([begin + fitting, end - fitting])
    keep = stock.sizes.least if worst <= Harm.LINE else limits.gap
    found: dict[float, Lane] = {}
    guides = [mark.bounds for mark in (*whole.registration, *whole.join_marks, *whole.corner_marks)]
    for harm in list(Harm)[: worst + 1]:
        for low, high in _gaps([*_solid(whole, harm, axis, room), *guides], axis, begin, end):
            first, last = low + keep, high - keep
            if first > last:
                continue
            within = just_fits[(just_fits > first) & (just_fits < last)]
            steps = _steps_in(first, last, axis, stock.sizes)
            wanted = np.array([first, last, *within])
            is_on_step = len(steps) > 0
            if is_on_step:
                by = np.abs(steps[:, None] - wanted).min(axis=1) < stock.sizes.step
                wanted = steps[by]
            else:
                steps = np.array([(low + high) / 2])
            best = float(steps[np.abs(steps - (low + high) / 2).argmin()])
            for at in {best, *wanted.tolist()}:
                lane = Lane(axis, at, harm, last - first, at == best, is_on_step)
                found.setdefault(round(at, 6), lane)
    return [found[at] for at in sorted(found)]


def _steps_in(first: float, last: float, axis: int, sizes: BoxSizes) -> NDArray[np.float64]:
    """The whole steps of a rule between two places."""
    step, origin = sizes.step, sizes.origin[axis]
    low, high = math.ceil((first - origin) / step), math.floor((last - origin) / step)
    steps: NDArray[np.float64] = np.arange(low, high + 1, dtype=float) * step + origin
    return steps


def _gaps(
    solid: Iterable[Box], axis: int, begin: float, end: float
) -> Iterator[tuple[float, float]]:
    """What boxes leave free between them along an axis."""
    reached = begin
    for low, high in [*sorted((box[axis], box[axis + 2]) for box in solid), (end, end)]:
        if low > reached:
            yield reached, low
        reached = max(reached, high)


def _solid(whole: UncutPiece, harm: Harm, axis: int, room: float) -> list[Box]:
    """The boxes that a lane across an axis keeps clear of which does no more harm than this.

    A letter that has no room on the stock by itself is not cut through, but told as too large.
    """
    legends = [mark for mark in whole.marks if mark.role not in LINES]
    if harm is Harm.NOTHING:
        return _belonging(whole.marks)
    if harm is Harm.LINE:
        return _belonging(legends)
    if harm is Harm.WORDS:
        loose = [box for mark in legends if not mark.owner for _, box in _words_of(mark)]
        return [*_belonging(mark for mark in legends if mark.owner), *loose]
    if harm is Harm.CONTROL:
        return [box for mark in legends for _, box in _words_of(mark)]
    letters = [box for mark in legends for box in _letters_of(mark)]
    if harm is Harm.WORD:
        return letters
    too_large = [box for box in letters if box[axis + 2] - box[axis] > room]
    if harm is Harm.GRADUATION:
        return [*too_large, *(each.outline.bounds for mark in legends for each in mark.letters)]
    return too_large


def _belonging(marks: Iterable[Mark]) -> list[Box]:
    """The boxes round what belongs to one control, or one group, each."""
    boxes: dict[object, list[Box]] = {}
    for mark in marks:
        belongs = mark.owner or (mark if mark.group is None else mark.group)
        boxes.setdefault(belongs, []).append(mark.outline.bounds)
    return [box_round(each) for each in boxes.values()]


def _words_of(mark: Mark) -> list[tuple[str, Box]]:
    """The words of a text, with the boxes round them; of what is no text, the one round it."""
    words: list[list[Letter]] = []
    for letter, begins in letters_and_words(mark.letters, mark.text):
        if begins:
            words.append([])
        words[-1].append(letter)
    if not words:
        return [(mark.text, mark.outline.bounds)]
    return [
        ("".join(letter.text for letter in word), box_round([each.outline.bounds for each in word]))
        for word in words
    ]


def letters_and_words(letters: Iterable[Letter], text: str) -> Iterator[tuple[Letter, bool]]:
    """The letters of a text that have ink, and of each whether a word begins with it."""
    begins = True
    for letter in letters:
        if letter.outline:
            begins = begins or text[:1].isspace()
            text = text.lstrip().removeprefix(letter.text)
            yield letter, begins
            begins = False


def _letters_of(mark: Mark) -> list[Box]:
    letters = [letter.outline.bounds for letter in mark.letters]
    return letters or [part.bounds for part in parts(mark.outline)]


# --- The best of them together ---

#: What is least wanted first: parts that do not fit, lanes by their harm from the worst on, parts,
#: lanes off the steps of a rule, parts that are not pinned, narrow lanes, lanes off the middle,
#: parts unlike each other, and first parts that are small.
_Cost = tuple[float, ...]

_HARMS = [harm for harm in reversed(Harm) if harm is not Harm.NOTHING]
_NO_HARM = [0.0 for _ in _HARMS]


def _chosen(
    whole: UncutPiece, axis: int, stock: Stock, limits: StockLimits, worst: Harm
) -> tuple[list[Lane], bool]:
    """The best lanes with no more harm than this, and whether every part between them fits.

    From lane to lane the best way to reach each is found from the best ways to those before it.
    """
    begin, end = whole.box[axis], whole.box[axis + 2]
    every = _every_lane(whole, axis, stock, limits, worst)
    last = Lane(axis, end, Harm.NOTHING, 0.0)
    nodes = [Lane(axis, begin, Harm.NOTHING, 0.0), *every, last]
    sides = _Sides(whole, axis, stock, limits)
    best: list[tuple[_Cost, int]] = [((), -1)]
    for index, lane in enumerate(nodes[1:], start=1):
        ways = [
            (_added(best[k][0], sides.cost(nodes[k].at, lane.at), _of_lane(lane, last)), k)
            for k in range(index)
            if best[k][1] >= 0 or k == 0
            if sides.are_parts(nodes[k].at, lane.at) or sides.is_blank(nodes[k].at, lane.at)
        ]
        best.append(min(ways, default=((), -1)))
    chosen: list[Lane] = []
    at = len(nodes) - 1
    while (at := best[at][1]) > 0:
        chosen.insert(0, nodes[at])
    places = [begin, *(lane.at for lane in chosen), end]
    fits = all(b - a <= stock.room[axis] + 1e-6 for a, b in pairwise(places))
    return chosen, fits


def _added(*costs: _Cost) -> _Cost:
    return tuple(map(sum, zip(*(cost for cost in costs if cost), strict=True)))


def _of_lane(lane: Lane, last: Lane) -> _Cost:
    """What a lane costs; the end of the piece is none."""
    if lane is last:
        return ()
    harms = [float(lane.harm is harm) for harm in _HARMS]
    wide = math.floor(math.log(lane.width + 1e-6) / math.log(_WIDER))
    off = float(not lane.is_on_step), float(not lane.is_middle)
    return (0.0, *harms, 0.0, off[0], 0.0, -float(wide), off[1], 0.0, -lane.at)


class _Sides:
    """What is on a piece between two lanes."""

    def __init__(self, whole: UncutPiece, axis: int, stock: Stock, limits: StockLimits) -> None:
        inked = np.array([mark.outline.bounds for mark in whole.marks])
        self._low, self._high = inked[:, axis], inked[:, axis + 2]
        self._stump = limits.margin + limits.gap
        self._room = stock.room[axis]
        self._holes = [(hole, hole.bounds[axis]) for hole in whole.registration]
        self._pinned = stock.pinned

    def are_parts(self, begin: float, end: float) -> bool:
        """Whether there are marks between two lanes, and more than the stump of a line."""
        inside = np.minimum(self._high, end) - np.maximum(self._low, begin)
        whole = (self._low >= begin) & (self._high <= end)
        return bool((whole | (inside > self._stump)).any())

    def is_blank(self, begin: float, end: float) -> bool:
        """Whether there is nothing at all between two lanes, so that it is left out."""
        marked = bool(((self._low < end) & (self._high > begin)).any())
        return not marked and not any(begin < low < end for _, low in self._holes)

    def cost(self, begin: float, end: float) -> _Cost:
        """What the part between two lanes costs."""
        if self.is_blank(begin, end):
            return (0.0, *_NO_HARM, _BLANK, *[0.0] * 6)
        too_large = end - begin > self._room + 1e-6
        holes = [hole for hole, low in self._holes if begin < low < end] if self._pinned else []
        turns = self._pinned and not holds_still(holes)
        # Of film, parts of many sizes nest as well, and large ones are fewer to lay.
        unlike = round(((end - begin) / self._room) ** 2, 1) if self._pinned else 0.0
        return (float(too_large), *_NO_HARM, 1.0, 0.0, float(turns), 0.0, 0.0, unlike, 0.0)
