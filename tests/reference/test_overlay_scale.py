"""The overlay printed at true scale, as an independent renderer (PDFium) sees it.

Sources: ISO 32000-1, 8.3.2.3 (the PDF unit is 1/72 in); ISO 216 and ANSI Y14.1 (paper). The
tolerances are the project's own: bars within 0.05 mm, hole centres within 0.02 mm.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from numpy.typing import NDArray
from scipy import ndimage

from legend.description.tables.description import Description
from legend.drawing.pdf.drilling_template import write_drilling_template
from legend.drawing.pdf.overlay_pdf import write_overlay
from legend.drawing.pdf.panel_drawing import extents_of
from legend.drawing.pdf.paper import BOTTOM_STRIP, EDGE, LEFT_STRIP, PAPER, tiled
from legend.layout.artwork import Artwork
from legend.layout.openings import lay_openings
from legend.layout.styles import choose_styles
from legend.lettering.outlines.outline import Outline

DPI = 1200
PER_MM = DPI / 25.4
#: Where the bars begin on the sheet, and where the drawing does, mm.
LEFT, BOTTOM = EDGE + LEFT_STRIP, EDGE + BOTTOM_STRIP


def panel_with(holes: dict[str, object], size: tuple[float, float] = (140.0, 80.0)) -> Artwork:
    description = Description.model_validate({"panel": {"size": size}, "holes": holes})
    panel, openings = Outline.rectangle(0, 0, *size), lay_openings(description)
    return Artwork(description, choose_styles(description), panel, openings, (), (), ())


Window = Callable[[float, float, float, float], NDArray[np.float64]]


@contextmanager
def sheet(path: Path, number: int = 0) -> Iterator[Window]:
    """Looks at parts of a sheet: left, bottom, right, top in mm give ink from 0 to 1."""
    with pypdfium2.PdfDocument(path) as document:
        page = document[number]
        width, height = page.get_size()

        def look(x0: float, y0: float, x1: float, y1: float) -> NDArray[np.float64]:
            points = [v * 72 / 25.4 for v in (x0, y0, x1, y1)]
            crop = points[0], points[1], width - points[2], height - points[3]
            picture = page.render(scale=DPI / 72, crop=crop, grayscale=True).to_numpy()
            return 1 - picture.astype(float) / 255

        yield look


def line_at(look: Window, x: float, y: float, across: bool, half: float = 0.4) -> float:
    """Where a line that passes near (x, y) stands: its y where it runs across, else its x."""
    ink = look(x - half, y - half, x + half, y + half)
    profile = ink.mean(axis=1)[::-1] if across else ink.mean(axis=0)
    profile = np.where(profile > 0.25 * profile.max(), profile, 0)
    # The crop is cut to whole pixels about its middle.
    middle = len(profile) / 2
    offset = (profile @ (np.arange(len(profile)) + 0.5)) / profile.sum() - middle
    return (y if across else x) + offset / PER_MM


@pytest.fixture
def plain(tmp_path: Path) -> Path:
    path = tmp_path / "overlay.pdf"
    write_overlay(panel_with({}), None, path)
    return path


@pytest.mark.parametrize(("end", "ticks"), [(100.0, 1.0), (101.6, -1.0)])
def test_the_bars_are_true_both_ways(plain: Path, end: float, ticks: float) -> None:
    """A bar of 100 mm above (left of) its line, one of 4 in below (right of) it."""
    with sheet(plain) as look:
        y = BOTTOM - 7 + 2.6 * ticks
        begin, finish = (line_at(look, LEFT + at, y, across=False) for at in (0, end))
        assert finish - begin == pytest.approx(end, abs=0.05)
        x = LEFT - 6 - 2.6 * ticks
        begin, finish = (line_at(look, x, BOTTOM + at, across=True) for at in (0, end))
        assert finish - begin == pytest.approx(end, abs=0.05)


def test_a_correction_stretches_each_way_by_its_own(tmp_path: Path) -> None:
    path = tmp_path / "overlay.pdf"
    write_overlay(panel_with({}), None, path, correction=(0.5, -0.4))
    with sheet(path) as look:
        y = (BOTTOM - 4.4) * 0.996
        ends = [line_at(look, (LEFT + at) * 1.005, y, across=False) for at in (0, 100)]
        assert ends[1] - ends[0] == pytest.approx(100.5, abs=0.05)
        x = (LEFT - 8.6) * 1.005
        ends = [line_at(look, x, (BOTTOM + at) * 0.996, across=True) for at in (0, 100)]
        assert ends[1] - ends[0] == pytest.approx(99.6, abs=0.05)


HOLES: dict[str, object] = {
    "A": {"at": (30.17, 25.4), "drill": 9.5},
    "B": {"at": (70.0, 51.33), "drill": 20.0},
    "C": {"at": (110.08, 22.0), "cutout": (26.0, 14.0)},
    "D": {"at": (112.5, 58.25), "slot": (18.0, 8.0), "angle": 90.0},
}


def test_holes_stand_where_they_were_measured_from_the_edges(tmp_path: Path) -> None:
    artwork = panel_with(HOLES)
    path = tmp_path / "overlay.pdf"
    write_overlay(artwork, None, path)
    view = tiled(extents_of(artwork, ())[0], "A4").tiles[0].view
    dx, dy = LEFT - view[0], BOTTOM - view[1]
    with sheet(path) as look:
        left = line_at(look, dx, dy + 40, across=False)
        bottom = line_at(look, dx + 60, dy, across=True)
        right = line_at(look, dx + 140, dy + 40, across=False)
        top = line_at(look, dx + 60, dy + 80, across=True)
        assert (right - left, top - bottom) == pytest.approx((140, 80), abs=0.02)
        for opening in artwork.openings:
            (x, y), (x0, y0, x1, y1) = opening.centre, opening.outline.bounds
            # The centre lines, inside the hole and past it, where they are drawn without a gap.
            cross_y = line_at(look, dx + x + 1, dy + y, across=True, half=0.35)
            cross_x = line_at(look, dx + x, dy + y + 1, across=False, half=0.35)
            assert cross_x - left == pytest.approx(x, abs=0.02)
            assert cross_y - bottom == pytest.approx(y, abs=0.02)
            # They run on past the hole.
            across = {"A": 9.5, "B": 20.0, "C": 26.0, "D": 8.0}[opening.id]
            edge = dx + x + across / 2
            beyond = look(edge + 1.0, dy + y - 0.2, edge + 2.9, dy + y + 0.2)
            assert beyond.max() > 0.3
            # The middle between opposite edges, looked at beside the centre lines.
            off = 0.9
            if opening.hole.drill:
                half = opening.hole.drill / 2
                reach = (half**2 - off**2) ** 0.5
                sides = [
                    line_at(look, dx + x + s * reach, dy + y + off, False, 0.3) for s in (-1, 1)
                ]
                ends = [line_at(look, dx + x + off, dy + y + s * reach, True, 0.3) for s in (-1, 1)]
                width = 2 * reach
            else:
                sides = [line_at(look, dx + at, dy + y + off, False, 0.3) for at in (x0, x1)]
                ends = [line_at(look, dx + x + off, dy + at, True, 0.3) for at in (y0, y1)]
                width = x1 - x0
            assert sum(sides) / 2 - left == pytest.approx(x, abs=0.02)
            assert sum(ends) / 2 - bottom == pytest.approx(y, abs=0.02)
            assert sides[1] - sides[0] == pytest.approx(width, abs=0.04)


def test_join_marks_fall_on_each_other(tmp_path: Path) -> None:
    """Each join mark stands at the same place of the drawing on every sheet that has it."""
    artwork = panel_with({}, (400.0, 280.0))
    path = tmp_path / "overlay.pdf"
    write_overlay(artwork, None, path)
    tiling = tiled(extents_of(artwork, ())[0], "A4")
    assert len(tiling.tiles) == 4
    seen: dict[str, list[tuple[float, float]]] = {}
    for number, tile in enumerate(tiling.tiles):
        x0, y0, x1, y1 = tile.view
        with sheet(path, number) as look:
            for join in tiling.joins:
                (x, y) = join.at
                if not (x0 + 4 < x < x1 - 4 and y0 + 4 < y < y1 - 4):
                    continue
                on_x, on_y = LEFT + x - x0, BOTTOM + y - y0
                found = (
                    line_at(look, on_x, on_y - 3, across=False) - LEFT + x0,
                    line_at(look, on_x - 3, on_y, across=True) - BOTTOM + y0,
                )
                seen.setdefault(join.letter, []).append(found)
    shared = [places for places in seen.values() if len(places) > 1]
    assert len(shared) >= 4
    for places in shared:
        for one, other in itertools.combinations(places, 2):
            assert one == pytest.approx(other, abs=0.02)


def test_points_to_punch_stand_where_the_holes_are(tmp_path: Path) -> None:
    """The dot in the middle of each drilled hole of a template, from the panel's edges."""
    artwork = panel_with(HOLES)
    path = tmp_path / "template.pdf"
    write_drilling_template(artwork, path)
    view = tiled(extents_of(artwork)[0], "A4").tiles[0].view
    dx, dy = LEFT - view[0], BOTTOM - view[1]
    with sheet(path) as look:
        left = line_at(look, dx, dy + 40, across=False)
        bottom = line_at(look, dx + 60, dy, across=True)
        for opening in artwork.openings:
            if opening.hole.drill is None:
                continue
            (x, y), half = opening.centre, 0.6
            ink = look(dx + x - half, dy + y - half, dx + x + half, dy + y + half) > 0.9
            # The centre lines are as dark, and narrower: only the dot is left by opening.
            disc = np.hypot(*np.mgrid[-4:5, -4:5]) <= 4.5
            up, along = np.nonzero(ndimage.binary_opening(ink, disc))
            assert len(up) == pytest.approx(np.pi * (0.3 * PER_MM) ** 2, rel=0.25)
            rows, columns = ink.shape
            at_x = dx + x + (along.mean() + 0.5 - columns / 2) / PER_MM
            at_y = dy + y - (up.mean() + 0.5 - rows / 2) / PER_MM
            assert (at_x - left, at_y - bottom) == pytest.approx((x, y), abs=0.03)


