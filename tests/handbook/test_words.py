"""Every key of the schema has its words, and every table its heading."""

import re

import pytest

from legend.description.table import Table
from legend.description.tables.control import Fitting
from legend.description.tables.description import Control, Description, Panel, Scale, Stencil
from legend.description.tables.group import GroupLine
from legend.description.tables.hole import Hole
from legend.description.tables.keys import keys_of
from legend.handbook.words import default_of, headings, meanings
from legend.standards import CONTROL_SWEEP, KEY_TURN, METER_SWEEP, SELECTOR_STEP
from legend.stencil.test_square import SIDE


@pytest.mark.parametrize("table", headings(), ids=lambda table: table.__name__)
def test_every_key_says_what_it_means(table: type[Table]) -> None:
    assert list(meanings(table)) == list(keys_of(table))
    for key, meaning in meanings(table).items():
        assert re.match(r"[A-Z`].*\.$", meaning), f"{table.__name__}.{key}: {meaning!r}"
        assert len(meaning) < 320, f"{table.__name__}.{key} says too much"


def test_every_table_has_a_heading_by_which_it_is_written() -> None:
    in_common = {Fitting, GroupLine}
    written = {table for table in tables_below(Table) if not table.__name__.startswith("_")}
    written -= in_common
    assert set(headings()) == written
    assert headings()[Description] == ""
    assert headings()[Panel] == "[panel]"
    assert headings()[Control] == "[[control]]"
    assert headings()[Scale] == "[control.scale]"
    assert headings()[Hole] == "[holes.NAME]"


def tables_below(table: type[Table]) -> set[type[Table]]:
    found = set(table.__subclasses__())
    return found.union(*(tables_below(each) for each in found))


def test_defaults_are_told_with_their_unit() -> None:
    assert default_of(Panel, "datum") == "lower left"
    assert default_of(Panel, "viewing_distance") == "600 mm"
    assert default_of(Panel, "size") is None
    assert default_of(Control, "side") is None
    assert default_of(Control, "mains") is False


def test_numbers_that_meanings_quote_are_those_of_the_standards() -> None:
    assert (
        f"Left out, {SELECTOR_STEP:g}; of a keyswitch, {KEY_TURN:g}." in meanings(Control)["detent"]
    )
    sweep = f"Left out, {CONTROL_SWEEP:g} round a knob and {METER_SWEEP:g} over a meter"
    assert sweep in meanings(Scale)["sweep"]
    assert f"a test square of {SIDE:g} mm" in meanings(Stencil)["test_square"]
