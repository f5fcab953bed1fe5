"""Say which characters are set from smaller figures, and put fractions together from them.

Raised and lowered figures, fractions and the per cent sign are the ordinary figures of a face, at
`SMALL_HEIGHT` of the height, with a pen only a little finer than that of the text: so they are as
open and as heavy as it lets them be. A fraction is any figures with the fraction slash between
them, 3⁄16, or one of the characters that Unicode takes apart into that, as ½.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.spacing import clearing_space, profile_of
from legend.lettering.outlines.outline import Affine, Outline
from legend.lettering.strokes.pathdata import read_path
from legend.lettering.strokes.pen import Ends
from legend.lettering.strokes.skeleton import transformed
from legend.lettering.strokes.stroking import inked

#: Height of a small figure, in capital heights, and the width of its strokes, in those of the
#: text. By eye, no source.
SMALL_HEIGHT = 0.65
SMALL_STROKE = 0.85
#: How high the feet of raised and of lowered figures, and of the upper ones of a fraction, stand,
#: in capital heights. By eye, no source.
RAISED_FOOT = 0.45
LOWERED_FOOT = -0.2
UPPER_FOOT = 1 - SMALL_HEIGHT

#: How much the solidus of a fraction leans over for its height, and how far the figures keep from
#: it and from each other, in capital heights, where their strokes are finer. By eye, no source.
_SOLIDUS_RUN = 0.5
_APART = 0.13

SOLIDUS = "⁄"
#: Characters for private use under which a face may hold other forms of what would be too narrow
#: inside: an open 4, an 8 with a larger head, an a that is all bowl, and an = with more between.
SMALL_FORMS = {"4": "\ue004", "8": "\ue008", "=": "\ue03d", "a": "\ue061"}
_RAISED = dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻⁼⁽⁾ⁿªº", "0123456789+−=()nao", strict=True)) | {"™": "TM"}
_LOWERED = dict(zip("₀₁₂₃₄₅₆₇₈₉₊₋₌₍₎", "0123456789+−=()", strict=True))
#: Signs that are put together as fractions are.
_AS_FRACTIONS = {"%": "0⁄0", "‰": "0⁄00"}


def _taken_apart() -> dict[str, str]:
    """The characters that Unicode takes apart into figures and a fraction slash."""
    vulgar = [chr(code) for code in (0xBC, 0xBD, 0xBE, *range(0x2150, 0x215F), 0x2189)]
    return {each: unicodedata.normalize("NFKC", each) for each in vulgar}


_FRACTIONS = _taken_apart() | _AS_FRACTIONS
_UPPER = "0-9⁰¹²³⁴-⁹"
_UNDER = "0-9₀-₉"
#: The ordinary characters that raised and lowered ones are set from.
ORDINARY = _RAISED | _LOWERED
_ORDINARY = str.maketrans(ORDINARY)
_SMALL = re.compile(
    rf"(?P<raised_over>[{_UPPER}]+){SOLIDUS}(?P<under>[{_UNDER}]+)"
    rf"|(?P<sign>[{''.join(_FRACTIONS)}])"
    rf"|(?P<raised>[{''.join(_RAISED)}]+)|(?P<lowered>[{''.join(_LOWERED)}]+)"
)


@dataclass(frozen=True, slots=True)
class Small:
    """Figures that are set smaller, as ordinary ones: raised, lowered, or over and under."""

    raised: str = ""
    lowered: str = ""
    over: str = ""
    under: str = ""

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines of ordinary characters that it is set from."""
        return tuple(filter(None, (self.raised, self.lowered, self.over, self.under)))

    def composed(self, lines: Sequence[Outline], solidus: Solidus) -> Outline:
        """The same lines, set on the baseline in `small_style`, where they belong; in mm."""
        if self.over:
            return fraction(lines[0], lines[1], solidus)
        up = (RAISED_FOOT if self.raised else LOWERED_FOOT) * solidus.height
        return lines[0].moved(solidus.lean * up, up)


def stretches(text: str) -> Iterator[tuple[str, Small | None]]:
    """The text cut where small figures begin and end; each stretch, and what it is set from.

    >>> [(stretch, small is not None) for stretch, small in stretches("10⁻³ m, 1⅜ in")]
    [('10', False), ('⁻³', True), (' m, 1', False), ('⅜', True), (' in', False)]
    """
    at = 0
    for match in _SMALL.finditer(text):
        if match.start() > at:
            yield text[at : match.start()], None
        yield match[0], _small(match)
        at = match.end()
    if at < len(text):
        yield text[at:], None


def small_figures(stretch: str) -> Small | None:
    """What a whole stretch is set from, if it is one of small figures."""
    match = _SMALL.fullmatch(stretch)
    return _small(match) if match else None


def small_style(style: TextStyle) -> TextStyle:
    """The style in which small figures are set: smaller, their strokes a little finer."""
    stroke = style.stroke * SMALL_STROKE / SMALL_HEIGHT
    return replace(style, height=style.height * SMALL_HEIGHT, stroke=stroke, tracking=0.0)


def _small(match: re.Match[str]) -> Small:
    if match["raised"]:
        return Small(raised=match[0].translate(_ORDINARY))
    if match["lowered"]:
        return Small(lowered=match[0].translate(_ORDINARY))
    over, under = _FRACTIONS.get(match[0], match[0]).split(SOLIDUS)
    return Small(over=over.translate(_ORDINARY), under=under.translate(_ORDINARY))


@dataclass(frozen=True, slots=True)
class Solidus:
    """How the line of a fraction is drawn: the capital height in mm, the stroke of the text over
    it, how far it leans for its height, and its ends."""

    height: float
    stroke: float
    lean: float
    ends: Ends

    def drawn(self) -> Outline:
        """The line by itself, from the baseline to the height of capitals."""
        pen = SMALL_STROKE * self.stroke
        scale = 1 - pen
        to_height: Affine = (scale, 0.0, self.lean * scale, scale, 0.0, pen / 2)
        line = transformed(read_path(f"M 0 0 L {_SOLIDUS_RUN} 1"), to_height)
        return inked(line, pen, self.ends, self.height).outline(self.height).outline


def fraction(over: Outline, under: Outline, solidus: Solidus) -> Outline:
    """Figures on the baseline, in mm, as a fraction: raised, and parted by a solidus.

    The three are moved together until they are as near to each other as they may be.
    """
    height = solidus.height
    up = UPPER_FOOT * height
    parts = (over.moved(solidus.lean * up, up), solidus.drawn(), under)
    apart = max(_APART, SMALL_STROKE * solidus.stroke)
    profiles = [profile_of([ring / height for ring in part.rings], apart) for part in parts]
    placed: list[Outline] = []
    kept_clear = np.full_like(profiles[0].kept_clear, -np.inf)
    for part, profile in zip(parts, profiles, strict=True):
        pen = clearing_space(kept_clear, profile) if placed else 0.0
        placed.append(part.moved(pen * height, 0.0))
        kept_clear = np.maximum(kept_clear, profile.kept_clear + pen)
    return Outline.gathered(placed)
