"""The page as a PDF file: drawn by another library, read by OpenCV, measured in the drawing."""

from __future__ import annotations

import re

import cv2
import numpy as np
import pypdfium2
import pytest
from numpy.typing import NDArray

from legend.camera.target.target_page import RUN, RUNS, target_page
from legend.camera.target.target_pdf import ForPanel, Under, target_pdf, target_sheets
from legend.description.shapes.edge import Edge
from legend.drawing.pdf.paper import Paper, PaperError, Tile
from legend.standards import INCH

_FINE = 160 / INCH


def _panel(width: float, height: float, under: Under = "light") -> ForPanel:
    edge = Edge.rectangle(width, height, 2).moved(width / 2, height / 2)
    return ForPanel(edge, "DOME ROTATOR", f"{width:g} × {height:g} mm", under)


def _pages(data: bytes) -> list[NDArray[np.uint8]]:
    with pypdfium2.PdfDocument(data) as document:
        return [
            page.render(scale=_FINE * INCH / 72, grayscale=True).to_numpy().squeeze().copy()
            for page in document
        ]


def _words(data: bytes, page: int = 0) -> str:
    with pypdfium2.PdfDocument(data) as document:
        text = document[page].get_textpage().get_text_bounded()
    return " ".join(str(text).split())


def _seen(
    drawn: NDArray[np.uint8], tile: Tile, numbers: list[int]
) -> dict[int, NDArray[np.float64]]:
    """Those of some markers that are on a sheet: their corners in panel coordinates, mm."""
    whole = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_1000)
    some = cv2.aruco.Dictionary(whole.bytesList[numbers], 5, whole.maxCorrectionBits)
    corners, found, _ = cv2.aruco.ArucoDetector(some).detectMarkers(drawn)
    out = {}
    for which, pixels in zip(np.ravel(found).tolist(), corners, strict=True):
        x, y = (pixels.reshape(4, 2).T + 0.5) / _FINE
        high = drawn.shape[0] / _FINE
        out[numbers[which]] = np.column_stack(
            [x + tile.view[0] - tile.at[0], high - y + tile.view[1] - tile.at[1]]
        )
    return out


@pytest.mark.parametrize(
    ("size", "paper", "sheets"),
    [
        ((220, 120), "A4", 1),
        ((60, 40), "letter", 1),
        ((254, 60), "letter", 2),
        ((170, 190), (170.0, 160.0), 6),
    ],
)
def test_every_marker_is_where_the_page_has_it(
    size: tuple[float, float], paper: Paper, sheets: int
) -> None:
    page = target_page(*size)
    _, tiling = target_sheets(page, _panel(*size), paper)
    data = target_pdf(page, _panel(*size), paper)
    assert len(tiling.tiles) == sheets
    numbers = [RUN * run + place for run in range(RUNS) for place in range(len(page.marked))]
    found: dict[int, int] = {}
    for drawn, tile in zip(_pages(data), tiling.tiles, strict=True):
        for number, corners in _seen(drawn, tile, numbers).items():
            x0, y0, x1, y1 = page.marker_box(page.marked[number % RUN])
            wanted = np.array([(x0, y1), (x1, y1), (x1, y0), (x0, y0)])
            assert np.abs(corners - wanted).max() < 0.4
            found[number % RUN] = number // RUN
            assert number // RUN == (tile.row + tile.column) % RUNS or _is_in_flap(corners, tile)
    assert sorted(found) == list(range(len(page.marked)))
    assert len(set(found.values())) == min(tiling.rows + tiling.columns - 1, RUNS)


def _is_in_flap(corners: NDArray[np.float64], tile: Tile) -> bool:
    """Whether a marker lies past the lane of a sheet, where the next one is laid on it."""
    x0, y0, x1, y1 = tile.view
    x, y = corners.mean(axis=0)
    return bool(min(x - x0, y - y0, x1 - x, y1 - y) < 5)


@pytest.mark.parametrize("size", [(300, 200), (482.6, 177), (254, 178)])
def test_no_lane_cuts_a_marker(size: tuple[float, float]) -> None:
    page = target_page(*size)
    _, tiling = target_sheets(page, _panel(*size), "A4")
    for cell in page.marked:
        x0, y0, x1, y1 = page.marker_box(cell)
        assert not any(x0 < lane < x1 for lane in tiling.lanes[0])
        assert not any(y0 < lane < y1 for lane in tiling.lanes[1])


@pytest.mark.parametrize(("under", "black"), [("light", True), ("dark", False)])
def test_the_ground_is_flat_beside_the_panel_and_the_line_beneath_it(
    under: Under, black: bool
) -> None:
    page = target_page(60, 40)
    data = target_pdf(page, _panel(60, 40, under))
    _, tiling = target_sheets(page, _panel(60, 40, under), "A4")
    (drawn,), (tile,) = _pages(data), tiling.tiles
    high = drawn.shape[0]
    dx, dy = tile.at[0] - tile.view[0], tile.at[1] - tile.view[1]

    def part(x0: float, y0: float, x1: float, y1: float) -> NDArray[np.uint8]:
        rows = slice(round(high - (y1 + dy) * _FINE), round(high - (y0 + dy) * _FINE))
        return drawn[rows, round((x0 + dx) * _FINE) : round((x1 + dx) * _FINE)]

    ground = 0 if black else 255
    for beside in ((-7.5, -7.5, 0.8, 47.5), (59.2, -7.5, 67.5, 47.5), (-7.5, -7.5, 67.5, 0.8)):
        assert (part(*beside) == ground).all()
    assert (part(2.5, 2.5, 57.5, 37.5) == ground).all()  # and so within the holes
    across = part(0.5, 20, 3, 20.3)
    assert abs(int(across[0].max() if black else across[0].min()) - ground) > 150
    if black:
        assert (part(-9, 10, -8.2, 30) == 255).all()


def test_what_is_said_on_it() -> None:
    page = target_page(220, 120)
    data = target_pdf(page, _panel(220, 120))
    said = _words(data)
    for words in (
        "DOME ROTATOR", "Page to photograph the panel on, 220 × 120 mm", "top of the panel",
        "100 mm", "Print at actual size", "covers the white line", "from two sides",
        "from straight above",
    ):  # fmt: skip
        assert words in said
    assert "covers the black line" in _words(target_pdf(page, _panel(220, 120, "dark")))
    large = target_pdf(target_page(300, 200), _panel(300, 200))
    sheets = [_words(large, k) for k in range(4)]
    whole = [k for k, said in enumerate(sheets) if re.search("Lay the panel on it.*lens", said)]
    assert len(whole) == 1
    assert "top of the panel" in sheets[0]


def test_the_same_page_gives_the_same_bytes() -> None:
    page = target_page(60, 40)
    assert target_pdf(page, _panel(60, 40)) == target_pdf(page, _panel(60, 40))


def test_bars_and_words_stand_beside_the_squares() -> None:
    """On the fullest sheet, whose markers are all read above, there is white left for them."""
    drawing, tiling = target_sheets(target_page(220, 120), _panel(220, 120), "A4")
    assert not tiling.has_strips
    assert drawing.notes  # the words stand with the bars


def test_small_paper_is_refused() -> None:
    with pytest.raises(PaperError, match="too small for the drawing"):
        target_pdf(target_page(60, 40), _panel(60, 40), (100.0, 100.0))
