"""The pages of the handbook tell what the program is."""

import re

import pytest

from legend.description.kinds import KINDS
from legend.description.laws import LAWS
from legend.description.tables.keys import keys_of
from legend.handbook.pages import PAGES, page, sections
from legend.handbook.reference import brought_up_to_date
from legend.handbook.words import tables_told
from legend.lettering.symbols.registry import SYMBOLS
from legend.rules import RULES


@pytest.mark.parametrize("name", PAGES)
def test_what_a_page_tells_of_the_program_is_up_to_date(name: str) -> None:
    """Where this fails, run `.venv/bin/python -m legend.handbook README.md`."""
    text = PAGES[name].read_text(encoding="utf-8")
    assert brought_up_to_date(text) == text


def test_the_description_has_every_table_key_kind_law_and_symbol() -> None:
    text = page("description")
    for table, heading in tables_told().items():
        assert f"### `{heading}`" in text or not heading
        for key in keys_of(table):
            assert f"| `{key}` |" in text
    for name in (*KINDS, *LAWS, *(f"symbol:{symbol}" for symbol in SYMBOLS)):
        assert f"| `{name}` |" in text


def test_the_checks_have_every_rule() -> None:
    assert set(re.findall(r"^\| `([\w-]+)` \|", page("checks"), re.MULTILINE)) == set(RULES)


def test_a_page_is_read_without_the_markers_of_what_is_made() -> None:
    assert "<!--" in PAGES["checks"].read_text(encoding="utf-8")
    assert "<!--" not in page("checks")
    assert "The finish" in sections("checks")


@pytest.mark.parametrize(
    "broken",
    [
        "# A page",
        "<!-- made from the program: checks -->",
        "<!-- made from the program: weather -->",
    ],
)
def test_a_page_without_whole_markers_is_refused(broken: str) -> None:
    with pytest.raises(ValueError, match="made from the program"):
        brought_up_to_date(broken)
