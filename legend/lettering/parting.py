"""Part the letters of a line that stand nearer to each other than a stock carries.

A face spaces its letters for the eye, and lets the slopes of a V and a Y all but meet. Each pair
that is too near is opened by itself, as far as it takes, so that all others stay as the face has
them. Letters that touch are one piece of stock, and stay so.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

from legend.lettering.faces.face import Letter
from legend.lettering.outlines.measuring import LET_PASS
from legend.lettering.outlines.outline import Outline

#: A letter is looked at beside so many of those before it: a narrow one may stand under the arm of
#: the last but one.
_BEFORE = 2
#: Letters are moved so often at most, by what they lack, which for two slopes is never quite enough
#: at once; and no further than so many times the gap: what is nearer even so is not beside it.
_TIMES, _FURTHEST = 40, 3.0


def parted(letters: Sequence[Letter], least: float) -> tuple[Letter, ...]:
    """The letters of a line from left to right, neighbours at least so many mm apart."""
    placed: list[Letter] = []
    before: list[Outline] = []
    shift = 0.0
    for letter in letters:
        here = letter.moved(shift, 0.0) if shift else letter
        if here.outline:
            more = 0.0 if _is_mark(here) else _lacking(here.outline, before[-_BEFORE:], least)
            if more:
                shift += more
                here = letter.moved(shift, 0.0)
            before.append(here.outline)
        placed.append(here)
    return tuple(placed)


def _lacking(outline: Outline, before: Sequence[Outline], least: float) -> float:
    """How far a letter must be moved to the right to stand clear of those before it, mm."""
    left = outline.bounds[0]
    near = [other for other in before if left - other.bounds[2] < least]
    apart = [other.shape.distance(outline.shape) for other in near]
    near = [other for other, d in zip(near, apart, strict=True) if 0 < d < least * LET_PASS]
    if not near:
        return 0.0
    moved = 0.0
    for _ in range(_TIMES):
        shape = outline.moved(moved, 0.0).shape
        lacking = least - min(other.shape.distance(shape) for other in near)
        if lacking <= least * (1 - LET_PASS) / 2:
            return moved
        moved += lacking
        if moved > _FURTHEST * least:
            break
    return 0.0


def _is_mark(letter: Letter) -> bool:
    """Whether it is a mark on the letter before it, which stands where the face has it."""
    return not letter.text or all(map(unicodedata.combining, letter.text))
