"""The sheets of an overlay as another reader of PDF measures them: lanes, joins, bars, legends."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
import pytest
import shapely
from pdfminer.high_level import extract_pages
from pdfminer.layout import LTCurve, LTFigure, LTLine, LTPage

from legend.description.source import Source
from legend.drawing.pdf.ground import in_the_way
from legend.drawing.pdf.overlay_pdf import write_overlay
from legend.drawing.pdf.panel_drawing import extents_of
from legend.drawing.pdf.paper import BOTTOM_STRIP, EDGE, LEAST_EDGE, LEFT_STRIP, of_fewest_sheets
from legend.layout.artwork import Artwork, Mark, Role
from legend.lettering.outlines.outline import Outline

MM = 25.4 / 72
Make = Callable[..., Artwork]


def with_bars(make: Make, size: tuple[float, float], lefts: list[float]) -> Artwork:
    """A panel with upright bars of 20 × 8 mm, standing for words, at known places."""
    artwork = make(size, holes={}, control=[], bare=[])
    marks = tuple(
        Mark(Outline.rectangle(x, y, x + 20, y + 8), Role.NAME, "", Source("", 0), "I", 8.0)
        for x in lefts
        for y in np.arange(20.0, size[1] - 20, 60.0).tolist()
    )
    return Artwork(
        artwork.description, artwork.styles, artwork.panel, (), marks, (), ()
    )  # fmt: skip


def drawn(items: Any) -> Iterator[Any]:
    for each in items:
        if isinstance(each, LTFigure):
            yield from drawn(each)
        else:
            yield each


def boxes(page: LTPage, size: tuple[float, float]) -> list[tuple[float, float]]:
    """The lower left corners, mm, of the curves of this size, each once."""
    found = {
        (round(each.x0 * MM, 4), round(each.y0 * MM, 4))
        for each in drawn(page)
        if isinstance(each, LTCurve)
        and (each.width * MM, each.height * MM) == pytest.approx(size, abs=0.002)
    }
    return sorted(found)


def test_lanes_and_legends_are_true_to_a_hundredth_on_every_sheet(
    make_artwork: Make, tmp_path: Path
) -> None:
    artwork = with_bars(make_artwork, (600.0, 280.0), [30.0, 190.0, 300.0, 420.0, 510.0])
    path = tmp_path / "overlay.pdf"
    write_overlay(artwork, None, path)
    tiling = of_fewest_sheets(extents_of(artwork), "A4", things=lambda: in_the_way(artwork))
    pages = list(extract_pages(path))
    assert len(pages) == len(tiling.tiles) > 3
    assert tiling.legends_cut == 0
    whole: set[tuple[float, float]] = set()
    for page, tile in zip(pages, tiling.tiles, strict=True):
        dx, dy = EDGE + LEFT_STRIP - tile.view[0], EDGE + BOTTOM_STRIP - tile.view[1]
        # What is drawn is the whole panel, of which the sheet shows its view.
        corners = boxes(page, (20.0, 8.0))
        expected = sorted(
            (m.outline.bounds[0] + dx, m.outline.bounds[1] + dy) for m in artwork.marks
        )
        np.testing.assert_allclose(corners, expected, atol=0.01)
        for x, y in corners:
            x0, y0, x1, y1 = tile.view
            if x0 + dx <= x and x + 20 <= x1 + dx and y0 + dy <= y and y + 8 <= y1 + dy:
                whole.add((round(x - dx, 2), round(y - dy, 2)))
        lines = (
            np.array([each.pts for each in page if isinstance(each, LTLine)]).reshape(-1, 4) * MM
        )
        for axis, shift in ((0, dx), (1, dy)):
            along = np.abs(lines[:, axis] - lines[:, axis + 2]) < 1e-4
            long = np.abs(lines[:, 1 - axis] - lines[:, 3 - axis]) > 105
            there = lines[along & long, axis]
            for lane in tiling.lanes[axis]:
                if tile.view[axis] < lane < tile.view[axis + 2]:
                    assert np.abs(there - lane - shift).min() < 0.01
    assert whole == {tuple(np.round(m.outline.bounds[:2], 2)) for m in artwork.marks}


@pytest.mark.parametrize(
    ("size", "paper"),
    [
        ((254.0, 177.8), "A4"),
        ((177.8, 254.0), "A4"),
        ((203.2, 254.0), "letter"),
        ((285.0, 198.0), "A4"),
        ((100.0, 285.0), "A4"),
        ((405.0, 284.0), "A3"),
    ],
)
def test_where_the_panel_takes_up_the_sheet_the_bars_stand_where_there_is_room(
    size: tuple[float, float], paper: str, make_artwork: Make, tmp_path: Path
) -> None:
    artwork = with_bars(make_artwork, size, [15.0, size[0] / 2 + 10])
    path = tmp_path / "overlay.pdf"
    write_overlay(artwork, None, path, paper)
    (page,) = extract_pages(path)
    ours = shapely.box(*(np.array([(x, y, x + 20, y + 8) for x, y in boxes(page, (20.0, 8.0))])).T)
    assert len(ours) == len(artwork.marks)
    lines = [np.array(each.pts) * MM for each in page if isinstance(each, LTLine)]
    spans = np.array([np.abs(line[1] - line[0]) for line in lines])
    assert [((np.abs(spans[:, way] - 100) < 0.005) & (spans[:, 1 - way] < 0.005)).sum()
            for way in (0, 1)] == [1, 1]  # fmt: skip
    for line in lines:
        assert not shapely.intersects(shapely.LineString(line), ours).any()
        assert (line > LEAST_EDGE - 0.01).all()
        assert (line < np.array([page.width, page.height]) * MM - LEAST_EDGE + 0.01).all()
    texts = [each for each in page if hasattr(each, "get_text")]
    said = "".join(text.get_text() for text in texts)
    assert "Print at actual size" in said and "Overlay" in said
    for text in texts:
        words = shapely.box(*(np.array(text.bbox) * MM))
        assert not shapely.intersects(words.buffer(-0.3), ours).any()


@pytest.mark.parametrize("size", [(90.0, 260.0), (254.0, 120.0), (190.0, 280.0)])
def test_the_mark_of_a_datum_at_the_right_and_up_is_whole(
    size: tuple[float, float], make_artwork: Make
) -> None:
    """Its cross reaches 2.6 mm past the corner of the panel, also where it fills the sheet."""
    artwork = with_bars(make_artwork, size, [15.0])
    tiling = of_fewest_sheets(extents_of(artwork), "A4")
    ((_, _, right, top),) = [tile.view for tile in tiling.tiles]
    assert min(right - size[0], top - size[1]) > 2.7


def test_legends_as_outlines_have_paper_within(artwork: Artwork, tmp_path: Path) -> None:
    filled: list[int] = []
    for outlines in (False, True):
        path = tmp_path / f"{outlines}.pdf"
        write_overlay(artwork, None, path, outlines=outlines)
        (page,) = extract_pages(path)
        curves = [
            each
            for each in drawn(page)
            if isinstance(each, LTCurve)
            and (each.width * MM, each.height * MM) == pytest.approx((1.2, 8.0), abs=0.002)
        ]
        assert curves
        filled.append(sum(bool(each.fill) for each in curves))
    assert filled == [1, 0]


def test_round_a_printed_letter_is_a_rim_outside_its_true_edge(
    artwork: Artwork, tmp_path: Path
) -> None:
    """The grey reaches the true edge: film that lies true leaves the same of the rim all round."""
    path = tmp_path / "overlay.pdf"
    write_overlay(artwork, None, path)
    tiling = of_fewest_sheets(extents_of(artwork), "A4")
    view = tiling.tiles[0].view
    left, bottom = EDGE + LEFT_STRIP - view[0] + 20.0, EDGE + BOTTOM_STRIP - view[1] + 40.0
    seen = (left - 1, bottom + 3, left + 2.2, bottom + 5)  # of the letter, in the middle
    points = [side / MM for side in seen]
    with pypdfium2.PdfDocument(path) as document:
        page = document[0]
        crop = points[0], points[1], page.get_width() - points[2], page.get_height() - points[3]
        picture = page.render(scale=1200 / 72, crop=crop, grayscale=True).to_numpy() / 255
    across = picture[len(picture) // 2]
    places = (np.arange(len(across)) + 0.5) / len(across) * (seen[2] - seen[0]) - 1
    per_mm = 1200 / 25.4
    assert np.median(across[(places > 0.1) & (places < 1.1)]) == pytest.approx(0.8, abs=0.02)
    rim = across < 0.5
    assert places[rim & (places < 0.5)].max() == pytest.approx(0, abs=0.04)
    assert places[rim & (places > 0.5)].min() == pytest.approx(1.2, abs=0.04)
    for side in (rim & (places < 0.5), rim & (places > 0.5)):
        assert side.sum() / per_mm == pytest.approx(0.125, abs=0.04)
