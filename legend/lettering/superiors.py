"""Find the small figures of a text that a font does not set by itself, and how they are set.

Exponents are written with the superior figures of Unicode, as in 10⁻³, and fractions with its
fraction slash, as in 3⁄16. A font file may have glyphs for them, or forms of its ordinary figures
by an OpenType feature (`sups`, `subs`, `frac`); what it lacks is set from its ordinary figures,
made smaller. So that all the powers of a scale look alike, what follows a figure is either all by
the font's own means or none. Faces of single strokes set them all by themselves.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from legend.lettering.faces.face import Face, Featured
from legend.lettering.faces.folding import folded
from legend.lettering.faces.small_figures import (
    ORDINARY,
    SMALL_STROKE,
    SOLIDUS,
    Small,
    stretches,
)
from legend.lettering.standing_in import built_in

#: Width of the strokes of small figures, in those of the text.
RAISED_STROKE = SMALL_STROKE

#: The raised figures and signs of powers.
_POWERS = "⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻"

#: A fraction of an inch, as rules are divided, with a mark or a word after it that says so, and
#: with no quotation mark opened before it.
_OF_AN_INCH = re.compile(r'(?<![\d/.,])(\d{1,2})/(2|4|8|16|32|64)(?= ?(?:["″]|(?i:inch)))')
_QUOTED = re.compile(r'(?:^|[\s(])"')
#: Between a number and the fraction that belongs to it.
_MIXED = re.compile(rf"(?<![\d.,/{SOLIDUS}])(\d{{1,3}}) (?=\d+{SOLIDUS}\d|[¼½¾⅐-⅞])")
_THIN_SPACE = "\u2009"


@dataclass(frozen=True, slots=True)
class Stretch:
    """Words that are set in one way: as they are, by a feature of the font, or smaller."""

    words: str
    feature: str = ""
    small: Small | None = None

    @property
    def is_plain(self) -> bool:
        """Whether the font sets the words as it sets all others."""
        return not self.feature and self.small is None


def with_fractions(text: str) -> str:
    """The text with what can only be fractions of an inch written as such, and mixed numbers
    drawn together. What may be something else, as 1/2 or 4/8 by itself, stays as it is.

    >>> with_fractions('3/8" JACK'), with_fractions("CH 1/2")
    ('3⁄8" JACK', 'CH 1/2')
    """

    def one(match: re.Match[str]) -> str:
        over, under = int(match[1]), int(match[2])
        is_length = over % 2 and over < under and not _QUOTED.search(text[: match.start()])
        return f"{match[1]}{SOLIDUS}{match[2]}" if is_length else match[0]

    return _MIXED.sub(rf"\1{_THIN_SPACE}", _OF_AN_INCH.sub(one, text))


def stretches_of(text: str, face: Face) -> list[Stretch]:
    """The text cut where small figures begin and end that the face does not set by itself."""
    if not isinstance(face, Featured):
        return [Stretch(text)] if text else []
    found: list[Stretch] = []
    for stretch in _treated(text, face):
        if found and found[-1].is_plain and stretch.is_plain:
            found[-1] = Stretch(found[-1].words + stretch.words)
        else:
            found.append(stretch)
    return found


def has_raised(text: str, face: Face) -> bool:
    """Whether there are small figures in a text that are set from ordinary ones."""
    text = with_fractions(folded(text, face, built_in()))
    if isinstance(face, Featured):
        return any(stretch.small for stretch in stretches_of(text, face))
    from legend.lettering.faces.stroke_face import StrokeFace

    if not isinstance(face, StrokeFace):
        return False
    return any(small and not face.draws(stretch) for stretch, small in stretches(text))


def _treated(text: str, face: Featured) -> Iterator[Stretch]:
    before = ""
    for words, small in stretches(text):
        yield _treatment(words, small, before, face) if small else Stretch(words)
        before = words


def _treatment(words: str, small: Small, before: str, face: Featured) -> Stretch:
    if small.over:
        if len(words) == 1 and face.has(words):
            return Stretch(words)
        fraction = f"{small.over}{SOLIDUS}{small.under}"
        if face.forms(fraction, "frac"):  # by itself: the 1 of 1⅜ is no part of it
            return Stretch(fraction, "frac")
        return Stretch(words, small=small)
    is_power = bool(small.raised) and before[-1:].isdigit()
    needed = _POWERS if is_power and not set(words) - set(_POWERS) else words
    if all(map(face.has, needed)):
        return Stretch(words)
    feature = "sups" if small.raised else "subs"
    if face.forms("".join(ORDINARY[each] for each in needed), feature):
        return Stretch(small.raised or small.lowered, feature)
    return Stretch(words, small=small)
