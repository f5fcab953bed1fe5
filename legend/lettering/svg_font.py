"""Read a font of single strokes: an SVG font file in, the path of each character out.

The format is the SVG font of the W3C (SVG 1.1, chapter 20). Entities are refused with the
DOCTYPE that they come with.
"""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import NamedTuple

from legend.lettering.face import FaceError

#: What in the path of a glyph draws something.
_STROKES = re.compile("[LlHhVvCcSsQqTtAaZz]")


class SvgFont(NamedTuple):
    """What a font file says: the `d` of each character that has strokes, in the font's units,
    and its cap-height, or None where it does not state it."""

    paths: dict[str, str]
    cap_height: float | None


def read_svg_font(path: Path) -> SvgFont:
    """The font in a file. Error: FaceError where it is no font of single strokes."""
    font = _font_element(path)
    paths = {
        character: d
        for glyph in font
        if _tag(glyph) == "glyph" and len(character := glyph.get("unicode", "")) == 1
        if _STROKES.search(d := glyph.get("d", ""))
    }
    if not paths:
        raise FaceError(f"The face {path} has no glyphs with strokes.")
    about = next((each for each in font if _tag(each) == "font-face"), None)
    stated = None if about is None else about.get("cap-height")
    return SvgFont(paths, None if stated is None else _stated_height(stated, path))


class _DoctypeError(Exception):
    """The file has a DOCTYPE."""


class _Builder(ET.TreeBuilder):
    """Builds the tree of a file, and refuses a DOCTYPE and the entities that come with it."""

    def doctype(self, name: str, public_id: str | None, system: str | None) -> None:
        raise _DoctypeError


def _font_element(path: Path) -> ET.Element:
    try:
        data = path.read_bytes()
        root = ET.fromstring(data, ET.XMLParser(target=_Builder()))
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
    font = next((element for element in root.iter() if _tag(element) == "font"), None)
    if font is None:
        raise FaceError(f"The face {path} is no SVG font: it has no <font>.")
    return font


def _tag(element: ET.Element) -> str:
    return str(element.tag).rpartition("}")[2]


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
