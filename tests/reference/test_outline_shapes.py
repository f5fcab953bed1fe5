"""Glyph shapes against FreeType's and matplotlib's, advances and places against HarfBuzz's.

Sources: FreeType 2 (its rasteriser, through Pillow), HarfBuzz (through uharfbuzz), and the
text paths of matplotlib, each run here on the same font files. The fonts come as Python
packages: matplotlib (DejaVu), font-source-serif-pro (a serif with cubic curves), font-manrope.
"""

import io
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
import uharfbuzz as hb
from font_files import BOLD, DEJAVU, SANS, SERIF
from fontTools import subset
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont, newTable
from fontTools.ttLib.tables.ttProgram import Program
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.font_manager import FontProperties
from matplotlib.path import Path as DrawnPath
from matplotlib.textpath import TextPath
from matplotlib.transforms import Affine2D
from PIL import Image, ImageDraw, ImageFont

from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.outlines.outline import Outline

PRINTABLE = "".join(map(chr, range(33, 127)))

#: The larger side of each glyph's own ink, and the least that two pictures of it must share of
#: all that either inks. The bar is the project's own.
PIXELS = 400
LEAST_OVERLAP = 0.995


FONTS = [SANS, DEJAVU / "DejaVuSerif-Bold.ttf", SERIF, BOLD]
every_font = pytest.mark.parametrize("path", FONTS, ids=lambda path: path.stem)


@lru_cache
def style(path: Path, height: float = 10.0) -> TextStyle:
    return TextStyle(load_face(str(path), Path()), height)


@lru_cache
def font_units(path: Path) -> float:
    """Millimetres in a font unit at a capital height of 10 mm."""
    _, bottom, _, top = glyph_box(path, "H")
    return 10.0 / (top - bottom)


@lru_cache
def glyph_box(path: Path, name: str) -> tuple[float, float, float, float] | None:
    """The ink of a glyph in font units, as fontTools measures its curves."""
    glyphs = TTFont(path).getGlyphSet()
    pen = BoundsPen(glyphs)
    glyphs[name].draw(pen)
    return pen.bounds


# --- FreeType ---


@lru_cache
def unhinted(path: Path) -> bytes:
    """The font without its hints, so that FreeType leaves the curves where they are drawn.

    A font program that does nothing keeps FreeType's automatic hinter away as well.
    """
    options = subset.Options(hinting=False, layout_features=[], drop_tables=["FFTM", "MATH"])
    font = subset.load_font(str(path), options)
    chosen = subset.Subsetter(options)
    chosen.populate(text=PRINTABLE)
    chosen.subset(font)
    if "glyf" in font:
        font["fpgm"] = newTable("fpgm")
        font["fpgm"].program = Program()
        font["fpgm"].program.fromBytecode(b"\xb0\x00\x21")  # push 0, pop
        font["maxp"].maxStackElements = font["maxp"].maxSizeOfInstructions = 1
        for glyph in font["glyf"].glyphs.values():
            glyph.expand(font["glyf"])
            for component in glyph.components if glyph.isComposite() else ():
                component.flags &= ~0x0004  # not moved to whole pixels
    held = io.BytesIO()
    font.save(held)
    return held.getvalue()


_DRAWN = {"L": [DrawnPath.LINETO], "Q": [DrawnPath.CURVE3] * 2, "C": [DrawnPath.CURVE4] * 3}


def coverage(outline: Outline, width: int, height: int, affine: Affine2D) -> np.ndarray:
    """How much of each pixel an outline inks."""
    points, codes = [], []
    for contour in outline.contours:
        points += [*contour.points.tolist(), [0, 0]]
        codes += [DrawnPath.MOVETO, *(c for code in contour.codes for c in _DRAWN[code])]
        codes.append(DrawnPath.CLOSEPOLY)
    canvas = RendererAgg(width, height, 72)
    pen = canvas.new_gc()
    pen.set_linewidth(0)
    pen.set_antialiased(True)
    pen.set_snap(False)
    canvas.draw_path(pen, DrawnPath(np.array(points), codes), affine, (0, 0, 0))
    return np.asarray(canvas.buffer_rgba())[:, :, 3] / 255


