"""Every drawing of every sample as other programs read it: the same size, the same lines.

The SVG files are read by svgelements and svgpathtools and painted by resvg, cairo and, where
it is at hand, Chromium; the PDF files are read by pdfminer.six, painted by PDFium and, where
it is at hand, by Poppler; Chromium prints the job cards, which PDFium reads. Neither Chromium nor
Poppler can be had from the package index, so their tests are skipped where they are not installed.

Sources: CSS Values and Units 3, 5.2 (96 px are an inch); ISO 32000-1, 8.3.2.3 (the PDF unit is
1/72 in); ISO 216 (A4, A3) and ANSI Y14.1 (letter). The tolerances are the project's own:

- sizes: 0.001 mm; a pixel where a renderer knows whole ones; 0.005 mm from Chromium, which
  lays out in 1/64 px, and from PDF files, whose numbers have few digits
- extents of every path: 0.003 mm; areas and lengths: 0.05 per cent
- lines as painted: within a pixel of their place, 1/5 mm; painted areas: 0.2 per cent
- bars, edges and centres of holes in a PDF: 0.005 mm
"""

from __future__ import annotations

import base64
import html
import io
import itertools
import json
import re
import shutil
import subprocess
import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path
from typing import Any

import html5lib
import numpy as np
import pypdfium2
import pytest
import resvg_py
import shapely
import svgelements
import svgpathtools
from numpy.typing import NDArray
from page_in_chromium import chromium as chromium_open
from page_in_chromium import missing
from pdfminer.converter import PDFPageAggregator
from pdfminer.layout import LTChar, LTCurve, LTFigure, LTLine, LTPage
from pdfminer.pdfinterp import PDFPageInterpreter, PDFResourceManager
from pdfminer.pdfpage import PDFPage
from PIL import Image
from pypdfium2.raw import FPDF_PAGEOBJ_PATH, FPDF_PAGEOBJ_TEXT
from scipy import ndimage

from legend.description.reading.description_file import read
from legend.description.tables.description import Description
from legend.drawing.job_card.job_card import write_card
from legend.drawing.pdf.drilling_template import write_drilling_template
from legend.drawing.pdf.overlay_pdf import write_overlay
from legend.drawing.placement_card import write_placement_cards
from legend.drawing.proofs.proof_svg import write_proof_svg
from legend.drawing.stencil_files import write_coupon, write_stencils
from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork
from legend.lettering.outlines.outline import Outline
from legend.stencil import cut
from legend.stencil.cards.card_sheets import card_sheets
from legend.stencil.cards.sharing import cards_for
from legend.stencil.coupon.coupon_sheet import coupon
from legend.stencil.sheet import Lines, Sheet

SAMPLES = {
    panel.parent.name: panel
    for panel in sorted((Path(__file__).parents[2] / "samples").glob("*/panel.toml"))
}
PAPERS = {"A4": (210.0, 297.0), "A3": (297.0, 420.0), "letter": (215.9, 279.4)}
POINT = 25.4 / 72
PX = 25.4 / 96
#: Pixels to the millimetre of what is painted.
FINE = 5

Ink = NDArray[np.float64]


@dataclass(frozen=True)
class Open:
    """Lines that enclose nothing: of weeding boxes that share sides with others."""

    lines: shapely.MultiLineString

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        return self.lines.bounds


