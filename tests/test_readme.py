"""What the README says is true of the project."""

import re
import shlex
import shutil
import tomllib
from collections.abc import Iterator
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner

from legend.commands.cli import legend
from legend.handbook.json_schema import json_schema
from legend.handbook.pages import PAGES
from legend.handbook.reference import brought_up_to_date

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
#: The pages that show commands and descriptions.
PAGES_THAT_SHOW = (README, PAGES["description"].read_text(encoding="utf-8"))


def blocks(language: str) -> list[str]:
    """The blocks of a language in the README and in the handbook."""
    return [
        block
        for page in PAGES_THAT_SHOW
        for block in re.findall(rf"```{language}\n(.*?)```", page, re.DOTALL)
    ]


def test_ci_runs_the_readmes_test_command() -> None:
    commands_shown = re.findall(r"```sh\n(.+?)\n```", README)
    (tests,) = [line for line in commands_shown if "pytest" in line]
    assert tests in (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()


def test_the_files_it_names_exist() -> None:
    for link in re.findall(r"\]\(([^)#:]+)\)", README):
        assert (ROOT / link).exists(), link


def test_the_places_in_it_that_it_names_exist() -> None:
    titles = re.findall(r"^#+ (.+)$", README, re.MULTILINE)
    places = {re.sub(r"[^\w -]", "", title).lower().replace(" ", "-") for title in titles}
    assert set(re.findall(r"\]\(#([^)]+)\)", README)) <= places


def test_every_command_is_in_its_table() -> None:
    named = set(re.findall(r"^\| `legend (\w+)` \|", README, re.MULTILINE))
    assert named == set(legend.commands)


def test_it_opens_with_one_paragraph_that_states_the_job() -> None:
    heading, paragraph, *_ = README.split("\n\n")
    assert heading == "# legend"
    assert "\n" not in paragraph
    assert "panel" in paragraph


def test_its_table_of_keys_is_up_to_date() -> None:
    """Where this fails, run `.venv/bin/python -m legend.handbook README.md`."""
    assert brought_up_to_date(README) == README


# --- What it shows ---


def commands() -> Iterator[str]:
    """The commands of the program that it shows, in blocks and within sentences, in order."""
    for line in re.findall(
        r"^\.venv/bin/legend .+$|`\.venv/bin/legend [^`]+`", README, re.MULTILINE
    ):
        yield line.strip("`").partition("  #")[0].strip()


def test_its_commands_do_what_they_say(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(ROOT / "samples", tmp_path / "samples")
    for name in ("holes.csv", "second.csv"):
        shutil.copy(ROOT / "samples" / "enlarger-timer" / "holes.csv", tmp_path / name)
    monkeypatch.chdir(tmp_path)
    done = 0
    for command in commands():
        words = shlex.split(command)[1:]
        if "--watch" in words or words[0] == "page":  # which never end by themselves
            continue
        if words[0] in ("measure", "placed"):  # of pictures that the reader takes
            continue
        result = CliRunner().invoke(legend, words)
        assert result.exit_code == 0, f"{command}\n{result.output}"
        done += 1
    assert done >= 7
    for made in ("build/stages.png", "build/panel/proof.png", "build/from-holes/proof.png"):
        assert (tmp_path / made).exists()


def fragments() -> Iterator[str]:
    """The descriptions and parts of them that it shows; of several scales each by itself."""
    for block in blocks("toml"):
        if block.startswith("scale = "):
            for line in block.splitlines():
                yield f'[[control]]\nhole = "A"\nkind = "knob"\n{line}'
        else:
            yield block


@pytest.mark.parametrize("fragment", list(fragments()))
def test_what_it_shows_of_descriptions_is_sound(fragment: str) -> None:
    """A style stands for what a part alone does not say."""
    shown = tomllib.loads(fragment)
    jsonschema.Draft202012Validator(json_schema()).validate({"style": "house.toml"} | shown)
