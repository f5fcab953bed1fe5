"""What bridges cost, face by face and size by size: paint, whole strokes, and whether words read.

    .venv/bin/python tests/bench/bridged_faces.py             # all that is at hand
    .venv/bin/python tests/bench/bridged_faces.py plain sans  # these faces

For each face and height:

- **kept**: per cent of the paint of all characters of ASCII and Latin-1 that bridges leave, of the
  capitals, figures and small letters that have counters, and of A alone;
- **a counter**: bridges for each counter of these;
- **severed**: bridges that cut a stroke elsewhere than at a joint, by `tests/stroke_judge.py`: of
  A B D P R 4, where there ought to be none, and of O Q C 0 8, which have two each, and 8 a third;
- **read**: of 30 words, those that Tesseract reads as they are written when they are bridged, out
  of those that it reads when they are not. Left out where it is not installed.
"""

from __future__ import annotations

import argparse
import importlib.util
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import shapely
from PIL import Image, ImageDraw

sys.path.insert(0, str(Path(__file__).parents[1]))
from stroke_judge import bridges, severed

from legend.description.tables.description import Stencil
from legend.description.tables.stock import limits
from legend.lettering.faces.face import Face, FaceError, TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import Setting, set_text
from legend.stencil.bridging.bridges import bridged

SHEET = limits(Stencil(method="paint-through", stock="sheet"))
#: Faces of every build, as a description names them, or `package:file`; those that the machine
#: lacks are left out.
FACES = {
    "plain": "plain",
    "sans": "matplotlib:mpl-data/fonts/ttf/DejaVuSans.ttf",
    "serif": "font_source_serif_pro:files/SourceSerifPro-Regular.otf",
    "bold": "font_manrope:files/Manrope-Bold.ttf",
    "rounded": "font_fredoka_one:files/FredokaOne-Regular.ttf",
    "condensed": "font_amatic_sc:files/AmaticSC-Bold.ttf",
    "handwritten": "font_intuitive:files/Intuitive.ttf",
    "heavy serif": "matplotlib:mpl-data/fonts/ttf/DejaVuSerif-Bold.ttf",
    "monospaced": "matplotlib:mpl-data/fonts/ttf/DejaVuSansMono.ttf",
    "oblique": "matplotlib:mpl-data/fonts/ttf/DejaVuSans-Oblique.ttf",
    "neutral": "Inter",
    "black": "Lato Black",
}
HEIGHTS = (3.5, 5.0, 12.0)
WITH_COUNTERS = "ABDOPQR04689abdegopq"
MAIN_STROKES, ROUND = "ABDPR4", "OQC08"
_WORDS = """
    BAROQUE POWER RADIO BOARD DOOR PROBE QUARTZ GARDEN ABROAD RANGE PHASE DEGREE 4680 9086 4096
    Speed Depth Gauge Bridge Pedal Dial Quad Exposed Grade Adapter Booking Open Paper Dropped A468
"""
WORDS = _WORDS.split()


@dataclass(frozen=True, slots=True)
class Cut:
    """A text before and after bridging."""

    setting: Setting
    after: Outline

    @property
    def before(self) -> Outline:
        return self.setting.outline

    @property
    def kept(self) -> float:
        return self.after.area / self.before.area