@every_font
def test_glyphs_are_shaped_like_freetypes(path: Path) -> None:
    unit = font_units(path)
    upem = TTFont(path)["head"].unitsPerEm
    for character in PRINTABLE:
        outline = style(path).face.set_line(character, style(path)).letters[0].outline
        left, bottom, right, top = outline.bounds
        size = round(PIXELS / (max(right - left, top - bottom) / unit) * upem)
        scale = size / upem / unit
        width, height = int((right - left) * scale) + 9, int((top - bottom) * scale) + 9
        x, y = 4 - int(np.floor(left * scale)), 4 + int(np.ceil(top * scale))

        font = ImageFont.truetype(
            io.BytesIO(unhinted(path)), size, layout_engine=ImageFont.Layout.BASIC
        )
        picture = Image.new("L", (width, height))
        ImageDraw.Draw(picture).text((x, y), character, fill=255, font=font, anchor="ls")
        theirs = np.asarray(picture) / 255
        place = Affine2D().scale(scale).translate(x, height - y)
        ours = coverage(outline, width, height, place)
        overlap = np.minimum(ours, theirs).sum() / np.maximum(ours, theirs).sum()
        assert overlap >= LEAST_OVERLAP, f"{character}: {overlap:.4f}"


# --- matplotlib ---


# Not Manrope: its contours overlap, and a sum over them counts the overlaps twice.
@pytest.mark.parametrize("path", FONTS[:3], ids=lambda path: path.stem)
@pytest.mark.parametrize("text", ["EXPOSURE", "0123456789", "Safelight", "@&%$#?!{}[]"])
def test_areas_are_those_of_matplotlibs_text_paths(path: Path, text: str) -> None:
    upem = TTFont(path)["head"].unitsPerEm
    drawn = TextPath((0, 0), text, size=upem, prop=FontProperties(fname=str(path)))
    fine = Affine2D().scale(100)  # matplotlib flattens to a part of its unit
    area = 0.0
    for x, y in (ring.T for ring in drawn.to_polygons(fine)):
        area += (x[:-1] @ y[1:] - x[1:] @ y[:-1]) / 2 / 100**2
    letters = style(path).face.set_line(text, style(path)).letters
    ours = sum(letter.outline.area for letter in letters) / font_units(path) ** 2
    assert ours == pytest.approx(abs(area), rel=0.005)


# --- HarfBuzz ---

WORDS = ["AVATAR", "LATVIA To. Ty", "1.1.1 L7", "office fjord", "E\u0301te\u0301", "10 kΩ ±5 %"]


@every_font
@pytest.mark.parametrize("text", WORDS)
def test_letters_stand_where_harfbuzz_puts_them(path: Path, text: str) -> None:
    font = hb.Font(hb.Face(hb.Blob.from_file_path(str(path))))
    buffer = hb.Buffer()
    buffer.add_str(text)
    buffer.language = "en"
    buffer.guess_segment_properties()
    hb.shape(font, buffer)
    names = TTFont(path).getGlyphOrder()
    unit, pen, boxes = font_units(path), 0, {}
    for info, at in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        box = glyph_box(path, names[info.codepoint])
        if info.codepoint and box:
            left, right = ((pen + at.x_offset + side) * unit for side in (box[0], box[2]))
            known = boxes.get(info.cluster, (left, right))
            boxes[info.cluster] = (min(known[0], left), max(known[1], right))
        pen += at.x_advance
    line = style(path).face.set_line(text, style(path))
    if line.missing:
        assert not font.get_nominal_glyph(ord(line.missing[0]))
    assert line.advance == pytest.approx(pen * unit, abs=1e-6)
    inked = [letter.outline.bounds for letter in line.letters if letter.outline]
    assert len(inked) == len(boxes)
    for (left, _, right, _), wanted in zip(inked, boxes.values(), strict=True):
        assert (left, right) == pytest.approx(wanted, abs=0.003)
