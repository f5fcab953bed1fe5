"""The panel as a drawing in mm."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import pytest
import svgelements

from legend.drawing.proofs.proof_svg import escaped, panel_svg, write_proof_svg
from legend.layout.artwork import Artwork
from legend.writing import is_ours

NS = {"s": "http://www.w3.org/2000/svg"}


def groups(artwork: Artwork) -> dict[str, ElementTree.Element]:
    root = ElementTree.fromstring(panel_svg(artwork))
    return {g.get("id", ""): g for g in root.findall("s:g", NS)}


def test_one_unit_is_a_millimetre(artwork: Artwork) -> None:
    root = ElementTree.fromstring(panel_svg(artwork))
    assert (root.get("width"), root.get("height")) == ("100mm", "60mm")
    assert root.get("viewBox") == "0 0 100 60"
    assert root.findtext("s:title", namespaces=NS) == "DOME <1> & CO"


def test_each_control_has_a_group_with_a_path_for_each_mark(artwork: Artwork) -> None:
    found = groups(artwork)
    assert list(found) == ["panel", "control-A", "control-B", "legends", "bare", "holes"]
    for name, owner in (("control-A", "A"), ("control-B", "B"), ("legends", "")):
        paths = found[name].findall("s:path[@class='mark']", NS)
        outlines = [mark.outline for mark in artwork.marks if mark.owner == owner]
        assert len(paths) == len(outlines)
        for path, outline in zip(paths, outlines, strict=True):
            x0, y0, x1, y1 = outline.bounds
            box = svgelements.Path(path.get("d")).bbox()
            assert box == pytest.approx((x0, 60 - y1, x1, 60 - y0), abs=2e-3)
    assert len(found["holes"].findall("s:path[@class='hole']", NS)) == len(artwork.openings)


@pytest.mark.parametrize(
    ("method", "panel", "letters"),
    [("lift-off", "#305050", "#f0e8d0"), ("paint-through", "#f0e8d0", "#305050")],
)
def test_colours_are_those_of_the_finish(
    method: str, panel: str, letters: str, make_artwork: Callable[..., Artwork]
) -> None:
    found = groups(make_artwork(stencil={"method": method}))
    assert found["panel"].get("fill") == panel
    assert found["control-A"].get("fill") == found["legends"].get("fill") == letters


def test_names_of_holes_become_lawful_and_different_ids() -> None:
    names = ["A", "W 1", "W-1", "Ω2", "a/b", "1", "<x>"]
    ids = [escaped(name) for name in names]
    assert ids == ["A", "W_20_1", "W-1", "Ω2", "a_2f_b", "1", "_3c_x_3e_"]


def test_the_file_is_our_own_and_well_formed(artwork: Artwork, tmp_path: Path) -> None:
    write_proof_svg(artwork, tmp_path / "proof.svg")
    assert is_ours(tmp_path / "proof.svg")
    assert ElementTree.parse(tmp_path / "proof.svg").getroot().tag.endswith("svg")
