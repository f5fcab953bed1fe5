"""Faces of single strokes: an SVG font of skeletons in, placed and inked letters out.

The format is the SVG font of the W3C (SVG 1.1, chapter 20), each glyph's `d` the line down
the middle of its strokes. The built-in face `plain` is such a file; a user's own works alike.
"""

from __future__ import annotations

import math
import unicodedata
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Literal, NamedTuple

from legend.lettering.face import FaceError, Letter, Line, TextStyle
from legend.lettering.outline import Outline
from legend.lettering.skeleton import Point, Run, Skeleton, read_path, transformed
from legend.lettering.spacing import Profile, pair_space, profile_of
from legend.lettering.stroking import stroked
from legend.standards import ISO_B_BETWEEN_CHARACTERS, ISO_B_BETWEEN_WORDS

_SPACES = {" ": 1.0, "\u00a0": 1.0, "\u2009": 0.5, "\u202f": 0.5, "\u2002": 1.0, "\u2003": 2.0}


class Manner(NamedTuple):
    """What of a style decides the shape of a letter."""

    height: float
    stroke: float
    width: float
    slope: float
    ends: Literal["round", "square"]


class InkedGlyph(NamedTuple):
    """One letter inked at its size, its pen at x = 0."""

    outline: Outline
    profile: Profile
    flattened: bool


@dataclass(eq=False)
class StrokeFace:
    """A face whose letters are single strokes, read from an SVG font.

    >>> line = plain().set_line("ON", TextStyle(plain(), height=3.5))
    >>> [letter.text for letter in line.letters]
    ['O', 'N']
    """

    name: str
    cap_height: float
    _paths: dict[str, str]
    _skeletons: dict[str, Skeleton] = field(default_factory=dict)
    _inked: dict[tuple[str, Manner], InkedGlyph] = field(default_factory=dict)
    _spaces: dict[tuple[str, str, Manner], float] = field(default_factory=dict)

    # --- Reading ---

    @classmethod
    def read(cls, path: Path, name: str | None = None) -> StrokeFace:
        """The face in an SVG font file.

        Error: FaceError where the file cannot be read as a font of single strokes.
        """
        try:
            data = path.read_bytes()
        except OSError as error:
            reason = error.strerror or "it cannot be read"
            raise FaceError(f"The face {path} cannot be opened: {reason}.") from None
        try:
            root = ET.fromstring(data, ET.XMLParser(target=_NoDoctype()))
        except ET.ParseError as error:
            raise FaceError(
                f"The face {path} is damaged: its XML does not parse ({error})."
            ) from None
        except _DoctypeFoundError:
            raise FaceError(
                f"The face {path} is refused because it has a DOCTYPE. Take that line out."
            ) from None
        font = next((e for e in root.iter() if _local(e) == "font"), None)
        if font is None:
            raise FaceError(f"The face {path} has no <font>, so it is no SVG font.")
        paths = {
            glyph.get("unicode", ""): glyph.get("d", "")
            for glyph in font
            if _local(glyph) == "glyph" and len(glyph.get("unicode", "")) == 1
        }
        if not any(paths.values()):
            raise FaceError(f"The face {path} has no glyphs with strokes.")
        face = cls(name or str(path), 0.0, paths)
        about = next((e for e in font if _local(e) == "font-face"), None)
        stated = about.get("cap-height") if about is not None else None
        face.cap_height = face._measured_cap_height() if stated is None else float(stated)
        return face

    def _measured_cap_height(self) -> float:
        for character in "HIEXTZ0":
            if self._paths.get(character):
                return max(y for _, y in _points(self.skeleton(character)))
        raise FaceError(f"The face {self.name} says no cap-height and has no capital H.")

    # --- The face ---

    def has(self, character: str) -> bool:
        """Whether the face can draw this character."""
        return character in _SPACES or all(part in self._paths for part in _parts(character))

    def skeleton(self, character: str) -> Skeleton:
        """The strokes of a character in the font's units."""
        if character not in self._skeletons:
            try:
                self._skeletons[character] = read_path(self._paths[character])
            except ValueError as error:
                raise FaceError(
                    f"The face {self.name} has a damaged path for {character!r}: {error}."
                ) from None
        return self._skeletons[character]

    def set_line(self, text: str, style: TextStyle) -> Line:
        """The letters of one line, spaced by their shapes."""
        manner = Manner(style.height, style.stroke, style.width, style.slope, style.ends)
        between = ISO_B_BETWEEN_CHARACTERS * style.height
        letters: list[Letter] = []
        missing: list[str] = []
        pen = 0.0
        flattened = False
        before: str | None = None
        gap = 0.0
        edge = between / 2
        for character in unicodedata.normalize("NFC", text):
            if character in _SPACES:
                gap += _SPACES[character] * ISO_B_BETWEEN_WORDS * style.height
                letters.append(Letter(character, Outline(())))
                continue
            if not self.has(character):
                missing.append(character)
                continue
            glyph = self._ink(character, manner)
            flattened |= glyph.flattened
            left, right = glyph.profile.left, glyph.profile.right
            if before is None or gap:
                pen = edge + gap - left
            else:
                pen += self._space(before, character, manner) + style.tracking * style.height
            letters.append(Letter(character, glyph.outline.moved(pen, 0.0)))
            edge = pen + right
            before, gap = character, 0.0
        advance = edge + gap + between / 2
        return Line(tuple(letters), advance, tuple(missing), flattened)

    def _ink(self, character: str, manner: Manner) -> InkedGlyph:
        key = (character, manner)
        if key not in self._inked:
            height, stroke, width, slope, ends = manner
            scale = height * (1 - stroke) / self.cap_height
            lean = math.tan(math.radians(slope)) * scale
            affine = (scale * width, 0.0, lean, scale, 0.0, stroke * height / 2)
            skeleton = transformed(self.skeleton(character), affine)
            outline, flattened = stroked(skeleton, stroke * height, ends)
            self._inked[key] = InkedGlyph(outline, profile_of(outline, height), flattened)
        return self._inked[key]

    def _space(self, before: str, after: str, manner: Manner) -> float:
        key = (before, after, manner)
        if key not in self._spaces:
            self._spaces[key] = pair_space(
                self._ink(before, manner).profile,
                self._ink(after, manner).profile,
                ISO_B_BETWEEN_CHARACTERS * manner.height,
                manner.stroke * manner.height,
            )
        return self._spaces[key]


@lru_cache(maxsize=1)
def plain() -> StrokeFace:
    """The built-in face."""
    return StrokeFace.read(_fonts() / "plain.svg", "plain")


def _fonts() -> Path:
    """The folder of faces: inside an installed package, or at the top of a source tree."""
    package = Path(__file__).parents[1]
    inside = package / "fonts"
    return inside if inside.is_dir() else package.parent / "fonts"


class _DoctypeFoundError(Exception):
    pass


class _NoDoctype(ET.TreeBuilder):
    """Builds the tree of a file, and refuses a DOCTYPE and the entities that come with it."""

    def doctype(self, name: str, public_id: str | None, system: str | None) -> None:
        raise _DoctypeFoundError


def _local(element: ET.Element) -> str:
    return element.tag.rpartition("}")[2]


def _parts(character: str) -> str:
    return character


def _points(skeleton: Skeleton) -> Iterator[Point]:
    for run in skeleton:
        yield run.start
        for segment in run.segments:
            yield segment.end


__all__ = ["Run", "StrokeFace", "plain"]
