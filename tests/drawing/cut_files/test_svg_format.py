"""The SVG for the cutter, read again by an independent parser and drawn by another."""

from __future__ import annotations

import io
import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import resvg_py
import svgelements
from PIL import Image

from legend.description.tables.description import Description
from legend.drawing.cut_files.cut_sheet import cut_sheet
from legend.drawing.cut_files.svg_format import sheet_svg
from legend.drawing.stencil_files import write_stencils
from legend.layout import lay_out
from legend.layout.artwork import Artwork
from legend.lettering.outlines.outline import Contour, Outline
from legend.stencil import cut
from legend.stencil import sheet as s
from legend.writing import ForeignFileError

NAMESPACE = "{http://www.w3.org/2000/svg}"


def artwork(**stencil: Any) -> Artwork:
    return lay_out(
        Description.model_validate(
            {
                "title": "ENLARGER -- TIMER",
                "panel": {"size": [160, 80]},
                "holes": {
                    "A": {"at": [35, 40], "drill": 9.5},
                    "W": {"at": [110, 45], "cutout": [40, 18], "corner_radius": 2},
                },
                "control": [
                    {
                        "hole": "A",
                        "kind": "knob",
                        "name": "EXPOSURE",
                        "covers": 20,
                        "scale": {"law": "log", "from": 0.5, "to": 60},
                    },
                    {"hole": "W", "kind": "window", "name": "SECONDS", "frame": 0.8},
                ],
                "stencil": stencil,
            }
        )
    )


def sheet_of(*paths: s.Path, size: tuple[float, float] = (80.0, 40.0)) -> s.Sheet:
    piece = s.Piece(12, "test", (), Outline.rectangle(0, 0, *size), paths)
    return s.Sheet(1, size, (s.Placed(piece, (1, 0, 0, 1, 0, 0), 1, False),))


def elements(svg: str) -> Iterator[ET.Element]:
    return ET.fromstring(svg).iter()


def paths(svg: str) -> Iterator[svgelements.Path]:
    """The paths as an independent parser reads them, in mm."""
    parsed = svgelements.SVG.parse(io.StringIO(svg), ppi=25.4)
    return (each for each in parsed.elements() if isinstance(each, svgelements.Path))


@pytest.mark.parametrize("stock", ["film", "sheet"])
def test_only_paths_in_groups_and_nothing_else(stock: str) -> None:
    for sheet in cut(artwork(method="paint-through", stock=stock)).sheets:
        found = list(elements(sheet_svg(cut_sheet(sheet))))
        assert {each.tag for each in found} == {NAMESPACE + tag for tag in ("svg", "g", "path")}
        for each in found:
            keys = set(each.attrib)
            if each.tag.endswith("path"):
                assert keys == {"class", "d"}
                assert each.attrib["class"] in {
                    "mark",
                    "bare",
                    "registration",
                    "weeding",
                    "test-square",
                }
            elif each.tag.endswith("g") and not each.tag.endswith("svg"):
                assert keys == {"id"}
            else:
                assert keys <= {
                    "width", "height", "viewBox", "fill", "stroke", "stroke-width",
                    "version", "baseProfile",
                }  # fmt: skip


@pytest.mark.parametrize("size", [(300.0, 72.5), (211.1234, 40.0)])
def test_the_physical_size_is_in_mm(size: tuple[float, float]) -> None:
    square = s.Path(s.Cut.TEST_SQUARE, Outline.rectangle(10, 5, 60, 35))
    svg = sheet_svg(cut_sheet(sheet_of(square, size=size)))
    root = ET.fromstring(svg)
    assert (root.attrib["width"], root.attrib["height"]) == tuple(f"{v:.8g}mm" for v in size)
    assert root.attrib["viewBox"] == "0 0 {:.8g} {:.8g}".format(*size)
    # svgelements reckons in pixels of 1/96 in; a drawing of the right size has the right inches.
    parsed = svgelements.SVG.parse(io.StringIO(svg), ppi=96)
    assert parsed.width / 96 * 25.4 == pytest.approx(size[0])
    (path,) = (each for each in parsed.elements() if isinstance(each, svgelements.Path))
    x0, y0, x1, y1 = (v / 96 * 25.4 for v in path.bbox())
    assert (x0, x1) == pytest.approx((10, 60))
    # y is turned over: 5 mm from the lower edge.
    assert (y0, y1) == pytest.approx((size[1] - 35, size[1] - 5))


