"""Corner marks: two right angles on what has no hole, on divisions of a rule, clear of all ink."""

from __future__ import annotations

import itertools
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.tables.description import Description
from legend.description.tables.stock import limits
from legend.layout import lay_out
from legend.layout.artwork import Artwork
from legend.length_words import Lengths
from legend.stencil import cut
from legend.stencil.pieces.corner_marks import how_laid
from legend.stencil.sheet import Cut, Piece, pieces_of


def pieces(artwork: Artwork) -> list[Piece]:
    return pieces_of(cut(artwork).sheets)


def titled(units: str = "mm", **tables: Any) -> Artwork:
    """A panel of one lamp, a title and a rule."""
    described: dict[str, Any] = {
        "units": units,
        "panel": {"size": ["200 mm", "90 mm"]},
        "holes": {"A": {"at": ["100 mm", "30 mm"], "drill": "9.5 mm"}},
        "control": [{"hole": "A", "kind": "lamp", "name": "READY"}],
        "text": [{"at": ["100 mm", "75 mm"], "text": "ENLARGER TIMER", "role": "title"}],
        "rule": [{"from": ["10 mm", "60 mm"], "to": ["190 mm", "60 mm"]}],
    } | tables
    return lay_out(Description.model_validate(described, context={"units": units}))


@pytest.mark.parametrize("method", ["lift-off", "paint-through"])
@pytest.mark.parametrize(("units", "step"), [("mm", 0.5), ("in", 25.4 / 32)])
def test_what_has_no_hole_has_two_and_all_else_none(method: str, units: str, step: float) -> None:
    found = pieces(titled(units, stencil={"method": method}))
    assert {bool(piece.owners): len(piece.corner_marks) for piece in found} == {True: 0, False: 2}
    for piece in (piece for piece in found if piece.corner_marks):
        one, other = (mark.bounds for mark in piece.corner_marks)
        # Both on one line, each a step inside the box both ways.
        assert one[1] == pytest.approx(other[1]) or one[3] == pytest.approx(other[3])
        x0, y0, x1, y1 = piece.box
        assert (one[0], other[2]) == pytest.approx((x0 + step, x1 - step))
        assert one[1] == pytest.approx(y0 + step) or one[3] == pytest.approx(y1 - step)
        outer = np.array([one[0], other[2], *(v for v in (one[1], one[3]))])
        on_steps = np.abs(outer / step - np.round(outer / step)) < 1e-6
        assert on_steps[:2].all() and on_steps[2:].any()


def test_they_are_cut_as_registration_marks() -> None:
    for piece in pieces(titled()):
        cuts = [path.outline.shape for path in piece.paths if path.cut is Cut.REGISTRATION]
        for mark in piece.corner_marks:
            assert sum(mark.shape.equals(each) for each in cuts) == 1


@settings(max_examples=15, deadline=None)
@given(st.floats(0.3, 6), st.floats(0.2, 0.8), st.floats(2, 20))
def test_they_keep_clear_of_ink_and_of_the_box(margin: float, gap: float, height: float) -> None:
    artwork = titled(
        stencil={"margin": margin, "least_gap": gap}, lettering={"title": {"height": height}}
    )
    for piece in pieces(artwork):
        others = [p.outline.shape for p in piece.paths if p.cut is Cut.MARK]
        for mark in piece.corner_marks:
            assert shapely.distance(mark.shape, others).min() >= max(0.5, gap) - 1e-6
            assert mark.shape.distance(piece.edge.shape.exterior) >= gap - 1e-6
            assert piece.edge.shape.contains(mark.shape)
            width = mark.shape.area / (mark.shape.length / 2)
            assert width > limits(artwork.description.stencil).stroke
        for one, other in itertools.combinations(piece.corner_marks, 2):
            assert one.shape.distance(other.shape) >= 0.5 - 1e-6


def test_a_narrow_margin_has_no_room_for_them() -> None:
    assert not any(piece.corner_marks for piece in pieces(titled(stencil={"margin": 0.5})))


def test_a_rigid_sheet_has_none_since_paint_would_go_through_them() -> None:
    sheet = {"method": "paint-through", "stock": "sheet", "piece": "control"}
    found = pieces(titled(stencil=sheet))
    assert any(not piece.owners for piece in found)
    assert not any(piece.corner_marks for piece in found)


def test_a_title_in_parts_has_one_at_either_end() -> None:
    parts = [
        p
        for p in pieces(titled(stencil={"stock_size": [60, 200]}))
        if "TIMER" in p.name or "ENLARGER" in p.name
    ]
    assert len(parts) > 1
    assert [len(part.corner_marks) for part in parts] == [1, *[0] * (len(parts) - 2), 1]


def test_how_they_are_laid_is_told_in_the_units_of_the_panel() -> None:
    for units, says in (("mm", "0.5 mm inside"), ("in", "1/32 in inside")):
        artwork = titled(units)
        told = how_laid(pieces(artwork), artwork.description.stencil, Lengths(units))
        assert says in told and "before the top coat" in told
        numbers = [str(piece.number) for piece in pieces(artwork) if piece.corner_marks]
        assert f"Pieces {' and '.join(numbers)} have no hole" in told
    through = titled(stencil={"method": "paint-through"})
    told = how_laid(pieces(through), through.description.stencil, Lengths("mm"))
    assert told.endswith("Leave the film in them as it is.")
    alone = titled(text=[], rule=[])
    assert how_laid(pieces(alone), alone.description.stencil, Lengths("mm")) == ""


def test_they_lie_on_a_round_panel_though_the_box_does_not() -> None:
    text = {"around": "A", "text": "NO MORE THAN 4 A", "radius": 70, "angle": 180}
    panel = {"outline": {"diameter": 150}, "datum": "centre"}
    holes = {"A": {"at": [0, 0], "drill": 9.5}}
    artwork = titled(panel=panel, holes=holes, control=[], rule=[], text=[text])
    (piece,) = pieces(artwork)
    assert not artwork.panel.shape.contains(piece.edge.shape)
    assert len(piece.corner_marks) == 2
    assert all(artwork.panel.shape.contains(mark.shape) for mark in piece.corner_marks)
