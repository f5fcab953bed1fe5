"""What the handbook says of one name."""

import pytest

from legend.description.tables.keys import keys_of
from legend.handbook.entries import entries, nearest
from legend.handbook.words import tables_told
from legend.rules import RULES


def test_every_key_of_every_table_has_an_entry_that_says_what_it_holds() -> None:
    for table, heading in tables_told().items():
        where = heading or "the description, before its first table"
        for key in keys_of(table):
            (entry,) = [e for e in entries(key) if e.what == f"a key of {where}"]
            assert any(said.startswith("It holds ") for said in entry.says)


@pytest.mark.parametrize(
    ("name", "what"),
    [
        ("[stencil]", "a table"),
        ("control", "a table"),
        ("knob", "a kind of control"),
        ("log", "a law of scales"),
        ("symbol:earth", "a symbol"),
        ("earth", "a symbol"),
        ("off-panel", "a check"),
        (" COVERS ", "a key of [[control]]"),
    ],
)
def test_a_name_is_found_as_it_is_written(name: str, what: str) -> None:
    assert what in [entry.what for entry in entries(name)]


def test_a_key_tells_what_holds_where_it_is_left_out() -> None:
    (entry,) = entries("viewing_distance")
    assert 'Left out: `"600 mm"`.' in entry.says
    assert any("It must be given." in entry.says for entry in entries("hole"))


def test_a_check_tells_its_severity_and_its_source() -> None:
    (entry,) = entries("off-panel")
    assert "It is an error." in entry.says
    assert RULES["off-panel"].source in entry.says[-1]


def test_what_it_lacks_is_answered_with_the_nearest() -> None:
    assert entries("covrs") == []
    assert nearest("covrs") == "covers"
    assert nearest("zzzzzzzz") is None


def test_another_word_for_a_kind_is_looked_up_by_it() -> None:
    (entry,) = entries("pot")
    assert entry.says == ('A pot is "knob".',)
    assert [entry.what for entry in entries("screw")] == ["a kind of control"]
