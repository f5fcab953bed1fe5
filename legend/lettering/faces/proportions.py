"""Measure the proportions of a face, and the sizes that a stencil needs for it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from legend.lettering.faces.face import Face, FaceError, TextStyle
from legend.lettering.outlines.measuring import (
    LET_PASS,
    across,
    bar,
    counters,
    has_ink,
    least_stroke,
    leg,
)
from legend.lettering.outlines.outline import Outline

#: The capital height at which faces are compared, mm: the usual one of a name on a panel.
COMPARED_AT = 3.5

#: Where the finest strokes and the smallest counters of a face are found: hairlines, serifs,
#: arms and joints of capitals, small letters and figures.
_TELLING = "ABEHMNORSTVaegns124689"

#: Sizes whose greatest is less than this many times the least are much the same.
_ALIKE = 1.05


@dataclass(frozen=True, slots=True)
class Least:
    """The least of something among the letters of a face, mm, and the letter it is in.

    `letter` is empty where it is much the same in all of them.
    """

    size: float
    letter: str


@dataclass(frozen=True, slots=True)
class Proportions:
    """What is measured on the ink of a face; None where it lacks the letters for it.

    In capital heights: `small` is the height of an x, `ascender` of a d, `descender` how far
    a p goes below the line, `upright` and `level` the breadth of a leg and of the bar of an
    H, and `width_of_h` and `width_of_o` the widths of these capitals. `stroke` and `counter`
    are the least among its letters, mm, at a capital height of `height` mm.
    """

    height: float
    small: float | None
    ascender: float | None
    descender: float | None
    upright: float | None
    level: float | None
    width_of_h: float | None
    width_of_o: float | None
    stroke: Least
    counter: Least | None

    def carried_from(self, least_stroke: float, least_counter: float) -> float:
        """The least capital height, mm, at which a stock of these limits carries the face.

        A stroke may be finer by a hundredth, which is less than a blade knows of.
        """
        times = least_stroke * LET_PASS / self.stroke.size
        if self.counter:
            times = max(times, least_counter / self.counter.size)
        return self.height * times


def proportions_of(face: Face, style: TextStyle | None = None) -> Proportions:
    """Measure a face, in a style of its own or with the strokes that are usual.

    Error: FaceError where the face has none of the letters that are measured.
    """
    style = style or TextStyle(face, COMPARED_AT)
    letters = {
        character: outline
        for character in dict.fromkeys(_TELLING + "Hdpx")
        if (outline := inked_letter(character, style))
    }
    telling = {letter: letters[letter] for letter in _TELLING if letter in letters}
    stroke = _least(telling, lambda outline: [least_stroke(outline.shape)])
    if stroke is None:
        raise FaceError(f"The face {face.name!r} has no letters to measure; choose another face.")

    def of(letter: str, measure: Callable[[Outline], float]) -> float | None:
        return measure(letters[letter]) / style.height if letter in letters else None

    return Proportions(
        height=style.height,
        small=of("x", lambda outline: outline.bounds[3]),
        ascender=of("d", lambda outline: outline.bounds[3]),
        descender=of("p", lambda outline: -outline.bounds[1]),
        upright=of("H", lambda outline: leg(outline.shape)),
        level=of("H", lambda outline: bar(outline.shape)),
        width_of_h=of("H", _width),
        width_of_o=of("O", _width),
        stroke=stroke,
        counter=_least(telling, lambda outline: [across(c) for c in counters(outline.shape)]),
    )


def inked_letter(character: str, style: TextStyle) -> Outline | None:
    """A character by itself, its pen at x = 0, or None where the face has no ink for it."""
    if not style.face.has(character):
        return None
    line = style.face.set_line(character, style)
    outline = Outline.gathered([letter.outline for letter in line.letters if letter.outline])
    return outline if not line.missing and has_ink(outline.shape) else None


def _least(
    letters: dict[str, Outline], measure: Callable[[Outline], Sequence[float]]
) -> Least | None:
    sizes = {letter: min(found) for letter in letters if (found := measure(letters[letter]))}
    if not sizes:
        return None
    letter = min(sizes, key=sizes.__getitem__)
    alike = max(sizes.values()) < sizes[letter] * _ALIKE
    return Least(sizes[letter], "" if alike else letter)


def _width(outline: Outline) -> float:
    return outline.bounds[2] - outline.bounds[0]
