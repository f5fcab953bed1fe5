"""`legend handbook`, as it is called."""

import click
import pytest
from click.testing import CliRunner, Result

from legend.commands.cli import legend
from legend.handbook.pages import PAGES


def called(*words: str) -> Result:
    return CliRunner().invoke(legend, ["handbook", *words])


def test_without_a_name_it_prints_the_contents_and_where_the_pages_are() -> None:
    printed = called().output
    for name, file in PAGES.items():
        assert f"legend handbook {name}" in printed
        assert str(file) in printed
    assert "- Holes" in printed


def test_a_page_is_printed_whole() -> None:
    assert "| `off-panel` |" in called("checks").output


def test_names_are_explained_one_after_the_other() -> None:
    result = called("covers", "knob")
    assert result.exit_code == 0
    assert result.output.index("covers: a key of [[control]]") < result.output.index("knob: a kind")
    assert "`" not in result.output


def test_a_name_that_it_lacks_is_told_and_the_others_are_explained() -> None:
    result = called("covrs", "knob")
    assert result.exit_code == 2
    assert "no entry called covrs; did you mean covers?" in result.stderr
    assert "knob: a kind" in result.stdout


def test_a_page_is_opened(monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[str] = []
    monkeypatch.setattr(click, "launch", opened.append)
    assert called("checks", "--open").exit_code == 0
    assert opened == [str(PAGES["checks"])]
    assert "Only a whole page can be opened" in called("covers", "--open").output
