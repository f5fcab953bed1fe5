"""Cut every character of many faces, by itself and in words, at many heights, and judge it.

    .venv/bin/python tests/bench/sweep.py                                    # for hours
    .venv/bin/python tests/bench/sweep.py --words 1 --heights 3 5 12         # a sample
    .venv/bin/python tests/bench/sweep.py serif "Some Family" ~/some.ttf     # these faces

Every character of printable ASCII and Latin-1 that a face has stands on made-up panels, alone
and in random words, and goes the whole way: description, layout, cut, SVG. What ends in an
error is found by halving the panel until one text is left. What comes out is judged from the
SVG as a cutter reads it:

- no opening is lost: of each there is something left on sheet, and nothing lacks on film;
- every contour is simple, and none runs over another;
- on sheet, what was an island hangs by a bridge: worn by 5 % less than half a bridge all round,
  the sheet keeps it, or else the necks it hangs by add up to two bridges. An island narrower
  than a bridge is to hang by its own width. Each connected opening is judged by itself: that
  letters stand nearer than the stock carries is told elsewhere.

What the program itself warned of at that place is counted as told. The exit status is 1 where
anything else is wrong.
"""

from __future__ import annotations

import argparse
import importlib.util
import json
import multiprocessing
import os
import random
import sys
import tempfile
import unicodedata
import xml.etree.ElementTree as ET
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path

import numpy as np
from judging import Cutting, Fault, Text, judged

import legend
from legend.description.tables.stock import limits
from legend.lettering.faces.face import Face, FaceError
from legend.lettering.faces.finding import load_face

#: Faces of different build, as a description names them, or `package:file`; those that the
#: machine lacks are left out.
FACES = {
    "plain": "plain",
    "humanist": "matplotlib:mpl-data/fonts/ttf/DejaVuSans.ttf",
    "serif": "font_source_serif_pro:files/SourceSerifPro-Regular.otf",
    "geometric": "font_manrope:files/Manrope-Bold.ttf",
    "variable": "font_manrope:files/Manrope-VariableFont_wght.ttf",
    "rounded": "font_fredoka_one:files/FredokaOne-Regular.ttf",
    "condensed": "font_amatic_sc:files/AmaticSC-Bold.ttf",
    "handwritten": "font_intuitive:files/Intuitive.ttf",
    "heavy serif": "font_source_serif_pro:files/SourceSerifPro-Black.otf",
    "script": "Dancing Script",
    "bold script": "Dancing Script Bold",
    "blackletter": "Blankenburg_UNZ1A",
}
HEIGHTS = (2, 2.5, 2.8, 3, 3.5, 4, 4.5, 5, 5.5, 6, 7, 8, 9, 10, 11, 12, 14)
CHARACTERS = "".join(
    chr(code)
    for code in (*range(0x21, 0x7F), *range(0xA1, 0x100))
    if unicodedata.category(chr(code))[0] not in "CZ"
)
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"

#: The warnings of the stencil by which the program tells that stock hangs by less than a bridge.
TOLD = {"loose-tongue"}

#: So many texts stand on a panel of this width, mm.
_ON_A_PANEL, _WIDTH = 150, 2000

#: A face, a height, a stock, characters, and random words for each of them.
_Work = tuple[str, float, str, list[str], int]
#: What may be wrong with a text.
COLUMNS = ("failed", "lost", "not simple", "thin necks", "told")


