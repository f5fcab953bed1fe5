"""How the built-in face compares with fonts: white, distances, openings, limits, and what is read.

    .venv/bin/python tests/bench/lettering.py            # tables of all faces
    .venv/bin/python tests/bench/lettering.py --limits   # and every glyph of the built-in one

Evenness is measured by `tests/reference/letter_white.py`: standard deviation over mean, less is
more even; its distances are those of the ink of the pairs named, in that of HH. Distances of
letters that are taken for each other, apertures and counters are measured by
`tests/reference/letter_forms.py`, in capital heights. Limits are those of the checks of a panel,
for film. Codes are words of five capitals and figures by chance, 2 mm tall, painted as a scan of
200 dots to the inch is, and read by Tesseract where it is installed: the part of them that is
read without a fault.
"""

from __future__ import annotations

import argparse
import difflib
import math
import random
import shutil
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import shapely
from PIL import Image, ImageDraw

sys.path.insert(0, str(Path(__file__).parents[1]))

from font_files import CONDENSED, DEJAVU, MANROPE, SANS, SERIF
from reference.letter_forms import (
    CONFUSED,
    OPEN_SIDES,
    aperture,
    distance,
    enclosed,
    letter_shape,
)
from reference.letter_white import CAPITALS, FIGURES, STROKE, all_pairs, pairs_of, unevenness

from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.faces.stroke_face import plain
from legend.lettering.outlines.measuring import across, counters, least_gap
from legend.standards import FILM_LIMITS, GAP_IN_LETTER, INCH

FACES = {
    "plain": "plain",
    "geometric": MANROPE / "Manrope-SemiBold.ttf",
    "geometric bold": MANROPE / "Manrope-Bold.ttf",
    "humanist": SANS,
    "humanist bold": DEJAVU / "DejaVuSans-Bold.ttf",
    "even width": DEJAVU / "DejaVuSansMono.ttf",
    "condensed": CONDENSED,
    "serif": SERIF,
}
SPACED = ("AV", "TA", "LT", "LY", "PJ", "FJ", "OO", "HO", "−2", "+7", "5%", "4/")
ALIKE = (*CONFUSED, "CG", "5S", "56", "B8", "2Z", "69", "89", "HN", "0O", "1I", "1l")
COUNTERED = "4aeAR8B"

#: The glyphs whose limits are printed: all that the file draws.
GLYPHS = "".join(map(chr, (*range(0x21, 0x7F), *range(0xA1, 0x180), *range(0x386, 0x3CF)))) + "Ω∆"
STROKES = (1 / 10, 1 / 7, 1 / 6)

# --- Codes that are read ---

CODE_HEIGHT, DOTS = 2.0, 200 / INCH
#: Pages of lines of codes of characters; a page stands for a scan.
PAGES, LINES, CODES, CHARACTERS = 4, 12, 6, 5
#: Every dot is painted as the mean of so many each way.
_FINER = 8


@dataclass(frozen=True, slots=True)
class Limit:
    """What holds one glyph up, and the least height in mm at which film carries it."""

    character: str
    height: float
    held_by: str
    #: In capital heights; infinite where it has no counter and one part.
    white: float


def main() -> None:
    """Print a table of each kind, one line for each face."""
    parser = argparse.ArgumentParser(description="Compare the built-in face with fonts.")
    parser.add_argument("--limits", action="store_true", help="print the limits of every glyph")
    given = parser.parse_args()
    styles = {
        name: TextStyle(load_face(str(file), Path()), 10.0, stroke=STROKE)
        for name, file in FACES.items()
    }
    _print_table("Evenness", styles, _evenness)
    _print_table("Distance of letters that are taken for each other", styles, _alike)
    _print_table("Apertures", styles, _apertures)
    _print_table("Counters: across, and area", styles, _counters)
    _print_limits(every=given.limits)
    _print_read(styles)


def _print_table(
    title: str, styles: dict[str, TextStyle], measure: Callable[[TextStyle], dict[str, float]]
) -> None:
    """A table with a line for each face, and one for the median of those that are fonts."""
    rows = {name: measure(style) for name, style in styles.items()}
    heads = list(rows["plain"])
    fonts = [row for name, row in rows.items() if name != "plain"]
    rows["median of fonts"] = {
        head: statistics.median(row[head] for row in fonts) for head in heads
    }
    print(f"\n{title}\n{'face':15}  " + "  ".join(f"{head:>6}" for head in heads))
    for name, row in rows.items():
        print(f"{name:15}  " + "  ".join(f"{row[head]:{max(6, len(head))}.3f}" for head in heads))


