"""The files for the cutter, read back by other programs, and held to the SVG: the same lines in
the same order.

DXF is read by ezdxf, SVG by svgelements, PDF by PDFium; HP-GL by a small reader here, written from
the published language (PCL 5 Printer Language Technical Reference Manual, part II: IN, SP, PU, PD,
CO; a plotter unit is 0.025 mm). The tolerances are the project's own: 0.005 mm for straight
stretches in place of curves, and 0.001 mm for what a file rounds; half a step of HP-GL each way.
"""

from __future__ import annotations

import ctypes
import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import lru_cache
from io import StringIO
from pathlib import Path
from typing import Any

import ezdxf
import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
import shapely
import svgelements
from ezdxf import recover
from numpy.typing import NDArray

from legend.description.reading.description_file import parse
from legend.description.tables.stencil import Stencil
from legend.description.tables.stock import limits
from legend.drawing.cut_files.cut_files import CUT_FORMATS, CutJob, cut_files
from legend.layout import lay_out
from legend.stencil import cut
from legend.stencil.coupon.coupon_sheet import coupon
from legend.stencil.sheet import Sheet
from legend.writing import sealed

POINT = 25.4 / 72
STEP = 0.025

Line = NDArray[np.float64]
#: What a line is for, its points, y upwards in mm, and whether the file has it closed.
Read = list[tuple[str, Line, bool]]


#: Letters with curves and counters, graduations, a window, holes of three shapes, bare metal.
_FILM = """
[panel]
size = [120, 70]
[stencil]
test_square = true
stock_size = [110, 200]
[holes]
A = { at = [30, 40], drill = 8 }
B = { at = [70, 40], cutout = [20, 12], corner_radius = 2 }
C = { at = [100, 40], slot = [12, 4], angle = 30 }
[[bare]]
hole = "A"
diameter = 12
[[control]]
hole = "A"
kind = "knob"
name = "RÖSTEN &"
covers = 16
scale = { from = 0, to = 3, step = 1 }
[[control]]
hole = "B"
kind = "window"
name = "8 @ ½"
frame = 1
[[control]]
hole = "C"
kind = "slide"
name = "Q"
"""
_SHEET_IN_INCHES = """
units = "in"
[panel]
size = [5, 3]
[stencil]
method = "paint-through"
stock = "sheet"
[holes]
A = { at = [1.5, 1.5], drill = "1/4" }
B = { at = [3.5, 1.5], drill = "3/8" }
[[control]]
hole = "A"
kind = "toggle"
name = "ROAD"
positions = { up = "A", down = "B" }
[[control]]
hole = "B"
kind = "button"
name = "48"
"""


def _sheets(text: str) -> tuple[Sheet, ...]:
    return cut(lay_out(parse(text))).sheets


CASES: dict[str, Callable[[], tuple[Sheet, ...]]] = {
    "film": lambda: _sheets(_FILM),
    "sheet, inches": lambda: _sheets(_SHEET_IN_INCHES),
    "coupon": lambda: (coupon(Stencil(stock_size=(120, 100))).sheet,),
    "overrun, stretched": lambda: tuple(
        replace(sheet, overrun=0.3, stretch=(1.004, 0.998)) for sheet in _sheets(_FILM)
    ),
}


@pytest.fixture(scope="module", params=CASES)
def sheets(request: pytest.FixtureRequest) -> tuple[Sheet, ...]:
    return CASES[request.param]()


def made(sheets: tuple[Sheet, ...], **stencil: Any) -> dict[str, bytes]:
    job = CutJob("s", tuple(f"ÖL {sheet.number}" for sheet in sheets), "ÖL")
    given = {"cut_as": CUT_FORMATS} | stencil
    files = cut_files(sheets, job, Stencil.model_validate(given))
    return {name: sealed(name, data) for name, data in files.items()}


# --- The readers ---


