"""Find how tall letters must be for the stock to carry what is said: Description in, heights out.

What a stock carries of a letter is the width of its counters and the distance of its parts. Only
the letters that are really said count, so that a panel without an A or a 4 need not be set as
tall as these ask on rigid sheet. A letter that would have to be several times as tall as usual
counts for nothing: it is told by the checks, and there is something better to do about it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import lru_cache

import shapely

from legend.description.tables.description import Control, Description, InnerKnob
from legend.description.tables.stock import limits
from legend.lettering.faces.face import LetteringError, TextStyle
from legend.lettering.outlines.measuring import across, counters, gaps_of_letters
from legend.lettering.typesetting import is_symbol, set_text
from legend.standards import GAP_IN_LETTER

#: Letters grow no more than so many times for one of them. Common practice, no source.
_MOST_GROWN = 2.5
#: The figure with the smallest counter stands for those of scales, which are not laid out yet.
_FIGURE = "4"
#: The height at which letters are measured, mm.
_MEASURED_AT = 10.0


def carried_heights(description: Description, of: Mapping[str, TextStyle]) -> dict[str, float]:
    """For each role that is given the capital height at which the stock carries what it says, mm.

    0 where it carries it at any height.
    """
    stock = limits(description.stencil)
    heights = dict.fromkeys(of, 0.0)
    said: dict[str, set[str]] = {}
    for role, text in _texts(description):
        if role in of and not is_symbol(text):
            said.setdefault(role, set()).update(text)
    for role, letters in said.items():
        style = of[role]
        for letter in letters:
            tall = _carried_at(letter, _measured(style), stock.counter, stock.gap)
            if tall <= _MOST_GROWN * style.height:
                heights[role] = max(heights[role], tall)
    return heights


def carried_figure(style: TextStyle, least_counter: float) -> float:
    """The capital height at which the counters of figures are as wide as the stock carries, mm."""
    return _carried_at(_FIGURE, _measured(style), least_counter, 0.0)


def _measured(style: TextStyle) -> TextStyle:
    return replace(style, height=_MEASURED_AT)


@lru_cache(maxsize=4096)
def _carried_at(letter: str, style: TextStyle, least_counter: float, least_gap: float) -> float:
    """How tall the stock carries a letter, mm; 0 at any height, or where it cannot be set."""
    try:
        shape = set_text(letter, style).outline.shape
    except LetteringError:  # told where the letters are missed
        return 0.0
    least = min(map(across, counters(shape)), default=math.inf)
    _, apart = gaps_of_letters(shape, [shapely.envelope(shape)], style.height)
    return style.height * max(least_counter / least, GAP_IN_LETTER * least_gap / apart)


def _texts(description: Description) -> Iterator[tuple[str, str]]:
    """All that is said in the height of a role, by the role."""
    for control in description.control:
        yield "note", control.note
        for knob in control.knobs:
            yield "name", knob.name
            yield from _round(knob)
    yield from (("group", group.name) for group in description.group)
    yield from ((text.role, text.text) for text in description.text if text.height is None)


def _round(knob: Control | InnerKnob) -> Iterator[tuple[str, str]]:
    """What is said of the settings of a control, round it or beside it."""
    positions = knob.positions
    words: Iterable[str] = positions.values() if isinstance(positions, Mapping) else positions
    yield from (("position", word) for word in words)
    if knob.scale:
        if knob.scale.from_ is not None:
            yield "numeral", _FIGURE
        words = [word for _, word in knob.scale.words]
        yield from (("numeral", word) for word in (knob.scale.low, knob.scale.high, *words))
