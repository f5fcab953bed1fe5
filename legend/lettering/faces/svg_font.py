"""Read an SVG font of single strokes: the path of each character.

The format is the SVG font of the W3C (SVG 1.1, chapter 20). Entities are refused with the
DOCTYPE that they come with.
"""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from pathlib import Path

from legend.lettering.faces.face import FaceError

#: What in the path of a glyph draws something.
_STROKES = re.compile("[LlHhVvCcSsQqTtAaZz]")
#: So many bytes are read at once.
_AT_ONCE = 65_536


@dataclass(frozen=True, slots=True)
class SvgFont:
    """What a font file says: the `d` of each character that has strokes, in the font's units,
    and its cap-height, or None where it does not state it."""

    paths: dict[str, str]
    cap_height: float | None


def read_svg_font(path: Path) -> SvgFont:
    """The font in a file. Error: FaceError where it is no font of single strokes."""
    font = _read(path)
    if not font.paths:
        raise FaceError(f"The face {path} has no glyphs with strokes.")
    stated = font.cap_height
    return SvgFont(font.paths, None if stated is None else _stated_height(stated, path))


class _DoctypeError(Exception):
    """The file has a DOCTYPE."""


class _Font:
    """Takes what a reader of XML finds, and keeps of it what is of use of the first font.

    Nothing else is kept, however much there is of it. Entities are refused with their DOCTYPE.
    """

    def __init__(self) -> None:
        self.paths: dict[str, str] = {}
        self.cap_height: str | None = None
        self.begun = False
        self._is_described = False
        self._depth = 0
        self._depth_within = 0

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        name = tag.rpartition("}")[2]
        self._depth += 1
        if name == "font" and not self.begun:
            self.begun, self._depth_within = True, self._depth + 1
        elif self._depth == self._depth_within:
            self._keep(name, attributes)

    def _keep(self, name: str, attributes: dict[str, str]) -> None:
        """Keep a glyph of one character with strokes, and the first font-face's height."""
        if name == "glyph":
            character, d = attributes.get("unicode", ""), attributes.get("d", "")
            if len(character) == 1 and _STROKES.search(d):
                self.paths[character] = d
        elif name == "font-face" and not self._is_described:
            self._is_described, self.cap_height = True, attributes.get("cap-height")

    def end(self, _tag: str) -> None:
        self._depth -= 1
        if self._depth < self._depth_within - 1:
            self._depth_within = 0

    def doctype(self, _name: str, _public_id: str | None, _system: str | None) -> None:
        raise _DoctypeError


def _read(path: Path) -> _Font:
    font = _Font()
    parser = ET.XMLParser(target=font)
    try:
        with path.open("rb") as file:
            while some := file.read(_AT_ONCE):
                parser.feed(some)
        parser.close()
    except OSError as error:
        reason = (error.strerror or "it cannot be read").lower()
        raise FaceError(f"The face {path} cannot be opened: {reason}.") from None
    except ET.ParseError as error:
        raise FaceError(
            f"The face {path} is damaged: it is not well-formed XML ({error})."
        ) from None
    except (LookupError, ValueError):  # as Python has it of an encoding
        raise FaceError(
            f"The face {path} is in an encoding that cannot be read; save it as UTF-8."
        ) from None
    except _DoctypeError:
        raise FaceError(
            f"The face {path} has a DOCTYPE, which is refused because it can hide other files. "
            "Take the DOCTYPE out; an SVG font needs none."
        ) from None
    if not font.begun:
        raise FaceError(f"The face {path} is no SVG font: it has no <font>.")
    return font


def _stated_height(stated: str, path: Path) -> float:
    try:
        height = float(stated)
    except ValueError:
        height = 0.0
    if not 0 < height < math.inf:
        raise FaceError(
            f"The face {path} states a cap-height of {stated[:40]!r}, which is no height."
        )
    return height