@lru_cache(maxsize=8)
def svg_lines(data: bytes) -> Read:
    parsed = svgelements.SVG.parse(StringIO(data.decode()), ppi=25.4)
    height = float(re.search(rb'viewBox="0 0 \S+ (\S+)"', data)[1])  # type: ignore[index]
    lines: Read = []
    for path in parsed.elements():
        if not isinstance(path, svgelements.Path):
            continue
        for part in path.as_subpaths():
            closed = any(isinstance(each, svgelements.Close) for each in part)
            points: list[tuple[float, float]] = []
            for each in part:
                if isinstance(each, svgelements.Move | svgelements.Line | svgelements.Close):
                    points.append((each.end.x, each.end.y))
                else:
                    points += [(p.x, p.y) for p in map(each.point, np.linspace(0, 1, 33)[1:])]
            lines.append((path.values["class"], np.array(points) * (1, -1) + (0, height), closed))
    return lines


def dxf_lines(data: bytes, tmp_path: Path) -> tuple[Any, Read]:
    (tmp_path / "read.dxf").write_bytes(data)
    drawing, audit = recover.readfile(tmp_path / "read.dxf")
    assert not audit.has_errors and not audit.has_fixes
    lines: Read = []
    for each in drawing.modelspace():
        path = ezdxf.path.make_path(each)
        points = np.array([(p.x, p.y) for p in path.flattening(0.0005)])
        closed = each.dxftype() == "CIRCLE" or each.is_closed
        lines.append((each.dxf.layer, points, closed))
    return drawing, lines


def pdf_pages(data: bytes) -> Iterator[tuple[tuple[float, float], list[Line]]]:
    """The size of each page, mm, and its lines, with the control points of curves drawn out."""
    document = pypdfium2.PdfDocument(data)
    for page in document:
        lines: list[Line] = []
        for item in page.get_objects():
            x, y = ctypes.c_float(), ctypes.c_float()
            matrix = np.array(item.get_matrix().get()).reshape(3, 2)
            row: list[tuple[float, float]] = []
            waiting: list[tuple[float, float]] = []
            for k in range(pdfium.FPDFPath_CountSegments(item.raw)):
                segment = pdfium.FPDFPath_GetPathSegment(item.raw, k)
                pdfium.FPDFPathSegment_GetPoint(segment, x, y)
                at = (x.value, y.value)
                kind = pdfium.FPDFPathSegment_GetType(segment)
                if kind == pdfium.FPDF_SEGMENT_MOVETO:
                    row = [at]
                    lines.append(row)  # type: ignore[arg-type]
                elif kind == pdfium.FPDF_SEGMENT_LINETO:
                    row.append(at)
                else:
                    waiting.append(at)
                    if len(waiting) == 3:
                        t = np.linspace(0, 1, 33)[1:, None]
                        a, b, c, d = map(np.array, (row[-1], *waiting))
                        s = 1 - t
                        curve = s**3 * a + 3 * s * s * t * b + 3 * s * t * t * c + t**3 * d
                        row += [(float(u), float(v)) for u, v in curve]
                        waiting = []
                if pdfium.FPDFPathSegment_GetClose(segment):
                    row.append(row[0])
            for at_ in range(len(lines)):
                if isinstance(lines[at_], list):
                    points = np.array(lines[at_])
                    lines[at_] = (points @ matrix[:2] + matrix[2]) * POINT
        yield (page.get_width() * POINT, page.get_height() * POINT), lines
    document.close()


def plt_lines(data: bytes) -> list[NDArray[np.intp]]:
    """What the tool goes along while it is down, in steps; all else is as it has to be."""
    text = data.decode("ascii")
    assert text.startswith("IN;SP1;")
    comment = re.search(r'CO "[^"]*";\s*$', text)
    assert comment
    at, down = (0, 0), False
    lines: list[list[tuple[int, int]]] = []
    tools = []
    for word in text[: comment.start()].split(";")[1:-1]:
        code, numbers = word.strip()[:2], word.strip()[2:]
        if code == "SP":
            assert not down
            tools.append(int(numbers))
            continue
        assert code in ("PU", "PD"), word
        flat = [int(number) for number in numbers.split(",")]
        places = [*zip(flat[::2], flat[1::2], strict=True)]
        if code == "PD":
            if not down:
                lines.append([at])
            lines[-1] += places
        down, at = code == "PD", places[-1]
    assert tools == [1, 0] and at == (0, 0) and not down
    return [np.array(line) for line in lines]


