"""Find counters that heavy strokes fill, and the heaviest stroke that leaves them open.

A letter of single strokes is compared with itself in the finest of strokes. One from a font
file, which has no others, is compared with the built-in one: where that has a counter and it
has none, it may be of another build, open or in parts, or a script; it is filled where a disc
goes into its ink that is more than half as large as the letter. (Of 200 faces, light and black,
none that has open counters comes nearer than 0.44; filled in, an O comes to 0.9.)
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from legend.lettering.faces.face import Face, Letter, TextStyle
from legend.lettering.faces.stroke_face import StrokeFace, plain
from legend.lettering.outlines.measuring import across, counters
from legend.standards import STROKE_DARK_ON_LIGHT

#: The finest stroke that a description may ask for, over height.
_FINEST = 0.04
#: The height at which letters are compared, mm.
_COMPARED_AT = 10.0
#: How large a disc in the ink of a letter that is filled is, over the letter.
_SOLID = 0.5


def is_filled(letter: Letter, style: TextStyle) -> bool:
    """Whether the strokes of a letter set in this style have filled a counter of it."""
    face = _drawn_by(letter.text, style)
    shape = letter.outline.shape
    if face is None:
        return False
    if isinstance(face, StrokeFace):
        if face is plain() and style.stroke <= STROKE_DARK_ON_LIGHT:
            return False  # as it was drawn for
        return not _keeps(shape, _alone(letter.text, replace(style, face=face, stroke=_FINEST)))
    if counters(shape) or not plain().has(letter.text):
        return False
    if not counters(_alone(letter.text, TextStyle(plain(), _COMPARED_AT))):
        return False
    left, bottom, right, top = shape.bounds
    return across(shape) > _SOLID * float(min(right - left, top - bottom))


def heaviest_stroke(
    characters: Iterable[str], style: TextStyle, least: float, finest: float
) -> float | None:
    """The heaviest stroke, over height, that leaves all counters of these characters open.

    None of them is narrower than `least` mm then. It is a whole hundredth, no finer than
    `finest` and lighter than that of the style, or None where there is none; a font file has no
    other strokes than its own.
    """
    drawn = {character: _drawn_by(character, style) for character in characters}
    faces = {character: face for character, face in drawn.items() if isinstance(face, StrokeFace)}
    if len(faces) < len(drawn):
        return None

    def leaves_open(hundredths: int) -> bool:
        for character, face in faces.items():
            thin = _alone(character, replace(style, face=face, stroke=_FINEST))
            shape = _alone(character, replace(style, face=face, stroke=hundredths / 100))
            narrowest = min(map(across, counters(shape)), default=least)
            if narrowest < least or not _keeps(shape, thin):
                return False
        return True

    # Lighter strokes leave counters wider, so that it is sought by halves.
    low, high = math.ceil(max(_FINEST, finest) * 100), math.ceil(style.stroke * 100)
    if low >= high or not leaves_open(low):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if leaves_open(middle) else (low, middle)
    return low / 100


def _drawn_by(character: str, style: TextStyle) -> Face | None:
    """The face that draws a character, the built-in one what another lacks; None for a symbol,
    and for what a font file draws as one out of several characters.
    """
    faces = (face for face in (style.face, plain()) if _has(face, character))
    return next(faces, None)


def _has(face: Face, character: str) -> bool:
    # A face of single strokes puts marks on letters by itself.
    is_marked = isinstance(face, StrokeFace) and unicodedata.combining(character[-1])
    return bool(len(character) == 1 or is_marked) and face.has(character)


@lru_cache(maxsize=1024)
def _alone(character: str, style: TextStyle) -> BaseGeometry:
    (letter,) = style.face.set_line(character, style).letters
    return letter.outline.shape


def _keeps(shape: BaseGeometry, finest: BaseGeometry) -> bool:
    """Whether each counter that a letter has in the finest strokes is there in this shape of it."""
    here, there = shape.envelope.centroid, finest.envelope.centroid
    shift = np.array([here.x - there.x, here.y - there.y])
    found = shapely.union_all(counters(shape))
    return all(
        shapely.transform(counter, lambda points: points + shift).intersects(found)
        for counter in counters(finest)
    )
