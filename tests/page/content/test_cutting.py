"""What will be cut: sheets, cards, and the place of each piece on both."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from small_panel import IN, MM

from legend.page.content.bench import Bench
from legend.page.messages import Cutting, Drawing

SHEET = MM.replace('method = "lift-off"', 'method = "paint-through"\nstock = "sheet"')


def cut(bench: Bench, text: str) -> Cutting:
    cutting = bench.cut(4, text)
    assert isinstance(cutting, Cutting), bench.draw(4, text)
    return cutting


def boxes(svg: str) -> dict[int, tuple[float, float, float, float]]:
    """The box round all points of each piece on a sheet."""
    found = {}
    for group in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}g"):
        if number := group.get("data-piece"):
            data = " ".join(path.get("d", "") for path in group)
            points = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", data)]
            xs, ys = points[::2], points[1::2]
            found[int(number)] = (min(xs), min(ys), max(xs), max(ys))
    return found


def test_each_piece_lies_on_its_sheet_where_it_says(bench: Bench) -> None:
    cutting = cut(bench, MM)
    assert cutting.revision == 4
    assert len(cutting.sheets) == len(cutting.sheet_captions) == 1
    drawn = boxes(cutting.sheets[0])
    assert {piece.number for piece in cutting.pieces} == set(drawn)
    for piece in cutting.pieces:
        left, top, right, bottom = drawn[piece.number]
        assert piece.on_sheet[0] - 0.01 <= left and right <= piece.on_sheet[2] + 0.01
        assert piece.on_sheet[1] - 0.01 <= top and bottom <= piece.on_sheet[3] + 0.01


def test_each_piece_lies_on_the_panel_where_its_legends_are(bench: Bench) -> None:
    cutting = cut(bench, MM)
    drawing = bench.draw(4, MM)
    assert isinstance(drawing, Drawing)
    toggle = next(piece for piece in cutting.pieces if "POWER" in piece.words)
    x0, y0, x1, y1 = toggle.on_panel
    assert x0 < 90 < x1 and y0 < 60 < y1 and x0 >= 0 and y1 <= 120


def test_spares_are_pieces_of_the_same_number(bench: Bench) -> None:
    cutting = cut(bench, MM.replace("[stencil]", "[stencil]\ncopies = 2"))
    numbers = [piece.number for piece in cutting.pieces]
    assert sorted(numbers) == sorted([*set(numbers)] * 2)


@pytest.mark.parametrize(("text", "unit"), [(MM, "cm²"), (IN, "sq in")])
def test_captions_tell_of_the_stock_and_the_time(bench: Bench, text: str, unit: str) -> None:
    cutting = cut(bench, text)
    (caption,) = cutting.sheet_captions
    assert unit in caption and "waste" in caption and "minute" in caption
    assert cutting.cards and len(cutting.cards) == len(cutting.card_captions)
    assert cutting.card_captions[0].startswith("Placement card")


def test_several_sheets_are_counted(bench: Bench) -> None:
    stock = MM.replace("stock_size = [300, 200]", "stock_size = [75, 60]")
    cutting = cut(bench, stock)
    assert len(cutting.sheets) > 1
    assert cutting.sheet_captions[1].startswith(f"Sheet 2 of {len(cutting.sheets)}: ")
    assert {piece.sheet for piece in cutting.pieces} == set(range(len(cutting.sheets)))


def test_the_panel_is_drawn_anew_where_its_letters_are_bridged(bench: Bench) -> None:
    assert cut(bench, MM).drawing is None
    whole = bench.draw(4, SHEET)
    bridged = cut(bench, SHEET).drawing
    assert isinstance(whole, Drawing) and isinstance(bridged, Drawing)
    assert bridged.revision == 4
    assert bridged.holes == whole.holes
    # The O of POWER is one ring as laid out, and hangs in two halves as cut.
    assert bridged.shapes.count("M") > whole.shapes.count("M")


def test_no_ids_are_left_that_two_sheets_might_share(bench: Bench) -> None:
    cutting = cut(bench, MM)
    for svg in (*cutting.sheets, *cutting.cards):
        assert " id=" not in svg
        assert ElementTree.fromstring(svg).tag == "{http://www.w3.org/2000/svg}svg"
