"""Split pieces that are larger than the stock into parts that fit.

A piece is split along lanes, straight lines from side to side, which `legend.stencil.pieces.lanes`
chooses. Long lines, of frames and rules, are cut through where no other way is left, and a letter
or a graduation only where nothing else would fit the stock; each half ends the least gap short of
the join. The weeding boxes of parts end at the join, so that the trimmed pieces are laid edge to
edge and corner to corner. Join marks, small triangles in the margins to either side of the join,
meet tip to tip when that is done.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from legend.description.tables.description import Stencil
from legend.description.tables.stock import StockLimits
from legend.layout.artwork import Mark
from legend.lettering.outlines.boolean import Combined, from_shape, less
from legend.lettering.outlines.outline import Box, Outline
from legend.limits import MOST_PARTS
from legend.sentences import listed
from legend.stencil.contours import parts
from legend.stencil.pieces.lanes import (
    LINES,
    Harm,
    Harmed,
    Lane,
    Stock,
    cross_lanes,
    harmed_by,
    holds_still,
    lanes,
    letters_and_words,
)
from legend.stencil.pieces.reading_order import reading_order
from legend.stencil.pieces.uncut_piece import UncutPiece
from legend.stencil.pieces.weeding_boxes import BoxSizes
from legend.stencil.sheet import Piece

#: By how much a piece may be larger than the stock without being told to, mm.
SLACK = 0.01

#: How many lanes, that harm nothing, a piece is parted along across before it is parted along, and
#: how many are tried for each.
_MOST_CROSSED, _MOST_TRIED = 2, 8

#: What join marks that meet may be further apart by than they are drawn, mm.
_ROUNDING = 1e-3

#: Join marks: how long and wide the largest and the smallest are, mm. Common practice, no source.
_LARGEST_JOIN, _SMALLEST_JOIN = 3.0, 0.8


def fits(box: Box, stencil: Stencil) -> bool:
    """Whether a box can lie on the stock, within `SLACK`."""
    return min(_over(box, stencil)) <= 0


def _over(box: Box, stencil: Stencil) -> tuple[float, float]:
    """By how much a box is larger than the stock, mm: as it is, and turned if it may be."""
    width, length = (side + SLACK for side in stencil.room)
    w, h = box[2] - box[0], box[3] - box[1]
    turned = max(w - length, h - width) if stencil.turn else np.inf
    return max(w - width, h - length), turned


@dataclass(frozen=True, slots=True)
class Split:
    """The parts of a piece, or the piece alone; the lanes along which it was parted, each with the
    box that it goes across; and what they cut through.
    """

    parts: tuple[UncutPiece, ...]
    lanes: tuple[tuple[Lane, Box], ...] = ()
    harmed: tuple[Harmed, ...] = ()

    @classmethod
    def joined(cls, ways: Sequence[Split], lane: tuple[Lane, Box]) -> Split:
        """What was parted along a lane, and then further."""
        parts_ = tuple(part for way in ways for part in way.parts)
        return cls(parts_, (lane, *(each for way in ways for each in way.lanes)))


def split(piece: UncutPiece, stencil: Stencil, limits: StockLimits, sizes: BoxSizes) -> Split:
    """The piece in as many parts as it takes to fit the stock, as one reads: from the top.

    The parts meet at whole steps of a rule, as the sides of all boxes stand. What cannot be split
    stays as it is; nesting reports it. The parts have the name of the whole.
    """
    if piece.bare or fits(piece.box, stencil):
        return Split((piece,))
    best = _Splitting(stencil, limits, sizes).best(piece, _MOST_CROSSED)
    if not 1 < len(best.parts) <= MOST_PARTS:
        return Split((piece,))
    done = [best.parts[i] for i in reading_order([part.box for part in best.parts])]
    numbered = (
        replace(each, part=(number, len(done)), whole=piece.name, join_marks=join_marks)
        for number, (each, join_marks) in enumerate(
            zip(done, _that_meet(done, limits), strict=True), start=1
        )
    )
    harmed = (each for lane in best.lanes for each in harmed_by(*lane, piece))
    once = {(id(each.mark) if each.word else each.mark.owner, each.word): each for each in harmed}
    return Split(tuple(numbered), best.lanes, tuple(once.values()))


@dataclass(frozen=True, slots=True)
class _Splitting:
    """What pieces are split by."""

    stencil: Stencil
    limits: StockLimits
    sizes: BoxSizes

    def best(self, whole: UncutPiece, crossed: int) -> Split:
        """The best of all ways.

        1. Along one axis and then along the other, as far as it is too large either way.
        2. Where that harms legends, across first, along a lane that harms none: a title that runs
           over several controls comes off as a strip. Of several such lanes the best is taken, and
           its two sides are then parted in the best of all ways, `crossed` lanes deep.
        """
        straight = self._straight(whole)
        if not crossed or not self._is_bad(straight):
            return straight
        ways = []
        for lane in cross_lanes(whole, self._stocks[0], self.limits)[:_MOST_TRIED]:
            pair = _halves(whole, lane, self.limits)
            if len(pair) > 1:
                there = (lane, whole.box)
                ways.append((Split.joined([*map(self._straight, pair)], there), pair, there))
        if not ways:
            return straight
        way, pair, there = min(ways, key=lambda each: self._badness(each[0]))
        if self._is_bad(way):
            way = Split.joined([self.best(half, crossed - 1) for half in pair], there)
        return min(straight, way, key=self._badness)

    @property
    def _stocks(self) -> list[Stock]:
        width, length = self.stencil.room
        rooms = [(width, length), (length, width)] if self.stencil.turn else [(width, length)]
        return [Stock(room, self.stencil.stock == "sheet", self.sizes) for room in rooms]

    def _straight(self, whole: UncutPiece) -> Split:
        if fits(whole.box, self.stencil):
            return Split((whole,))
        orders = ((0, 1), (1, 0))
        ways = [self._parted(whole, axes, stock) for stock in self._stocks for axes in orders]
        return min(ways, key=self._badness)

    def _parted(self, whole: UncutPiece, axes: Sequence[int], stock: Stock) -> Split:
        """All parts parted along one axis, and then those along the other."""
        waiting, along = [whole], []
        for axis in axes:
            done: list[UncutPiece] = []
            for rest in waiting:
                if rest.box[axis + 2] - rest.box[axis] > stock.room[axis] + SLACK:
                    for lane in lanes(rest, axis, stock, self.limits):
                        along.append((lane, rest.box))
                        *before, rest = _halves(rest, lane, self.limits)
                        done += before
                done.append(rest)
            waiting = done
        return Split(tuple(waiting), tuple(along))

    def _is_bad(self, way: Split) -> bool:
        """Whether parts do not fit, or a lane parts what belongs together."""
        too_large = not all(fits(part.box, self.stencil) for part in way.parts)
        return too_large or any(lane.harm > Harm.LINE for lane, _ in way.lanes)

    def _badness(self, way: Split) -> tuple[float, ...]:
        """What is least wanted first: parts that do not fit, harm from the worst on, parts, parts
        of rigid sheet that are free to turn.
        """
        harms = Counter(lane.harm for lane, _ in way.lanes)
        is_sheet = self.stencil.stock == "sheet"
        return (
            sum(not fits(part.box, self.stencil) for part in way.parts),
            *(harms[harm] for harm in reversed(Harm) if harm is not Harm.NOTHING),
            len(way.parts),
            sum(is_sheet and not holds_still(part.registration) for part in way.parts),
        )


def _halves(whole: UncutPiece, lane: Lane, limits: StockLimits) -> list[UncutPiece]:
    """What lies on the two sides of a lane, with marks that join them; or on one, where the other
    is blank.
    """
    join_marks = list(_join_marks(whole, lane.axis, lane.at, limits))
    for marks in (join_marks, []):
        sides = (
            _side(whole, lane.axis, lane.at, marks, is_first, limits) for is_first in (True, False)
        )
        halves = [half for half in sides if half.marks]
        if len(halves) > 1:
            break
    return halves


def _join_marks(whole: UncutPiece, axis: int, at: float, limits: StockLimits) -> Iterator[Outline]:
    """Triangles that point at the join from both sides, in the margins at either end of it."""
    size = min(_LARGEST_JOIN, limits.margin - 2 * limits.gap)
    if size < _SMALLEST_JOIN:
        return
    taken = [mark.outline.shape for mark in whole.marks]
    taken += [mark.shape for mark in _guides(whole)]
    low, high = whole.box[1 - axis], whole.box[3 - axis]
    for middle in (low + limits.margin / 2, high - limits.margin / 2):
        pair = []
        for side in (-1, 1):
            tip, base = at + side * limits.gap, at + side * (limits.gap + size)
            corners = [(tip, middle), (base, middle + size / 2), (base, middle - size / 2)]
            points = np.array(corners if side < 0 else corners[::-1])
            pair.append(Outline.polygon(points[:, ::-1][::-1] if axis else points))
        if all(shapely.distance(mark.shape, taken).min() > limits.gap for mark in pair):
            yield from pair


def _that_meet(parts_: Sequence[UncutPiece], limits: StockLimits) -> Iterator[tuple[Outline, ...]]:
    """The join marks of each part that meet one of another part, tip to tip: not those whose
    other half went with what is blank.
    """
    every = [(index, mark) for index, part in enumerate(parts_) for mark in part.join_marks]
    shapes = np.array([mark.shape for _, mark in every], dtype=object)
    one, other = shapely.STRtree(shapes).query(shapes, "dwithin", 2 * limits.gap + _ROUNDING)
    meet = {
        i for i, j in zip(one.tolist(), other.tolist(), strict=True) if every[i][0] != every[j][0]
    }
    for index in range(len(parts_)):
        yield tuple(mark for k, (of, mark) in enumerate(every) if of == index and k in meet)


def how_joined(pieces: Iterable[Piece], stencil: Stencil) -> str:
    """How those of the pieces are laid that meet at join marks, in words; "" without any."""
    numbers = [str(piece.number) for piece in pieces if piece.join_marks]
    if not numbers:
        return ""
    return (
        f"Pieces {listed(numbers)} meet at join marks: lay them edge to edge, the marks tip to "
        f"tip, and {after_joining(stencil)}."
    )


def after_joining(stencil: Stencil) -> str:
    """What becomes of join marks when the parts are laid, in words."""
    return {
        ("lift-off", "film"): "peel the marks off again before you paint",
        ("paint-through", "film"): "leave the film in the marks as it is",
        ("paint-through", "sheet"): "cover the join and its marks with tape before you paint",
    }[stencil.method, stencil.stock]


def _guides(whole: UncutPiece) -> tuple[Outline, ...]:
    """All that a piece is laid by."""
    return (*whole.registration, *whole.join_marks, *whole.corner_marks)


def _side(
    whole: UncutPiece,
    axis: int,
    at: float,
    join_marks: Sequence[Outline],
    first: bool,
    limits: StockLimits,
) -> UncutPiece:
    """What lies on one side of the line."""
    side = [*whole.box]
    side[axis + 2 if first else axis] = at
    edge = shapely.intersection(whole.edge.shape, shapely.box(*side))
    if not isinstance(edge, shapely.Polygon):  # in two, where a piece with corners was cut
        edge = shapely.box(*edge.bounds)
    marks = tuple(_marks_of_side(whole, axis, at, first, limits))
    return replace(
        whole,
        edge=from_shape(edge),
        marks=marks,
        owners=tuple(owner for owner in whole.owners if any(m.owner == owner for m in marks)),
        registration=tuple(m for m in whole.registration if _is_on(m, axis, at, first)),
        join_marks=tuple(
            mark for mark in (*whole.join_marks, *join_marks) if _is_on(mark, axis, at, first)
        ),
        corner_marks=tuple(m for m in whole.corner_marks if _is_on(m, axis, at, first)),
    )


def _marks_of_side(
    whole: UncutPiece, axis: int, at: float, first: bool, limits: StockLimits
) -> Iterator[Mark]:
    for mark in whole.marks:
        if not _comes_near(mark.outline, axis, at, limits):
            if _is_on(mark.outline, axis, at, first):
                yield mark
        elif mark.role in LINES:
            yield from _half(mark, [mark.outline], axis, at, first, limits)
        else:
            yield from _letters_of_side(mark, axis, at, first, limits)


def _half(
    mark: Mark, shapes: Iterable[Outline], axis: int, at: float, first: bool, limits: StockLimits
) -> Iterator[Mark]:
    """What lies on one side of the line of these shapes of a mark, those that come to it cut."""
    kept, flattened = [], mark.flattened
    for each in shapes:
        if _comes_near(each, axis, at, limits):
            side, newly = _cut_through(each, axis, at, first, limits)
            kept += [part for part in parts(side) if part.area >= limits.stroke**2]  # no slivers
            flattened |= newly
        elif _is_on(each, axis, at, first):
            kept.append(each)
    if outline := Outline.gathered(kept):
        yield replace(mark, outline=outline, setting=None, flattened=flattened)


def _letters_of_side(
    mark: Mark, axis: int, at: float, first: bool, limits: StockLimits
) -> Iterator[Mark]:
    """What a text says on one side of the line, as a text of its own."""
    pieces = list(parts(mark.outline))
    is_cut = any(_comes_near(part, axis, at, limits) for part in pieces)
    if is_cut or not mark.setting or axis:
        yield from _half(mark, pieces, axis, at, first, limits)
        return
    kept = Outline.gathered(part for part in pieces if _is_on(part, axis, at, first))
    if not kept:
        return
    shift = mark.outline.bounds[0] - mark.setting.outline.bounds[0]
    letters = tuple(
        letter
        for letter in mark.setting.letters
        if not letter.outline or _is_on(letter.outline, 0, at - shift, first)
    )
    ink = Outline.gathered(letter.outline for letter in letters if letter.outline)
    text = "".join(
        " " * begins + letter.text
        for letter, begins in letters_and_words(mark.setting.letters, mark.text)
        if any(letter is each for each in letters)
    ).strip()
    text = mark.text if "\n" in mark.text else text
    setting = replace(mark.setting, text=text, outline=ink, letters=letters)
    yield replace(mark, outline=kept, text=text, setting=setting)


def _is_on(outline: Outline, axis: int, at: float, first: bool) -> bool:
    """Whether the middle of a shape lies on one side of the line."""
    bounds = outline.bounds
    return ((bounds[axis] + bounds[axis + 2]) / 2 < at) == first


def _comes_near(outline: Outline, axis: int, at: float, limits: StockLimits) -> bool:
    """Whether a shape comes nearer to the line than the least gap, or runs across it."""
    near, bounds = limits.gap - SLACK, outline.bounds
    return bounds[axis] < at + near and at - near < bounds[axis + 2]


def _cut_through(
    outline: Outline, axis: int, at: float, first: bool, limits: StockLimits
) -> Combined:
    """One side of a line that runs across the join, the least gap short of it."""
    beyond = list(shapely.box(*outline.bounds).buffer(1, join_style="mitre").bounds)
    beyond[axis if first else axis + 2] = at - limits.gap if first else at + limits.gap
    return less(outline, [Outline.rectangle(*beyond)])
