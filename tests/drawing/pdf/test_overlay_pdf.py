"""The overlay as a PDF file: its sheets, its words, its bytes."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from pathlib import Path
from typing import Any
from unittest.mock import MagicMock

import numpy as np
import pypdfium2
import pytest
import shapely
from font_files import SANS
from pdfminer.pdfdocument import PDFDocument
from pdfminer.pdfparser import PDFParser

from legend.description.reading.description_file import parse, read
from legend.description.tables.description import Description
from legend.drawing.pdf.drafting_pen import Pen
from legend.drawing.pdf.overlay_pdf import write_overlay
from legend.drawing.pdf.panel_drawing import draw_overlay, extents_of
from legend.drawing.pdf.paper import BOTTOM_STRIP, EDGE, LEFT_STRIP, TOP_STRIP, of_fewest_sheets
from legend.layout import lay_out
from legend.layout.artwork import Artwork
from legend.standards import PDF_POINT
from legend.stencil import cut
from legend.stencil.sheet import Sheet, pieces_of
from legend.writing import is_ours

SAMPLES = sorted((Path(__file__).parents[3] / "samples").iterdir())


def words(path: Path, page: int = 0) -> str:
    with pypdfium2.PdfDocument(path) as document:
        return str(document[page].get_textpage().get_text_bounded())


def test_holes_pieces_and_notes_are_named(
    artwork: Artwork, sheets: tuple[Sheet, ...], tmp_path: Path
) -> None:
    path = tmp_path / "overlay.pdf"
    write_overlay(artwork, sheets, path)
    said = words(path)
    for opening in artwork.openings:
        assert opening.id in said
    for text in (
        "Ø 9.5",
        "Ø 6.35",
        "16 × 8",
        "12 × 3, 90°",
        "bare Ø 12",
        "datum",
        "100 mm",
        "4 in",
    ):
        assert text in said
    assert "Print at actual size (100 %)" in said
    assert "DOME <1> & CO" in said
    numbers = [str(placed.piece.number) for placed in sheets[0].placed]
    assert set(numbers) <= set(said.split())


def test_the_file_is_our_own_and_always_the_same(
    artwork: Artwork, sheets: tuple[Sheet, ...], tmp_path: Path
) -> None:
    paths = [tmp_path / "a.pdf", tmp_path / "b.pdf"]
    for path in paths:
        write_overlay(artwork, sheets, path)
    assert paths[0].read_bytes() == paths[1].read_bytes()
    assert is_ours(paths[0])


@pytest.mark.parametrize("title", ["KILN", "% of trailer\n% startxref"])
def test_the_file_bears_nobody_elses_words_and_its_table_is_right(
    make_artwork: Callable[..., Artwork], tmp_path: Path, title: str
) -> None:
    path = tmp_path / "overlay.pdf"
    write_overlay(make_artwork(title=title), None, path)
    data = path.read_bytes()
    assert b"reportlab" not in data.lower()
    with path.open("rb") as file:
        document = PDFDocument(PDFParser(file), fallback=False)
        (table,) = document.xrefs
        for number in table.get_objids():
            _, at, generation = table.get_pos(number)
            assert data[at:].startswith(f"{number} {generation} obj".encode())
            document.getobj(number)
    (info,) = document.info
    assert b"reportlab" not in repr(info).lower().encode()
    with pypdfium2.PdfDocument(path) as read_elsewhere:
        assert len(read_elsewhere) == 1


def test_a_larger_panel_takes_more_sheets_and_says_which_is_which(
    make_artwork: Callable[..., Artwork], tmp_path: Path
) -> None:
    path = tmp_path / "overlay.pdf"
    write_overlay(make_artwork(size=(400.0, 280.0)), None, path)
    with pypdfium2.PdfDocument(path) as document:
        assert len(document) == 4
    assert "sheet 3 of 4" in words(path, 2)
    assert "row 2, column 1" in words(path, 2)


def test_a_corrected_print_says_so(artwork: Artwork, tmp_path: Path) -> None:
    path = tmp_path / "overlay.pdf"
    write_overlay(artwork, None, path, correction=(0.5, -0.25))
    assert "Corrected +0.50 % across, -0.25 % up." in words(path)


def test_a_mirrored_overlay_is_the_other_seen_from_behind(
    artwork: Artwork, sheets: tuple[Sheet, ...], tmp_path: Path
) -> None:
    pictures = []
    for mirrored in (False, True):
        path = tmp_path / f"{mirrored}.pdf"
        write_overlay(artwork, sheets, path, mirrored=mirrored)
        with pypdfium2.PdfDocument(path) as document:
            pictures.append(document[0].render(scale=1, grayscale=True).to_numpy())
    plain, other = (picture.astype(float) for picture in pictures)
    assert np.abs(plain - other).mean() > 1
    assert np.abs(plain - other[:, ::-1]).mean() < 0.3


@pytest.mark.parametrize(
    "datum", ["lower left", "upper left", "lower right", "upper right", "centre"]
)
def test_nothing_is_drawn_beyond_the_extent(
    datum: str, make_artwork: Callable[..., Artwork], tmp_path: Path
) -> None:
    artwork = make_artwork(panel={"size": (100.0, 60.0), "datum": datum}, holes={}, control=[])
    path = tmp_path / "overlay.pdf"
    write_overlay(artwork, None, path)
    x0, y0, x1, y1 = extents_of(artwork, ())[0]
    with pypdfium2.PdfDocument(path) as document:
        page = document[0].render(scale=150 / 72, grayscale=True).to_numpy()
    dark = page < 128
    # The drawing is centred in the sheet's room; what is darkest outside it must be nothing.
    view = dark[int(31 / 25.4 * 150) : int(180 / 25.4 * 150), int(24 / 25.4 * 150) :]
    rows, columns = np.nonzero(view)
    assert (columns.max() - columns.min()) / 150 * 25.4 <= x1 - x0
    assert (rows.max() - rows.min()) / 150 * 25.4 <= y1 - y0
    assert len(rows) > 500


def test_words_that_the_typefaces_of_pdf_lack_are_set_in_the_face_of_the_names(
    make_artwork: Callable[..., Artwork], tmp_path: Path
) -> None:
    path = tmp_path / "overlay.pdf"
    holes = {"ПЕЧЬ": {"at": (20, 20), "drill": 9.5}, "Ω ≥ 1": {"at": (70, 20), "drill": 9.5}}
    lettering = {"face": str(SANS)}
    artwork = make_artwork(title="窯 Ž", holes=holes, control=[], bare=[], lettering=lettering)
    write_overlay(artwork, None, path)
    said = words(path)
    assert "? Ž" in said  # the first is in no face at hand
    assert "≥ 1" in said
    assert "ПЕЧЬ" not in said  # it is drawn
    with pypdfium2.PdfDocument(path) as document:
        page = document[0]
        scale = 254 / 72  # ten pixels to the mm
        dark = page.render(scale=scale, grayscale=True).to_numpy() < 128
        text = page.get_textpage()
        below = text.get_charbox(text.get_text_range().index("Ø"))
        left, top = int(below[0] * scale), len(dark) - int(below[3] * scale)
    label = dark[top - 29 : top - 7, left : left + 90]  # a line of 1.8 mm above the size
    assert 200 < label.sum() < 900
    assert 3 <= len(np.flatnonzero(np.diff(label.any(axis=0).astype(int)) == 1)) <= 6


@pytest.mark.parametrize(
    "title", ["DOME\nAND SHUTTER", "A PANEL OF MUCH TO SAY" * 3, "A PANEL OF MUCH TO SAY" * 9]
)
@pytest.mark.parametrize(("size", "beside"), [((60.0, 50.0), ""), ((400.0, 90.0), "row 1")])
def test_a_title_keeps_to_its_room_however_long(
    title: str,
    size: tuple[float, float],
    beside: str,
    make_artwork: Callable[..., Artwork],
    tmp_path: Path,
) -> None:
    path = tmp_path / "overlay.pdf"
    write_overlay(make_artwork(size, title=title, holes={}, control=[], bare=[]), None, path)
    with pypdfium2.PdfDocument(path) as document:
        page = document[0]
        text = page.get_textpage()
        said = text.get_text_range()
        begin = said.index(title[:10].replace("\n", " "))
        end = said.index("\r\n", begin)
        ends_at = text.get_charbox(end - 1)[2]
        room = text.get_charbox(said.index(beside))[0] if beside else page.get_width() - 25
    assert ends_at < room
    assert (said[end - 1] == "…") is (len(title) > 100)


def test_the_map_of_many_sheets_keeps_off_the_drawing(
    make_artwork: Callable[..., Artwork], tmp_path: Path
) -> None:
    path = tmp_path / "overlay.pdf"
    write_overlay(make_artwork((100.0, 1500.0), holes={}, control=[], bare=[]), None, path)
    with pypdfium2.PdfDocument(path) as document:
        assert len(document) > 4
        dark = document[0].render(scale=254 / 72, grayscale=True).to_numpy() < 128
    right, top = dark.shape[1] - 10 * int(EDGE), 10 * int(EDGE)
    beside_the_title = dark[top : top + int(10 * TOP_STRIP), right - 60 : right]
    assert beside_the_title.any()
    in_the_drawing = dark[top + int(10 * TOP_STRIP) + 5 :, right - 60 : right - 5]
    assert not in_the_drawing[:80].any()


#: Large enough for any of the samples on one sheet, mm.
LARGE = (420.0, 650.0)


def small_print(path: Path, artwork: Artwork, sheets: tuple[Sheet, ...]) -> dict[str, Any]:
    """The words that a reader of PDF finds by the panel, and how far each reaches, mm of it."""
    (tile,) = of_fewest_sheets(extents_of(artwork, pieces_of(sheets)), LARGE).tiles
    shift = np.array(tile.at) - tile.view[:2]
    left, bottom, right, top = tile.view
    found: dict[str, Any] = {}
    with pypdfium2.PdfDocument(path) as document:
        page = document[0].get_textpage()
        for k in range(page.count_rects()):
            points = page.get_rect(k)
            x0, y0, x1, y1 = np.array(points) * PDF_POINT - [*shift, *shift]
            if left < x0 and x1 < right and bottom < y0 and y1 < top:
                word = page.get_text_bounded(*points).strip()
                # Twice the same, as the size of several holes, is told apart by its place.
                found[word if word not in found else f"{word} {k}"] = shapely.box(x0, y0, x1, y1)
    return found


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda folder: folder.name)
def test_small_print_stands_on_no_legend_no_other_print_and_no_weeding_box(
    sample: Path, tmp_path: Path
) -> None:
    artwork = lay_out(read(sample / "panel.toml"))
    sheets = cut(artwork).sheets
    path = tmp_path / "overlay.pdf"
    write_overlay(artwork, sheets, path, LARGE)
    found = small_print(path, artwork, sheets)
    assert {opening.id for opening in artwork.openings} <= found.keys()
    numbers = {str(piece.number) for piece in pieces_of(sheets)}
    assert numbers <= found.keys()
    ink = shapely.STRtree([mark.outline.shape for mark in artwork.marks])
    lines = [shapely.box(*piece.box).exterior for piece in pieces_of(sheets)]
    for word, box in found.items():
        assert not len(ink.query(box, "intersects")), word
        # The number of a piece belongs to its box, and may stand on the line.
        assert word in numbers or not shapely.intersects(box, lines).any(), word
    for one, other in itertools.combinations(found.values(), 2):
        assert one.intersection(other).area < 1e-9


def test_what_is_metres_off_the_panel_takes_no_paper(
    make_artwork: Callable[..., Artwork], tmp_path: Path
) -> None:
    near = {"at": (30, 30), "drill": 9.5}
    holes = {
        "A": near,
        "FAR": {"at": (7000, 30), "drill": 9.5},
        "LOW": {"at": (20, -3000), "drill": 3},
    }
    path = tmp_path / "overlay.pdf"
    write_overlay(make_artwork(holes=holes, control=[], bare=[]), None, path)
    with pypdfium2.PdfDocument(path) as document:
        assert len(document) == 1
    assert "A" in words(path).split()


def test_what_stands_a_little_off_the_panel_is_drawn(
    make_artwork: Callable[..., Artwork],
) -> None:
    holes = {"A": {"at": (110, 30), "drill": 12}, "B": {"at": (50, -900), "drill": 12}}
    artwork = make_artwork(holes=holes, control=[], bare=[])  # on a panel of 100 × 60 mm
    x0, y0, x1, y1 = extents_of(artwork)[0]
    assert x1 == pytest.approx(118)
    assert -40 < y0 < -12
    assert (x0, y1) == pytest.approx((-12, 72))


@pytest.mark.parametrize(
    ("size", "pages"), [((900.0, 300.0), 8), ((264.0, 164.0), 1), ((177.0, 251.0), 1)]
)
def test_no_sheet_is_used_for_the_surround_alone(
    size: tuple[float, float], pages: int, make_artwork: Callable[..., Artwork], tmp_path: Path
) -> None:
    """Room round the panel is given up before a sheet more, and a panel that fits is never cut."""
    artwork = make_artwork(panel={"size": size}, holes={}, control=[], bare=[])
    path = tmp_path / "overlay.pdf"
    write_overlay(artwork, None, path)
    with pypdfium2.PdfDocument(path) as document:
        assert len(document) == pages


@pytest.mark.parametrize(
    "datum", ["lower left", "upper left", "lower right", "upper right", "centre"]
)
def test_where_there_is_no_room_off_the_panel_the_datum_is_drawn_on_it(
    datum: str, make_artwork: Callable[..., Artwork], tmp_path: Path
) -> None:
    artwork = make_artwork(panel={"size": (264.0, 164.0), "datum": datum}, holes={}, control=[])
    path = tmp_path / "overlay.pdf"
    write_overlay(artwork, None, path)
    left, bottom = EDGE + LEFT_STRIP + 1, EDGE + BOTTOM_STRIP + 1  # of the panel on the sheet
    with pypdfium2.PdfDocument(path) as document:
        text = document[0].get_textpage()
        found = text.search("datum").get_next()
        assert found
        for index in range(found[0], sum(found)):
            x0, y0, x1, y1 = (side * PDF_POINT for side in text.get_charbox(index))
            assert left < x0 < x1 < left + 264
            assert bottom < y0 < y1 < bottom + 164


def test_the_arrows_of_a_datum_amid_the_panel_end_before_the_legends(tmp_path: Path) -> None:
    knob = {"hole": "A", "kind": "knob", "covers": 24, "scale": {"from": 0, "to": 10}}

    def reach(*control: dict[str, Any]) -> float:
        """How far the letter of the x axis stands from the word datum, mm."""
        description = Description.model_validate(
            {
                "panel": {"outline": {"diameter": 150}, "datum": "centre"},
                "holes": {"A": {"at": (0, 0), "drill": 9.5}},
                "control": control,
            }
        )
        write_overlay(lay_out(description), None, tmp_path / "overlay.pdf")
        with pypdfium2.PdfDocument(tmp_path / "overlay.pdf") as document:
            page = document[0].get_textpage()
            said = page.get_text_range()
            word = said.index("datum")
            begins = page.get_charbox(word)[0]
            letter = max(k for k, character in enumerate(said[:word]) if character == "x")
            return float(page.get_charbox(letter)[0] - begins) / 72 * 25.4

    assert reach() == pytest.approx(12.5, abs=0.5)
    assert 4 < reach(knob) < 9


def test_words_of_a_datum_amid_the_panel_stand_clear_of_holes_and_their_lines(
    tmp_path: Path,
) -> None:
    """A hole close above it, and one to its lower right."""
    holes = {"A": {"at": (0, 18), "drill": 10}, "B": {"at": (5, -5), "drill": 6}}
    description = Description.model_validate(
        {"panel": {"outline": {"diameter": 150}, "datum": "centre"}, "holes": holes}
    )
    artwork = lay_out(description)
    write_overlay(artwork, None, tmp_path / "overlay.pdf")
    with pypdfium2.PdfDocument(tmp_path / "overlay.pdf") as document:
        page = document[0].get_textpage()
        said = page.get_text_range()
        word = said.index("datum")
        ends = {"datum": (word, word + 4)}
        ends |= {c: (k, k) for k, c in enumerate(said[:word]) if c in "xy"}
        boxes = {
            what: (*page.get_charbox(first)[:2], *page.get_charbox(last)[2:])
            for what, (first, last) in ends.items()
        }
    # The datum is on a level with the letter x and plumb below the letter y.
    across = (boxes["y"][0] + boxes["y"][2]) / 2, (boxes["x"][1] + boxes["x"][3]) / 2
    lines = [opening.outline.moved(-75, -75).shape.boundary for opening in artwork.openings]
    assert lines
    for what, box in boxes.items():
        told = shapely.box(*((side - across[k % 2]) / 72 * 25.4 for k, side in enumerate(box)))
        assert shapely.distance(told, lines).min() > 0.1, what


_WINCH = """\
units = "in"
[panel]
outline = { diameter = 7 }
datum = "centre"
viewing_distance = 30
[finish]
base = "ivory"
top = "black"
[stencil]
method = "paint-through"
stock_size = [8, 20]
[holes]
LOAD = { at = [0, "1 1/4"], drill = "2 1/4" }
SPEED = { at = ["-1 25/32", "-25/32"], drill = "3/8" }
HOIST = { at = ["1 3/4", "-13/16"], drill = "15/32" }
BRAKE = { at = ["1/64", "-2 1/8"], drill = "5/8" }
B1 = { at = [0, "3 1/4"], drill = "5/32" }
B2 = { at = ["2 13/16", "-1 5/8"], drill = "5/32" }
B3 = { at = ["-2 13/16", "-1 5/8"], drill = "5/32" }
[[control]]
hole = "LOAD"
kind = "meter"
name = "LOAD"
side = "below"
covers = 2.6
frame = "1/32"
fixings = { square = 2, drill = "1/8" }
[[control]]
hole = "SPEED"
kind = "knob"
name = "SPEED"
covers = "7/8"
scale = { low = "SLOW", high = "FAST" }
[[control]]
hole = "HOIST"
kind = "toggle"
name = "CHAIN"
positions = { up = "IN", centre = "STOP", down = "OUT" }
[[control]]
hole = "BRAKE"
kind = "button"
name = "BRAKE"
[[control]]
holes = ["B1", "B2", "B3"]
kind = "screw"
"""


def test_the_number_of_a_piece_stands_on_its_edge_or_beside_a_corner_of_it() -> None:
    """Of one whose edge has corners, not beside a corner of the box round it, where nothing is."""
    artwork = lay_out(parse(_WINCH))
    pieces = pieces_of(cut(artwork).sheets)
    assert any(len(piece.edge.contours[0].points) > 4 for piece in pieces)
    pen = MagicMock(spec=Pen)
    pen.width_of.side_effect = lambda words, height, bold=False: 0.6 * height * len(words)
    draw_overlay(pen, artwork, pieces, extents_of(artwork, pieces)[0])
    numbered = [call.args[1] for call in pen.circle.call_args_list if call.kwargs.get("fill") == 1]
    for piece, centre in zip(pieces, numbered, strict=True):
        assert piece.edge.shape.boundary.distance(shapely.Point(centre)) < 3.5
