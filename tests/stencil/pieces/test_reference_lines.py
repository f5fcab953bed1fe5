"""What pieces are set off from, and that the sides of their boxes stand on a rule from there."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.tables.description import Description
from legend.layout import lay_out
from legend.stencil import cut
from legend.stencil.pieces.reference_lines import reference_lines
from legend.stencil.sheet import Piece, pieces_of

#: Half a millimetre, and the thirty-second of an inch.
_DIVISION = {"mm": 0.5, "in": 25.4 / 32}
_CORNERS = ("lower left", "lower right", "upper left", "upper right")


def described(units: str = "mm", **tables: Any) -> Description:
    """A description in these units; its lengths are given in mm all the same."""
    return Description.model_validate({"units": units, "panel": {"size": [100, 50]}, **tables})


def lines(panel: dict[str, Any]) -> list[tuple[str, float]]:
    found = reference_lines(described(panel=panel).panel)
    assert [line.axis for line in found] == [0, 1]
    return [(line.called, line.at) for line in found]


def test_a_rectangle_is_measured_from_the_edges_that_meet_at_its_datum() -> None:
    size = [222.3, 90.7]
    assert lines({"size": size, "datum": "upper right"}) == [
        ("right edge", 222.3),
        ("top edge", 90.7),
    ]
    for datum in ("lower left", "centre"):
        assert lines({"size": size, "datum": datum, "corner_radius": 6}) == [
            ("left edge", 0.0),
            ("bottom edge", 0.0),
        ]


@pytest.mark.parametrize("datum", ["centre", "lower left"])
def test_a_round_panel_is_measured_from_its_centre_lines(datum: str) -> None:
    assert lines({"outline": {"diameter": 75.5}, "datum": datum}) == [
        ("upright centre line", 37.75),
        ("level centre line", 37.75),
    ]


def test_a_panel_that_slants_is_measured_from_the_sides_that_stand_straight() -> None:
    wedge = [[0, 0], [80, 0], [80, 50], [20, 50]]  # it slants on the left
    assert lines({"outline": {"polygon": wedge}}) == [("right edge", 80.0), ("bottom edge", 0.0)]
    kite = [[0, 30], [40, 0], [80, 30], [40, 60]]
    assert lines({"outline": {"polygon": kite}}) == [
        ("upright centre line", 40.0),
        ("level centre line", 30.0),
    ]


def test_centre_lines_run_through_a_datum_that_is_the_centre() -> None:
    kite = [[-30, 0], [0, -20], [50, 0], [0, 40]]
    assert [at for _, at in lines({"outline": {"polygon": kite}, "datum": "centre"})] == [30, 20]


def pieces(description: Description) -> list[Piece]:
    return pieces_of(cut(lay_out(description)).sheets)


def divisions(piece: Piece, description: Description) -> list[float]:
    """How many divisions of a rule each side of a piece stands off its line."""
    return [
        (piece.box[side] - line.at) / _DIVISION[description.units]
        for line in reference_lines(description.panel)
        for side in (line.axis, line.axis + 2)
    ]


def all_on_a_rule(description: Description) -> bool:
    found = [each for piece in pieces(description) for each in divisions(piece, description)]
    assert found
    return all(each == pytest.approx(round(each), abs=1e-6) for each in found)


def sockets(places: list[tuple[float, float]]) -> dict[str, Any]:
    """Sockets at these places, each with a name; and a bare disc on the first."""
    holes = {f"H{k}": {"at": place, "drill": 6.1} for k, place in enumerate(places)}
    return {
        "holes": holes,
        "control": [{"hole": id, "kind": "jack", "name": f"IN {id}"} for id in holes],
        "bare": [{"hole": "H0", "diameter": 13.3}],
    }


@settings(max_examples=16, deadline=None)
@given(
    st.sampled_from(["mm", "in"]),
    st.sampled_from(_CORNERS),
    st.floats(150, 230),
    st.floats(70, 120),
    st.floats(-3, 3),
)
def test_the_sides_stand_on_a_rule_from_the_edges_that_are_measured_from(
    units: str, datum: str, width: float, height: float, off: float
) -> None:
    panel = {"size": [width, height], "datum": datum}
    places = [(30 + off, 35), (75, 35 + off), (115 - off, 40)]
    assert all_on_a_rule(described(units, panel=panel, **sockets(places)))


@pytest.mark.parametrize("units", ["mm", "in"])
def test_the_sides_stand_on_a_rule_from_the_centre_lines_of_a_round_panel(units: str) -> None:
    panel = {"outline": {"diameter": 150.3}, "datum": "centre"}
    places = [(-31.3, 20.1), (33.7, 20.2), (0.2, -30.4)]
    assert all_on_a_rule(described(units, panel=panel, **sockets(places)))


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("datum", _CORNERS)
def test_so_they_do_where_a_piece_was_split_to_fit_the_stock(units: str, datum: str) -> None:
    title = {"at": [150.7, 40.3], "text": "BAROMETRIC STATION NORTH", "height": 8.5}
    description = described(
        units,
        panel={"size": [301.3, 80.9], "datum": datum},
        stencil={"stock_size": [80, 60]},
        text=[title],
    )
    assert len(pieces(description)) > 2
    assert all_on_a_rule(description)