@dataclass(frozen=True)
class Drawn:
    """An SVG file, and what it is to hold: its size, and its paths by class, y upwards, in mm."""

    path: Path
    size: tuple[float, float]
    shapes: tuple[tuple[str, Outline | Open], ...]

    @cached_property
    def extents(self) -> NDArray[np.float64]:
        """Left, top, right, bottom of every path, y downwards."""
        x0, y0, x1, y1 = np.array([outline.bounds for _, outline in self.shapes]).T
        return np.column_stack([x0, self.size[1] - y1, x1, self.size[1] - y0])

    @cached_property
    def kinds(self) -> list[str]:
        return [kind for kind, _ in self.shapes]

    @cached_property
    def areas(self) -> dict[str, float]:
        """The area of the paths of each class together."""
        return self._summed(lambda shape: shape.area)

    @cached_property
    def lengths(self) -> dict[str, float]:
        """The length of the lines of each class together."""
        return self._summed(lambda shape: shape.length)

    @cached_property
    def points(self) -> NDArray[np.float64]:
        """Points along every line, a tenth of a mm apart, y downwards."""
        lines = [
            each.lines if isinstance(each, Open) else each.shape.boundary for _, each in self.shapes
        ]
        lines = shapely.segmentize(lines, 0.1)
        return np.asarray(shapely.get_coordinates(lines) * (1, -1) + (0, self.size[1]))

    @cached_property
    def paint(self) -> NDArray[np.float64]:
        """How much of red, green and blue a painted panel takes from white paper, mm²."""
        groups = ET.parse(self.path).getroot().findall("{http://www.w3.org/2000/svg}g")
        fills = [bytes.fromhex(group.attrib["fill"][1:]) for group in groups]
        colours = {"panel": fills[0], "mark": fills[1], "bare": fills[-2], "hole": fills[-1]}
        paint, over = np.zeros(3), shapely.Polygon()
        for kind in ("hole", "bare", "mark", "panel"):
            shape = shapely.union_all([_fine(o) for its, o in self.shapes if its == kind])
            paint += shape.difference(over).area * (1 - np.array(list(colours[kind])) / 255)
            over = over.union(shape)
        return paint

    def _summed(self, measure: Callable[[Any], float]) -> dict[str, float]:
        found: dict[str, float] = {}
        for kind, each in self.shapes:
            shape = each.lines if isinstance(each, Open) else _fine(each)
            found[kind] = found.get(kind, 0.0) + measure(shape)
        return found


def _fine(outline: Outline) -> Any:
    """The shape of an outline, flattened so finely that nothing is missing of it."""
    return shapely.transform(outline.scaled(20).shape, lambda points: points / 20)


@dataclass(frozen=True)
class Sample:
    """All that is drawn of a sample."""

    artwork: Artwork
    svgs: tuple[Drawn, ...]
    overlays: dict[str, Path]
    template: Path
    card: Path

    @property
    def description(self) -> Description:
        return self.artwork.description


def _sheet(file: Path, sheet: Sheet) -> Drawn:
    cuts = [path for placed in sheet.placed for path in placed.paths] + list(sheet.test_squares)
    drawn = (
        (
            each.cut.value,
            Open(shapely.multilinestrings([*map(shapely.linestrings, each.rows)]))
            if isinstance(each, Lines)
            else each.outline,
        )
        for each in cuts
    )
    return Drawn(file, sheet.size, tuple(drawn))


def _proof(path: Path, artwork: Artwork) -> Drawn:
    owners = dict.fromkeys(mark.owner for mark in artwork.marks)
    shapes = [("panel", artwork.panel)]
    shapes += [("mark", m.outline) for owner in owners for m in artwork.marks if m.owner == owner]
    shapes += [("bare", disc.outline) for disc in artwork.bare_discs]
    shapes += [("hole", opening.outline) for opening in artwork.openings]
    return Drawn(path, artwork.description.panel.size, tuple(shapes))


def _make(panel: Path, folder: Path, coupons: set[bytes]) -> Sample:
    """Draw a sample, with the test cut for its stock where it is none of `coupons`."""
    artwork = lay_out(read(panel))
    sheets = cut(artwork).sheets
    svgs = [
        *map(_sheet, write_stencils(sheets, artwork, folder), sheets),
        *map(
            _sheet,
            write_placement_cards(artwork, sheets, folder),
            card_sheets(cards_for(artwork, sheets), artwork.description.stencil),
        ),
    ]
    test_cut = coupon(artwork.description.stencil).sheet
    write_coupon(test_cut, folder / "coupon.svg")
    if (written := (folder / "coupon.svg").read_bytes()) not in coupons:
        coupons.add(written)
        svgs.append(_sheet(folder / "coupon.svg", test_cut))
    write_proof_svg(artwork, folder / "proof.svg")
    svgs.append(_proof(folder / "proof.svg", artwork))
    overlays = {}
    for paper in PAPERS:
        overlays[paper] = folder / f"overlay-{paper}.pdf"
        write_overlay(artwork, sheets, overlays[paper], paper)
    template, card = folder / "template.pdf", folder / "job-card.html"
    write_drilling_template(artwork, template)
    write_card(artwork, sheets, inspect(artwork), card)
    return Sample(artwork, tuple(svgs), overlays, template, card)


