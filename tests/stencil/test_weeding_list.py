"""The weeding list: every counter and dot of every piece, with the letter it is of."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
import shapely

from legend.description.tables.description import Description, Stencil
from legend.layout import lay_out
from legend.lettering.outlines.measuring import across
from legend.lettering.outlines.outline import Outline
from legend.standards import WANTS_CARE
from legend.stencil import cut
from legend.stencil.sheet import Piece
from legend.stencil.weeding_list import Island, Kind, islands, what_comes_first


def listed(**tables: Any) -> list[Island]:
    artwork = lay_out(Description.model_validate({"panel": {"size": [200, 90]}} | tables))
    pieces = [placed.piece for sheet in cut(artwork).sheets for placed in sheet.placed]
    return [each for found in islands(artwork, pieces).values() for each in found]


def words(text: str, **more: Any) -> dict[str, Any]:
    return {"text": [{"at": [100, 40], "text": text, "role": "title", **more}]}


def test_counters_are_told_by_letter_from_left_to_right() -> None:
    found = listed(**words("LABOR 86"))
    assert [each.letter for each in found] == ["A", "B", "B", "O", "R", "8", "8", "6"]
    assert {each.kind for each in found} == {Kind.COUNTER}
    assert {each.word for each in found} == {"LABOR 86"}
    xs = [each.place[0] for each in found]
    assert xs == sorted(xs)


def test_each_counter_lies_within_its_letter_and_has_its_width() -> None:
    described = Description.model_validate({"panel": {"size": [200, 90]}, **words("QUAD 4")})
    artwork = lay_out(described)
    pieces = [placed.piece for sheet in cut(artwork).sheets for placed in sheet.placed]
    (found,) = islands(artwork, pieces).values()
    letters = {each.text: each.outline.shape for mark in artwork.marks for each in mark.letters}
    for island in found:
        (part,) = [p for p in shapely.get_parts(letters[island.letter]) if len(p.interiors)]
        hole = shapely.Polygon(part.interiors[0])
        assert hole.envelope.contains(shapely.Point(island.place))
        assert across(hole) == pytest.approx(island.across, rel=0.12)


def test_dots_of_film_letters_are_islands_too() -> None:
    text = words("i: 0.5", role="note")
    found = listed(**text, lettering={"height": 3})
    dots = [each for each in found if each.kind is Kind.DOT]
    assert [each.letter for each in dots] == ["i", ":", ":", "."]
    assert all(each.wants_care for each in dots)
    openings = listed(**text, lettering={"height": 3}, stencil={"method": "paint-through"})
    assert {each.kind for each in openings} == {Kind.COUNTER}


@pytest.mark.parametrize("height", [2.5, 3.5, 5, 10])
def test_what_is_small_wants_care(height: float) -> None:
    for each in listed(**words("A4O", role="note"), lettering={"height": height}):
        assert each.wants_care == (each.across < WANTS_CARE)
    least = min(
        listed(**words("A4O", role="note"), lettering={"height": height}), key=lambda i: i.across
    )
    assert least.letter == "A"
    assert least.wants_care == (height < 6)


def test_each_piece_has_its_own(panel: Any) -> None:
    artwork = panel()
    pieces = {
        placed.piece.number: placed.piece
        for sheet in cut(artwork).sheets
        for placed in sheet.placed
    }
    found = islands(artwork, pieces.values())
    by_name = {pieces[n].name: Counter(i.letter for i in each) for n, each in found.items()}
    assert by_name["EXPOSURE (A)"] >= Counter("POR")
    assert by_name["“ENLARGER TIMER”"] == Counter("ARRR")
    assert by_name["SECONDS (W)"] == Counter(["O", "D", ""]), "and the inside of the frame"
    frame = next(i for each in found.values() for i in each if not i.letter)
    assert frame.word == "frame"
    for number, each in found.items():
        x0, y0, x1, y1 = pieces[number].box
        assert all(x0 < i.place[0] < x1 and y0 < i.place[1] < y1 for i in each)


def test_what_bridges_hold_is_not_listed() -> None:
    sheet = {"method": "paint-through", "stock": "sheet"}
    assert not listed(**words("BOARD 8"), stencil=sheet)
    assert not listed(**words("BOARD 8"), lettering={"bridged": True})


def test_a_piece_without_marks_has_none() -> None:
    described = Description.model_validate({"panel": {"size": [100, 50]}})
    assert islands(lay_out(described), [Piece(1, "", (), Outline.rectangle(0, 0, 9, 9), ())]) == {}


def test_words_on_a_circle_are_known_by_letter() -> None:
    found = listed(
        holes={"A": {"at": [60, 45], "drill": 9}},
        text=[{"around": "A", "radius": 20, "text": "BROAD", "role": "title"}],
    )
    assert [each.letter for each in found] == ["B", "B", "R", "O", "A", "D"]


def test_the_order_is_told_for_each_way_of_working() -> None:
    assert what_comes_first(Stencil()).startswith("Pull the counters out first")
    through = Stencil(method="paint-through")
    assert "hold its islands down" in what_comes_first(through)
    assert "smallest first" in what_comes_first(Stencil(method="paint-through", stock="sheet"))


def test_words_of_one_line_follow_each_other_from_left_to_right() -> None:
    holes = {f"H{k}": {"at": [20 + 20 * k, 40 + 0.2 * (k % 2)], "drill": 6} for k in range(4)}
    names = dict(zip(holes, ["9", "8", "16", "10"], strict=True))
    control = [{"hole": hole, "kind": "lamp", "name": name} for hole, name in names.items()]
    found = listed(holes=holes, control=control, stencil={"piece": "row"})
    assert list(dict.fromkeys(each.word for each in found)) == ["9", "8", "16", "10"]
