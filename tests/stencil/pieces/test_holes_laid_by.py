"""Which holes a piece of film is laid by: its own, and few others, far apart."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely

from legend.description.tables.description import Description
from legend.layout import lay_out
from legend.layout.artwork import Artwork
from legend.stencil import cut
from legend.stencil.sheet import Cut, pieces_of

#: A row of jacks with a window, and a screw hole in each corner of the panel.
PLACES = {f"J{k}": [30 + 25 * k, 30] for k in range(5)}
SCREWS = {"S1": [6, 6], "S2": [194, 6], "S3": [6, 54], "S4": [194, 54]}


def row(**tables: Any) -> Artwork:
    stencil = {"piece": "panel", "stock_size": [400, 200]} | tables.pop("stencil", {})
    drilled = {hole: {"at": at, "drill": 6} for hole, at in PLACES.items()}
    described = {
        "panel": {"size": [200, 60]},
        "holes": drilled | tables.pop("holes", {}),
        "control": [{"hole": hole, "kind": "jack", "name": hole} for hole in PLACES],
        "stencil": stencil,
    } | tables
    return lay_out(Description.model_validate(described))


def marked(artwork: Artwork) -> dict[int, list[str]]:
    """The holes that each piece has marks on, by its number."""
    found: dict[int, list[str]] = {}
    for piece in pieces_of(cut(artwork).sheets):
        found[piece.number] = []
        joins = [mark.bounds for mark in piece.join_marks]
        for path in piece.paths:
            if path.cut is Cut.REGISTRATION and path.outline.bounds not in joins:
                middle = np.array(path.outline.bounds).reshape(2, 2).mean(axis=0)
                away = [np.hypot(*np.subtract(o.centre, middle)) for o in artwork.openings]
                assert min(away) < 1e-3
                found[piece.number].append(artwork.openings[int(np.argmin(away))].id)
    return found


def test_a_row_has_discs_on_the_two_that_are_furthest_apart() -> None:
    (holes,) = marked(row()).values()
    assert sorted(holes) == ["J0", "J4"]


@pytest.mark.parametrize(("most", "wanted"), [(1, 1), (2, 2), (3, 3), (5, 5), (100, 5)])
def test_there_are_as_many_as_are_asked_for_and_no_more(most: int, wanted: int) -> None:
    (holes,) = marked(row(stencil={"registration_holes": most})).values()
    assert len(set(holes)) == wanted
    assert {1: ["J3"], 3: ["J0", "J2", "J4"]}.get(most, sorted(holes)) == sorted(holes)


def test_a_control_has_one_on_its_own_hole_and_one_as_far_off_as_its_piece_reaches() -> None:
    fixings = {"square": 30, "drill": 3.2}
    meter = {"hole": "J2", "kind": "meter", "name": "VOLTS", "fixings": fixings, "covers": 40}
    others = [{"hole": hole, "kind": "jack", "name": hole} for hole in PLACES if hole != "J2"]
    artwork = row(control=[meter, *others], stencil={"piece": "control"})
    for piece, holes in marked(artwork).items():
        (owner,) = next(p.owners for p in pieces_of(cut(artwork).sheets) if p.number == piece)
        assert owner in holes and len(holes) <= 2


def test_a_drilled_hole_comes_before_one_that_is_not_round() -> None:
    slots = {hole: {"at": PLACES[hole], "slot": [10, 5]} for hole in ("J0", "J4")}
    (holes,) = marked(row(holes=slots)).values()
    assert sorted(holes) == ["J1", "J3"]


def test_but_not_where_that_is_less_than_half_as_far() -> None:
    slots = {hole: {"at": PLACES[hole], "slot": [10, 5]} for hole in ("J0", "J3", "J4")}
    (holes,) = marked(row(holes=slots)).values()
    assert sorted(holes) == ["J1", "J4"]


def test_every_part_of_what_is_split_has_its_own() -> None:
    artwork = row(stencil={"stock_size": [80, 100]})
    found = marked(artwork)
    pieces = pieces_of(cut(artwork).sheets)
    assert len(found) > 1
    for piece in pieces:
        inside = [o.id for o in artwork.openings if o.id in piece.owners]
        assert len(found[piece.number]) == min(len(inside), 2)


def test_a_sheet_keeps_all_its_holes() -> None:
    (holes,) = marked(row(stencil={"method": "paint-through", "stock": "sheet"})).values()
    assert sorted(holes) == sorted(PLACES)


def test_without_registration_nothing_is_cut_to_lay_a_piece_by() -> None:
    artwork = row(
        stencil={"piece": "control", "registration": "none"},
        text=[{"at": [100, 52], "text": "SIGNALS", "role": "title"}],
    )
    pieces = pieces_of(cut(artwork).sheets)
    assert not any(path.cut is Cut.REGISTRATION for piece in pieces for path in piece.paths)
    assert not any(piece.corner_marks for piece in pieces)
    plain = pieces_of(cut(row(stencil={"piece": "control"})).sheets)
    area = sum(shapely.box(*piece.box).area for piece in pieces if piece.owners)
    assert area < sum(shapely.box(*piece.box).area for piece in plain), "nor is there room for it"
