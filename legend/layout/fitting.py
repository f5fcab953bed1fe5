"""Making a legend fit its room: words, a style and a room in, a setting and what was done out.

The remedies come in a fixed order: two balanced lines, then narrower letters, then smaller
ones, down to the least that can be read. What still does not fit is set at its smallest and
reported with the shortfall.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

from legend.lettering.face import TextStyle
from legend.lettering.typesetting import Setting, set_text
from legend.standards import NARROWEST

#: How often letters are tried narrower, or smaller, until they fit; they seldom take two.
_TRIES = 4
#: Taken off each time, so that rounding leaves no letter too wide: of a width, or mm of a height.
_TO_SPARE = 0.005

#: The width, in mm, that a block of this many lines may take.
Room = Callable[[int], float]


class Fit(NamedTuple):
    """A setting that fits, or the smallest that does not.

    `done` says in words what was done to the legend, "" where nothing was. `short` is how
    much too wide it still is, mm; 0 where it fits.
    """

    setting: Setting
    style: TextStyle
    lines: int
    done: str = ""
    short: float = 0.0


def fitted(text: str, style: TextStyle, room: Room, least_height: float) -> Fit:
    """The text set so that its ink is no wider than `room(lines)`."""
    setting = set_text(text, style)
    lines = text.count("\n") + 1
    if ink_width(setting) <= room(lines):
        return Fit(setting, style, lines)
    done = []
    broken = balanced(text, style)
    if broken != text and room(2) >= room(1):
        text, lines = broken, 2
        done.append("set in two lines")
        if ink_width(set_text(text, style)) <= room(lines):
            return Fit(set_text(text, style), style, lines, done[0])
    narrow = _narrowed(text, style, room(lines))
    done.append(f"narrowed to {narrow.width / style.width:.2f} of its width")
    smaller = narrow
    if ink_width(set_text(text, narrow)) > room(lines) and least_height < style.height:
        smaller = _made_smaller(text, narrow, room(lines), least_height)
        done.append(f"made {smaller.height:.2f} mm tall")
    setting = set_text(text, smaller)
    short = max(0.0, ink_width(setting) - room(lines))
    return Fit(setting, smaller, lines, ", ".join(done), short if short > 1e-6 else 0.0)


def balanced(text: str, style: TextStyle) -> str:
    """The text broken at the space that leaves the wider of two lines narrowest."""
    if "\n" in text:
        return text
    words = text.split()
    breaks = [" ".join(words[:i]) + "\n" + " ".join(words[i:]) for i in range(1, len(words))]
    return min(breaks, key=lambda b: ink_width(set_text(b, style)), default=text)


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


def _made_smaller(text: str, style: TextStyle, room: float, least_height: float) -> TextStyle:
    for _ in range(_TRIES):
        wide = ink_width(set_text(text, style))
        if wide <= room or style.height <= least_height:
            break
        style = replace(style, height=max(least_height, style.height * room / wide - _TO_SPARE))
    return style
