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
#: How often letters are tried narrower until they fit; they seldom take two.
_TRIES = 4
#: Taken off each time, so that rounding leaves no letter too wide.
_TO_SPARE = 0.005
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

    @cache
    def at(step: int) -> list[Fit]:
        smaller = replace(style, height=tried[step])
        every = zip(texts, rooms(smaller), strict=True)
        return [_at_one_height(text, smaller, room) for text, room in every]

    if not any(fit.short for fit in at(0)):
        matching = at(0)[0].style.height < style.height
        return [replace(fit, smaller=_TO_MATCH) for fit in at(0)] if matching else at(0)
    hopeless = {i for i, fit in enumerate(at(len(tried) - 1)) if fit.short}
    step = bisect_left(
        range(len(tried) - 1),
        True,
        key=lambda step: not any(fit.short for i, fit in enumerate(at(step)) if i not in hopeless),
    )
    fits = []
    for i in range(len(texts)):
        fit = at(len(tried) - 1 if i in hopeless else step)[i]
        if at(0)[i].short and fit.style.height < style.height:
            with_row = len(texts) > 1 and i not in hopeless
            fit = replace(fit, smaller="with its row" if with_row else "alone")
        fits.append(fit)
    return fits


#: Why letters are smaller than those of their role: so are those of a panel that they match.
_TO_MATCH: Final = "with those it matches"


def heights(height: float, least: float) -> list[float]:
    """The heights that are tried, from the one asked for down to the least, mm."""
    steps = math.ceil((height - least) / _HEIGHT_STEP - 1e-9)
    between = [round(height - step * _HEIGHT_STEP, 6) for step in range(1, steps)]
    return [height, *between, min(least, height)]


def _at_one_height(text: str, style: TextStyle, room: Room) -> Fit:
    """The text as it is, in two lines, in three or narrowed; `short` where that is not enough."""
    setting = set_text(text, style)
    lines = text.count("\n") + 1
    if ink_width(setting) <= room(lines):
        return Fit(setting, style, lines)
    done = []
    whole = text
    for more, said in _IN_LINES if lines == 1 else ():
        broken = balanced(whole, style, more)
        if broken.count("\n") + 1 < more:
            break
        wide = ink_width(set_text(broken, style))
        if wide * room(lines) < ink_width(set_text(text, style)) * room(more):  # it fits better
            text, lines = broken, more
            done = [f"set in {said} lines"]
            if wide <= room(lines):
                return Fit(set_text(text, style), style, lines, done[0])
    narrow = _narrowed(text, style, room(lines))
    done.append(f"narrowed to {narrow.width / style.width:.2f} of its width")
    setting = set_text(text, narrow)
    short = max(0.0, ink_width(setting) - room(lines))
    return Fit(setting, narrow, lines, ", ".join(done), short if short > 1e-6 else 0.0)


def ink_width(setting: Setting) -> float:
    """Width of the ink, mm; 0 for no ink."""
    if not setting.outline:
        return 0.0
    x0, _, x1, _ = setting.outline.bounds
    return x1 - x0


def _narrowed(text: str, style: TextStyle, room: float) -> TextStyle:
    """Letters narrower by no more than `NARROWEST`; strokes keep their width, so it takes steps."""
    least = NARROWEST * style.width
    for _ in range(_TRIES):
        wide = ink_width(set_text(text, style))
        if wide <= room or style.width <= least:
            break
        width = max(least, style.width * room / wide - _TO_SPARE)
        style = replace(style, width=round(width, 3))
    return style
