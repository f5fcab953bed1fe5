"""Fit a legend to its room: break it in lines, narrow it, or set it smaller.

The remedies come in a fixed order: two balanced lines, or three, then narrower letters, then
smaller ones, down to the least that can be read; of a row all are made smaller alike. What still
does not fit is set at its smallest and reported with the shortfall.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Final, Literal

from legend.layout.names.line_breaks import balanced
from legend.length_words import Lengths
from legend.lettering.faces.face import TextStyle
from legend.lettering.typesetting import Setting, set_text
from legend.standards import NARROWEST

#: So many lines a name is broken into before its letters are touched.
_IN_LINES = ((2, "two"), (3, "three"))
#: How often letters are tried between their own width and the narrowest; they seldom take two.
_TRIES = 4
#: Letters are made narrower in steps of so much of the width that a face gives them.
_WIDTH_STEP = 0.001
#: Letters are made smaller in steps of this many mm.
_HEIGHT_STEP = 0.01

#: The width, in mm, that a block of this many lines may take.
Room = Callable[[int], float]
#: The rooms of several texts, when all are set in this style.
Rooms = Callable[[TextStyle], Sequence[Room]]


@dataclass(frozen=True, slots=True)
class Fit:
    """A setting that fits, or the smallest that does not.

    `done` says in words what was done to the legend, "" where nothing was, and `smaller` whether
    it was made smaller besides, by itself, or with what. `short` is how much too wide it still
    is, mm; 0 where it fits.
    """

    setting: Setting
    style: TextStyle
    lines: int
    done: str = ""
    short: float = 0.0
    smaller: Literal["", "alone", "with its row", "with those it matches"] = ""

    def told(self, lengths: Lengths) -> str:
        """All that was done to the legend, in words; "" where nothing was."""
        if not self.smaller:
            return self.done
        row = "" if self.smaller == "alone" else f" {self.smaller}"
        made = f"made {lengths.said(self.style.height, 2)} tall{row}"
        return f"{self.done}, {made}" if self.done else made


def fitted(text: str, style: TextStyle, room: Room, least_height: float) -> Fit:
    """The text set so that its ink is no wider than `room(lines)`."""
    (fit,) = fitted_alike([text], style, lambda _: [room], least_height)
    return fit


def fitted_alike(
    texts: Sequence[str],
    style: TextStyle,
    rooms: Rooms,
    least_height: float,
    most_height: float = math.inf,
) -> list[Fit]:
    """The texts of a row, each set so that its ink is no wider than its room.

    Where one has to be made smaller, all are: letters of one row are of one height. One that
    does not fit even at the least height is set at that, and the others without regard to it.
    None is taller than `most_height`, which those of a row like it have.
    """
    tried = heights(style.height, least_height)
    tried = [height for height in tried[:-1] if height <= most_height] + tried[-1:]
    last = len(tried) - 1

    @cache
    def at(step: int) -> tuple[TextStyle, Sequence[Room]]:
        smaller = replace(style, height=tried[step])
        return smaller, rooms(smaller)

    @cache
    def able(step: int, i: int) -> bool:
        return _may_fit(texts[i], style, tried[step], at(step)[1][i])

    @cache
    def fit(step: int, i: int) -> Fit:
        smaller, free = at(step)
        return _at_one_height(texts[i], smaller, free[i])

    each = range(len(texts))
    hopeless = {i for i in each if not able(0, i) and not able(last, i)}
    others = [i for i in each if i not in hopeless]
    step = 0
    if not all(able(0, i) for i in others):
        step = bisect_left(range(last), True, key=lambda step: all(able(step, i) for i in others))
    while step < last and any(fit(step, i).short for i in others):  # measured, it is one too many
        step += 1
    if not step and not hopeless:
        fits = [fit(0, i) for i in each]
        matching = tried[0] < style.height
        return [replace(fit, smaller=_TO_MATCH) for fit in fits] if matching else fits
    fits = []
    for i in each:
        set_so = fit(last if i in hopeless else step, i)
        if not able(0, i) and set_so.style.height < style.height:
            with_row = len(texts) > 1 and i not in hopeless
            set_so = replace(set_so, smaller="with its row" if with_row else "alone")
        fits.append(set_so)
    return fits


#: Why letters are smaller than those of their role: so are those of a panel that they match.
_TO_MATCH: Final = "with those it matches"


def heights(height: float, least: float) -> list[float]:
    """The heights that are tried, from the one asked for down to the least, mm."""
    steps = math.ceil((height - least) / _HEIGHT_STEP - 1e-9)
    between = [round(height - step * _HEIGHT_STEP, 6) for step in range(1, steps)]
    return [height, *between, min(least, height)]


def _may_fit(text: str, style: TextStyle, height: float, room: Room) -> bool:
    """Whether the text can be made to fit at a height, told from the style at its own.

    Nothing is set for it at that height, which takes long for letters that are cut anew.
    """

    def wide(text: str, style: TextStyle = style) -> float:
        return width_at(text, style, height)

    text, lines, _ = _in_lines(text, style, room, wide)
    narrowest = replace(style, width=NARROWEST * style.width)
    return wide(text) <= room(lines) or wide(text, narrowest) <= room(lines)


def _at_one_height(text: str, style: TextStyle, room: Room) -> Fit:
    """The text as it is, in two lines, in three or narrowed; `short` where that is not enough."""
    text, lines, done = _in_lines(text, style, room, lambda each: ink_width(set_text(each, style)))
    setting = set_text(text, style)
    if ink_width(setting) <= room(lines):
        return Fit(setting, style, lines, done)
    narrow = _narrowed(text, style, room(lines))
    narrowed = f"narrowed to {narrow.width / style.width:.2f} of its width"
    setting = set_text(text, narrow)
    short = max(0.0, ink_width(setting) - room(lines))
    done = f"{done}, {narrowed}" if done else narrowed
    return Fit(setting, narrow, lines, done, short if short > 1e-6 else 0.0)


def _in_lines(
    text: str, style: TextStyle, room: Room, wide: Callable[[str], float]
) -> tuple[str, int, str]:
    """The text in as few lines as fit, or in those that fit best; how many; and that in words.

    `wide` tells the width of a text that is set in lines.
    """
    lines, done, whole = text.count("\n") + 1, "", text
    for more, said in _IN_LINES if lines == 1 else ():
        if wide(text) <= room(lines):
            break
        broken = balanced(whole, style, more)
        if broken.count("\n") + 1 < more:
            break
        if wide(broken) * room(lines) < wide(text) * room(more):  # it fits better
            text, lines, done = broken, more, f"set in {said} lines"
    return text, lines, done


def width_at(text: str, style: TextStyle, height: float) -> float:
    """Width of the ink of a text in a style, but at this capital height, mm.

    Letters are as much wider as they are taller.
    """
    return ink_width(set_text(text, style)) * height / style.height


def ink_width(setting: Setting) -> float:
    """Width of the ink, mm; 0 for no ink."""
    if not setting.outline:
        return 0.0
    x0, _, x1, _ = setting.outline.bounds
    return x1 - x0


def _narrowed(text: str, style: TextStyle, room: float) -> TextStyle:
    """Letters as wide as fit, down to `NARROWEST` of their width.

    Ink narrows nearly in proportion between two widths, but not from nothing: strokes, and the
    spaces between letters, keep their widths.
    """

    def wide(width: float) -> float:
        return ink_width(set_text(text, replace(style, width=width)))

    low, high = NARROWEST * style.width, style.width
    narrowest, widest = wide(low), wide(high)
    for _ in range(_TRIES):
        if narrowest >= room:
            break
        part = (room - narrowest) / (widest - narrowest)
        width = math.floor((low + part * (high - low)) / _WIDTH_STEP) * _WIDTH_STEP
        width = round(max(low, width), 3)
        ink = wide(width)
        if ink <= room:
            return replace(style, width=width)
        high, widest = width, ink
    return replace(style, width=low)
