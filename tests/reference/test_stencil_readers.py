"""The SVG as two readers and two renderers see it: the same size, the same area.

svgelements and svgpathtools read the file; resvg and cairo draw it. The areas are held to
the outlines that were cut, within 0.05 per cent: by exact integration of the curves read, and
by counting pixels of a seventieth of a millimetre.
"""

from __future__ import annotations

import io
import xml.etree.ElementTree as ET
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import resvg_py
import svgelements
import svgpathtools
from PIL import Image

from legend.description.tables.description import Description
from legend.drawing.stencil_files import write_stencils
from legend.layout import lay_out
from legend.stencil import cut
from legend.stencil.sheet import Cut, Lines, Sheet


@pytest.fixture(scope="module", params=["film", "sheet"])
def written(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Sheet, Path]:
    artwork = lay_out(
        Description.model_validate(
            {
                "panel": {"size": [160, 80]},
                "holes": {
                    "A": {"at": [35, 40], "drill": 9.5},
                    "W": {"at": [110, 40], "cutout": [40, 18], "corner_radius": 2},
                },
                "control": [
                    {
                        "hole": "A",
                        "kind": "knob",
                        "name": "EXPOSURE",
                        "covers": 20,
                        "scale": {"law": "log", "from": 0.5, "to": 60, "arc": True},
                    },
                    {"hole": "W", "kind": "window", "name": "SECONDS", "frame": 0.8},
                ],
                "stencil": {"method": "paint-through", "stock": request.param},
            }
        )
    )
    sheets = cut(artwork).sheets
    (path,) = write_stencils(sheets, artwork, tmp_path_factory.mktemp("sheets"))
    return sheets[0], path


def enclosed(points: Any) -> float:
    """The signed area under a cubic from its four points, exactly."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = points
    return (
        float(
            6 * (x0 * y1 - x1 * y0)
            + 3 * (x0 * y2 - x2 * y0)
            + (x0 * y3 - x3 * y0)
            + 3 * (x1 * y2 - x2 * y1)
            + 3 * (x1 * y3 - x3 * y1)
            + 6 * (x2 * y3 - x3 * y2)
        )
        / 20
    )


def as_cubic(start: complex, *controls: complex) -> list[tuple[float, float]]:
    points = [start, *controls]
    if len(points) == 2:
        a, b = points
        points = [a, a + (b - a) / 3, a + (b - a) * 2 / 3, b]
    elif len(points) == 3:
        a, q, b = points
        points = [a, a + (q - a) * 2 / 3, b + (q - b) * 2 / 3, b]
    return [(p.real, p.imag) for p in points]


def areas_by_class(sheet: Sheet) -> dict[str, float]:
    found: dict[str, float] = {}
    for placed in sheet.placed:
        for path in placed.paths:
            if isinstance(path, Lines):
                continue
            # Enlarged, so that flattening the curves does not make the area smaller.
            area = path.outline.scaled(100).area / 100**2
            found[path.cut.value] = found.get(path.cut.value, 0.0) + area
    return found


def test_svgelements_finds_the_size_and_the_areas(written: tuple[Sheet, Path]) -> None:
    sheet, file = written
    parsed = svgelements.SVG.parse(str(file), ppi=25.4)
    assert (parsed.width, parsed.height) == pytest.approx(sheet.size)
    found: dict[str, float] = {}
    for path in parsed.elements():
        if isinstance(path, svgelements.Path):
            area = 0.0
            for segment in path:
                if isinstance(segment, svgelements.Move):
                    continue
                controls = [
                    getattr(segment, name)
                    for name in ("control", "control1", "control2")
                    if hasattr(segment, name)
                ]
                points = [complex(p.x, p.y) for p in (segment.start, *controls, segment.end)]
                area += enclosed(as_cubic(*points)) if "Z" in path.values["d"] else 0.0
            kind = path.values["class"]
            found[kind] = found.get(kind, 0.0) + abs(area)
    for kind, area in areas_by_class(sheet).items():
        assert found[kind] == pytest.approx(area, rel=5e-4)


def test_svgpathtools_finds_the_areas(written: tuple[Sheet, Path]) -> None:
    sheet, file = written
    found: dict[str, float] = {}
    for element in ET.parse(file).getroot().iter("{http://www.w3.org/2000/svg}path"):
        if "Z" not in element.attrib["d"]:
            continue  # it encloses nothing
        path = svgpathtools.parse_path(element.attrib["d"])
        area = sum(enclosed(as_cubic(*segment.bpoints())) for segment in path)
        kind = element.attrib["class"]
        found[kind] = found.get(kind, 0.0) + abs(area)
    for kind, area in areas_by_class(sheet).items():
        assert found[kind] == pytest.approx(area, rel=5e-4)


# --- Two renderers ---

#: Pixels to the millimetre: so fine that the rounding of half-covered pixels does not count.
FINE = 70


def one_piece(sheet: Sheet, file: Path) -> tuple[str, float, tuple[int, int]]:
    """A file of one piece alone, its marks filled; the area of these; its size in pixels."""
    placed = max(sheet.placed, key=lambda each: len(each.paths))
    x0, y0, x1, y1 = placed.box
    root = ET.parse(file).getroot()
    root.set("viewBox", f"{x0} {sheet.size[1] - y1} {x1 - x0} {y1 - y0}")
    size = round((x1 - x0) * FINE), round((y1 - y0) * FINE)
    root.set("width", f"{size[0]}px")
    root.set("height", f"{size[1]}px")
    root.set("stroke", "none")
    for group in list(root):
        if group.get("id") != f"piece-{placed.piece.number}":
            root.remove(group)
    for path in root.iter("{http://www.w3.org/2000/svg}path"):
        if path.get("class") == "mark":
            path.set("fill", "#000")
    marks = [path.outline for path in placed.paths if path.cut is Cut.MARK]
    area = sum(mark.scaled(100).area / 100**2 for mark in marks)
    return ET.tostring(root, encoding="unicode"), area, size


def resvg(svg: str) -> bytes:
    return bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=96, background="#fff"))


def cairo(svg: str) -> bytes:
    try:
        import cairosvg
    except (ImportError, OSError):  # cairo itself comes with the system
        pytest.skip("cairo is not at hand")
    return bytes(cairosvg.svg2png(bytestring=svg.encode(), background_color="#fff"))


@pytest.mark.parametrize("render", [resvg, cairo])
def test_renderers_paint_the_same_area(
    written: tuple[Sheet, Path], render: Callable[[str], bytes]
) -> None:
    svg, area, size = one_piece(*written)
    image = Image.open(io.BytesIO(render(svg))).convert("L")
    assert image.size == size
    painted = (255 - np.asarray(image)).sum(dtype=np.int64) / 255 / FINE**2
    assert painted == pytest.approx(area, rel=5e-4)


@pytest.mark.parametrize("render", [resvg, cairo])
def test_renderers_find_the_size_in_millimetres(
    written: tuple[Sheet, Path], render: Callable[[str], bytes]
) -> None:
    sheet, file = written
    image = Image.open(io.BytesIO(render(file.read_text())))
    # 96 pixels to the inch: CSS Values and Units 3, 5.2.
    assert image.size == pytest.approx([side * 96 / 25.4 for side in sheet.size], abs=1)