@pytest.fixture(scope="session")
def samples(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Sample]:
    """Makes a sample by its name, the first time that it is asked for."""
    made: dict[str, Sample] = {}
    coupons: set[bytes] = set()

    def sample(name: str) -> Sample:
        if name not in made:
            made[name] = _make(SAMPLES[name], tmp_path_factory.mktemp(name), coupons)
        return made[name]

    return sample


@pytest.fixture(params=SAMPLES)
def sample(request: pytest.FixtureRequest, samples: Callable[[str], Sample]) -> Sample:
    return samples(request.param)


# --- SVG: read as curves ---


def _enclosed(points: Sequence[complex]) -> float:
    """The signed area under a line, a quadratic or a cubic from its points, exactly."""
    a, *between, d = points
    if len(between) == 1:
        b, c = a + (between[0] - a) * 2 / 3, d + (between[0] - d) * 2 / 3
    else:
        b, c = between or (a + (d - a) / 3, a + (d - a) * 2 / 3)

    def cross(p: complex, q: complex) -> float:
        return p.real * q.imag - q.real * p.imag

    whole = 6 * (cross(a, b) + cross(c, d)) + 3 * (cross(a, c) + cross(b, c) + cross(b, d))
    return (whole + cross(a, d)) / 20


_BETWEEN = {
    svgelements.QuadraticBezier: ("control",),
    svgelements.CubicBezier: ("control1", "control2"),
}

Curves = list[tuple[str, tuple[float, float, float, float], float]]


def svgelements_reads(file: Path) -> tuple[tuple[float, float], Curves]:
    """Size; class, extents and area of each path."""
    # What it takes a mm for, of which it keeps six digits.
    factor = svgelements.Length("1mm").value(ppi=96)
    assert factor == pytest.approx(96 / 25.4, rel=1e-6)
    parsed = svgelements.SVG.parse(str(file), ppi=96)
    curves: Curves = []
    for path in parsed.elements():
        if isinstance(path, svgelements.Path):
            area = 0.0
            for piece in path:
                if not isinstance(piece, svgelements.Move):
                    between = _BETWEEN.get(type(piece), ())
                    points = [getattr(piece, name) for name in ("start", *between, "end")]
                    area += _enclosed([complex(p.x, p.y) for p in points]) / factor**2
            box = tuple(side / factor for side in path.bbox())
            is_closed = "Z" in path.values["d"]
            curves.append((path.values["class"], box, abs(area) if is_closed else 0.0))
    return (parsed.width / factor, parsed.height / factor), curves


def svgpathtools_reads(file: Path) -> tuple[tuple[float, float], Curves]:
    """Size, where one unit is a mm; class, extents and area of each path."""
    paths, attributes, root = svgpathtools.svg2paths2(str(file))
    size = tuple(float(root[side].removesuffix("mm")) for side in ("width", "height"))
    assert [float(v) for v in root["viewBox"].split()] == [0, 0, *size]
    curves = []
    for path, its in zip(paths, attributes, strict=True):
        left, right, top, bottom = path.bbox()
        area = abs(sum(_enclosed(segment.bpoints()) for segment in path if "Z" in its["d"]))
        curves.append((its["class"], (left, top, right, bottom), area))
    return size, curves


def test_readers_of_svg_find_its_size_and_every_path(sample: Sample) -> None:
    """Each drawing by one of the two, in turn; Chromium reads all of them."""
    readers = [svgelements_reads, svgpathtools_reads]
    for drawn, reads in zip(sample.svgs, itertools.cycle(readers)):
        size, curves = reads(drawn.path)
        assert size == pytest.approx(drawn.size, abs=1e-3), drawn.path
        assert [kind for kind, _, _ in curves] == drawn.kinds
        boxes = np.array([box for _, box, _ in curves])
        assert np.abs(boxes - drawn.extents).max() < 0.003, drawn.path
        for kind, area in drawn.areas.items():
            found = sum(part for its, _, part in curves if its == kind)
            assert found == pytest.approx(area, rel=5e-4), (drawn.path, kind)


# --- SVG: painted ---


def resvg(file: Path) -> bytes:
    return bytes(resvg_py.svg_to_bytes(svg_path=str(file), dpi=FINE * 25.4, background="#fff"))


def cairo(file: Path) -> bytes:
    try:
        import cairosvg
    except (ImportError, OSError):  # cairo itself comes with the system
        pytest.skip("cairo is not installed")
    return bytes(cairosvg.svg2png(url=str(file), dpi=FINE * 25.4, background_color="#fff"))


