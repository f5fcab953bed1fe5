"""Find the raised figures of a text that a face lacks, and say how they are set instead.

Exponents are written with the superior figures of Unicode, as in 10⁻³. Few faces have them all.
What a face lacks is set from its ordinary figures, one size smaller and raised; and so that all
the powers of a scale look alike, what follows a figure is either all the face's own or none.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from legend.lettering.faces.face import Face, TextStyle

#: Raised figures and signs, and what they are set from.
_SUPERIORS = dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻", "0123456789+−", strict=True))
_RAISED = re.compile(f"[{''.join(_SUPERIORS)}]+")
_FROM = str.maketrans(_SUPERIORS)

#: Height of a raised figure, and how high its foot stands, in capital heights; and the width of
#: its strokes, in those of the text. By eye, after the superior figures of the built-in face.
RAISED_HEIGHT = 0.65
RAISED_FOOT = 0.45
RAISED_STROKE = 0.85


def raised_stretches(text: str, face: Face) -> Iterator[tuple[str, bool]]:
    """The text cut where raised figures begin and end that the face does not set by itself."""
    at = 0
    for match in _RAISED.finditer(text):
        needed = "".join(_SUPERIORS) if text[: match.start()][-1:].isdigit() else match[0]
        if all(face.has(character) for character in needed):
            continue
        if match.start() > at:
            yield text[at : match.start()], False
        yield match[0], True
        at = match.end()
    if at < len(text):
        yield text[at:], False


def has_raised(text: str, face: Face) -> bool:
    """Whether there are raised figures in a text that are set from ordinary ones."""
    return any(raised for _, raised in raised_stretches(text, face))


def ordinary(raised: str) -> str:
    """The ordinary figures that raised ones are set from, in the same order."""
    return raised.translate(_FROM)


def raised_style(style: TextStyle) -> TextStyle:
    """The style in which raised figures are set: one size smaller, their strokes a little finer."""
    stroke = style.stroke * RAISED_STROKE / RAISED_HEIGHT
    return replace(style, height=style.height * RAISED_HEIGHT, stroke=stroke)
