"""Draw the figures that are cut through a card: words bridged so that nothing drops out.

All begin at 0, their lower left corner.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from legend.description.tables.stock import StockLimits
from legend.lettering.faces.face import Letter, TextStyle
from legend.lettering.faces.stroke_face import plain
from legend.lettering.outlines.outline import Outline, box_round
from legend.lettering.typesetting import set_text
from legend.standards import SHEET_LIMITS

#: Capital height, mm, and stroke and spacing in capital heights, of figures that a knife cuts
#: through card, by hand as well. Common practice, no source.
HEIGHT = 5.0
_STROKE, _TRACKING = 0.16, 0.06
#: What holds the inside of a figure, mm: card of 0.3 mm tears at less. Common practice, no source.
BRIDGE = 0.8
_LIMITS = StockLimits(**SHEET_LIMITS | {"bridge": BRIDGE})

#: Between two lines, between words and an arrow, and between the parts of one line, mm.
_LINE_SPACE, _ARROW_SPACE, _PART_SPACE = 2.5, 3.0, 6.0
#: How wide an arrow is, and its shaft, mm.
_ARROW, _SHAFT = 5.0, 1.2


@lru_cache(maxsize=1024)
def words(text: str) -> Outline:
    """Words in the built-in face, every letter bridged."""
    letters = set_text(text, TextStyle(plain(), HEIGHT, _STROKE, tracking=_TRACKING)).letters
    return _at_the_origin([_bridged(letter) for letter in letters if letter.outline])


def _bridged(letter: Letter) -> Outline:
    at = letter.outline.bounds[:2]
    return _letter(letter.text).moved(*at)


@lru_cache(maxsize=128)
def _letter(text: str) -> Outline:
    """One letter with its bridges, which are the same wherever it stands."""
    from legend.stencil.bridging.bridges import bridged

    style = TextStyle(plain(), HEIGHT, _STROKE)
    (done,) = bridged([set_text(text, style).outline], [HEIGHT], _LIMITS)
    return _at_the_origin([done.outline])


def _at_the_origin(outlines: Sequence[Outline]) -> Outline:
    x0, y0, _, _ = box_round(outline.bounds for outline in outlines)
    return Outline.gathered([outline.moved(-x0, -y0) for outline in outlines])


def _arrow(height: float) -> Outline:
    """An arrow that points up."""
    middle, head = _ARROW / 2, _ARROW * 0.7
    left, right, neck = middle - _SHAFT / 2, middle + _SHAFT / 2, height - head
    corners = [(left, 0), (right, 0), (right, neck), (_ARROW, neck), (middle, height), (0, neck)]
    return Outline.polygon([*corners, (left, neck)])


def inscriptions(number: int, count: int) -> list[Outline]:
    """What a card says of itself, in fewer and fewer words and with less and less room."""
    of = f"{number} OF {count}"
    return [
        _two_lines("THIS SIDE UP", f"CARD {of}"),
        _one_line("THIS SIDE UP", f"CARD {of}"),
        _two_lines("UP", of),
        _one_line("UP", of),
    ]


def _two_lines(upper: str, lower: str) -> Outline:
    """Two lines, and beside both an arrow."""
    first, second = words(upper), words(lower)
    x = max(first.bounds[2], second.bounds[2]) + _ARROW_SPACE
    up = HEIGHT + _LINE_SPACE
    return Outline.gathered([first.moved(0, up), second, _arrow(up + HEIGHT).moved(x, 0)])


def _one_line(first: str, second: str) -> Outline:
    """An arrow after the first words, and the second after that."""
    line, rest = words(first), words(second)
    x = line.bounds[2] + _ARROW_SPACE / 2
    after = x + _ARROW + _PART_SPACE
    return Outline.gathered([line, _arrow(HEIGHT).moved(x, 0), rest.moved(after, 0)])
