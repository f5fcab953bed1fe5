"""A second unit of the same panel, by the list of its holes as drilled."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from legend.commands.cli import legend

_PANEL = """\
title = "PUMP"
[panel]
size = [80, 60]
[holes]
A = { at = [40, 30], drill = 9.5 }
[[control]]
hole = "A"
kind = "toggle"
name = "PUMP"
covers = 14
"""


def _run(*words: str | Path) -> Result:
    return CliRunner().invoke(legend, [str(word) for word in words])


@pytest.fixture
def panel(tmp_path: Path) -> Path:
    path = tmp_path / "panel.toml"
    path.write_text(_PANEL)
    for number, x in ((1, 40.3), (2, 39.6)):
        (tmp_path / f"unit-{number}.csv").write_text(f"id,x,y\nA,{x},30\n")
    return path


def _column(folder: Path) -> float:
    """Where the name stands, from left to right, as the drawing has it."""
    drawing = (folder / "proof.svg").read_text()
    return float(re.findall(r'class="mark" d="M\s*([\d.]+)', drawing)[0])


def test_its_legends_follow_its_own_holes_and_its_papers_say_whose_they_are(panel: Path) -> None:
    folder = panel.parent
    assert _run("make", panel, "--out", folder / "own").exit_code == 0
    second = folder / "unit-2.csv"
    result = _run("make", panel, "--drilled", second, "--out", folder / "second")
    assert result.exit_code == 0
    assert _column(folder / "second") == pytest.approx(_column(folder / "own") - 0.4, abs=0.01)
    assert "PUMP, holes of unit-2.csv" in (folder / "second" / "job-card.html").read_text()
    assert "holes of" not in (folder / "own" / "job-card.html").read_text()


def test_each_list_has_a_folder_of_its_own(panel: Path) -> None:
    folder = panel.parent
    lists = [word for n in (1, 2) for word in ("--drilled", folder / f"unit-{n}.csv")]
    result = _run("make", panel, *lists, "--out", folder / "build")
    assert result.exit_code == 0
    assert "2 units made" in result.stdout
    assert {each.name for each in (folder / "build").iterdir()} == {"unit-1", "unit-2"}
    usual = _run("make", panel, *lists)
    assert usual.exit_code == 0
    assert (folder / "panel-unit-2" / "overlay.pdf").exists()


@pytest.mark.parametrize("command", ["check", "cut", "overlay", "proof", "card"])
def test_every_command_takes_it(panel: Path, command: str) -> None:
    result = _run(command, panel, "--drilled", panel.with_name("unit-2.csv"))
    assert result.exit_code == 0
    assert command == "check" or any(panel.with_name("panel-unit-2").iterdir())


def test_it_stands_in_the_place_of_the_list_of_the_description(panel: Path) -> None:
    panel.write_text('as_drilled = "unit-1.csv"\n' + _PANEL)
    folder = panel.parent
    second = folder / "unit-2.csv"
    assert _run("make", panel, "--drilled", second, "--out", folder / "second").exit_code == 0
    assert _run("make", panel, "--out", folder / "first").exit_code == 0
    apart = _column(folder / "first") - _column(folder / "second")
    assert apart == pytest.approx(0.7, abs=0.01)


def test_what_is_wrong_with_a_list_is_told(panel: Path) -> None:
    missing = _run("check", panel, "--drilled", panel.with_name("unit-3.csv"))
    assert missing.exit_code == 2
    assert "There is no file" in missing.stderr and "unit-2.csv?" in missing.stderr
    panel.with_name("unit-2.csv").write_text("id,x,y\nB,1,2\n")
    strange = _run("check", panel, "--drilled", panel.with_name("unit-2.csv"))
    assert strange.exit_code == 2
    assert "was drilled, but never designed" in strange.stderr


def test_lists_are_of_one_panel(panel: Path) -> None:
    other = panel.with_name("other.toml")
    other.write_text(_PANEL)
    result = _run("make", panel, other, "--drilled", panel.with_name("unit-2.csv"))
    assert result.exit_code == 2
    assert "one panel at a time" in result.stderr


def test_panels_that_share_a_style_are_made_to_match(panel: Path, tmp_path: Path) -> None:
    (tmp_path / "style.toml").write_text('[lettering]\nheight = "as large as fits"\n')
    small = _PANEL.replace("[80, 60]", "[80, 50]")
    for name, text in (("left", _PANEL), ("right", small)):
        (tmp_path / f"{name}.toml").write_text('style = "style.toml"\n' + text)
    both = [tmp_path / "left.toml", tmp_path / "right.toml"]
    result = _run("make", *both, "--out", tmp_path / "build", "-v")
    assert result.exit_code == 0, result.stderr
    heights = re.findall(r"Every name is ([\d.]+) mm tall, as large as fits", result.stdout)
    assert len(heights) == 2 and len(set(heights)) == 1
    alone = _run("check", both[0], "-v").stdout
    assert heights[0] not in re.findall(r"Every name is ([\d.]+)", alone)
