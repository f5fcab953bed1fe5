"""What may be written at a place, however little of the line is there; | is the place."""

from __future__ import annotations

import pytest
from small_panel import MM

from legend.description.kinds import KINDS
from legend.description.tables.keys import keys_of
from legend.description.tables.scale import Scale
from legend.page.content.bench import Bench
from legend.page.content.caret import caret_at
from legend.page.messages import Completion
from legend.rules import CAN_BE_MEANT


def completed(bench: Bench, text: str) -> tuple[str, dict[str, Completion]]:
    """What is replaced before the place, and what may stand there, by the word."""
    before, after = text.split("|")
    done = bench.complete(2, before + after, len(before))
    assert done.ask == 2
    return before[done.begin :], {each.word: each for each in done.words}


def test_keys_of_a_table_are_offered_but_those_it_has(bench: Bench) -> None:
    begun, words = completed(
        bench, '[[control]]\nhole = "A"\nco|\nkind = "knob"\n\n[[control]]\nname = "B"'
    )
    assert begun == "co"
    assert "covers = " in words and "name = " in words and "scale = " in words
    assert "hole = " not in words and "kind = " not in words
    assert words["covers = "].meaning.startswith("What the fitted part hides")
    assert words["covers = "].sort == "key"


def test_keys_that_a_kind_has_no_use_for_are_not_offered(bench: Bench) -> None:
    lamp = completed(bench, '[[control]]\nkind = "lamp"\n|')[1]
    assert not {"scale = ", "positions = ", "frame = ", "inner = "} & lamp.keys()
    window = completed(bench, '[[control]]\nkind = "window"\n|')[1]
    assert "frame = " in window


def test_every_key_of_an_inline_table_is_offered_but_those_it_has(bench: Bench) -> None:
    words = completed(bench, '[[control]]\nkind = "knob"\nscale = { law = "log", |to = 5 }\n')[1]
    offered = {word.removesuffix(" = ") for word in words}
    assert offered == keys_of(Scale).keys() - {"law", "to"}
    # A key that is there already is exchanged, and its value stays.
    begun, words = completed(bench, "[panel]\nvie|wing = 600\n")
    assert begun == "vie" and "viewing_distance" in words


@pytest.mark.parametrize(
    ("text", "begun", "words"),
    [
        ('[[control]]\nkind = "|"', "", [*KINDS]),
        ('[[control]]\nkind = |', "", [f'"{kind}"' for kind in KINDS]),
        ('[[control]]\nkind = "to|\nname = "X"', "to", [f'{kind}"' for kind in KINDS]),
        ("[[control]]\nmains = |", "", ["true", "false"]),
        ('[[control]]\nside = "|"', "", ["above", "below", "left", "right"]),
        ("[[control]]\npositions = { |}", "", ["up = ", "down = ", "left = ", "right = "]),
        ('[panel]\ndatum = "lower|"', "lower", ["lower left", "upper left"]),
        ('[[control]]\nmeant = ["off-up", "|"]', "", [c for c in CAN_BE_MEANT if c != "off-up"]),
        ('[stencil]\nmethod = "|"', "", ["lift-off", "paint-through"]),
    ],
)  # fmt: skip
def test_values_are_those_that_the_schema_has(
    bench: Bench, text: str, begun: str, words: list[str]
) -> None:
    before, offered = completed(bench, text)
    assert before == begun
    assert [*offered][: len(words)] == words


def test_what_holds_where_a_key_is_left_out_is_told_of_its_value(bench: Bench) -> None:
    message = bench.complete(1, "[[group]]\nstyle = ", len("[[group]]\nstyle = "))
    words = {each.word: each.meaning for each in message.words}
    assert len(words) == len(message.words)
    assert words['"frame"'] == "What holds where it is left out."


