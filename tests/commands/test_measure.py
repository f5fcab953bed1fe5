"""`legend measure` writes a hole list and a picture, tells what it assumed, overwrites nothing."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from camera.looked_once import look_once
from camera.synthetic.plates import Hand, made
from camera.synthetic.shots import BLACK_PAPER, scan
from click.testing import CliRunner, Result

import legend
from legend.commands.cli import legend as program
from legend.standards import INCH
from legend.writing import is_ours

_PANEL = """\
units = "in"
[panel]
size = [2.5, 1.5]
[holes]
KEY = { at = [0.6, 0.9], drill = "3/8" }
LAMP = { at = [1.7, 0.8], drill = "1/4" }
"""


def _run(*words: str | Path) -> Result:
    return CliRunner().invoke(program, [str(word) for word in words])


@pytest.fixture(scope="module", autouse=True)
def once() -> Iterator[None]:
    """Each picture is looked at once."""
    with pytest.MonkeyPatch.context() as patch:
        look_once(patch)
        yield


@pytest.fixture(scope="module")
def picture(tmp_path_factory: pytest.TempPathFactory) -> Path:
    design = legend.parse(_PANEL)
    hand = Hand(chamfered=0, filed=0, burred=0)
    plate = made(design.panel.size, design.holes, np.random.default_rng(1), hand)
    shot = scan(plate, 1, dpi=200, backing=BLACK_PAPER)
    return shot.written(tmp_path_factory.mktemp("scan"))


def test_what_is_measured_is_ready_to_be_the_holes_as_drilled(
    picture: Path, tmp_path: Path
) -> None:
    panel = tmp_path / "panel.toml"
    panel.write_text(_PANEL)
    result = _run("measure", picture, panel)
    assert result.exit_code == 0, result.output
    listed, drawn = tmp_path / "measured.csv", tmp_path / "measured.png"
    assert listed.read_text().startswith("id,x (in),y (in),drill (in),u (in)")
    assert is_ours(drawn)
    lines = '[as_drilled]\nhole_list = "measured.csv"\n'
    assert lines in result.output
    assert "Assumed: " in result.output
    panel.write_text(_PANEL + lines)
    after = legend.read(panel)
    assert after.drilling
    for id, hole in legend.parse(_PANEL).holes.items():
        assert after.holes[id].at == pytest.approx(hole.at, abs=0.8)
        assert after.holes[id].shape.size == pytest.approx(hole.shape.size, abs=0.15)

    again = _run("measure", picture, panel)
    assert again.exit_code == 2
    assert "is left as it is" in again.output


def test_a_panel_without_a_description_is_measured_by_its_size(
    picture: Path, tmp_path: Path
) -> None:
    out = tmp_path / "holes.csv"
    result = _run("measure", picture, "--size", "2.5x1.5in", "--holes", 2, "--out", out)
    assert result.exit_code == 0, result.output
    rows = [line.split(",") for line in out.read_text().splitlines()[1:]]
    assert [row[0] for row in rows] == ["H1", "H2"]
    assert float(rows[0][1]) * INCH == pytest.approx(0.6 * INCH, abs=0.8)
    assert "near a drill of 3/8 in" in out.read_text()
    assert f"legend new --from {out}" in result.output


def test_a_missing_hole_is_told_by_the_exit_status(picture: Path, tmp_path: Path) -> None:
    panel = tmp_path / "panel.toml"
    panel.write_text(_PANEL + 'STOP = { at = [1.2, 0.3], drill = "1/4" }\n')
    result = _run("measure", picture, panel)
    assert result.exit_code == 1
    assert "STOP is missing" in result.output


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["panel.toml"], "at least one picture"),
        (["scan.png"], "--size 220x120"),
        (["a.toml", "b.toml", "scan.png"], "one description"),
        (["scan.png", "--size", "wide"], "wide is no size; say 220x120, or 9x5in."),
        (["scan.png", "panel.toml", "--size", "20x10"], "or give its size, not both."),
        (["scan.png", "--size", "20x10", "--out", "holes.txt"], "does not end in .csv"),
        (["scan.png", "--size", "20x10"], "There is no picture scan.png."),
    ],
)
def test_a_wrong_call_is_told(
    words: list[str], told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    result = _run("measure", *words)
    assert result.exit_code == 2
    assert told in result.output
