"""Tell a drawing by the one before it, so that of a large panel only what changed is sent."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from legend.page.messages import Between, Drawing, Redrawing

#: Where less than so many characters are saved, a drawing is sent whole.
_WORTH_IT = 10_000


def redrawing(drawing: Drawing, last: Drawing) -> Drawing | Redrawing:
    """The drawing, told by the `last` one that was sent where that is much shorter."""
    if drawing.stages.keys() != last.stages.keys():
        return drawing
    shapes = between(drawing.shapes, last.shapes)
    stages = {
        stage: between(text, last.stages[stage])
        for stage, text in drawing.stages.items()
        if text != last.stages[stage]
    }
    whole = len(drawing.shapes) + sum(map(len, drawing.stages.values()))
    told = len(shapes.text) + sum(len(each.text) for each in stages.values())
    if whole - told < _WORTH_IT:
        return drawing
    rest = replace(drawing, shapes="", stages=dict.fromkeys(drawing.stages, ""))
    return Redrawing(rest, shapes, stages)


def between(text: str, last: str) -> Between:
    """What is new in a text, between what it begins and ends with as the last one does."""
    most = min(len(text), len(last))
    begin = _most(most, lambda low, high: text[low:high] == last[low:high])
    end = _most(
        most - begin,
        lambda low, high: (
            text[len(text) - high : len(text) - low] == last[len(last) - high : len(last) - low]
        ),
    )
    upto = len(text) - end
    return Between(_units(text[:begin]), text[begin:upto], _units(text[upto:]))


def _most(most: int, alike: Callable[[int, int], bool]) -> int:
    """How far two texts are alike, from a place up to a further one, beginning at 0.

    Halving what is left compares each character but a few times, and all in one go.
    """
    low, high = 0, most
    while low < high:
        middle = (low + high + 1) // 2
        if alike(low, middle):
            low = middle
        else:
            high = middle - 1
    return low


def _units(text: str) -> int:
    """How long a text is in units of UTF-16."""
    return len(text) if text.isascii() else len(text.encode("utf-16-le", "surrogatepass")) // 2
