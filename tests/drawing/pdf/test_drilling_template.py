"""The template for drilling the panel again."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from shapely import Point

from legend.drawing.pdf.drilling_template import write_drilling_template
from legend.layout.artwork import Artwork
from legend.writing import is_ours


def words(path: Path) -> str:
    with pypdfium2.PdfDocument(path) as document:
        return str(document[0].get_textpage().get_text_bounded())


def test_every_hole_has_its_size_and_its_distances(artwork: Artwork, tmp_path: Path) -> None:
    path = tmp_path / "template.pdf"
    write_drilling_template(artwork, path)
    assert is_ours(path)
    said = words(path)
    for name, size, at in (
        ("A", "Ø 9.5", "20, 25"),
        ("B", "Ø 6.35", "60, 25"),
        ("W 1", "16 × 8", "85, 40"),
        ("S", "12 × 3", "40, 25"),
    ):
        assert name in said and size in said and at in said
    assert "Drilling template, 100 × 60 mm; distances from the datum" in said


def test_distances_run_from_the_datum_and_in_its_units(
    make_artwork: Callable[..., Artwork], tmp_path: Path
) -> None:
    path = tmp_path / "template.pdf"
    holes = {"A": {"at": ("-0.5 in", "0.25 in"), "drill": "3/8 in"}}
    panel = {"size": ("4 in", "3 in"), "datum": "centre"}
    artwork = make_artwork(units="in", panel=panel, holes=holes, control=[], bare=[])
    write_drilling_template(artwork, path)
    lines = [line.strip() for line in words(path).splitlines()]
    assert {"A", "Ø 3/8", "–1/2, 1/4"} <= set(lines)


def test_points_to_punch(artwork: Artwork) -> None:
    assert artwork.opening("A").punched == [(20, 25)]
    slot = sorted(artwork.opening("S").punched)
    assert slot == [pytest.approx((40, 20.5)), pytest.approx((40, 29.5))]
    window = artwork.opening("W 1").outline.shape
    corners = artwork.opening("W 1").punched
    assert len(corners) == 4
    for x, y in corners:
        assert window.exterior.distance(Point(x, y)) == pytest.approx(1.0, abs=0.01)
        assert window.contains(Point(x, y))


def test_the_design_is_drilled_again_and_not_what_came_of_it(
    make_artwork: Callable[..., Artwork], tmp_path: Path
) -> None:
    holes = {"A": {"at": (20, 25), "drill": 9.5}, "B": {"at": (60, 25), "drill": 6}}
    measured = {"A": {"at": (20.4, 24.9), "drill": 10}, "B": {"at": (60, 26)}}
    artwork = make_artwork(holes=holes, control=[], bare=[], as_drilled={"holes": measured})
    assert artwork.opening("A").centre == (20.4, 24.9)
    write_drilling_template(artwork, tmp_path / "template.pdf")
    lines = [line.strip() for line in words(tmp_path / "template.pdf").splitlines()]
    assert {"20, 25", "60, 25", "Ø 9.5"} <= set(lines)
    assert "Ø 10" not in lines


def test_a_template_for_drilling_from_behind(artwork: Artwork, tmp_path: Path) -> None:
    pictures = []
    for mirrored in (False, True):
        path = tmp_path / f"{mirrored}.pdf"
        write_drilling_template(artwork, path, mirrored=mirrored)
        with pypdfium2.PdfDocument(path) as document:
            pictures.append(document[0].render(scale=1, grayscale=True).to_numpy().astype(float))
    assert np.abs(pictures[0] - pictures[1]).mean() > 1
    assert np.abs(pictures[0] - pictures[1][:, ::-1]).mean() < 0.3
