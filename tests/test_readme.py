"""What the README says is true of the project."""

import re
from pathlib import Path

from legend.cli import legend
from legend.description.kinds import KINDS
from legend.description.laws import LAWS

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_ci_runs_the_readmes_test_command() -> None:
    commands_shown = re.findall(r"```sh\n(.+?)\n```", README)
    (tests,) = [line for line in commands_shown if line.endswith("pytest")]
    assert tests in (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()


def test_the_files_it_names_exist() -> None:
    for link in re.findall(r"\]\(([^)#:]+)\)", README):
        assert (ROOT / link).exists(), link


def test_every_command_is_in_its_table() -> None:
    named = set(re.findall(r"^\| `legend (\w+)` \|", README, re.MULTILINE))
    assert named == set(legend.commands)


def test_every_kind_and_law_is_named() -> None:
    for name in (*KINDS, *LAWS):
        assert name in README


def test_it_opens_with_one_paragraph_that_states_the_job() -> None:
    heading, paragraph, *_ = README.split("\n\n")
    assert heading == "# legend"
    assert "\n" not in paragraph
    assert "panel" in paragraph
