"""Panels that are no rectangles: what is laid out on them, checked and drawn by their outline."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import shapely

from legend.description.reading.description_file import parse
from legend.drawing.job_card.job_card import card_html
from legend.drawing.pdf.overlay_pdf import write_overlay
from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork
from legend.stencil import cut

_ROUND = {"outline": {"diameter": 160}, "datum": "centre"}
#: A console: the metal ends 20 to the right of the datum at the bottom, 40 at the top.
_CONSOLE = {
    "outline": {"polygon": [[0, 0], [160, 0], [190, 90, 15], [-30, 90]]},
    "corner_radius": 4,
}


def laid(describe: Any, panel: dict[str, Any], **tables: Any) -> Artwork:
    return lay_out(describe(panel=panel, **tables))


def codes(artwork: Artwork) -> set[str]:
    return {finding.code for finding in inspect(artwork)}


def one(at: list[float], name: str, **control: Any) -> dict[str, Any]:
    return {
        "holes": {"A": {"at": at, "drill": 6}},
        "control": [{"hole": "A", "kind": "jack", "name": name, "covers": 10} | control],
    }


def test_the_panel_is_its_outline_in_its_own_corner(describe: Any) -> None:
    artwork = laid(describe, _ROUND)
    assert artwork.panel.bounds == pytest.approx((0, 0, 160, 160))
    assert artwork.panel.area == pytest.approx(3.14159 * 80**2, rel=1e-4)
    artwork = laid(describe, _CONSOLE, **one([0, 45], "IN"))
    x0, y0, x1, y1 = artwork.description.panel.edge.box
    assert artwork.panel.bounds == pytest.approx((0, 0, x1, y1), abs=0.01)
    assert y1 == pytest.approx(90) and 205 < x1 < 220  # its upper corners are rounded
    (x, y) = artwork.opening("A").centre
    away = shapely.LineString([(0, 0), (-30, 90)]).distance(shapely.Point(0, 45))
    assert artwork.panel.shape.exterior.distance(shapely.Point(x, y)) == pytest.approx(away)


def test_what_lies_off_the_outline_is_found_though_it_is_in_the_rectangle(describe: Any) -> None:
    assert codes(laid(describe, _ROUND, **one([0, 60], ""))) <= {"covers-assumed", "fine-stroke"}
    assert "hole-off-panel" in codes(laid(describe, _ROUND, **one([60, 60], "")))
    assert "hole-near-edge" in codes(laid(describe, _ROUND, **one([76.5, 0], "")))
    text = {"text": "OVER THE RIM", "role": "title", "at": [40, 60]}
    artwork = laid(describe, _ROUND, text=[text])
    (finding,) = (each for each in inspect(artwork) if each.code == "off-panel")
    said = re.search(r"runs ([\d.]+) mm off", finding.message)
    shape = artwork.marks[0].outline.shape
    beyond = shapely.hausdorff_distance(shape.union(artwork.panel.shape), artwork.panel.shape)
    assert said and float(said[1]) == pytest.approx(beyond, abs=0.06)


def test_marks_keep_their_gap_from_the_outline(describe: Any) -> None:
    text = {"text": "I", "at": [67, 40]}
    assert "near-edge" in codes(laid(describe, _ROUND, text=[text]))
    assert codes(laid(describe, _ROUND, text=[text | {"at": [60, 40]}])) <= {"fine-stroke"}


@pytest.mark.parametrize("side", ["above", "below"])
def test_names_fit_between_the_edges_at_their_height(describe: Any, side: str) -> None:
    name = "EXTERNAL RECORDER"
    middle = laid(describe, _ROUND, **one([0, 0], name, side=side))
    assert "fitted" not in codes(middle)
    up = 1 if side == "above" else -1
    artwork = laid(describe, _ROUND, **one([0, up * 64], name, side=side))
    found = codes(artwork)
    assert "fitted" in found and "off-panel" not in found
    (mark,) = artwork.marks
    assert artwork.panel.shape.exterior.distance(mark.outline.shape) >= 1
    beside = laid(describe, _ROUND, **one([42, -40], "RECORDER", side="right"))
    assert codes(beside) & {"fitted", "no-room"}


def test_words_round_the_rim(describe: Any) -> None:
    words = {"text": "ROUND THE RIM OF IT", "around": "A", "radius": 70}
    artwork = laid(describe, _ROUND, **one([0, 0], ""), text=[words])
    assert not codes(artwork) - {"covers-assumed", "fine-stroke"}
    assert "near-edge" in codes(
        laid(describe, _ROUND, **one([0, 0], ""), text=[words | {"radius": 77}])
    )


def test_card_and_overlay_say_what_the_panel_is(describe: Any, tmp_path: Path) -> None:
    artwork = laid(describe, _ROUND, text=[{"text": "GO", "at": [0, 0]}])
    sheets = cut(artwork).sheets
    card = card_html(artwork, sheets, (), None).decode()
    assert "Ø 160 mm" in card
    assert "Distances run from two centre lines, one upright and one level" in card
    assert "201 cm²" in card  # of paint, by the true area
    inches = lay_out(parse('units = "in"\npanel.outline.diameter = 6\n'))
    write_overlay(inches, None, tmp_path / "overlay.pdf")
    import pypdfium2

    with pypdfium2.PdfDocument(tmp_path / "overlay.pdf") as document:
        assert "Overlay, Ø 6 in" in document[0].get_textpage().get_text_bounded()