def main(words: Sequence[str] | None = None) -> int:
    """Sweep what was asked for, and print a table, a row as soon as a face is done."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("faces", nargs="*", help=f"of {', '.join(FACES)}; or as a description has")
    asked.add_argument("--heights", type=float, nargs="+", default=HEIGHTS, help="in mm")
    asked.add_argument("--words", type=int, default=10, help="random words for each character")
    asked.add_argument("--characters", default=CHARACTERS)
    asked.add_argument("--every", type=int, default=1, help="only every so manyth character")
    asked.add_argument("--stock", nargs="+", choices=["sheet", "film"], default=["sheet", "film"])
    asked.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    asked.add_argument("--list", type=int, default=20, help="so many faults of a face are told")
    options = asked.parse_args(words)
    faces = list(_found(options.faces))
    work = []
    for face in faces:
        here = [c for c in options.characters[:: options.every] if _face(face).has(c)]
        for stock in options.stock:
            work += [(face, height, stock, here, options.words) for height in options.heights]
    left = Counter(face for face, *_ in work)
    cases: Counter[str] = Counter()
    faults: dict[str, list[Fault]] = {face: [] for face in faces}
    print(f"{'face':<14}{'cases':>8}" + "".join(f"{column:>12}" for column in COLUMNS), flush=True)
    for done, (face, count, found) in enumerate(_swept(work, options.jobs), start=1):
        cases[face] += count
        faults[face] += found
        left[face] -= 1
        print(f"{done} of {len(work)} done", end="\r", file=sys.stderr, flush=True)
        if not left[face]:
            _report(face, cases[face], faults[face], options.list)
    return int(any(fault.column != "told" for found in faults.values() for fault in found))


def _swept(work: Sequence[_Work], jobs: int) -> Iterator[tuple[str, int, list[Fault]]]:
    """What comes of each, in this process where there is to be no more than one."""
    if jobs == 1:
        yield from map(_sheet, work)
        return
    with multiprocessing.get_context("fork").Pool(jobs) as pool:
        yield from pool.imap_unordered(_sheet, work)


def _report(face: str, cases: int, faults: Sequence[Fault], most: int) -> None:
    """Print a row of the table, and what is wrong, the shortest texts first."""
    counts = Counter(fault.column for fault in faults)
    row = "".join(f"{counts[column]:>12}" for column in COLUMNS)
    print(f"{Path(face).name:<14}{cases:>8}{row}", flush=True)
    wrong = [fault for fault in faults if fault.column != "told"]
    for fault in sorted(wrong, key=lambda fault: len(fault.text.words))[:most]:
        text = fault.text
        said = f"{text.height:g} mm, {text.stock}, {text.words!r}: {fault.column}: {fault.words}"
        print(f"    {said}", flush=True)


# --- What to cut ---


def _found(asked: Sequence[str]) -> Iterator[str]:
    """The names of the faces that are asked for, or of all that are at hand."""
    for face in asked or FACES:
        try:
            _face(face)
        except (FaceError, LookupError) as error:
            if asked:
                raise SystemExit(str(error)) from None
            print(f"{face} is left out: {error}", file=sys.stderr)
        else:
            yield face


def _name(face: str) -> str:
    """A face as a description names it."""
    name = FACES.get(face, face)
    package, _, file = name.partition(":")
    if not file:
        return str(Path(name).absolute()) if Path(name).is_file() else name
    spec = importlib.util.find_spec(package)
    if not spec or not spec.origin:
        raise LookupError(f"the package {package} is not installed.")
    return str(Path(spec.origin).parent / file)


@cache
def _face(face: str) -> Face:
    return load_face(_name(face), Path())


def _sheet(work: _Work) -> tuple[str, int, list[Fault]]:
    """All texts of one face at one height on one stock: how many, and what is wrong."""
    face, height, stock, characters, words = work
    letters = [letter for letter in LETTERS if _face(face).has(letter)] or characters
    texts = []
    for character in characters:
        texts.append(Text(face, height, stock, character))
        chance = random.Random(f"{face} {character}")
        for _ in range(words):
            word = [chance.choice(letters) for _ in range(chance.randrange(2, 8))]
            word.insert(chance.randrange(len(word) + 1), character)
            texts.append(Text(face, height, stock, "".join(word)))
    faults = []
    for at in range(0, len(texts), _ON_A_PANEL):
        faults += _faults(texts[at : at + _ON_A_PANEL])
    return face, len(texts), faults


def _faults(texts: Sequence[Text]) -> list[Fault]:
    """What is wrong with texts on one panel, halved where it fails."""
    try:
        cut = _cut(texts)
    except Exception as error:  # whatever it is, it ought not to have been
        if len(texts) == 1:
            return [Fault(texts[0], "failed", f"{type(error).__name__}: {error}"[:200])]
    else:
        return list(judged(texts, cut))
    middle = len(texts) // 2
    return _faults(texts[:middle]) + _faults(texts[middle:])


def _described(texts: Sequence[Text]) -> str:
    """A panel with these texts, in rows, each well clear of the next."""
    first = texts[0]
    pitch, gap = 3 * first.height + 8, 8.0
    x, y, placed = 0.0, pitch, []
    for text in texts:
        width = 1.5 * text.height * (len(text.words) + 1) + gap
        if x + width > _WIDTH:
            x, y = 0.0, y + pitch
        placed.append((x + width / 2, y, text.words))
        x += width
    rows = "".join(
        f"[[text]]\nat = [{x:.3f}, {y:.3f}]\ntext = {json.dumps(words)}\n" for x, y, words in placed
    )
    return f"""
[panel]
size = [{_WIDTH}, {y + pitch:.0f}]
[lettering]
face = {json.dumps(_name(first.face))}
note.height = {first.height}
[stencil]
method = "paint-through"
stock = "{first.stock}"
stock_size = [10000, 10000]
piece = "panel"
{rows}"""


def _cut(texts: Sequence[Text]) -> Cutting:
    description = legend.parse(_described(texts), "panel.toml")
    artwork = legend.lay_out(description)
    stencils = legend.cut(artwork)
    with tempfile.TemporaryDirectory(prefix="sweep-") as folder:
        (path,) = legend.write_stencils(stencils.sheets, artwork, Path(folder))
        drawn = ET.parse(path).getroot()
    marks = {mark.source.line: mark.outline.shape for mark in artwork.marks}
    lines = [table.source.line for table in description.text]
    if missing := [t for t, line in zip(texts, lines, strict=True) if line not in marks]:
        raise ValueError(f"{missing[0].words!r} was not drawn")
    paths = drawn.iter("{http://www.w3.org/2000/svg}path")
    words = "".join(path.attrib["d"] for path in paths if path.get("class") == "mark")
    (placed,) = stencils.sheets[0].placed
    corner = np.array(placed.affine[4:])
    top = float(drawn.attrib["viewBox"].split()[3])
    warnings = [f for f in stencils.findings if f.code in TOLD]
    return Cutting(
        [marks[line] for line in lines],
        [contour for contour in words.split("Z") if contour.strip()],
        lambda points: points * (1, -1) + (0, top) - corner,
        [place for each in warnings for place in each.places or (each.place,) if place],
        limits(description.stencil),
    )


if __name__ == "__main__":
    sys.exit(main())