@pytest.mark.parametrize("render", [resvg, cairo])
def test_renderers_of_svg_paint_its_size_and_every_line(
    sample: Sample, render: Callable[[Path], bytes]
) -> None:
    for drawn in sample.svgs:
        with Image.open(io.BytesIO(render(drawn.path))) as image:
            assert image.size == pytest.approx([side * FINE for side in drawn.size], abs=1)
            _check_painted(image, drawn)


def _check_painted(image: Image.Image, drawn: Drawn) -> None:
    if "panel" in drawn.kinds:
        paint = 1 - np.asarray(image.convert("RGB"), dtype=float) / 255
        found = paint.mean(axis=(0, 1)) * drawn.size[0] * drawn.size[1]
        assert found == pytest.approx(drawn.paint, rel=2e-3), drawn.path
    else:
        _check_lines(1 - np.asarray(image.convert("L"), dtype=float) / 255, drawn)


def _check_lines(ink: Ink, drawn: Drawn) -> None:
    """Every line is there, unbroken, and there is nothing else."""
    places = drawn.points
    column, row = np.clip((places * FINE).astype(int), 0, np.array(ink.shape)[::-1] - 1).T
    # Of a line on the very edge of the sheet, half is painted, or none.
    inside = (np.minimum(places, drawn.size - places) > 1 / FINE).all(axis=1)
    darkest = ndimage.maximum_filter(ink, 3)[row, column]
    assert darkest[inside].min() > 0.1, drawn.path
    near = np.zeros(ink.shape, dtype=bool)
    near[row, column] = True
    assert ink[~ndimage.maximum_filter(near, 3)].max() < 0.05, drawn.path


# --- Chromium ---

QUIET = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--allow-file-access-from-files",
]

#: Has Chromium load every file as a document and as a picture, and tell what it makes of each.
PAGE = """<!DOCTYPE html><meta charset="utf-8"><body>{frames}<script>
onload = () => {{
  const seen = [...document.querySelectorAll("iframe")].map((frame, k) => {{
    const svg = frame.contentDocument.documentElement, box = svg.getBoundingClientRect();
    const paths = [...svg.querySelectorAll("path")].map(path => {{
      const {{x, y, width, height}} = path.getBBox();
      return [path.getAttribute("class"), x, y, x + width, y + height, path.getTotalLength()];
    }});
    const canvas = document.createElement("canvas"), pen = canvas.getContext("2d");
    canvas.width = Math.round(box.width * {scale});
    canvas.height = Math.round(box.height * {scale});
    pen.fillStyle = "#fff";
    pen.fillRect(0, 0, canvas.width, canvas.height);
    pen.drawImage(document.images[k], 0, 0, canvas.width, canvas.height);
    return {{size: [box.width, box.height], paths, picture: canvas.toDataURL()}};
  }});
  document.body.textContent = JSON.stringify(seen);
}};
</script>"""


