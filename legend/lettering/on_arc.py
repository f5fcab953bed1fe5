"""Set a text on an arc round the origin.

Each letter keeps its shape and is turned about the middle of the circle, so that the words
read the right way up: clockwise with their feet inwards on the upper half, anticlockwise
with their heads inwards on the lower.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from legend.length_words import WithLengths
from legend.lettering.faces.face import Letter, LetteringError, TextStyle, Weighted
from legend.lettering.outlines.boolean import flattened_curves, joined
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import Setting, set_text

#: The most of a circle that a text may take, degrees.
_MOST = 345.0


def set_on_arc(
    text: str, style: TextStyle, radius: float, at: float = 0.0, inside: bool = False
) -> Setting:
    """One line of text round the origin, the middle of its ink at `at` degrees.

    Capitals stand on the outside of a circle of `radius` mm, or hang on its inside, just
    touching it. Spaces are those of a straight line, measured at half the capital height;
    where the letters crowd together at the inner edge, neighbours are kept a stroke apart,
    or the least gap of the style.

    Error: LetteringError where a character cannot be drawn, or the circle has no room.
    """
    straight = set_text(text, style)
    if "\n" in text:
        raise LetteringError(f"The text {text!r} has several lines; on an arc there is one.")
    circle = _Circle(style, radius, at, inside)
    if circle.inner <= 0:
        raise LetteringError(
            WithLengths(
                (
                    f"The text {text!r} is ",
                    style.height,
                    " ",
                    None,
                    " tall and cannot stand inside a circle of radius ",
                    radius,
                    " ",
                    None,
                    ".",
                )
            )
        )
    inked = [letter for letter in straight.letters if letter.outline]
    if not inked:
        return straight
    angles = _angles(inked, circle)
    if angles[-1] - angles[0] > math.radians(_MOST):
        raise LetteringError(
            WithLengths(
                (
                    f"The text {text!r} at ",
                    style.height,
                    " ",
                    None,
                    " is too long for a circle of radius ",
                    radius,
                    " ",
                    None,
                    "; make it smaller, or move it further out.",
                )
            )
        )
    letters = tuple(
        circle.placed(letter, angle) for letter, angle in zip(inked, angles, strict=True)
    )
    outline, flattened = joined([letter.outline for letter in letters])
    notes = [*straight.notes, *([flattened_curves(repr(text))] if flattened else [])]
    return Setting(text, outline, letters, style.height, tuple(dict.fromkeys(notes)))


class _Circle:
    """Where a letter of the line comes to stand."""

    def __init__(self, style: TextStyle, radius: float, at: float, inside: bool) -> None:
        face = style.face
        stroke = (face.stem if isinstance(face, Weighted) else style.stroke) * style.height
        self.apart = max(stroke, style.least_gap)
        self.inner = radius - style.height if inside else radius
        self.middle = self.inner + style.height / 2
        self._at = at
        self._feet_inwards = math.cos(math.radians(at)) > -1e-9
        self._base = self.inner if self._feet_inwards else -self.inner - style.height

    def placed(self, letter: Letter, angle: float) -> Letter:
        """The letter turned by `angle` radians, onwards as it is read, from the text's middle."""
        upright = letter.moved(-_centre(letter.outline), self._base)
        if self._feet_inwards:
            return upright.turned(self._at + math.degrees(angle))
        return upright.turned(self._at - math.degrees(angle) - 180)


def _centre(outline: Outline) -> float:
    left, _, right, _ = outline.bounds
    return (left + right) / 2


def _angles(letters: Sequence[Letter], circle: _Circle) -> list[float]:
    """How far each letter is turned from the middle of the text, radians."""
    outlines = [letter.outline for letter in letters]
    angles = [0.0]
    before = circle.placed(letters[0], 0.0).outline
    for last, letter in pairwise(letters):
        outline = letter.outline
        angle = angles[-1] + (_centre(outline) - _centre(last.outline)) / circle.middle
        apart = min(circle.apart, last.outline.shape.distance(outline.shape))
        placed = circle.placed(letter, angle).outline
        for _ in range(8):
            lacking = apart - before.shape.distance(placed.shape)
            if lacking < apart / 100:
                break
            angle += lacking / circle.inner
            placed = circle.placed(letter, angle).outline
        angles.append(angle)
        before = placed
    (left, _, first_right, _), (last_left, _, right, _) = outlines[0].bounds, outlines[-1].bounds
    begin = -(first_right - left) / 2 / circle.middle
    end = angles[-1] + (right - last_left) / 2 / circle.middle
    return [angle - (begin + end) / 2 for angle in angles]
