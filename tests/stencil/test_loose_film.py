"""What is lifted from the paint: every loose piece of film, by its sort."""

from __future__ import annotations

from collections import Counter
from typing import Any

import shapely

from legend.description.tables.description import Description
from legend.layout import lay_out
from legend.layout.artwork import Artwork, Role
from legend.stencil import cut
from legend.stencil.loose_film import Lifted, Loose, loose_film
from legend.stencil.sheet import pieces_of


def laid(**tables: Any) -> tuple[Artwork, list[Lifted]]:
    raw = {"panel": {"size": [200, 90]}, "holes": {}} | tables
    artwork = lay_out(Description.model_validate(raw, context={"units": "mm"}))
    return artwork, loose_film(artwork, pieces_of(cut(artwork).sheets))


def words(text: str, **more: Any) -> dict[str, Any]:
    return {"text": [{"at": [100, 40], "text": text, "role": "note", **more}]}


def sorts(**tables: Any) -> dict[Loose, int]:
    counts: Counter[Loose] = Counter()
    for each in laid(**tables)[1]:
        counts.update(each.pieces)
    return dict(counts)


def test_letters_and_their_dots_and_accents_are_apart() -> None:
    assert sorts(**words("OHM")) == {Loose.LETTER: 3}
    assert sorts(**words("Ärgé i")) == {Loose.LETTER: 5, Loose.DOT: 4}
    assert sorts(**words("0,5: 1.2")) == {Loose.LETTER: 4, Loose.DOT: 4}


def test_it_is_as_many_pieces_as_the_marks_have_parts() -> None:
    knob = {"hole": "A", "kind": "knob", "name": "Wärme", "scale": {"from": 0, "to": 10}}
    artwork, found = laid(
        holes={"A": {"at": [60, 45], "drill": 9}, "E": {"at": [150, 40], "drill": 4}},
        control=[knob, {"hole": "E", "kind": "stud", "name": "symbol:earth"}],
        bare=[{"hole": "E", "diameter": 12}],
        rule=[{"from": [10, 5], "to": [190, 5]}],
    )
    drawn: dict[Role, int] = {}
    for mark in artwork.marks:
        parts = len(shapely.get_parts(mark.outline.shape))
        drawn[mark.role] = drawn.get(mark.role, 0) + parts
    counts: Counter[Loose] = Counter()
    for each in found:
        counts.update(each.pieces)
    assert counts[Loose.GRADUATION] == drawn[Role.GRADUATION] > 10
    assert counts[Loose.SIGN] == drawn[Role.SYMBOL] == 3
    assert counts[Loose.LETTER] + counts[Loose.DOT] == drawn[Role.NAME] + drawn[Role.NUMERAL]
    assert (counts[Loose.RULE], counts[Loose.DISC]) == (1, 1)
    assert sum(counts.values()) == sum(drawn.values()) + 1


def test_what_touches_is_one_piece_and_what_is_bridged_is_several() -> None:
    crossing = [{"from": [10, 10], "to": [190, 10]}, {"from": [50, 5], "to": [50, 80]}]
    assert sorts(rule=crossing) == {Loose.RULE: 1}
    assert sum(sorts(**words("OHO"), lettering={"bridged": True}).values()) > 3


def test_spares_are_not_lifted() -> None:
    assert sorts(**words("OHM"), stencil={"copies": 4}) == {Loose.LETTER: 3}