def chromium(folder: Path, *what: str) -> str:
    """What Chromium writes when it is started once, as nobody's, on this; skips without one."""
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    if not program:
        pytest.skip("chromium is not installed: no package index has it")
    done = subprocess.run(
        [program, *QUIET, f"--user-data-dir={folder / 'profile'}", *what],
        capture_output=True,
        encoding="utf-8",
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_chromium_finds_the_size_and_every_line_of_svg(
    samples: Callable[[str], Sample], tmp_path: Path
) -> None:
    drawings = [drawn for name in SAMPLES for drawn in samples(name).svgs]
    frames = "".join(
        f'<iframe src="{drawn.path.as_uri()}"></iframe><img src="{drawn.path.as_uri()}">'
        for drawn in drawings
    )
    page = tmp_path / "page.html"
    page.write_text(PAGE.format(frames=frames, scale=FINE * PX), encoding="utf-8")
    written = chromium(tmp_path, "--dump-dom", page.as_uri())
    (seen,) = re.findall(r"<body>(.*)</body>", written, re.DOTALL)
    for drawn, its in zip(drawings, json.loads(html.unescape(seen)), strict=True):
        assert [side * PX for side in its["size"]] == pytest.approx(drawn.size, abs=0.005)
        assert [path[0] for path in its["paths"]] == drawn.kinds
        boxes = np.array([path[1:5] for path in its["paths"]])
        assert np.abs(boxes - drawn.extents).max() < 0.003, drawn.path
        for kind, length in drawn.lengths.items():
            found = sum(path[5] for path in its["paths"] if path[0] == kind)
            assert found == pytest.approx(length, rel=5e-4), (drawn.path, kind)
        picture = base64.b64decode(its["picture"].partition(",")[2])
        with Image.open(io.BytesIO(picture)) as image:
            _check_painted(image, drawn)


def test_chromium_prints_the_job_cards_whole(
    samples: Callable[[str], Sample], tmp_path: Path
) -> None:
    """The card itself names no paper; whoever prints it does: here one on each, in turn."""
    if why := missing():
        pytest.skip(why)
    with chromium_open() as browser:
        page = browser.new_page()
        for name, paper in zip(SAMPLES, itertools.cycle(["A4", "letter"])):
            card = samples(name).card.read_text(encoding="utf-8")
            on_paper = card.replace("<style>", f"<style>@page {{ size: {paper}; }}", 1)
            assert not re.search(r"@page[^}]*size:", card) and on_paper != card
            (tmp_path / f"{name}.html").write_text(on_paper, encoding="utf-8")
            page.goto((tmp_path / f"{name}.html").as_uri())
            printed = tmp_path / f"{name}.pdf"
            page.pdf(path=printed, prefer_css_page_size=True)
            with pypdfium2.PdfDocument(printed) as document:
                _check_card(list(document), samples(name), PAPERS[paper])


def _check_card(
    pages: Sequence[pypdfium2.PdfPage], sample: Sample, size: tuple[float, float]
) -> None:
    letters = ""
    width, height = size
    for page in pages:
        assert [side * POINT for side in page.get_size()] == pytest.approx(size, abs=0.2)
        text = page.get_textpage()
        objects = [each for each in page.get_objects() if each.type != FPDF_PAGEOBJ_TEXT]
        drawn = [each.get_bounds() for each in objects]
        # Whole boxes of letters, as tall as the font has them; what is not printed has none.
        boxes = [text.get_charbox(at, loose=True) for at in range(text.count_chars())]
        shown = np.array([*drawn, *(box for box in boxes if box[0] < box[2])]) * POINT
        assert len(shown) > 100
        assert (shown[:, :2].min(axis=0) > (14.5, 13.5)).all()
        assert (shown[:, 2:].max(axis=0) < (width - 14.5, height - 12.5)).all()
        letters += text.get_text_range()
    letters = "".join(letters.split())
    # Every cell, paragraph and heading is there, in one piece.
    tree = html5lib.parse(sample.card.read_text(encoding="utf-8"), namespaceHTMLElements=False)
    for noughts in tree.iter("span"):  # those that only take up room, and are not printed
        if noughts.get("class") == "unseen":
            noughts.text = ""
    for title in tree.iter("{http://www.w3.org/2000/svg}title"):  # read out, and not printed
        title.text = ""
    said = [
        "".join("".join(each.itertext()).split())
        for tag in ("h1", "h2", "p", "th", "td", "li")
        for each in tree.find("body").iter(tag)
    ]
    assert len(said) > 50
    assert [words for words in said if words not in letters] == []
    # The picture of the panel is there, and keeps its proportions.
    width, height = sample.description.panel.size
    boxes = np.array([each.get_bounds() for each in pages[0].get_objects([FPDF_PAGEOBJ_PATH])])
    wide, high = boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1]
    panel = (np.abs(wide / np.maximum(high, 1) - width / height) < 0.003) & (wide * POINT > 100)
    assert panel.sum() == 1


# --- PDF ---


@cache
def pages_of(path: Path) -> list[LTPage]:
    """The sheets as pdfminer reads them, without guessing at lines of text."""
    resources = PDFResourceManager()
    device = PDFPageAggregator(resources)
    interpreter = PDFPageInterpreter(resources, device)
    pages = []
    with path.open("rb") as file:
        for page in PDFPage.get_pages(file):
            interpreter.process_page(page)
            pages.append(device.get_result())
    return pages


def _everything(page: Any) -> Iterator[Any]:
    """Every letter, line and shape, in the order in which they are painted."""
    for each in page:
        if isinstance(each, LTFigure):
            yield from _everything(each)
        else:
            yield each


def on_a4(sample: Sample) -> tuple[Path, Path]:
    """What is printed on A4 unless another paper is asked for."""
    return sample.overlays["A4"], sample.template


