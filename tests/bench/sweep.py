"""Cut every character of many faces, by itself and in words, at many heights, and judge it.

    .venv/bin/python tests/bench/sweep.py                                    # for hours
    .venv/bin/python tests/bench/sweep.py --words 1 --heights 3 5 12         # a sample
    .venv/bin/python tests/bench/sweep.py sans "Some Family" ~/some.ttf      # these faces

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
import itertools
import json
import multiprocessing
import os
import random
import re
import sys
import tempfile
import unicodedata
import xml.etree.ElementTree as ET
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np
import shapely

import legend
from legend.description.tables.stock import StockLimits, limits
from legend.lettering.faces.face import Face, FaceError
from legend.lettering.faces.finding import load_face
from legend.standards import PLOTTER_STEP

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
#: Straight lines that a curve is judged by, and where it seems not simple.
_LINES, _MANY_LINES = 12, 96
#: What is no island, mm²; and the part of a bridge that is as good as one.
_SPECK, _LESS = 2e-3, 0.95
#: What is no opening that bridges could leave anything of, in squares of a bridge.
_CRUMB = 0.25
#: What two contours may overlap by, which is no more than the straight lines they are judged by
#: lie off their curves, mm².
_HAIR = 1e-3
#: A loop of a contour that is smaller than a step of the cutter each way is none, mm².
_LOOP = PLOTTER_STEP**2
#: The part of an opening's area that must be left on sheet, and on film.
_LEFT = {"sheet": 0.05, "film": 0.95}


@dataclass(frozen=True)
class Text:
    """A text, in one face, at a height in mm, for a stock."""

    face: str
    height: float
    stock: str
    words: str


@dataclass(frozen=True)
class Fault:
    """What is wrong with a text: the column it is counted in, and in words."""

    text: Text
    column: str
    words: str


COLUMNS = ("failed", "lost", "not simple", "thin necks", "told")


def main() -> int:
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
    options = asked.parse_args()
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
    with multiprocessing.get_context("fork").Pool(options.jobs) as pool:
        for done, (face, count, found) in enumerate(pool.imap_unordered(_sheet, work), start=1):
            cases[face] += count
            faults[face] += found
            left[face] -= 1
            print(f"{done} of {len(work)} done", end="\r", file=sys.stderr, flush=True)
            if not left[face]:
                _report(face, cases[face], faults[face], options.list)
    return int(any(fault.column != "told" for found in faults.values() for fault in found))


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


def _sheet(work: tuple[str, float, str, list[str], int]) -> tuple[str, int, list[Fault]]:
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
        return list(_judged(texts, cut))
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


@dataclass(frozen=True)
class Cutting:
    """What came of a panel: the ink of each text, the contours of its SVG, what was warned of.

    `contours` are the words of paths; `back` takes their points to the panel, y up.
    """

    before: list[shapely.Geometry]
    contours: list[str]
    back: Callable[[np.ndarray], np.ndarray]
    told: list[tuple[float, float]]
    stock: StockLimits


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


# --- Judging ---


def _judged(texts: Sequence[Text], cut: Cutting) -> Iterator[Fault]:
    rings = [cut.back(_ring(contour, _LINES)) for contour in cut.contours]
    which = np.repeat(np.arange(len(rings)), [len(ring) for ring in rings])
    lines = shapely.linearrings(np.vstack(rings), indices=which)
    sound = shapely.is_simple(lines)
    for index in np.flatnonzero(~sound):
        sound[index] = _is_simple(_ring(cut.contours[index], _MANY_LINES))
    sound &= ~_overlapping(lines)
    cells = shapely.STRtree([shapely.box(*shape.bounds).buffer(0.01) for shape in cut.before])
    begins = shapely.points([ring[0] for ring in rings])
    owners = dict(zip(*cells.query(begins, "within").tolist(), strict=True))
    told = shapely.points(cut.told or np.empty((0, 2)))
    for index, (text, before) in enumerate(zip(texts, cut.before, strict=True)):
        own = [ring for ring, owner in owners.items() if owner == index]
        faults = []
        if bad := np.count_nonzero(~sound[own]):
            faults.append(Fault(text, "not simple", f"{bad} of {len(own)} contours"))
        openings = shapely.get_parts(before)
        rest = _rest(openings, lines[own])
        faults += _of_openings(text, openings, rest, cut.stock.bridge)
        if text.stock == "sheet":
            faults += _of_islands(text, openings, rest, cut.stock.bridge)
        is_told = shapely.dwithin(shapely.box(*before.bounds), told, 1).any()
        yield from (replace(fault, column="told") if is_told else fault for fault in faults)


_WORD = re.compile(r"([MLHVCQ])([^A-Z]*)")


def _ring(d: str, count: int) -> np.ndarray:
    """The points of one contour of a path, each curve as so many straight lines."""
    points: list[np.ndarray] = []
    for word, rest in _WORD.findall(d):
        numbers = np.array(rest.replace(",", " ").split(), dtype=float)
        if word in "HV":
            for value in numbers:
                last = points[-1].copy()
                last["HV".index(word)] = value
                points.append(last)
            continue
        pairs = numbers.reshape(-1, 2)
        degree = {"M": 1, "L": 1, "Q": 2, "C": 3}[word]
        for at in range(0, len(pairs), degree):
            points += list(_bent([*points[-1:], *pairs[at : at + degree]], degree, count))
    return np.array(points)


def _bent(control: Sequence[np.ndarray], degree: int, count: int) -> Iterable[np.ndarray]:
    """Points along a curve after its first, or the end of a line."""
    if degree == 1:
        return control[-1:]
    t = np.linspace(0, 1, count + 1)[1:, None]
    while len(control) > 1:
        control = [a + (b - a) * t for a, b in itertools.pairwise(control)]
    return control[0]


def _is_simple(ring: np.ndarray) -> bool:
    """Whether a ring neither crosses nor touches itself, loops that no knife knows of left out."""
    parts = shapely.get_parts(shapely.make_valid(shapely.Polygon(ring)))
    rings = shapely.polygons(shapely.get_rings(parts[shapely.get_dimensions(parts) == 2]))
    return int(np.count_nonzero(shapely.area(rings) > _LOOP)) <= 1


def _overlapping(lines: np.ndarray) -> np.ndarray:
    """Which rings run over others: neither beside them nor within, nor round them."""
    shapes = shapely.make_valid(shapely.polygons(lines))
    one, other = shapely.STRtree(shapes).query(shapes, "overlaps")
    shared = shapely.area(shapely.intersection(shapes[one], shapes[other]))
    least = np.minimum(shapely.area(shapes[one]), shapely.area(shapes[other]))
    found = np.zeros(len(lines), dtype=bool)
    found[one[(shared > _HAIR) & (least - shared > _HAIR)]] = True
    return found


def _rest(openings: np.ndarray, lines: np.ndarray) -> list[shapely.Geometry]:
    """What is left of each connected opening when it is cut along these rings."""
    ink = shapely.symmetric_difference_all(shapely.make_valid(shapely.polygons(lines)))
    parts = shapely.get_parts(ink)
    parts = parts[shapely.get_dimensions(parts) == 2]
    of = shapely.STRtree(openings).nearest(shapely.point_on_surface(parts))
    return [shapely.multipolygons(parts[of == index]) for index in range(len(openings))]


def _of_openings(
    text: Text, openings: np.ndarray, rest: Sequence[shapely.Geometry], bridge: float
) -> Iterator[Fault]:
    large = shapely.area(openings) > _CRUMB * bridge**2
    left = shapely.area(rest)[large] / shapely.area(openings)[large]
    if lost := int(np.count_nonzero(left < _LEFT[text.stock])):
        yield Fault(text, "lost", f"{lost} of {len(left)} openings, {left.min():.0%} left")


def _of_islands(
    text: Text, openings: np.ndarray, rest: Sequence[shapely.Geometry], bridge: float
) -> Iterator[Fault]:
    """The islands of each connected opening by itself, and by how much they hang now."""
    for opening, ink in zip(openings, rest, strict=True):
        islands = [shapely.Polygon(ring) for ring in opening.interiors]
        islands = [island for island in islands if island.area > _SPECK]
        sheet = shapely.box(*opening.bounds).buffer(4 * bridge, join_style="mitre")
        sheet = sheet.difference(ink) if islands else sheet
        for island in islands:
            room = 2 * float(shapely.maximum_inscribed_circle(island).length)
            hangs_by = _hangs_by(island, opening, sheet, min(bridge, room) * _LESS, room < bridge)
            if hangs_by is not None:
                said = f"an island {room:.2f} mm wide hangs by {hangs_by:.2f} mm in all"
                yield Fault(text, "thin necks", said)


def _hangs_by(
    island: shapely.Polygon,
    opening: shapely.Polygon,
    sheet: shapely.Geometry,
    wanted: float,
    is_narrow: bool,
) -> float | None:
    """How wide the necks are by which an island hangs, mm, if that is too little; or None."""
    outside = _outside(sheet, wanted / 2)
    cores = shapely.get_parts(island.buffer(-wanted / 2, quad_segs=8))
    if outside.intersects(cores[shapely.area(cores).argmax()]):
        return None
    firm = outside.buffer(wanted / 2, quad_segs=8)
    necks = shapely.get_parts(opening.intersection(sheet).buffer(-1e-3))
    widths = [_width(neck, island, sheet, firm, wanted) for neck in necks]
    if sum(widths) >= 1.98 * wanted or (is_narrow and max(widths, default=0) >= 0.99 * wanted):
        return None
    return sum(widths)


def _outside(sheet: shapely.Geometry, wear: float) -> shapely.Polygon:
    """What the edge of the sheet holds when all is worn by so much."""
    worn = shapely.get_parts(sheet.buffer(-wear, quad_segs=8))
    return worn[shapely.area(shapely.envelope(worn)).argmax()]


def _width(
    neck: shapely.Polygon,
    island: shapely.Polygon,
    sheet: shapely.Geometry,
    firm: shapely.Geometry,
    wanted: float,
) -> float:
    """How wide a neck is from an island to firm stock, mm, no more than wanted: 0 for none."""
    here = sheet.intersection(neck.buffer(2 * wanted))
    beyond = firm.difference(island).difference(neck.buffer(2e-3))
    low, high = 0.0, wanted
    while high - low > 0.002:
        width = (low + high) / 2
        worn = shapely.get_parts(here.buffer(-width / 2, quad_segs=8))
        both = shapely.intersects(worn, island) & shapely.intersects(worn, beyond)
        low, high = (width, high) if both.any() else (low, width)
    return low


if __name__ == "__main__":
    sys.exit(main())
