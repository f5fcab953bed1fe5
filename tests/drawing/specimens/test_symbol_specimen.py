"""The specimen of the symbols: every one over its name, in its group, and all once more small."""

from pathlib import Path
from xml.etree import ElementTree

import pytest
import shapely
from click.testing import CliRunner
from PIL import Image

from legend.commands.cli import legend
from legend.drawing.specimens.specimen_page import Page
from legend.drawing.specimens.symbol_specimen import symbol_specimen
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.stroke_face import plain
from legend.lettering.symbols.drawing import symbol
from legend.lettering.symbols.registry import GROUPS, SYMBOLS

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def page() -> Page:
    return symbol_specimen()


def test_every_symbol_stands_over_its_name_and_once_more_small(page: Page) -> None:
    groups = {name: outlines for name, _, outlines in page.groups}
    for group in GROUPS:
        name = group.heading.lower().replace(",", "").replace(" ", "-")
        drawn, words = groups[name], groups[f"{name}-caption"]
        assert len(drawn) == len(group.symbols)
        middles = [(o.bounds[0] + o.bounds[2]) / 2 for o in words]
        for own, outline in zip(group.symbols, drawn, strict=True):
            as_set = symbol(own, TextStyle(plain(), 3.5))
            assert outline.area == pytest.approx(as_set.area, rel=1e-6)
            left, bottom, right, _ = outline.bounds
            under = [
                each
                for each, middle in zip(words, middles, strict=True)
                if abs(middle - (left + right) / 2) < 0.01 and 0 < bottom - each.bounds[3] < 4
            ]
            assert under, own
    assert len(groups["small"]) == len(SYMBOLS)
    assert groups["small"][0].bounds[3] - groups["small"][0].bounds[1] == pytest.approx(
        2.5 * 2**0.5
    )


def test_nothing_touches_and_all_is_on_one_sheet_of_paper(page: Page) -> None:
    assert (page.width, page.height) == (210, 297)
    outlines = [outline for _, _, outlines in page.groups for outline in outlines]
    shapes = shapely.simplify([outline.shape for outline in outlines], 0.01)
    _, apart = shapely.STRtree(shapes).query_nearest(shapes, exclusive=True, return_distance=True)
    assert apart.min() > 0.7
    left, bottom, right, top = shapely.total_bounds(shapes)
    assert left >= 14 - 0.01 and right <= 210 - 14 + 0.01
    assert bottom >= -297 + 14 and top <= -14 + 0.01


def test_the_command_draws_it(tmp_path: Path) -> None:
    for name in ("symbols.svg", "symbols.png"):
        words = ["faces", "symbols", "--out", str(tmp_path / name), "--dpi", "50"]
        ran = CliRunner().invoke(legend, words)
        assert (ran.exit_code, ran.output) == (0, f"{tmp_path / name}\n")
    root = ElementTree.parse(tmp_path / "symbols.svg").getroot()
    assert (root.get("width"), root.get("height")) == ("210mm", "297mm")
    assert "warnings" in [group.get("id") for group in root.findall(f"{SVG}g")]
    assert Image.open(tmp_path / "symbols.png").size == (413, 585)


def test_without_a_file_it_says_how() -> None:
    ran = CliRunner().invoke(legend, ["faces", "symbols"])
    assert ran.exit_code == 2
    assert "legend faces symbols --out symbols.svg" in " ".join(ran.output.split())


def test_the_one_kept_has_every_group_and_symbol(tmp_path: Path) -> None:
    """Where this fails, run `.venv/bin/legend faces symbols --out fonts/symbols.svg`."""
    made = tmp_path / "symbols.svg"
    CliRunner().invoke(legend, ["faces", "symbols", "--out", str(made)])
    kept = Path(__file__).parents[3] / "fonts/symbols.svg"
    groups = [
        [(group.get("id"), len(group)) for group in ElementTree.parse(file).getroot()]
        for file in (made, kept)
    ]
    assert groups[0] == groups[1]