def pdfminer_measures(path: Path) -> list[tuple[float, float]]:
    with path.open("rb") as file:
        boxes = [page.mediabox for page in PDFPage.get_pages(file)]
    return [(right - left, top - bottom) for left, bottom, right, top in boxes]


def pdfium_measures(path: Path) -> list[tuple[float, float]]:
    with pypdfium2.PdfDocument(path) as document:
        return [page.get_size() for page in document]


def poppler_measures(path: Path) -> list[tuple[float, float]]:
    told = poppler("pdfinfo", "-l", "-1", str(path)).decode()
    sizes = re.findall(r"Page +\d+ size: +([\d.]+) x ([\d.]+) pts", told)
    return [(float(width), float(height)) for width, height in sizes]


def poppler(program: str, *arguments: str) -> bytes:
    if not shutil.which(program):
        pytest.skip(f"{program} is not installed: no package index has Poppler's programs")
    return subprocess.run([program, *arguments], capture_output=True, check=True).stdout


@pytest.mark.parametrize("measures", [pdfminer_measures, pdfium_measures, poppler_measures])
def test_readers_of_pdf_find_the_same_sheets(
    sample: Sample, measures: Callable[[Path], list[tuple[float, float]]]
) -> None:
    papers = {sample.overlays[paper]: size for paper, size in PAPERS.items()}
    papers[sample.template] = PAPERS["A4"]
    for path, paper in papers.items():
        sizes = measures(path)
        assert len(sizes) == len(pdfium_measures(path)) > 0
        for size in sizes:
            assert sorted(side * POINT for side in size) == pytest.approx(paper, abs=0.005)


def test_every_sheet_tells_which_of_how_many_it_is(sample: Sample) -> None:
    for path in on_a4(sample):
        pages = pages_of(path)
        letters = [each for page in pages for each in page if isinstance(each, LTChar)]
        told = re.findall(r"sheet (\d) of (\d)", "".join(each.get_text() for each in letters))
        count = len(pages)
        assert told == ([(str(k + 1), str(count)) for k in range(count)] if count > 1 else [])


def _dashes(line: LTLine) -> float:
    """How much of a line its dashes are: 1 of one that is drawn through."""
    (lengths, _) = line.dashing_style or ([], 0)
    return float(lengths[0] / sum(lengths)) if lengths else 1.0


def _lines(page: LTPage) -> NDArray[np.float64]:
    """From where to where each straight line of the sheet itself runs, mm."""
    ends = [each.pts for each in page if isinstance(each, LTLine)]
    return np.array(ends).reshape(-1, 4) * POINT


def test_the_bars_are_lines_of_100_mm(sample: Sample) -> None:
    for path in on_a4(sample):
        for page in pages_of(path):
            lines = _lines(page)
            spans = np.abs(lines[:, 2:] - lines[:, :2])
            for way in (0, 1):
                (at,) = np.flatnonzero(
                    (np.abs(spans[:, way] - 100) < 0.005) & (spans[:, 1 - way] < 0.005)
                )
                bar = lines[at]
                # From its first mark to its last, one every ten millimetres.
                begin = bar[way]
                side = -1 if way else 1  # of the bar upward, centimetres stand to the left
                reach = side * (lines[:, 3 - way] - bar[3 - way])
                marks = (np.abs(lines[:, 1 - way] - bar[1 - way]) < 0.005) & (reach > 1)
                marks |= (np.abs(lines[:, 3 - way] - bar[1 - way]) < 0.005) & (
                    side * (lines[:, 1 - way] - bar[1 - way]) > 1
                )
                marks &= spans[:, way] < 0.005
                found = np.sort(lines[marks, way]) - begin
                assert found == pytest.approx(np.arange(0, 101, 10), abs=0.005)


def _edge(page: LTPage) -> tuple[float, float, float, float]:
    """Left, bottom, right, top of the panel: the one outline in a broad line."""
    (edge,) = [
        each.bbox
        for each in _everything(page)
        if isinstance(each, LTCurve) and abs(each.linewidth * POINT - 0.35) < 0.01
    ]
    return tuple(side * POINT for side in edge)


def _holes(description: Description) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """Where each hole is to be from the lower left corner, and how wide and high, mm."""
    width, height = description.panel.size
    upper = "upper" in description.panel.datum
    assert "left" in description.panel.datum
    for hole in description.holes.values():
        x, y = hole.at
        size = (hole.drill, hole.drill) if hole.drill else hole.cutout or hole.slot
        assert size and hole.angle in (0, 90)
        yield (x, height - y if upper else y), size if hole.angle == 0 else size[::-1]


