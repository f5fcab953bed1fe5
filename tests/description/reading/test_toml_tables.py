"""Where tables and pairs stand: each is found again in the text, whatever is in it."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from legend.description.reading.toml_tables import WrittenTable, written_tables

HERE = Path(__file__).parents[3]
TEXT = """\
# ü ☃ 𝄞 before
units = "mm"
[panel]
size = [1,
  2]   # wide

[holes]
A = { at = [1, 2], drill = 3 }
"B é".at = [4, 5]

[[control]]
hole = "A"
scale = { from = 0, band = [{ from = 1, to = 2 }, {}] }
[control.positions]
up = "ON"

[[control]]
# nothing in it
"""


def every(text: str) -> Iterator[WrittenTable]:
    for table in written_tables(text):
        yield from table.everything()


def at(data: Any, path: tuple[str | int, ...]) -> Any:
    for step in path:
        data = data[step]
    return data


def test_every_table_is_found_with_its_path_and_lines() -> None:
    assert [(table.path, table.lines) for table in written_tables(TEXT)] == [
        ((), (1, 2)),
        (("panel",), (3, 5)),
        (("holes",), (7, 9)),
        (("control", 0), (11, 13)),
        (("control", 0, "positions"), (14, 15)),
        (("control", 1), (17, 17)),
    ]


def test_inline_tables_are_within_and_end_before_their_brace() -> None:
    inline = {table.path: table for table in every(TEXT) if table.inline}
    assert {*inline} == {
        ("holes", "A"),
        ("control", 0, "scale"),
        ("control", 0, "scale", "band", 0),
        ("control", 0, "scale", "band", 1),
    }
    for table in inline.values():
        assert TEXT[table.begin] == "{"
        assert table.header_end == table.begin + 1 <= table.end
        assert TEXT[table.pairs[-1].end if table.pairs else table.header_end :].lstrip()[0] in "}"


@pytest.mark.parametrize(
    "text",
    [TEXT, *(p.read_text(encoding="utf-8") for p in sorted(HERE.glob("samples/*/panel.toml")))],
)
def test_each_pair_says_what_the_text_says_there(text: str) -> None:
    data = tomllib.loads(text)
    count = 0
    for table in every(text):
        for pair in table.pairs:
            value = tomllib.loads(f"x = {text[pair.value : pair.end]}")["x"]
            assert value == at(data, (*table.path, *pair.keys))
            assert text[pair.begin : pair.key_end].strip("\"'").startswith(pair.keys[0].strip())
            count += 1
        if table.path and not table.inline:
            assert text[table.begin] == "[" and text[table.header_end - 1] == "]"
    assert count > 10


def test_a_key_is_looked_up_by_all_its_parts() -> None:
    holes = written_tables(TEXT)[2]
    dotted = holes.pair("B é", "at")
    assert dotted and TEXT[dotted.value : dotted.end] == "[4, 5]"
    assert holes.pair("B é") is None


@pytest.mark.parametrize(
    "text", ["", "[", "[[x", "a = ", "= = [[\n]]x\na = {", "[a]\nb = {c = \n[d]"]
)
def test_what_is_half_written_is_no_failure(text: str) -> None:
    for table in every(text):
        assert 0 <= table.begin <= table.header_end <= len(text)