def test_every_contour_is_closed_and_every_coordinate_absolute() -> None:
    for sheet in cut(artwork()).sheets:
        cuts = [path for placed in sheet.placed for path in placed.paths]
        drawn = [d for each in elements(sheet_svg(cut_sheet(sheet))) if (d := each.attrib.get("d"))]
        assert {isinstance(each, s.Lines) for each in cuts} == {False, True}
        for path, d in zip(cuts, drawn, strict=True):
            if isinstance(path, s.Lines):  # the sides that its neighbour does not cut
                assert path.cut is s.Cut.WEEDING
                assert re.fullmatch(r"(M[^A-Za-z]+(?:L[^A-Za-z]+)+)+", d)
            else:
                assert re.fullmatch(r"(M[^A-Za-z]+(?:[LQC][^A-Za-z]+)+Z)+", d)


def test_curves_are_written_as_they_are() -> None:
    drop = Contour(
        "LQC", np.array([(0, 0), (10, 0), (15, 5), (10, 10), (6, 14), (2, 9), (0, 0)], dtype=float)
    )
    svg = sheet_svg(cut_sheet(sheet_of(s.Path(s.Cut.MARK, Outline((drop,))))))
    (path,) = (each for each in elements(svg) if each.tag.endswith("path"))
    assert path.attrib["d"] == "M0 40L10 40Q15 35 10 30C6 26 2 31 0 40Z"


def test_numbers_have_four_decimals_and_no_more_than_they_need() -> None:
    square = Outline.polygon([(1 / 3, 0), (2, 1e-7), (2, 2.5), (0, 123.45678)])
    svg = sheet_svg(cut_sheet(sheet_of(s.Path(s.Cut.MARK, square), size=(300, 200))))
    (path,) = (each for each in elements(svg) if each.tag.endswith("path"))
    assert path.attrib["d"] == "M0.3333 200L2 200L2 197.5L0 76.5432Z"


@pytest.mark.parametrize("stock", ["film", "sheet"])
def test_areas_agree_with_what_was_cut(stock: str) -> None:
    """The parser's area of each path, by its own arithmetic, against the outline's."""
    for sheet in cut(artwork(method="paint-through", stock=stock)).sheets:
        cuts = [path for placed in sheet.placed for path in placed.paths]
        assert all(isinstance(each, s.Path) for each in cuts) or stock == "film"
        for path, wanted in zip(paths(sheet_svg(cut_sheet(sheet))), cuts, strict=True):
            if isinstance(wanted, s.Lines):
                length = sum(float(np.hypot(*np.diff(row, axis=0).T).sum()) for row in wanted.rows)
                assert path.length() == pytest.approx(length, abs=1e-3)
                continue
            area = 0.0
            for sub in path.as_subpaths():
                points = np.array(svgelements.Path(sub).npoint(np.linspace(0, 1, 1500)))
                x, y = points.T
                area += float(np.dot(x, np.roll(y, -1)) - np.dot(np.roll(x, -1), y)) / 2
            assert abs(area) == pytest.approx(wanted.outline.area, rel=0.01)


@pytest.mark.parametrize("kind", ["mark", "registration"])
def test_a_renderer_fills_what_was_cut(kind: str) -> None:
    """The area that resvg paints, against the outlines': the same within half a per cent."""
    (sheet,) = cut(artwork()).sheets
    svg = sheet_svg(cut_sheet(sheet)).replace('stroke="#000"', 'stroke="none"')
    svg = svg.replace(f'class="{kind}"', 'fill="#000" fill-rule="evenodd"')
    picture = resvg_py.svg_to_bytes(svg_string=svg, dpi=25.4 * 20, background="#fff")
    pixels = np.asarray(Image.open(io.BytesIO(bytes(picture))).convert("L"), dtype=float)
    painted = (1 - pixels / 255).sum() / 20**2
    wanted = sum(
        path.outline.area for p in sheet.placed for path in p.paths if path.cut.value == kind
    )
    assert painted == pytest.approx(wanted, rel=0.005)


