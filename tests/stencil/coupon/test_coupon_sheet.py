"""The test coupon: every step is the size that stands beside it."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest
import shapely
from click.testing import CliRunner
from corners import corners
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import translate

from legend.commands.cli import legend
from legend.description.tables.description import Stencil
from legend.drawing.cut_files.cut_sheet import cut_sheet
from legend.drawing.cut_files.svg_format import sheet_svg
from legend.failures import PlainError
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.stroke_face import plain
from legend.lettering.typesetting import set_text
from legend.standards import INCH
from legend.stencil.coupon.coupon_sheet import coupon
from legend.stencil.coupon.paint_trial import usual_trial
from legend.stencil.sheet import Cut, Sheet

FILM = Stencil()
SHEET = Stencil(method="paint-through", stock="sheet")
STEPS = {
    "film": (0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.8),
    "sheet": (0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 1.0, 1.2),
}


def shapes(sheet: Sheet, cut: Cut = Cut.MARK) -> list[shapely.Polygon]:
    outlines = [p.outline for placed in sheet.placed for p in placed.paths if p.cut is cut]
    return [part for outline in outlines for part in shapely.get_parts(outline.shape)]


def bars(sheet: Sheet) -> list[tuple[float, float, float, float]]:
    """The boxes of all rectangles among the marks, from the top down."""
    found = [s for s in shapes(sheet) if len(corners(s.exterior.coords)) == 4 and not s.interiors]
    return sorted((s.bounds for s in found), key=lambda box: (-box[3], box[0]))


@pytest.mark.parametrize("stencil", [FILM, SHEET], ids=["film", "sheet"])
def test_the_square_is_50_mm_whatever_was_measured_before(stencil: Stencil) -> None:
    before = stencil.model_copy(update={"measured": (49.8, 50.1)})
    for each in (stencil, before):
        sheet = coupon(each).sheet
        assert sheet.stretch == (1, 1)
        (square,) = shapes(sheet, Cut.TEST_SQUARE)
        np.testing.assert_allclose(np.ptp(shapely.get_coordinates(square), axis=0), 50)


@pytest.mark.parametrize("stencil", [FILM, SHEET], ids=["film", "sheet"])
def test_strokes_gaps_and_bridges_are_as_wide_as_the_steps_say(stencil: Stencil) -> None:
    steps = STEPS[stencil.stock]
    found = bars(coupon(stencil).sheet)
    long = [box for box in found if box[2] - box[0] == pytest.approx(12)]
    strokes = [box for box in long if box[3] - box[1] != pytest.approx(1.2)]
    wide = [box for box in long if box[3] - box[1] == pytest.approx(1.2)]
    if stencil.stock == "sheet":  # the widest stroke is as wide as the bars of the gaps
        left = min(box[0] for box in strokes)
        strokes += [box for box in wide if box[0] == pytest.approx(left)]
        wide = [box for box in wide if box[0] != pytest.approx(left)]
    assert [box[3] - box[1] for box in strokes] == pytest.approx(steps)
    gaps = [upper[1] - lower[3] for upper, lower in zip(wide[::2], wide[1::2], strict=True)]
    assert gaps == pytest.approx(steps)
    short = [box for box in found if box not in long and box[3] - box[1] == pytest.approx(1.2)]
    bridges = [right[0] - left[2] for left, right in zip(short[::2], short[1::2], strict=True)]
    assert bridges == pytest.approx(steps)


@pytest.mark.parametrize(
    ("stencil", "steps"),
    [
        (FILM, (0.004, 0.006, 0.008, 0.010, 0.012, 0.016, 0.020, 0.024, 0.032)),
        (SHEET, (0.008, 0.012, 0.016, 0.020, 0.024, 0.028, 0.032, 0.040, 0.048)),
    ],
    ids=["film", "sheet"],
)
def test_on_an_inch_panel_the_steps_and_their_sizes_are_round_in_inches(
    stencil: Stencil, steps: tuple[float, ...]
) -> None:
    sheet = coupon(stencil, "in").sheet
    found = bars(sheet)
    left = min(box[0] for box in found if box[2] - box[0] == pytest.approx(12))
    strokes = [b for b in found if b[0] == pytest.approx(left) and b[2] - b[0] == pytest.approx(12)]
    assert [box[3] - box[1] for box in strokes] == pytest.approx([s * INCH for s in steps])
    if stencil is FILM:  # on sheet stock the figures are bridged
        for words in ("0.012", "0.020", "3/32", "1/4", "1.969 IN"):
            assert stands_there(words, sheet, 2.5), words
        assert not stands_there("50 MM", sheet, 2.5)
        tall = {round(s.bounds[3] - s.bounds[1], 2) for s in shapes(sheet)}
        for height in (3 / 64, 1 / 16, 5 / 64, 3 / 32, 1 / 8, 3 / 16, 1 / 4):
            capital = set_text("A", TextStyle(plain(), height * INCH)).outline.bounds
            assert round(capital[3] - capital[1], 2) in tall


def stands_there(words: str, sheet: Sheet, height: float) -> bool:
    """Whether words stand somewhere on a sheet of film, in the built-in face."""
    marks = shapes(sheet)
    areas = shapely.area(marks)
    there = shapely.STRtree(marks)
    ink = set_text(words, TextStyle(plain(), height)).outline
    letters = shapely.get_parts(ink.shape)
    left, bottom, *_ = letters[0].bounds
    for k in np.flatnonzero(np.abs(areas / letters[0].area - 1) < 1e-3):
        x, y, *_ = marks[k].bounds
        moved = [translate(letter, x - left, y - bottom) for letter in letters]
        if all(
            any(marks[i].symmetric_difference(each).area < 1e-3 for i in there.query(each))
            for each in moved
        ):
            return True
    return False


def test_counters_are_as_wide_as_the_steps_say() -> None:
    rings = [s for s in shapes(coupon(FILM).sheet) if len(s.interiors) == 1]
    round_ones = [r for r in rings if np.ptp(np.array(r.exterior.coords), axis=0).std() < 1e-3]
    widths = sorted(np.ptp(np.array(r.interiors[0].coords), axis=0)[0] for r in round_ones)
    found = [w for w in widths if any(w == pytest.approx(s, abs=2e-3) for s in STEPS["film"])]
    assert found == pytest.approx(STEPS["film"], abs=2e-3)


def test_sizes_stand_beside_in_the_built_in_face() -> None:
    sheet = coupon(FILM).sheet
    for words in ("STROKE", "GAP", "BRIDGE", "COUNTER", "HEIGHT", "50 MM", "0.15", "1.8"):
        assert stands_there(words, sheet, 2.5), words


def test_letters_are_as_tall_as_the_steps_say() -> None:
    tall = {round(s.bounds[3] - s.bounds[1], 2) for s in shapes(coupon(FILM).sheet)}
    for height in (1.2, 1.5, 1.8, 2.5, 3.5, 5, 7):
        capital = set_text("A", TextStyle(plain(), height)).outline.bounds
        assert round(capital[3] - capital[1], 2) in tall


def test_on_sheet_stock_nothing_drops_out_but_what_is_cut() -> None:
    sheet = coupon(SHEET).sheet
    (box,) = shapes(sheet, Cut.WEEDING)
    (square,) = shapes(sheet, Cut.TEST_SQUARE)
    outside = box.difference(shapely.union_all([*shapes(sheet), square]))
    assert len(shapely.get_parts(outside)) == 1
    within = square.difference(shapely.union_all(shapes(sheet)))
    assert len(shapely.get_parts(within)) == 1


@pytest.mark.parametrize("stencil", [FILM, SHEET], ids=["film", "sheet"])
def test_it_obeys_the_rules_of_the_cutters_file(stencil: Stencil) -> None:
    sheet = coupon(stencil.model_copy(update={"mirror": True})).sheet
    root = ET.fromstring(sheet_svg(cut_sheet(sheet)))
    elements = list(root.iter())
    tags = [element.tag.rpartition("}")[2] for element in elements]
    assert set(tags) == {"svg", "g", "path"}
    classes = [e.get("class") for e in elements if e.tag.endswith("path")]
    assert classes.count("test-square") == 1
    assert classes[-1] == "weeding"
    assert set(classes) == {"mark", "test-square", "weeding"}
    assert not any(e.get("transform") or e.get("style") for e in elements)
    numbers = [float(n) for e in elements for n in re.findall(r"-?\d+\.?\d*", e.get("d") or "")]
    assert min(numbers) >= 0
    assert max(numbers) <= max(sheet.size) + 1e-3


@pytest.mark.parametrize("width", [70, 120, 300])
def test_it_is_folded_to_fit_the_stock(width: float) -> None:
    stencil = Stencil(stock_size=(width, 400))
    sheet = coupon(stencil).sheet
    assert sheet.size[0] <= width
    drawn = [*shapes(sheet), *shapes(sheet, Cut.TEST_SQUARE)]
    boxes = shapely.box(*np.array([s.bounds for s in drawn]).T)
    (box,) = shapes(sheet, Cut.WEEDING)
    assert box.buffer(1e-6).contains(shapely.union_all(boxes))


def test_what_a_small_stock_has_no_room_for_is_left_out_and_told() -> None:
    whole = coupon(Stencil(), trial=usual_trial())
    assert whole.left_out == ()
    small = coupon(Stencil(stock_size=(80, 60)), trial=usual_trial())
    ladders = tuple(f"the ladder of {what}" for what in ("heights", "strokes", "gaps", "bridges"))
    assert small.left_out == (*ladders, "the paint trial")
    assert coupon(Stencil(stock_size=(80, 74)), trial=usual_trial()).left_out == ladders
    narrow = coupon(Stencil(stock_size=(40, 300)))
    assert narrow.left_out == ("the test square",)
    assert not shapes(narrow.sheet, Cut.TEST_SQUARE)
    with pytest.raises(PlainError, match="stock of 20 × 20 mm has no room for any part"):
        coupon(Stencil(stock_size=(20, 20)), trial=usual_trial())


@given(st.floats(20, 400), st.floats(20, 400), st.booleans(), st.sampled_from(["mm", "in"]))
@settings(max_examples=15)
def test_it_keeps_to_the_stock_however_small(
    width: float, length: float, mirror: bool, units: str
) -> None:
    stencil = Stencil(stock_size=(width, length), mirror=mirror)
    try:
        made = coupon(stencil, units, usual_trial())
    except PlainError:
        assert width < 35 or length < 30
        return
    assert made.sheet.size[0] <= width + 0.02
    assert made.sheet.size[1] <= length + 0.02
    boxes = [placed.box for placed in made.sheet.placed]
    assert all(box[0] >= -1e-6 and box[1] >= -1e-6 for box in boxes)
    assert all(box[2] <= width + 0.02 and box[3] <= length + 0.02 for box in boxes)
    if len(boxes) == 2:
        assert boxes[0][1] - boxes[1][3] == pytest.approx(1.0)


def test_an_overrun_is_tried_as_well() -> None:
    assert coupon(Stencil(overrun=0.5)).sheet.overrun == 0.5


def test_the_command_writes_it_for_the_stock_of_a_description(tmp_path: Path) -> None:
    panel = tmp_path / "panel.toml"
    panel.write_text(
        '[panel]\nsize = [50, 50]\n[stencil]\nmethod = "paint-through"\nstock = "sheet"\n'
        "measured = [49.8, 50.1]\n"
    )
    done = CliRunner().invoke(legend, ["coupon", str(panel)])
    assert done.exit_code == 0
    assert "measured = [across, along]" in done.output
    written = (tmp_path / "panel" / "coupon.svg").read_text()
    of_sheet = sheet_svg(cut_sheet(coupon(SHEET).sheet))
    assert of_sheet in written
    out = tmp_path / "film.svg"
    assert (
        CliRunner().invoke(legend, ["coupon", "--stock", "film", "--out", str(out)]).exit_code == 0
    )
    assert sheet_svg(cut_sheet(coupon(FILM, trial=usual_trial()).sheet)) in out.read_text()


def test_the_outline_of_a_ring_is_sound() -> None:
    """A counter runs the other way round than its outside, as everywhere."""
    rings = [
        path.outline
        for placed in coupon(FILM).sheet.placed
        for path in placed.paths
        if path.cut is Cut.MARK and len(path.outline.contours) == 2
    ]
    assert rings
    for ring in rings:
        assert sorted(np.sign([c.signed_area for c in ring.contours])) == [-1, 1]