def main() -> None:
    """Print one line for each face and height."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("faces", nargs="*", help=f"of {', '.join(FACES)}")
    asked.add_argument("--heights", type=float, nargs="+", default=HEIGHTS, help="in mm")
    options = asked.parse_args()
    print(
        "face            height  kept: all  letters       A  a counter  severed: ABDPR4  OQC08"
        "      read  time a character"
    )
    for face in options.faces or FACES:
        try:
            styles = [TextStyle(_face(face), height) for height in options.heights]
        except (FaceError, LookupError) as error:
            print(f"{face} is left out: {error}", file=sys.stderr)
            continue
        for style in styles:
            print(_row(face, style), flush=True)


def _face(name: str) -> Face:
    package, _, file = FACES[name].partition(":")
    if not file:
        return load_face(package, Path())
    spec = importlib.util.find_spec(package)
    if not spec or not spec.origin:
        raise LookupError(f"the package {package} is not installed.")
    return load_face(str(Path(spec.origin).parent / file), Path())


def _row(face: str, style: TextStyle) -> str:
    codes = (*range(0x21, 0x7F), *range(0xA1, 0xAD), *range(0xAE, 0x100))
    every = [c for c in map(chr, codes) if style.face.has(c)]
    start = time.process_time()
    whole = list(_cut(every, style))
    each = (time.process_time() - start) / len(whole) * 1e3
    by = dict(zip(every, whole, strict=True))
    letters = [by[c] for c in WITH_COUNTERS if c in by and _counters(by[c].before)]
    counted = sum(len(bridges(cut.before, cut.after)) for cut in letters)
    counters = sum(_counters(cut.before) for cut in letters)
    runs = [
        sum(len(severed(by[c].before, by[c].after)) for c in which if c in by)
        for which in (MAIN_STROKES, ROUND)
    ]
    return (
        f"{face:14}{style.height:5g} mm  {_kept(whole):9.1%}  {_kept(letters):7.1%}  "
        f"{by['A'].kept:6.1%}  {counted / counters:9.2f}  {runs[0]:15}  {runs[1]:5}  "
        f"{_read(style):>8}  {each:13.2f} ms"
    )


def _cut(texts: Sequence[str], style: TextStyle) -> Iterator[Cut]:
    settings = [set_text(text, style) for text in texts]
    outlines = [setting.outline for setting in settings]
    done = bridged(
        outlines, [style.height] * len(texts), SHEET, [setting.letters for setting in settings]
    )
    return (Cut(s, each.outline) for s, each in zip(settings, done, strict=True))


def _kept(cuts: Sequence[Cut]) -> float:
    return sum(cut.after.area for cut in cuts) / sum(cut.before.area for cut in cuts)


def _counters(outline: Outline) -> int:
    return sum(len(part.interiors) for part in shapely.get_parts(outline.shape))


#: Pixels to a mm of words of 5 mm, all are read at one size; and their margin, in heights.
_PIXELS, _MARGIN = 12, 1.0

# --- Reading ---


def _read(style: TextStyle) -> str:
    """How many words are read when they are bridged, of those that are when they are not."""
    if not shutil.which("tesseract"):
        return "-"
    cuts = list(_cut(WORDS, style))
    plain = _words_read([cut.before for cut in cuts], style.height)
    after = _words_read([cut.after for cut in cuts], style.height)
    both = [a == b.text for a, b in zip(plain, (cut.setting for cut in cuts), strict=True)]
    good = [a == b.text for a, b in zip(after, (cut.setting for cut in cuts), strict=True)]
    return f"{sum(good)} of {sum(both)}"


def _words_read(outlines: Sequence[Outline], height: float) -> list[str]:
    """What Tesseract reads, word by word, each as a line by itself."""
    with tempfile.TemporaryDirectory() as folder:
        names = []
        for number, outline in enumerate(outlines):
            names.append(f"{folder}/{number}.png")
            _picture(outline, height).save(names[-1])
        listed = Path(folder) / "all.txt"
        listed.write_text("\n".join(names))
        run = subprocess.run(
            ["tesseract", str(listed), "-", "--psm", "7", "-c", "page_separator=\f"],
            capture_output=True,
            text=True,
            check=True,
        )
    return [page.strip() for page in run.stdout.split("\f")][: len(outlines)]


def _picture(outline: Outline, height: float) -> Image.Image:
    """A word in black on white."""
    scale = _PIXELS * 5 / height
    x0, y0, x1, y1 = outline.bounds
    margin = _MARGIN * height
    size = [round(scale * (side + 2 * margin)) for side in (x1 - x0, y1 - y0)]
    picture = Image.new("L", (size[0], size[1]), 255)
    draw = ImageDraw.Draw(picture)
    for part in shapely.get_parts(outline.shape):
        for ring, fill in ((part.exterior, 0), *((hole, 255) for hole in part.interiors)):
            points = [
                (scale * (x - x0 + margin), scale * (y1 + margin - y)) for x, y in ring.coords
            ]
            draw.polygon(points, fill=fill)
    return picture


if __name__ == "__main__":
    main()