# --- What is held to the SVG ---


def same(one: Line, other: Line, within: float, closed: bool) -> None:
    """Two lines run the same way within so many mm; closed ones may begin elsewhere."""
    ring = [np.vstack([each, each[:1]]) if closed else each for each in (one, other)]
    apart = shapely.hausdorff_distance(*map(shapely.linestrings, ring), densify=0.25)
    assert apart < within
    if not closed:
        assert np.abs(one[0] - other[0]).max() < within
        assert np.abs(one[-1] - other[-1]).max() < within


def test_dxf_has_the_lines_of_the_svg_on_layers(sheets: tuple[Sheet, ...], tmp_path: Path) -> None:
    for version in ("R2000", "R12"):
        files = made(sheets, dxf_version=version)
        for sheet in sheets:
            wanted = svg_lines(files[f"s-{sheet.number}.svg"])
            data = files[f"s-{sheet.number}.dxf"]
            drawing, found = dxf_lines(data, tmp_path)
            assert drawing.acad_release == version
            assert drawing.header.get("$INSUNITS", 0) == (0 if version == "R12" else 4)
            assert b"unit: millimetre" in data[:200]
            assert [(kind, closed) for kind, _, closed in found] == [
                (kind, closed) for kind, _, closed in wanted
            ]
            for (_, one, closed), (_, other, _) in zip(wanted, found, strict=True):
                same(one, other, 0.006, closed)


def test_holes_and_discs_are_true_circles_in_dxf(tmp_path: Path) -> None:
    (sheet,) = CASES["film"]()
    drawing, _ = dxf_lines(made((sheet,), cut_as=["dxf"])["s-1.dxf"], tmp_path)
    circles = [each for each in drawing.modelspace().query("CIRCLE") if each.dxf.layer[0] == "r"]
    stencil = parse(_FILM).stencil
    in_the_hole = 8.0 / 2 - limits(stencil).registration_gap
    assert any(each.dxf.radius == pytest.approx(in_the_hole, abs=1e-3) for each in circles)
    arcs = [
        each
        for each in drawing.modelspace().query("LWPOLYLINE")
        if any(bulge for *_, bulge in each.get_points())
    ]
    assert arcs  # the round ends of strokes


def test_pdf_has_a_page_for_each_sheet_and_the_lines_of_the_svg(
    sheets: tuple[Sheet, ...],
) -> None:
    files = made(sheets)
    for sheet, (size, found) in zip(sheets, pdf_pages(files["s.pdf"]), strict=True):
        true = np.multiply(sheet.size, sheet.stretch)
        assert size == pytest.approx(tuple(true), abs=0.005)
        wanted = svg_lines(files[f"s-{sheet.number}.svg"])
        assert len(found) == len(wanted)
        for (_, one, closed), other in zip(wanted, found, strict=True):
            same(one, other, 0.001, closed)


@pytest.mark.parametrize(
    ("origin", "turn"),
    [("lower left", 0), ("centre", 90), ("upper right", 180), ("upper left", 270)],
)
def test_hp_gl_has_the_lines_of_the_svg_to_half_a_step(
    sheets: tuple[Sheet, ...], origin: str, turn: int
) -> None:
    files = made(sheets, cut_as=["svg", "plt"], plt_origin=origin, plt_turn=turn)
    for sheet in sheets:
        wanted = svg_lines(files[f"s-{sheet.number}.svg"])
        found = plt_lines(files[f"s-{sheet.number}.plt"])
        assert len(found) == len(wanted)
        size = np.multiply(sheet.size, sheet.stretch)
        for (_, one, closed), steps in zip(wanted, found, strict=True):
            line = _as_it_lies(steps * STEP, size, origin, turn)
            path = shapely.linestrings(np.vstack([one, one[:1]]) if closed else one)
            points = shapely.points(line)
            near = shapely.get_coordinates(shapely.line_interpolate_point(
                path, shapely.line_locate_point(path, points)
            ))  # fmt: skip
            # Half a step each way, and that straight stretches lie within 0.005 mm of a curve.
            assert np.abs(near - line).max() < STEP / 2 + 0.005
            # And it goes everywhere that the line goes.
            whole = shapely.linestrings(line)
            assert shapely.hausdorff_distance(path, whole, densify=0.25) < STEP * 0.71 + 0.006
            assert np.abs(line[0] - one[0]).max() < STEP / 2 + 1e-3


