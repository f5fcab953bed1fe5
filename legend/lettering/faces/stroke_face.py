"""Load a single-stroke face from an SVG font, and set text in inked strokes.

The format is the SVG font of the W3C (SVG 1.1, chapter 20), each glyph's `d` the line down
the middle of its strokes. The built-in face `plain` is such a file; a user's own works alike.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from pathlib import Path

import numpy as np

from legend.lettering.faces.face import ABOVE, FaceError, Frame, Letter, Line, TextStyle
from legend.lettering.faces.folding import ALIKE, TONOS, is_solid, taken_apart
from legend.lettering.faces.marks import top, with_marks
from legend.lettering.faces.small_figures import (
    SMALL_FORMS,
    SOLIDUS,
    Solidus,
    small_figures,
    small_style,
    stretches,
)
from legend.lettering.faces.spacing import (
    NOTHING_KEPT_CLEAR,
    Profile,
    Rhythm,
    clearing_space,
    profile_of,
    space_between,
    stands_clear,
)
from legend.lettering.faces.svg_font import read_svg_font
from legend.lettering.outlines.boolean import Combined, TangleError
from legend.lettering.outlines.excessive import TOO_MANY_POINTS, why_not
from legend.lettering.outlines.outline import Affine, Outline
from legend.lettering.strokes.pathdata import TooManyPointsError, read_path
from legend.lettering.strokes.pen import Ends
from legend.lettering.strokes.skeleton import Skeleton, sampled, transformed
from legend.lettering.strokes.stroking import Ink, inked
from legend.limits import MOST_POINTS_OF_A_LETTER as MOST_POINTS
from legend.standards import (
    ISO_B_BETWEEN_WORDS,
    ISO_HEIGHTS,
    LEAST_LETTER_SPACE,
)

#: Spaces, in word spaces.
_SPACES = {" ": 1.0, "\u00a0": 1.0, "\u2002": 1.0, "\u2003": 2.0, "\u2009": 0.5, "\u202f": 0.5}

#: Letters that lose their dot below an accent.
_DOTLESS = {"i": "ı", "j": "ȷ"}
#: Capitals and figures of full height, on which a face is measured that does not say its own.
_FULL_HEIGHT = "HIEFLTNMKXZVWYABDPR17"

#: The capital height in mm at which letters are measured for their spacing, whatever the size.
_MEASURED_AT = 3.5


@dataclass(eq=False)
class StrokeFace:
    """A face whose letters are single strokes.

    >>> line = plain().set_line("ON", TextStyle(plain(), height=3.5))
    >>> [letter.text for letter in line.letters]
    ['O', 'N']
    """

    name: str
    cap_height: float
    _paths: dict[str, str]
    _skeletons: dict[str, Skeleton] = field(default_factory=dict, repr=False)
    _cuts: dict[_Manner, _Cut] = field(default_factory=dict, repr=False)

    @classmethod
    def read(cls, path: Path, name: str | None = None) -> StrokeFace:
        """The face in an SVG font file, called `name` or by the file's name.

        A cap-height that the file does not state is measured on its capitals.

        Error: FaceError where the file is no font of single strokes.
        """
        font = read_svg_font(path)
        face = cls(name or path.name, font.cap_height or 0.0, font.paths)
        if font.cap_height is None:
            face.cap_height = face._measured_cap_height()
        return face

    def has(self, character: str) -> bool:
        """Whether the face can draw this character, marks and all, from its parts if need be."""
        return character in _SPACES or self._parts(character) is not None or self._small(character)

    def draws(self, text: str) -> bool:
        """Whether the face has a glyph of its own for every character of a text; fractions with a
        slash are always put together."""
        return SOLIDUS not in text and all(character in self._paths for character in text)

    def set_line(self, text: str, style: TextStyle) -> Line:
        """The letters of one line, spaced by their shapes.

        The pen starts half a character space before the ink of the first letter, and the
        advance ends half a character space after the ink of the last.

        Error: FaceError where the path of a glyph is damaged.
        """
        cut = self._cut(style)
        height = style.height
        frame = Frame(lean=math.tan(math.radians(style.slope)))
        letters: list[Letter] = []
        missing: list[str] = []
        flattened = False
        edge = cut.rhythm.stems / 2  # the right edge of the ink so far
        pen, gap, before = 0.0, 0.0, ""
        kept_clear = NOTHING_KEPT_CLEAR
        for character in self._characters(text):
            if character in _SPACES:
                gap += _SPACES[character] * ISO_B_BETWEEN_WORDS
                gap += style.tracking if letters else 0.0
                letters.append(Letter(character, _NOTHING))
                before, kept_clear = "", NOTHING_KEPT_CLEAR
                continue
            if not self.has(character):
                lacking = [part for part in character if not self.has(part)]
                missing += character if small_figures(character) or not lacking else lacking
                continue
            profile = cut.glyph(character).profile
            drawn = cut.drawn(character, height)
            if before:
                pen += cut.space(before, character)
                pen = max(pen, clearing_space(kept_clear, profile)) + style.tracking
            else:
                pen = edge + gap + (style.tracking if letters else 0.0) - profile.left
            letters.append(Letter(character, drawn.outline, frame).moved(pen * height, 0))
            flattened |= drawn.flattened
            edge, gap, before = pen + profile.right, 0.0, character
            kept_clear = np.maximum(kept_clear, profile.kept_clear + pen)
        advance = (edge + gap + cut.rhythm.stems / 2) * height
        return Line(tuple(letters), advance, tuple(dict.fromkeys(missing)), flattened)

    def skeleton(self, character: str) -> Skeleton:
        """The strokes of a character in the font's units, a letter with its accents.

        Error: FaceError where its path is damaged or absurd; KeyError where the face lacks it.
        """
        if character not in self._skeletons:
            self._skeletons[character] = self._composed(character)
            points = [point for run in self._skeletons[character] for point in sampled(run)]
            strokes = sum(max(1, len(run.segments)) for run in self._skeletons[character])
            if why := why_not(np.array(points) / self.cap_height, strokes):
                raise self._no_letter(character, why)
        return self._skeletons[character]

    def _no_letter(self, character: str, why: str) -> FaceError:
        return FaceError(
            f"No letter can be cut from the glyph for {character!r} of the face {self.name}: it "
            f"{why}. Mend its path, or choose another face."
        )

    # --- Letters from parts ---

    def _characters(self, text: str) -> Iterator[str]:
        """The characters of a text, each with the marks that are set on it, and stretches of small
        figures that are set as one, where the face has not drawn each."""
        for stretch, small in stretches(unicodedata.normalize("NFC", text)):
            if small and not self.draws(stretch):
                yield stretch
            else:
                yield from _with_marks(stretch)

    def _small(self, stretch: str) -> bool:
        """Whether it is small figures that the face has the ordinary ones for."""
        small = small_figures(stretch)
        return small is not None and self.draws("".join(small.lines))

    def _parts(self, character: str) -> str | None:
        """The glyphs that make up a character: itself, one that looks the same, or a letter and
        its marks."""
        if character in self._paths:
            return character
        ways = (self._drawn(parts) for parts in taken_apart(character))
        return next((parts for parts in ways if parts), None)

    def _drawn(self, characters: str) -> str | None:
        """A letter and its marks as characters of the face, where it has them all."""
        parts = "".join(c if c in self._paths else ALIKE.get(c, c) for c in characters)
        if any(part not in self._paths for part in parts):
            return None
        if not all(unicodedata.combining(mark) or mark == TONOS for mark in parts[1:]):
            return None
        dotless = _DOTLESS.get(parts[0], "")
        if dotless in self._paths and unicodedata.combining(parts[1:2] or "x") == ABOVE:
            return dotless + parts[1:]
        return parts

    def _composed(self, character: str) -> Skeleton:
        parts = self._parts(character)
        if parts is None:
            raise KeyError(character)
        return with_marks(parts, self._read, self._x_height, self.cap_height)

    @property
    def _x_height(self) -> float:
        """The height over which the marks are drawn."""
        return top(self._read("x")) if "x" in self._paths else self.cap_height * 2 / 3

    def _read(self, character: str) -> Skeleton:
        try:
            return read_path(self._paths[character], MOST_POINTS)
        except TooManyPointsError:
            raise self._no_letter(character, TOO_MANY_POINTS) from None
        except ValueError as error:
            raise FaceError(
                f"The face {self.name} has a damaged glyph for {character!r}: {error}. "
                "Mend its path, or choose another face."
            ) from None

    def _measured_cap_height(self) -> float:
        measured = next((c for c in _FULL_HEIGHT if self._paths.get(c)), None)
        if measured is None:
            raise FaceError(
                f"The face {self.name} does not state its cap-height and has no capitals to "
                "measure it on. Add cap-height to its <font-face>."
            )
        height = top(self._read(measured))
        if height <= 0:
            raise FaceError(
                f"The face {self.name} draws {measured!r} below the line it stands on; a letter's "
                "path has y upwards. Turn it over, or choose another face."
            )
        return height

    def _cut(self, style: TextStyle) -> _Cut:
        largest = max(ISO_HEIGHTS[-1], style.height)
        manner = _Manner(style.stroke, style.width, style.slope, style.ends, largest)
        if manner not in self._cuts:
            self._cuts[manner] = _Cut(self, manner)
        return self._cuts[manner]


@dataclass(frozen=True, slots=True)
class _Manner:
    """What decides the shape of letters, their size apart."""

    stroke: float
    width: float
    slope: float
    ends: Ends
    #: The capital height in mm for which curves are fitted.
    largest: float


@dataclass(frozen=True, slots=True)
class _Glyph:
    """A letter in capital heights; small figures have no ink of one pen."""

    ink: Ink | None
    profile: Profile


class _Cut:
    """A face cut in one manner: its letters inked, measured and spaced, in capital heights."""

    def __init__(self, face: StrokeFace, manner: _Manner) -> None:
        self._face = face
        self._manner = manner
        self._least = max(manner.stroke, LEAST_LETTER_SPACE)
        self._glyphs: dict[str, _Glyph] = {}
        self._spaces: dict[tuple[str, str], float] = {}
        self._drawn: dict[tuple[str, float], Combined] = {}

    def glyph(self, character: str) -> _Glyph:
        if character not in self._glyphs:
            ink = None if self._face._parts(character) is None else self._inked(character)
            drawn = self._outlined(character, ink, _MEASURED_AT)
            self._drawn[character, _MEASURED_AT] = drawn
            rings = [ring / _MEASURED_AT for ring in drawn.outline.rings]
            profile = profile_of(rings, self._least, self._lean)
            self._glyphs[character] = _Glyph(ink, profile)
        return self._glyphs[character]

    def drawn(self, character: str, height: float) -> Combined:
        """The outline of a character, and whether it had to be made of straight lines."""
        key = (character, height)
        if key not in self._drawn:
            self._drawn[key] = self._outlined(character, self.glyph(character).ink, height)
        _ = self._drawn[key].outline.shape  # flattened once, and moved with every letter
        return self._drawn[key]

    def _inked(self, character: str) -> Ink:
        manner = self._manner
        skeleton = transformed(self._face.skeleton(character), self._affine(manner.stroke))
        try:
            return inked(skeleton, manner.stroke, manner.ends, manner.largest)
        except TangleError as error:
            raise self._face._no_letter(character, str(error)) from None

    def _outlined(self, character: str, ink: Ink | None, height: float) -> Combined:
        if ink is None:
            return self._of_figures(character, height)
        try:
            drawn = ink.outline(height)
        except TangleError as error:
            raise self._face._no_letter(character, str(error)) from None
        return _filled(drawn) if is_solid(self._face._parts(character) or "") else drawn

    def _of_figures(self, character: str, height: float) -> Combined:
        """A stretch of small figures, set from ordinary ones."""
        small = small_figures(character)
        assert small is not None  # nothing else is without a path
        manner = self._manner
        style = small_style(
            TextStyle(
                self._face, height, manner.stroke, manner.width, manner.slope, ends=manner.ends
            )
        )
        forms = str.maketrans({k: v for k, v in SMALL_FORMS.items() if self._face.has(v)})
        lines = [self._face.set_line(line.translate(forms), style) for line in small.lines]
        gathered = [
            Outline.gathered([letter.outline for letter in line.letters if letter.outline])
            for line in lines
        ]
        solidus = Solidus(height, manner.stroke, self._lean, manner.ends)
        return Combined(small.composed(gathered, solidus), any(line.flattened for line in lines))

    def space(self, before: str, after: str) -> float:
        pair = (before, after)
        if pair not in self._spaces:
            first, second = self.glyph(before).profile, self.glyph(after).profile
            clear = stands_clear(before) or stands_clear(after)
            self._spaces[pair] = space_between(first, second, self.rhythm, clear)
        return self._spaces[pair]

    @cached_property
    def rhythm(self) -> Rhythm:
        stem = self.glyph("H").profile if self._face.has("H") else None
        return Rhythm.of(self._manner.stroke, stem)

    @property
    def _lean(self) -> float:
        return math.tan(math.radians(self._manner.slope))

    def _affine(self, stroke: float) -> Affine:
        """From the font's units to capital heights, the ink of a capital from 0 to 1."""
        scale = (1 - stroke) / self._face.cap_height
        return scale * self._manner.width, 0.0, self._lean * scale, scale, 0.0, stroke / 2


def _filled(drawn: Combined) -> Combined:
    """The same without what is white inside it."""
    outer = tuple(c for c in drawn.outline.contours if c.signed_area > 0)
    return Combined(Outline(outer), drawn.flattened)


_NOTHING = Outline(())


@lru_cache(maxsize=1)
def plain() -> StrokeFace:
    """The built-in face."""
    return StrokeFace.read(_fonts() / "plain.svg", "plain")


def _fonts() -> Path:
    """The folder of faces: inside an installed package, or at the top of a source tree."""
    package = Path(__file__).parents[2]
    inside = package / "fonts"
    return inside if inside.is_dir() else package.parent / "fonts"


def _with_marks(text: str) -> list[str]:
    """The characters of a text, each with the marks that are set on it."""
    characters: list[str] = []
    for character in unicodedata.normalize("NFC", text):
        if characters and unicodedata.category(character).startswith("M"):
            characters[-1] += character
        else:
            characters.append(character)
    return characters
