"""Load a face from a font file, and set text in the font's own curves.

HarfBuzz shapes (kerning, ligatures, marks, right-to-left) and draws the glyphs, variable
instances included. Sizes are capital heights, measured on the ink of the font's own
capitals. Imports HarfBuzz at once, so import this module only to load a font.
"""

from __future__ import annotations

import math
import struct
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import groupby
from pathlib import Path

import numpy as np
import uharfbuzz as hb

from legend.lettering.directions import visual_runs
from legend.lettering.faces.face import USUAL_STROKE, FaceError, Frame, Letter, Line, TextStyle
from legend.lettering.faces.small_figures import SOLIDUS
from legend.lettering.faces.web_font import TooLongError, is_web_font, unpacked
from legend.lettering.outlines.boolean import TangleError, cleaned, joined
from legend.lettering.outlines.excessive import why_not
from legend.lettering.outlines.measuring import foot, has_ink, leans_by, leg
from legend.lettering.outlines.outline import Contour, Outline
from legend.lettering.strokes.pen import Ends
from legend.limits import FURTHEST

#: Glyphs are kept at this capital height, mm, at which overlaps are looked for.
_KEPT_HEIGHT = 10.0

#: Characters whose ink shows how tall capitals are, the best first.
_TALL = "HIEZTX"

#: Characters whose legs show how heavy the strokes are.
_UPRIGHT = "HIiLT"

#: So far above the foot of a stroke, in its widths, it is looked at for its end; and one is round
#: that is narrower there than this part of its width. Half a circle leaves 0.6 of it, a sharp
#: corner all, and one that is eased by a fifth of the width 0.95.
_FOOT, _ROUND = 0.1, 0.8

#: What HarfBuzz is told of the language, so that no setting of the machine comes through.
_LANGUAGE = "en"