def _evenness(style: TextStyle) -> dict[str, float]:
    capitals, figures, shown = (
        pairs_of(texts, style) for texts in (all_pairs(CAPITALS), all_pairs(FIGURES), SPACED)
    )
    stems = capitals["HH"].distance
    return {
        "HH/stroke": stems / getattr(style.face, "stem", STROKE),
        "capitals": unevenness(capitals.values()),
        "figures": unevenness(figures.values()),
        "nearest": min(pair.distance for pair in capitals.values()) / stems,
    } | {name: pair.distance / stems for name, pair in shown.items()}


def _alike(style: TextStyle) -> dict[str, float]:
    return {pair: distance(pair, style) for pair in ALIKE}


def _apertures(style: TextStyle) -> dict[str, float]:
    return {character: aperture(character, style) for character in OPEN_SIDES}


def _counters(style: TextStyle) -> dict[str, float]:
    measured = {character: enclosed(character, style) for character in COUNTERED}
    return {c: each.across for c, each in measured.items()} | {
        f"{c} area": each.area for c, each in measured.items()
    }


# --- Limits ---


def _print_limits(every: bool) -> None:
    """The glyphs of the built-in face that want the greatest height on film, or all of them."""
    for stroke in STROKES:
        found = sorted(_limits(stroke), key=lambda limit: -limit.height)
        print(f"\nLeast height on film with a stroke of {stroke:.3f}, and the least white inside")
        for limit in found if every else found[:12]:
            print(
                f"  {limit.character}  {limit.height:5.2f} mm, held by its {limit.held_by:7}"
                + (f"  {limit.white:.3f} h" if math.isfinite(limit.white) else "")
            )


def _limits(stroke: float) -> Iterator[Limit]:
    style = TextStyle(plain(), 10.0, stroke=stroke)
    inside = GAP_IN_LETTER * FILM_LIMITS["gap"]
    for character in GLYPHS:
        if not plain().has(character):
            continue
        shape = letter_shape(character, style)
        counter = min(map(across, counters(shape)), default=float("inf")) / style.height
        gap = least_gap(shape) / style.height
        wanted = {
            "stroke": FILM_LIMITS["stroke"] / stroke,
            "counter": FILM_LIMITS["counter"] / counter,
            "gap": inside / gap,
        }
        held_by = max(wanted, key=wanted.__getitem__)
        yield Limit(character, wanted[held_by], held_by, min(counter, gap))


# --- Reading ---


def _print_read(styles: dict[str, TextStyle]) -> None:
    print("\nCodes that are read right")
    if not shutil.which("tesseract"):
        print("  left out: tesseract is not installed")
        return
    chance = random.Random(1)
    pages = [[[_code(chance) for _ in range(CODES)] for _ in range(LINES)] for _ in range(PAGES)]
    for name, style in styles.items():
        right = sum(_read_right(page, style) for page in pages)
        print(f"  {name:15}  {right / (PAGES * LINES * CODES):.3f}")


def _code(chance: random.Random) -> str:
    return "".join(chance.choices(CAPITALS + FIGURES, k=CHARACTERS))


def _read_right(page: list[list[str]], style: TextStyle) -> int:
    """How many codes of a page are read right, in their order."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "page.png"
        _scanned(page, style).save(file, dpi=(200, 200))
        done = subprocess.run(
            ["tesseract", file, "-", "--psm", "6", "-l", "eng"],
            capture_output=True,
            text=True,
            check=True,
        )
    written = [code for line in page for code in line]
    alike = difflib.SequenceMatcher(None, written, done.stdout.split(), autojunk=False)
    return sum(block.size for block in alike.get_matching_blocks())


def _scanned(page: list[list[str]], style: TextStyle) -> Image.Image:
    """Lines of words in black on white, as a scan of that many dots to the mm."""
    scale = DOTS * _FINER * CODE_HEIGHT / style.height
    lines = [style.face.set_line(" ".join(words), style) for words in page]
    pitch, margin = 2.2 * style.height, 2 * style.height
    wide = max(line.advance for line in lines) + 2 * margin
    tall = len(lines) * pitch + 2 * margin
    size = (int(wide * scale), int(tall * scale))
    picture = Image.new("L", size, 255)
    draw = ImageDraw.Draw(picture)
    for number, line in enumerate(lines, 1):
        base = margin + number * pitch
        for letter in line.letters:
            if not letter.outline:
                continue
            for part in shapely.get_parts(letter.outline.shape):
                for ring, grey in [(part.exterior, 0), *((hole, 255) for hole in part.interiors)]:
                    points = shapely.get_coordinates(ring)
                    draw.polygon(
                        [((x + margin) * scale, (base - y) * scale) for x, y in points], fill=grey
                    )
    return picture.resize((size[0] // _FINER, size[1] // _FINER), Image.Resampling.BOX)


if __name__ == "__main__":
    main()