def test_papers_are_those_of_the_standard() -> None:
    """ISO 216, clause 3: A0 has 1 m², its sides as 1 to the root of 2; each next is its half."""
    width, height = 1000 / 2**0.25, 1000 * 2**0.25
    for number in range(5):
        if f"A{number}" in PAPER:
            # Each side is given in whole mm, rounded down at each halving.
            assert PAPER[f"A{number}"] == pytest.approx((width, height), abs=1)
            assert all(side == int(side) for side in PAPER[f"A{number}"])
        width, height = height / 2, width
    assert {"A3", "A4"} <= set(PAPER)


@pytest.mark.parametrize(
    ("paper", "size"),
    [
        ("A4", (297.0, 210.0)),  # ISO 216
        ("A3", (420.0, 297.0)),  # ISO 216
        ("letter", (279.4, 215.9)),  # ANSI Y14.1, size A
        ((330.2, 482.6), (482.6, 330.2)),
    ],
)
def test_sheets_have_the_size_of_the_paper(
    paper: str | tuple[float, float], size: tuple[float, float], tmp_path: Path
) -> None:
    path = tmp_path / "overlay.pdf"
    write_overlay(panel_with({}), None, path, paper)
    with pypdfium2.PdfDocument(path) as document:
        points = document[0].get_size()
    assert [v * 25.4 / 72 for v in points] == pytest.approx(size, abs=0.01)
