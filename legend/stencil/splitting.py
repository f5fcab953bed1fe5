"""Split pieces that are larger than the stock into parts that fit.

A piece is split along a straight line from side to side that runs between the legends of one
control, or one group, and of the next; where there is none, between two legends, and at the
worst between the letters of one. Only long lines, of frames and rules, are cut through, where
no other way is left; each half of them ends the least gap short of the join. The halves of a
piece are equally high, or wide, and their weeding boxes end at the join, so that the trimmed
pieces are laid edge to edge and corner to corner. Join marks, small triangles in the margins to
either side of the join, meet tip to tip when that is done.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

import numpy as np
import shapely

from legend.description.tables.description import Stencil
from legend.description.tables.stock import StockLimits
from legend.layout.artwork import Mark, Role
from legend.lettering.outlines.boolean import Combined, from_shape, less
from legend.lettering.outlines.outline import Box, Outline, box_round
from legend.limits import MOST_PARTS
from legend.stencil.contours import parts
from legend.stencil.uncut_piece import UncutPiece
from legend.stencil.weeding_boxes import BoxSizes

#: By how much a piece may be larger than the stock without being told to, mm.
SLACK = 0.01

#: The part of the stock that every half but the last must take up, so that splits are few.
_LEAST_HALF = 0.3

#: Gaps of this part of the widest are about as wide as it.
_ABOUT_AS_WIDE = 0.8

#: Join marks: how long and wide the largest and the smallest are, mm. Common practice, no source.
_LARGEST_JOIN, _SMALLEST_JOIN = 3.0, 0.8


#: Marks of these roles may be cut through.
_LINES = (Role.FRAME, Role.RULE)


def fits(box: Box, stencil: Stencil) -> bool:
    """Whether a box can lie on the stock, within `SLACK`."""
    return min(_over(box, stencil)) <= 0


def _over(box: Box, stencil: Stencil) -> tuple[float, float]:
    """By how much a box is larger than the stock, mm: as it is, and turned if it may be."""
    width, length = (side + SLACK for side in stencil.stock_size)
    w, h = box[2] - box[0], box[3] - box[1]
    turned = max(w - length, h - width) if stencil.turn else np.inf
    return max(w - width, h - length), turned


def split(
    piece: UncutPiece, stencil: Stencil, limits: StockLimits, sizes: BoxSizes
) -> list[UncutPiece]:
    """The piece in as many parts as it takes to fit the stock, as one reads: from the top.

    The parts meet at whole steps of a rule, as the sides of all boxes stand. What cannot be split
    stays as it is; nesting reports it. The parts have the name of the whole.
    """
    if piece.bare or fits(piece.box, stencil):
        return [piece]
    waiting = [piece]
    done: list[UncutPiece] = []
    while waiting and len(done) < MOST_PARTS:
        whole = waiting.pop()
        halves = None if fits(whole.box, stencil) else _halved(whole, stencil, limits, sizes)
        if halves is None:
            done.append(whole)
        else:
            waiting += reversed(halves)
    done = sorted(done + waiting, key=lambda part: (-part.box[3], part.box[0]))
    count = len(done)
    if count == 1:
        return done
    return [
        replace(each, part=(number, count), whole=piece.name)
        for number, each in enumerate(done, start=1)
    ]


def _halved(
    whole: UncutPiece, stencil: Stencil, limits: StockLimits, sizes: BoxSizes
) -> tuple[UncutPiece, UncutPiece] | None:
    """The first part that fits the stock and the rest, or None where no line runs clear."""
    upright, turned = _over(whole.box, stencil)
    room = stencil.stock_size if upright <= turned else stencil.stock_size[::-1]
    over = [whole.box[axis + 2] - whole.box[axis] - room[axis] for axis in (0, 1)]
    for solid in (_by_line(whole), _by_control(whole), _by_legend(whole), _by_letter(whole)):
        for axis in sorted((0, 1), key=lambda axis: -over[axis]):
            if over[axis] <= SLACK:
                continue
            at = _clear_line(whole, solid, axis, room[axis], limits, sizes)
            if at is not None:
                marks = list(_join_marks(whole, axis, at, limits))
                first, second = (_side(whole, axis, at, marks, k, limits) for k in (True, False))
                if first.marks and second.marks:
                    return first, second
    return None


def _legends(whole: UncutPiece) -> Iterator[Mark]:
    """What is not cut through: all but long lines."""
    return (mark for mark in whole.marks if mark.role not in _LINES)


def _by_line(whole: UncutPiece) -> list[Box]:
    """The boxes round what belongs to one control, or one group, each, its lines as well."""
    return _belonging(whole.marks)


def _by_control(whole: UncutPiece) -> list[Box]:
    """The boxes round what belongs to one control each, and round what belongs to none."""
    return _belonging(_legends(whole))


def _belonging(marks: Iterable[Mark]) -> list[Box]:
    boxes: dict[object, list[Box]] = {}
    for mark in marks:
        belongs = mark.owner or (mark if mark.group is None else mark.group)
        boxes.setdefault(belongs, []).append(mark.outline.bounds)
    return [box_round(each) for each in boxes.values()]


def _by_legend(whole: UncutPiece) -> list[Box]:
    return [mark.outline.bounds for mark in _legends(whole)]


def _by_letter(whole: UncutPiece) -> list[Box]:
    return [part.bounds for mark in _legends(whole) for part in parts(mark.outline)]


def _clear_line(
    whole: UncutPiece,
    solid: Sequence[Box],
    axis: int,
    room: float,
    limits: StockLimits,
    sizes: BoxSizes,
) -> float | None:
    """Where a line across the axis runs clear of what is solid.

    1. Where it makes no more parts than there must be; if no line does, anywhere.
    2. There at a whole step of a rule, unless every gap lies between two steps.
    3. There in the widest gap, as between groups of controls or between words.
    4. Of several that are about as wide, the last, so that this part is as large as it can be.
    """
    begin, end = whole.box[axis], whole.box[axis + 2]
    spans = sorted(
        (bounds[axis], bounds[axis + 2])
        for bounds in (*solid, *(mark.bounds for mark in _guides(whole)))
    )
    ink = [mark.outline.bounds for mark in whole.marks]
    # There must be marks on both sides, and more than the stump of a line.
    inside = limits.margin + limits.gap
    nearest = max(begin + _LEAST_HALF * room, min(bounds[axis] for bounds in ink) + inside)
    furthest = min(begin + room, max(bounds[axis + 2] for bounds in ink) - inside)
    found: list[tuple[float, float]] = []
    off_step: list[tuple[float, float]] = []
    reached = begin
    for low, high in [*spans, (end, end)]:
        first, last = max(reached + limits.gap, nearest), min(low - limits.gap, furthest)
        if first <= last:
            middle = min(max((reached + low) / 2, first), last)
            at = _on_step(middle, first, last, sizes, axis)
            if at is None:
                off_step.append((last - first, middle))
            else:
                found.append((last - first, at))
        reached = max(reached, high)
    most_left = (math.ceil((end - begin) / room) - 1) * room
    for such in (found, off_step):
        enough = [(gap, at) for gap, at in such if end - at <= most_left]
        if enough:
            break
    found = enough or found or off_step
    wide = max((gap for gap, _ in found), default=0.0) * _ABOUT_AS_WIDE
    return max((at for gap, at in found if gap >= wide), default=None)


def _on_step(middle: float, first: float, last: float, sizes: BoxSizes, axis: int) -> float | None:
    """The whole step of a rule between two places that is nearest to their middle, if any is."""
    step, origin = sizes.step, sizes.origin[axis]
    low, high = math.ceil((first - origin) / step), math.floor((last - origin) / step)
    if low > high:
        return None
    return min(max(round((middle - origin) / step), low), high) * step + origin


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


def _guides(whole: UncutPiece) -> tuple[Outline, ...]:
    """All that a piece is laid by."""
    return (*whole.registration, *whole.corner_marks)


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
        registration=tuple(
            mark for mark in (*whole.registration, *join_marks) if _is_on(mark, axis, at, first)
        ),
        corner_marks=tuple(m for m in whole.corner_marks if _is_on(m, axis, at, first)),
    )


def _marks_of_side(
    whole: UncutPiece, axis: int, at: float, first: bool, limits: StockLimits
) -> Iterator[Mark]:
    for mark in whole.marks:
        flattened = mark.flattened
        bounds = mark.outline.bounds
        if not bounds[axis] < at < bounds[axis + 2]:
            kept = mark.outline if _is_on(mark.outline, axis, at, first) else Outline(())
        elif mark.role in _LINES:
            kept, newly = _cut_through(mark.outline, axis, at, first, limits)
            flattened |= newly
        else:
            yield from _letters_of_side(mark, axis, at, first)
            continue
        if kept is mark.outline:
            yield mark
        elif kept:
            yield replace(mark, outline=kept, setting=None, flattened=flattened)


def _letters_of_side(mark: Mark, axis: int, at: float, first: bool) -> Iterator[Mark]:
    """What a text says on one side of the line, as a text of its own."""
    kept = Outline.gathered(p for p in parts(mark.outline) if _is_on(p, axis, at, first))
    if not kept:
        return
    if not mark.setting or axis:
        yield replace(mark, outline=kept, setting=None)
        return
    shift = mark.outline.bounds[0] - mark.setting.outline.bounds[0]
    letters = tuple(
        letter
        for letter in mark.setting.letters
        if not letter.outline or _is_on(letter.outline, 0, at - shift, first)
    )
    ink = Outline.gathered(letter.outline for letter in letters if letter.outline)
    text = "".join(letter.text for letter in letters).strip()
    text = mark.text if "\n" in mark.text else text
    setting = replace(mark.setting, text=text, outline=ink, letters=letters)
    yield replace(mark, outline=kept, text=text, setting=setting)


def _is_on(outline: Outline, axis: int, at: float, first: bool) -> bool:
    """Whether the middle of a shape lies on one side of the line."""
    bounds = outline.bounds
    return ((bounds[axis] + bounds[axis + 2]) / 2 < at) == first


def _cut_through(
    outline: Outline, axis: int, at: float, first: bool, limits: StockLimits
) -> Combined:
    """One side of a line that runs across the join, the least gap short of it."""
    beyond = list(shapely.box(*outline.bounds).buffer(1, join_style="mitre").bounds)
    beyond[axis if first else axis + 2] = at - limits.gap if first else at + limits.gap
    return less(outline, [Outline.rectangle(*beyond)])
