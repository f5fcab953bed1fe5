"""What is fitted in a hole is guessed by its note, its name, its size and its neighbours."""

import pytest

from legend.description.tables.description import Hole
from legend.starting.guessing import guess_of, guesses_for


@pytest.mark.parametrize(
    ("note", "kind"),
    [
        ("view port", "window"),
        ("sight glass", "window"),
        ("peephole of the kiln", "window"),
        ("voltmeter", "meter"),
        ("ammeter 0-5 A", "meter"),
        ("gauge", "meter"),
        ("fuse holder", "fuse"),
        ("potentiometer", "knob"),
        ("diameter not certain", "knob"),  # by its 9.5 mm
    ],
)
def test_by_its_note(note: str, kind: str) -> None:
    assert guess_of("A", Hole(at=(0, 0), drill=9.5, note=note)).kind == kind


def _meter_with_screws(apart: float = 64.0) -> dict[str, Hole]:
    half = apart / 2
    corners = {"V1": (-half, half), "V2": (half, half), "V3": (half, -half), "V4": (-half, -half)}
    screws = {id: Hole(at=(100 + x, 60 + y), drill=3) for id, (x, y) in corners.items()}
    return {"V": Hole(at=(100, 60), drill=66), **screws, "Z": Hole(at=(10, 10), drill=3)}


def test_a_large_hole_with_four_screws_round_it_is_a_meter() -> None:
    found = {guess.id: guess for guess in guesses_for(_meter_with_screws())}
    assert set(found) == {"V", "Z"}
    assert (found["V"].kind, found["V"].fixings) == ("meter", ("V1", "V2", "V3", "V4"))


def test_screws_that_are_not_evenly_round_it_are_parts_of_their_own() -> None:
    holes = _meter_with_screws() | {"V4": Hole(at=(75, 33), drill=3)}
    assert len(guesses_for(holes)) == 6
