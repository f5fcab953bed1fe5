"""Find the style in which letters and symbols of ours stand among those of another face.

They take over how heavy its strokes are, what their ends are like, and how far its letters and
words stand apart.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from legend.lettering.faces.face import Face, TextStyle, Weighted
from legend.standards import (
    ISO_B_BETWEEN_CHARACTERS,
    ISO_B_BETWEEN_WORDS,
    LEAST_LETTER_SPACE,
)

#: The heaviest strokes of what stands in for letters of a heavier face, over height: the smallest
#: counters of the built-in face, as of e, are still open at it. By eye, no source.
_HEAVIEST = 0.2


def in_keeping(style: TextStyle, face: Face) -> TextStyle:
    """The style with strokes as heavy as those of a face that has a weight of its own, but not so
    heavy that they would fill what they enclose, and with ends like theirs."""
    if not isinstance(face, Weighted):
        return style
    return replace(style, stroke=min(face.stem, _HEAVIEST), ends=face.ends)


def standing_in(style: TextStyle) -> TextStyle:
    """The style of letters of the built-in face among those of the face of this one.

    They stand as far apart as those, but odd neighbours no nearer than half of what letters keep.
    """
    other = in_keeping(replace(style, face=built_in()), style.face)
    if not isinstance(style.face, Weighted):
        return other
    nearer = (gap(style, False) - gap(other, False)) / style.height
    least = LEAST_LETTER_SPACE / 2 - max(other.stroke, LEAST_LETTER_SPACE)
    other = replace(other, tracking=style.tracking + max(nearer, least))
    between_words = (gap(style, True) - gap(other, True)) / style.height
    return replace(other, word_space=style.word_space + between_words)


@lru_cache(maxsize=256)
def gap(style: TextStyle, spaced: bool) -> float:
    """What stands between two capitals of the face, or two words of them, ink to ink, mm."""
    style = replace(style, slope=0.0)
    pair = style.face.set_line("H H" if spaced else "HH", style)
    if pair.missing:
        apart = ISO_B_BETWEEN_WORDS if spaced else ISO_B_BETWEEN_CHARACTERS
        apart += style.tracking + (style.word_space if spaced else 0.0)
        return apart * style.height
    inked = [letter.outline.bounds for letter in pair.letters if letter.outline]
    apart = max(box[0] for box in inked) - min(box[2] for box in inked)
    return apart + (style.word_space * style.height if spaced else 0.0)


def built_in() -> Face:
    """The face that comes with the program."""
    from legend.lettering.faces.stroke_face import plain

    return plain()