def _as_it_lies(points: Line, size: Line, origin: str, turn: int) -> Line:
    """Turned back, counted from the lower left corner of the sheet."""
    across, along = size if turn in (0, 180) else size[::-1]
    shift = {
        "lower left": (0, 0),
        "centre": (across / 2, along / 2),
        "upper right": (across, along),
        "upper left": (0, along),
    }[origin]
    x, y = (points + shift).T
    width, length = size
    back = {
        0: (x, y),
        90: (width - y, x),
        180: (width - x, length - y),
        270: (y, length - x),
    }[turn]
    return np.column_stack(back)


def test_files_of_one_class_each_make_up_the_whole_and_are_equally_large(tmp_path: Path) -> None:
    (sheet,) = CASES["film"]()
    whole = svg_lines(made((sheet,), cut_as=["svg"])["s-1.svg"])
    files = made((sheet,), separate=True)
    kinds = dict.fromkeys(kind for kind, _, _ in whole)
    assert len(kinds) > 2
    assert {*files} == {f"s-1-{k}.{e}" for k in kinds for e in ("svg", "dxf", "plt")} | {
        f"s-{k}.pdf" for k in kinds
    }
    for kind in kinds:
        marks, rest = [], []
        for each in svg_lines(files[f"s-1-{kind}.svg"]):
            (marks if each[0] == "corner-mark" else rest).append(each)
        corners = np.vstack([points for _, points, _ in marks])
        assert [*corners.min(axis=0), *corners.max(axis=0)] == pytest.approx(
            [0, 0, *sheet.size], abs=1e-3
        )
        wanted = [points for its, points, _ in whole if its == kind]
        for one, (its, other, _) in zip(wanted, rest, strict=True):
            assert its == kind
            assert np.abs(one - other).max() < 1e-9
        _, layers = dxf_lines(files[f"s-1-{kind}.dxf"], tmp_path)
        assert {layer for layer, _, _ in layers} == {kind, "corner-mark"}


def test_colours_of_lines_are_those_asked_for_and_else_black() -> None:
    (sheet,) = CASES["film"]()
    lines = {"mark": "#ff0000", "weeding": "blue"}
    files = made((sheet,), cut_as=["svg", "pdf"], lines=lines)
    for path in svgelements.SVG.parse(StringIO(files["s-1.svg"].decode())).elements():
        if isinstance(path, svgelements.Path):
            wanted = {"mark": "#ff0000", "weeding": "#0000ff"}.get(path.values["class"], "#000000")
            assert path.stroke.hex == svgelements.Color(wanted).hex
    shapes = [k for k, _ in _classes(files["s-1.svg"])]
    with pypdfium2.PdfDocument(files["s.pdf"]) as document:
        for kind, item in zip(shapes, document[0].get_objects(), strict=True):
            parts = [ctypes.c_uint() for _ in range(4)]
            pdfium.FPDFPageObj_GetStrokeColor(item.raw, *parts)
            wanted_rgb = {"mark": [255, 0, 0], "weeding": [0, 0, 255]}.get(kind, [0, 0, 0])
            assert [part.value for part in parts[:3]] == wanted_rgb
    plain = made((sheet,), cut_as=["svg"])["s-1.svg"]
    assert plain.count(b"stroke=") == 1


def _classes(svg: bytes) -> Iterator[tuple[str, str]]:
    for found in re.finditer(r'<path class="([^"]+)" d="([^"]+)"', svg.decode()):
        yield found[1], found[2]