def test_the_holes_stand_where_they_were_measured(sample: Sample) -> None:
    """The outline of each, and the ends of its centre lines."""
    for path in on_a4(sample):
        for page in pages_of(path):
            left, bottom, right, top = _edge(page)
            size = sample.description.panel.size
            assert (right - left, top - bottom) == pytest.approx(size, abs=0.005)
            curves = [each for each in _everything(page) if isinstance(each, LTCurve)]
            boxes = np.array([each.bbox for each in curves]) * POINT
            boxes -= (left, bottom, left, bottom)
            ends = np.array([each.pts[0] for each in curves if isinstance(each, LTLine)])
            ends = ends * POINT - (left, bottom)
            for (x, y), (wide, high) in _holes(sample.description):
                true = x - wide / 2, y - high / 2, x + wide / 2, y + high / 2
                assert (np.abs(boxes - true).max(axis=1) < 0.005).sum() == 1, (path, x, y)
                assert (np.abs(ends - (x, y)).max(axis=1) < 0.005).sum() == 4, (path, x, y)


def test_nothing_hides_the_points_to_punch(sample: Sample) -> None:
    for page in pages_of(sample.template):
        left, bottom, _, _ = _edge(page)
        shapes = [each for each in _everything(page) if isinstance(each, LTCurve)]
        boxes = np.array([each.bbox for each in shapes]) * POINT
        boxes -= (left, bottom, left, bottom)
        filled = np.array([bool(each.fill) for each in shapes])
        dots = filled & (np.abs(boxes[:, 2:] - boxes[:, :2] - 0.5).max(axis=1) < 0.01)
        middles = (boxes[:, :2] + boxes[:, 2:]) / 2
        for place, (wide, high) in _holes(sample.description):
            if wide == high:  # a drilled hole
                (at,) = np.flatnonzero(dots & (np.abs(middles - place).max(axis=1) < 0.005))
        for at in np.flatnonzero(dots):
            later = np.arange(len(shapes)) > at
            apart = (boxes[:, :2] > boxes[at, 2:]) | (boxes[:, 2:] < boxes[at, :2])
            assert not (later & filled & ~apart.any(axis=1)).any()


# --- PDF: painted ---


def pdfium_paints(path: Path) -> list[Ink]:
    with pypdfium2.PdfDocument(path) as document:
        pictures = [page.render(scale=FINE * POINT, grayscale=True) for page in document]
        return [1 - picture.to_numpy().squeeze().astype(float) / 255 for picture in pictures]


def poppler_paints(path: Path) -> list[Ink]:
    into = path.with_suffix("")
    poppler("pdftocairo", "-png", "-gray", "-r", str(FINE * 25.4), str(path), str(into))
    pictures = []
    for file in sorted(path.parent.glob(f"{into.name}-*.png")):
        with Image.open(file) as picture:
            pictures.append(1 - np.asarray(picture, dtype=float) / 255)
    return pictures


@pytest.mark.parametrize("paints", [pdfium_paints, poppler_paints])
def test_renderers_of_pdf_paint_the_lines_that_readers_find(
    sample: Sample, paints: Callable[[Path], list[Ink]]
) -> None:
    """The bars with their marks, and whatever else is drawn straight beside the drawing."""
    for path in on_a4(sample):
        for page, ink in zip(pages_of(path), paints(path), strict=True):
            size = np.array([page.width, page.height]) * POINT
            assert ink.shape[::-1] == pytest.approx(size * FINE, abs=1.5)
            begin, end = np.split(_lines(page), 2, axis=1)
            assert len(begin) > 30
            places = begin + (end - begin) * np.linspace(0.1, 0.9, 50)[:, None, None]
            column, row = ((places * (1, -1) + (0, size[1])) * FINE).reshape(-1, 2).astype(int).T
            inked = (ndimage.maximum_filter(ink, 3)[row, column] > 0.2).reshape(50, -1).T
            dashes = np.array([_dashes(each) for each in page if isinstance(each, LTLine)])
            assert inked[dashes == 1].all(), path
            # Of a lane between sheets, the share that its dashes have of it; of 50 places, and
            # with ink seen half a pixel past the ends of dashes.
            lanes = dashes < 1
            assert inked[lanes].mean(axis=1) == pytest.approx(dashes[lanes], abs=0.2)