class OutlineFace:
    """A face of filled outlines, read from a font file by `read_face`.

    `stem` is how wide its upright strokes are, in capital heights, and `ends` what their feet are
    like.
    """

    def __init__(self, name: str, font: hb.Font) -> None:
        self._name = name
        self._font = font
        self._capital = _capital_height(name, font)
        self._glyphs: dict[int, _Glyph] = {}
        self._sized: dict[tuple[int, float, float, float], Outline] = {}
        self.stem, self.ends = self._measured_strokes()
        self._lean = self._measured_lean()

    @property
    def name(self) -> str:
        """What the description calls it."""
        return self._name

    def has(self, character: str) -> bool:
        """Whether the font has a glyph of its own for this character."""
        return self._font.get_nominal_glyph(ord(character)) is not None

    def _measured_strokes(self) -> tuple[float, Ends]:
        """Width of the upright strokes over capital height, and the ends of them; the usual ones
        if there are none."""
        for character in _UPRIGHT:
            glyph = self._font.get_nominal_glyph(ord(character))
            outline = self._glyph(glyph).outline if glyph is not None else None
            if outline and has_ink(outline.shape) and (breadth := leg(outline.shape)):
                is_round = foot(outline.shape, _FOOT * breadth) < _ROUND * breadth
                return breadth / _KEPT_HEIGHT, "round" if is_round else "square"
        return USUAL_STROKE, "round"

    def _measured_lean(self) -> float:
        """How far the upright strokes lean to the right for their height, as those of an italic."""
        for character in _UPRIGHT:
            glyph = self._font.get_nominal_glyph(ord(character))
            outline = self._glyph(glyph).outline if glyph is not None else None
            if outline and has_ink(outline.shape):
                return leans_by(outline.shape)
        return 0.0

    def forms(self, text: str, feature: str) -> bool:
        """Whether a feature of the font gives another form to every character of a text."""
        without = {"frac": False, "numr": False, "dnom": False}  # those HarfBuzz turns on itself
        plain, formed = (
            [glyph.id for cluster in self._shaped(text, on) for glyph in cluster.glyphs]
            for on in (without, {feature: True})
        )
        same = (one == other for one, other in zip(plain, formed, strict=False))
        is_slash = [character == SOLIDUS for character in text]
        if 0 in formed or len(formed) != len(plain) or len(plain) != len(text):
            return False
        return all(slash or not kept for kept, slash in zip(same, is_slash, strict=True))

    def set_line(self, text: str, style: TextStyle, feature: str = "") -> Line:
        """The letters of one line as HarfBuzz places them, in the forms of a feature.

        `style.stroke` and `style.ends` are the font's own business. Where letters are
        tracked, ligatures are not formed.
        """
        scale = style.height / self._capital
        lean = math.tan(math.radians(style.slope))
        frame = Frame(lean=lean + self._lean * style.width)
        letters: list[Letter] = []
        missing: list[str] = []
        flattened = False
        pen = 0.0
        features = {"liga": False, "clig": False} if style.tracking else {}
        if feature:
            features[feature] = True
        for cluster in self._shaped(text, features) if text else ():
            if letters or missing:
                pen += style.tracking * style.height
            placed: list[Outline] = []
            for glyph in cluster.glyphs:
                if glyph.id == 0:
                    missing += [c for c in cluster.text if not self.has(c)] or [*cluster.text]
                    continue
                if abs(glyph.advance) > FURTHEST * self._capital:
                    raise self._no_letter(glyph.id, "takes the room of many words")
                flattened |= self._glyph(glyph.id).flattened
                outline = self._at_size(glyph.id, style)
                if outline:
                    dy = glyph.y * scale
                    x = pen + glyph.x * scale * style.width + lean * dy
                    placed.append(outline.moved(x, dy))
                pen += glyph.advance * scale * style.width
            ink = joined(placed)
            flattened |= ink.flattened
            letters.append(Letter(cluster.text, ink.outline, frame))
        return Line(tuple(letters), pen, tuple(dict.fromkeys(missing)), flattened)

    def _shaped(self, text: str, features: Mapping[str, bool]) -> Iterator[_Cluster]:
        """The glyphs of the text, from left to right, with the characters they stand for."""
        for run, direction in visual_runs(text):
            buffer = hb.Buffer()
            buffer.add_str(run)
            buffer.direction = direction
            buffer.language = _LANGUAGE
            buffer.guess_segment_properties()
            try:
                hb.shape(self._font, buffer, dict(features))
            except (MemoryError, hb.HarfBuzzError):  # its rules make letters without end
                raise FaceError(
                    f"The face {self._name!r} is damaged: its rules for setting {run!r} have no "
                    "end; fetch it again or choose another face."
                ) from None
            infos, positions = buffer.glyph_infos, buffer.glyph_positions
            starts = sorted({info.cluster for info in infos})
            ends = dict(zip(starts, [*starts[1:], len(run)], strict=True))
            pairs = zip(infos, positions, strict=True)
            for start, members in groupby(pairs, key=lambda pair: pair[0].cluster):
                glyphs = tuple(
                    _Placed(info.codepoint, at.x_offset, at.y_offset, at.x_advance)
                    for info, at in members
                )
                yield _Cluster(run[start : ends[start]], glyphs)

    def _at_size(self, glyph: int, style: TextStyle) -> Outline:
        """A glyph in the size, width and slope of the style, its pen at the origin."""
        key = (glyph, style.height, style.width, style.slope)
        if key not in self._sized:
            scale = style.height / _KEPT_HEIGHT
            lean = math.tan(math.radians(style.slope))
            self._sized[key] = self._glyph(glyph).outline.transformed(
                (scale * style.width, 0, lean * scale, scale, 0, 0)
            )
        return self._sized[key]

    def _glyph(self, glyph: int) -> _Glyph:
        """A glyph's own outline. Error: FaceError where no letter can be cut from it."""
        if glyph not in self._glyphs:
            pen = _Pen(_KEPT_HEIGHT / self._capital)
            self._font.draw_glyph_with_pen(glyph, pen)
            if why := pen.why_not():
                raise self._no_letter(glyph, why)
            try:
                self._glyphs[glyph] = _Glyph(*cleaned(pen.contours))
            except TangleError as error:
                raise self._no_letter(glyph, str(error)) from None
        return self._glyphs[glyph]

    def _no_letter(self, glyph: int, why: str) -> FaceError:
        named = self._font.glyph_to_string(glyph)
        return FaceError(
            f"No letter can be cut from the glyph {named!r} of the face {self._name!r}: it {why}. "
            "Choose another face."
        )


@dataclass(frozen=True, slots=True, eq=False)
class _Glyph:
    outline: Outline
    flattened: bool


@dataclass(frozen=True, slots=True)
class _Placed:
    """A glyph as HarfBuzz places it, in font units."""

    id: int
    x: int
    y: int
    advance: int


@dataclass(frozen=True, slots=True)
class _Cluster:
    text: str
    glyphs: tuple[_Placed, ...]