def test_kinds_and_laws_and_checks_say_what_they_mean(bench: Bench) -> None:
    assert completed(bench, '[[control]]\nkind = "|"')[1]["fuse"].meaning == "A fuse holder."
    laws = completed(bench, '[[control]]\nscale = { law = "|" }')[1]
    assert laws["log"].meaning.startswith("Travel proportional to the logarithm")
    meant = completed(bench, '[panel]\nmeant = ["|"]')[1]
    assert (
        meant["finger-room"].sort == "check" and "fingers" in meant["finger-room"].meaning.lower()
    )
    assert completed(bench, '[finish]\ntop = "|"')[1]["ivory"].meaning == "#fffff0"


def test_holes_are_those_of_the_panel_the_empty_ones_first(bench: Bench) -> None:
    text = MM.replace('hole = "A"\n', 'hole = "|"\n')
    assert completed(bench, text)[1] == {}  # no panel yet
    bench.draw(1, MM.replace("B = {", 'Q = { at = [90, 100], drill = "1/4 in" }\nB = {'))
    words = completed(bench, text)[1]
    assert [*words] == ["Q", "A", "B", "C D"]
    assert words["Q"].meaning == "Ø 6.35 mm, nothing fitted yet."
    assert words["B"].meaning == "Ø 12 mm, with a toggle."
    several = completed(bench, '[[group]]\nholes = ["B", "|"]')[1]
    assert "B" not in several and "A" in several


def test_symbols_are_offered_once_they_are_begun(bench: Bench) -> None:
    assert completed(bench, '[[control]]\nname = "|"')[1] == {}
    begun, words = completed(bench, '[[control]]\nname = "sym|"')
    assert begun == "sym" and words["symbol:earth"].meaning == "Earth; ground"
    begun, words = completed(bench, '[[text]]\ntext = "600 V symbol:da|"')
    assert begun == "symbol:da"
    assert "symbol:dangerous-voltage" in words
    for second_line in ('"DC\\nsymbol:dc|"', '"""DC\nsymbol:dc|"""'):
        begun, words = completed(bench, f"[[control]]\nname = {second_line}")
        assert begun == "symbol:dc" and "symbol:dc-connector-centre-positive" in words


def test_headings_are_offered_but_those_of_single_tables_that_are_there(bench: Bench) -> None:
    begun, words = completed(bench, "[panel]\nsize = [1, 2]\n\n[fi|\n[[control]]\n")
    assert begun == "[fi"
    assert "[finish]" in words and "[[control]]" in words and "[[control]]" in words
    assert "[lettering.title]" in words and "[lettering.note]" in words and "[holes]" in words
    assert "[panel]" not in words
    assert words["[[bank]]"].meaning.startswith("Controls that are alike")
    closed = completed(bench, "[[con|]]\n")[1]
    assert "[[control" in closed and "[[control]]" not in closed


def test_where_a_line_is_empty_keys_come_first_and_headings_after(bench: Bench) -> None:
    words = completed(bench, "[panel]\n|\n")[1]
    assert next(iter(words)) == "size = " and "[finish]" in words


@pytest.mark.parametrize(
    "text", ["# a comm|ent", "[panel]\nsize = [1, 2] # mm|", '[[control]]\nname = "GA|IN"', ""]
)
def test_nothing_is_offered_where_nothing_is_known(bench: Bench, text: str) -> None:
    if text:
        assert completed(bench, text)[1] == {}
    else:
        assert "units = " in completed(bench, "|")[1]


def test_a_line_left_open_above_does_not_reach_into_the_next_table(bench: Bench) -> None:
    words = completed(bench, '[[control]]\npositions = ["A", "B\n\n[stencil]\n|')[1]
    assert "stock_size = " in words
    words = completed(bench, "[[control]]\nscale = { from = 1,\n\n[[group]]\nst|")[1]
    assert "style = " in words


def test_the_word_that_is_replaced_ends_at_the_place() -> None:
    for place in range(len(MM) + 1):
        caret = caret_at(MM, place)
        assert 0 <= caret.begin <= place
        assert "\n" not in MM[caret.begin : place]
