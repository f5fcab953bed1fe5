"""Necks: what was an island hangs by a bridge, wherever it stands, by an independent judge."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely
from font_files import FACES, lettered, style_of
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from neck_judge import faults, islands

from legend.description.tables.description import Stencil
from legend.description.tables.stock import limits
from legend.lettering.outlines import boolean as curves
from legend.lettering.outlines.outline import Contour, Outline
from legend.stencil.bridging.bridges import Bridged, bridged
from legend.stencil.bridging.tongues import Narrow, narrow_stock

SHEET = limits(Stencil(method="paint-through", stock="sheet"))

places = st.tuples(st.floats(0, 400), st.floats(0, 300))


def cut(outline: Outline, height: float = 5) -> Bridged:
    return bridged([outline], [height], SHEET)[0]


@settings(max_examples=30, deadline=None)
@given(
    text=st.text(
        st.characters(min_codepoint=0x21, max_codepoint=0xFF, exclude_categories=["C", "Z"]),
        min_size=1,
        max_size=4,
    )
    | st.sampled_from(
        ["Broadband", "EXPOSURE", "8096@4", "good-bye", "QUADRANT", "%&®©", "ßÛûüÿê"]
    ),
    name=st.sampled_from(list(FACES)),
    height=st.sampled_from([2, 2.5, 3, 3.5, 5, 8, 14]),
    place=places,
)
def test_words_hang_by_a_bridge_anywhere(
    text: str, name: str, height: float, place: tuple[float, float]
) -> None:
    faces = [style_of(each, 1).face for each in (name, "plain")]
    assume(all(any(face.has(c) for face in faces) for c in text))
    before = lettered(text, name, height)
    assume(bool(before))
    moved = before.moved(*place)
    after = cut(moved, height)
    assert not faults(moved, after.outline, SHEET.bridge)
    # And they are bridged alike wherever they stand.
    here = cut(before, height).outline.moved(*place).shape
    assert after.outline.shape.symmetric_difference(here).area < 1e-3


@st.composite
def touching_shapes(draw: st.DrawFn) -> Outline:
    """A frame, and discs and rings that touch it in one point, or each other."""
    width, height = draw(st.floats(8, 30)), draw(st.floats(6, 20))
    inner = Outline.rectangle(0, 0, width, height).contours[0].reversed()
    outer = Outline.rectangle(-0.8, -0.8, width + 0.8, height + 0.8).contours[0]
    made = [Outline((outer, inner))]
    x = 0.0
    for radius in draw(st.lists(st.floats(0.6, 2), min_size=1, max_size=4)):
        centre = (x + radius, draw(st.sampled_from([radius, height - radius])))
        ring = Outline.arc_stroke(centre, radius - 0.2, 0, 360, 0.4)
        made.append(draw(st.sampled_from([ring, Outline.disc(centre, radius)])))
        x += 2 * radius
    return curves.united(made).outline.moved(*draw(places))


@settings(max_examples=25, deadline=None)
@given(touching_shapes())
def test_what_touches_in_a_point_hangs_by_a_bridge(before: Outline) -> None:
    assert not faults(before, cut(before, 0).outline, SHEET.bridge)


# --- Bays, and what is all but an island ---


def open_ring(mouth: float, radius: float = 1.6, stroke: float = 0.6) -> Outline:
    """A "C" whose arms leave so many mm between them."""
    inside = radius - stroke / 2
    half = float(np.degrees(np.arcsin(mouth / 2 / inside)))
    return Outline.arc_stroke((0, 0), radius, 90 + half, 450 - half, stroke)


@pytest.mark.parametrize("place", [(0, 0), (123.4567, 78.9)])
@pytest.mark.parametrize("mouth", [0.001, 0.02, 0.1])
def test_a_bay_that_is_as_good_as_shut_is_opened_at_its_mouth(
    mouth: float, place: tuple[float, float]
) -> None:
    before = open_ring(mouth).moved(*place)
    after = cut(before)
    worn = shapely.box(*before.bounds).buffer(3).difference(after.outline.shape).buffer(-0.237)
    assert worn.geom_type == "Polygon"
    taken = before.shape.difference(after.outline.shape).buffer(-0.005)
    assert taken.bounds[0] > place[0] + 1, "at the mouth, which is on the right, and nowhere else"


@pytest.mark.parametrize("mouth", [0.15, 0.3, 0.45, 0.6])
def test_a_bay_with_a_mouth_is_left_as_it_is(mouth: float) -> None:
    before = open_ring(mouth)
    after = cut(before).outline
    assert all(a is b for a, b in zip(after.contours, before.contours, strict=True))


@pytest.mark.parametrize("height", [2.5, 3.0, 3.5, 4.0])
@pytest.mark.parametrize("letter", "S35es@")
def test_letters_are_not_cut_through_for_their_bays(letter: str, height: float) -> None:
    """What is taken away, is taken for an island: in a straight line with it."""
    before = lettered(letter, "plain", height)
    taken = shapely.get_parts(before.shape.difference(cut(before, height).outline.shape))
    taken = taken[shapely.area(taken) > 0.01]
    held = islands(before.shape)
    assert bool(len(taken)) == bool(held)
    for part in taken:
        x0, y0, x1, y1 = held[0].bounds
        a0, b0, a1, b1 = part.bounds
        assert (a0 < x1 and x0 < a1) or (b0 < y1 and y0 < b1)
    assert len(taken) <= 2 * len(held)


def test_a_slit_narrower_than_a_bridge_is_told_and_not_tied() -> None:
    block = [(0, 24), (0, 0), (4, 0), (4, 24), (2.2, 24), (2.2, 6), (1.8, 6), (1.8, 24)]
    before = Outline.polygon(block)
    done = cut(before, 0)
    assert done.outline.area == pytest.approx(before.area)
    ((x, y),) = done.loose
    assert 1.8 < x < 2.2
    assert 6 < y < 24


def test_an_island_is_not_held_by_a_bay() -> None:
    """Its bridge goes where the sheet is, or over the bay."""
    ring = Outline.arc_stroke((0, 2.2), 1, 0, 360, 0.5)
    bay = Outline.arc_stroke((0, 0), 1.2, 106, 434, 0.5)
    before = curves.united([ring, bay]).outline
    assert not faults(before, cut(before).outline, SHEET.bridge)
    (island,) = islands(before.shape)
    taken = shapely.get_parts(before.shape.difference(cut(before).outline.shape))
    assert all(part.distance(island) < 0.01 for part in taken[shapely.area(taken) > 0.01])


def test_necks_of_two_parts_that_all_but_touch() -> None:
    """A counter closed by two parts of a letter that do not quite meet, as in blackletter."""
    bowl = Outline.arc_stroke((0, 0), 2, 100, 350, 0.8)
    stem = Outline.rectangle(0.3, 0.01, 4, 2.4)
    before = Outline.gathered([bowl, stem])
    after = cut(before).outline
    worn = shapely.box(*before.bounds).buffer(3).difference(after.shape).buffer(-0.237)
    assert worn.geom_type == "Polygon"


def test_closing_may_leave_several_parts() -> None:
    points = [(3.19, 3.61), (4.47, 2.66), (4.49, 1.57), (4.28, 1.57), (3.16, 0.51)]
    points += [(3.34, 0.24), (4.79, 0.51), (5.03, 1.05), (5.02, -0.01), (2.58, 0.32)]
    assert narrow_stock(shapely.Polygon(points), SHEET) in Narrow


def test_a_hole_that_touches_the_outside_twice() -> None:
    outer = Outline.rectangle(0, 0, 6, 4).contours[0]
    hole = Outline.polygon([(3, 0), (2, 2), (3, 4), (4, 2)]).contours[0].reversed()
    for before in (Outline((outer, hole)), curves.cleaned([outer, hole]).outline):
        after = cut(before).outline
        assert after.shape.is_valid
        assert not faults(before, after, SHEET.bridge)


def test_a_contour_that_touches_itself_encloses_an_island() -> None:
    points = [(0, 0), (6, 0), (6, 4), (3, 4), (4, 2), (3, 1), (2, 2), (3, 4), (0, 4)]
    before = Outline((Contour("L" * 8, np.array(points, dtype=float)),))
    assert len(islands(before.shape)) == 1
    assert not faults(before, cut(before).outline, SHEET.bridge)


@pytest.mark.parametrize("height", [0.3, 0.6, 1.2])
def test_letters_that_bridges_eat_up_are_no_fault(height: float) -> None:
    for letter in "8@Bo%":
        before = lettered(letter, "plain", height)
        after = cut(before, height).outline
        assert not after or not faults(before, after, SHEET.bridge)


# --- What is told ---


def test_what_no_bridge_holds_is_told(panel: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    from legend.stencil import cut as cut_panel
    from legend.stencil.bridging import bridges
    from legend.stencil.bridging.planning import Plan

    artwork = panel_with(panel, "O", stock="sheet")
    assert not cut_panel(artwork).findings
    monkeypatch.setattr(bridges, "plan", lambda *_: Plan())
    speck = shapely.box(0, 0, 1e-3, 1e-3)
    monkeypatch.setattr(bridges, "lacking", lambda *_: [speck])
    (told,) = cut_panel(artwork).findings
    assert told.code == "thin-neck"
    assert told.place
    x0, y0, x1, y1 = artwork.marks[0].outline.bounds
    assert x0 < told.place[0] < x1
    assert y0 < told.place[1] < y1


def panel_with(panel: Any, text: str, **tables: Any) -> Any:
    return panel(
        method="paint-through",
        holes={},
        control=[],
        bare=[],
        text=[{"at": [60, 60], "text": text, "role": "name"}],
        **tables,
    )


@pytest.mark.parametrize(
    ("text", "stock", "found"),
    [("Gas?", "sheet", True), ("Gas?", "film", False), ("HO", "sheet", False)],
)
def test_a_narrow_mouth_is_a_finding(panel: Any, text: str, stock: str, found: bool) -> None:
    from legend.layout.inspection import inspect

    artwork = panel_with(panel, text, stock=stock, lettering={"height": 1.9, "stroke": 0.16})
    told = [each for each in inspect(artwork) if each.code == "narrow-mouth"]
    assert bool(told) == found
    if found:
        assert "mouth" in told[0].message
        assert told[0].remedy
        assert told[0].rule