def test_groups_bear_the_numbers_of_the_pieces_and_spares_their_own() -> None:
    for copies, pattern in ((1, r"piece-\d+"), (2, r"piece-\d+(-copy-2)?")):
        ids = [
            each.attrib["id"]
            for sheet in cut(artwork(copies=copies)).sheets
            for each in elements(sheet_svg(cut_sheet(sheet)))
            if each.tag == NAMESPACE + "g"
        ]
        assert len(set(ids)) == len(ids)
        assert all(re.fullmatch(pattern, each) for each in ids)
        assert len(ids) == copies * len({each.split("-")[1] for each in ids})


def test_cuts_are_written_in_knife_order() -> None:
    (sheet,) = cut(artwork()).sheets
    svg = sheet_svg(cut_sheet(sheet))
    classes = [each.attrib["class"] for each in elements(svg) if "class" in each.attrib]
    assert classes == [path.cut.value for placed in sheet.placed for path in placed.piece.paths]


def test_files_are_written_named_and_old_ones_taken_away(tmp_path: Path) -> None:
    many = artwork(stock_size=(70, 60))
    written = write_stencils(cut(many).sheets, many, tmp_path)
    assert [path.name for path in written] == [
        f"stencil-{k}.svg" for k in range(1, 1 + len(written))
    ]
    assert len(written) > 1
    head = written[0].read_text().splitlines()[1]
    assert f"sheet 1 of {len(written)}" in head
    assert "--" not in head[4:-3], "two hyphens may not stand in a comment"
    few = artwork()
    assert write_stencils(cut(few).sheets, few, tmp_path) == [tmp_path / "stencil-1.svg"]
    assert [path.name for path in tmp_path.iterdir()] == ["stencil-1.svg"]


def test_a_file_of_the_users_own_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "stencil-1.svg").write_text("<svg/>")
    few = artwork()
    with pytest.raises(ForeignFileError):
        write_stencils(cut(few).sheets, few, tmp_path)
    assert (tmp_path / "stencil-1.svg").read_text() == "<svg/>"


# --- As the cutter wants it ---


def square_in(svg: str) -> tuple[list[list[float]], bool]:
    """The corners of the test square, and whether its path is closed."""
    (d,) = re.findall(r'class="test-square" d="([^"]*)"|d="([^"]*)" class="test-square"', svg)
    data = "".join(d)
    return [[float(v) for v in pair.split()] for pair in re.findall(r"[ML]([^MLZ]*)", data)], (
        data.endswith("Z")
    )


def test_what_is_cut_too_small_is_drawn_larger() -> None:
    (true,) = cut(artwork(test_square=True)).sheets
    (sheet,) = cut(artwork(test_square=True, measured=(49.8, 50.1))).sheets
    corners, closed = square_in(sheet_svg(cut_sheet(sheet)))
    assert closed
    sides = np.ptp(np.array(corners), axis=0)
    assert sides[0] * 49.8 / 50 == pytest.approx(50, abs=1e-3)
    assert sides[1] * 50.1 / 50 == pytest.approx(50, abs=1e-3)
    width, height = (
        float(v)
        for v in re.search(r'viewBox="0 0 (\S+) (\S+)"', sheet_svg(cut_sheet(sheet))).groups()
    )
    assert width * 49.8 / 50 == pytest.approx(true.size[0], abs=1e-3)
    assert height * 50.1 / 50 == pytest.approx(true.size[1], abs=1e-3)


def test_an_overrun_ends_each_contour_past_its_start() -> None:
    (sheet,) = cut(artwork(test_square=True, overrun=0.6)).sheets
    svg = sheet_svg(cut_sheet(sheet))
    assert "Z" not in "".join(re.findall(r' d="([^"]*)"', svg))
    corners, closed = square_in(svg)
    assert not closed
    assert len(corners) == 7  # its four corners, where it begins and comes home, and beyond
    assert math.dist(corners[0], corners[6]) == pytest.approx(0.6)
    assert corners[5] == corners[0]
    (plain,) = cut(artwork(test_square=True)).sheets
    assert len(re.findall("<path", svg)) == len(re.findall("<path", sheet_svg(cut_sheet(plain))))