@dataclass(slots=True)
class _Pen:
    """Takes the curves of a glyph from HarfBuzz and keeps them as contours, scaled."""

    scale: float
    contours: list[Contour] = field(default_factory=list)
    _codes: list[str] = field(default_factory=list)
    _points: list[tuple[float, float]] = field(default_factory=list)

    def moveTo(self, point: tuple[float, float]) -> None:  # noqa: N802
        self._codes, self._points = [], [point]

    def lineTo(self, point: tuple[float, float]) -> None:  # noqa: N802
        if point != self._points[-1]:
            self._codes.append("L")
            self._points.append(point)

    def qCurveTo(self, *points: tuple[float, float]) -> None:  # noqa: N802
        self._codes.append("Q")
        self._points += points

    def curveTo(self, *points: tuple[float, float]) -> None:  # noqa: N802
        self._codes.append("C")
        self._points += points

    def closePath(self) -> None:  # noqa: N802
        if self._codes[-1:] == ["L"] and self._points[-1] == self._points[0]:
            self._codes.pop()
            self._points.pop()
        if len(self._codes) > 1 or (self._codes and self._codes != ["L"]):
            points = np.array(self._points, dtype=float) * self.scale
            self.contours.append(Contour("".join(self._codes), points))

    def why_not(self) -> str:
        """Why no letter can be cut from what was drawn; "" where one can."""
        if not self.contours:
            return ""
        points = np.concatenate([contour.points for contour in self.contours]) / _KEPT_HEIGHT
        return why_not(points, sum(len(contour.codes) for contour in self.contours))


def _capital_height(name: str, font: hb.Font) -> float:
    """Height of the ink of the font's capitals, in font units."""
    for character in _TALL:
        glyph = font.get_nominal_glyph(ord(character))
        extents = None if glyph is None else font.get_glyph_extents(glyph)
        if extents and extents.height:
            return float(abs(extents.height))
    height = font.get_metric_position(hb.OTMetricsTag.CAP_HEIGHT)
    if not height or height <= 0:
        raise FaceError(
            f"The face {name!r} has no capitals, so letters cannot be sized by capital height; "
            "choose another face."
        )
    return float(height)


# --- Reading the file ---


def read_face(name: str, path: Path, axes: Mapping[str, float], index: int) -> OutlineFace:
    """The face in a font file: .ttf, .otf, .woff, .woff2, or number `index` of a collection.

    `axes` gives values for the axes of a variable font. Error: FaceError, a whole sentence.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        raise FaceError(f"The face file {path} cannot be read: {error.strerror}.") from None
    if is_web_font(data):
        data = _unpacked(data, path)
    _check_directory(data, path, index)
    face = hb.Face(hb.Blob(data), index)
    if not face.glyph_count or not face.unicodes:
        raise _damaged(path, "it has no glyphs or does not say which characters they stand for")
    font = hb.Font(face)
    _set_axes(font, axes, path)
    return OutlineFace(name, font)


def _unpacked(data: bytes, path: Path) -> bytes:
    """A web font as the plain font inside it."""
    try:
        return unpacked(data)
    except TooLongError:
        raise FaceError(
            f"The font {path} cannot be unpacked: far more comes out of it than a font for the web "
            "holds. Take the same face as .ttf or .otf, or choose another."
        ) from None
    except Exception as error:  # fontTools lets errors of every kind through
        raise _damaged(path, "it cannot be unpacked") from error


def _check_directory(data: bytes, path: Path, index: int) -> None:
    """The list of tables at the head of the file must fit the file."""
    try:
        at = 0
        if data[:4] == b"ttcf":
            (count,) = struct.unpack_from(">L", data, 8)
            if not 0 <= index < count:
                raise FaceError(f"The collection {path} has {count} faces, numbered from 0.")
            (at,) = struct.unpack_from(">L", data, 12 + 4 * index)
        elif index:
            raise FaceError(f"The face file {path} holds one face, which is number 0.")
        kind = data[at : at + 4]
        if kind not in (b"\0\1\0\0", b"OTTO", b"true"):
            raise FaceError(
                f"The file {path} is not a font; a face is a .ttf, .otf, .ttc, .woff or .woff2 "
                "font, or an .svg font of single strokes."
            )
        (tables,) = struct.unpack_from(">H", data, at + 4)
        found = set()
        for number in range(tables):
            tag, _, start, length = struct.unpack_from(">4sLLL", data, at + 12 + 16 * number)
            if start + length > len(data):
                raise _damaged(path, "it ends before all of it was read")
            found.add(tag)
    except struct.error:
        raise _damaged(path, "it ends before all of it was read") from None
    if not found & {b"glyf", b"CFF ", b"CFF2"}:
        raise FaceError(f"The font {path} has no outlines to cut; choose another face.")


def _set_axes(font: hb.Font, axes: Mapping[str, float], path: Path) -> None:
    known = {info.tag: info for info in font.face.axis_infos}
    for tag, value in axes.items():
        if tag not in known:
            has = f"its axes are {', '.join(known)}" if known else "it is not a variable font"
            raise FaceError(f"The font {path} has no axis {tag!r}; {has}.")
        low, high = known[tag].min_value, known[tag].max_value
        if not low <= value <= high:
            raise FaceError(
                f"The axis {tag!r} of the font {path} goes from {low:g} to {high:g}, "
                f"not to {value:g}."
            )
    if axes:
        font.set_variations(dict(axes))


def _damaged(path: Path, how: str) -> FaceError:
    return FaceError(f"The font {path} is damaged: {how}; fetch it again or choose another face.")
