"""Which files for the cutter the commands write: those asked for, and none of an earlier run."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from legend.commands.cli import legend
from legend.writing import Standing, standing_of

_PANEL = """units = "{units}"
[panel]
size = ["60 mm", "40 mm"]
[holes.A]
at = ["30 mm", "20 mm"]
drill = "6 mm"
[[control]]
hole = "A"
kind = "lamp"
name = "ON"
[stencil]
{stencil}
"""


def _panel(folder: Path, stencil: str = "", units: str = "mm") -> Path:
    panel = folder / "panel.toml"
    panel.write_text(_PANEL.format(stencil=stencil, units=units))
    return panel


def _run(*words: object) -> Result:
    return CliRunner().invoke(legend, [str(word) for word in words])


def _names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


@pytest.mark.parametrize("asked", [["--as", "dxf,plt"], ["--as", "dxf", "--as", "PLT"]])
def test_cut_writes_the_kinds_asked_for(tmp_path: Path, asked: list[str]) -> None:
    result = _run("cut", _panel(tmp_path), "--out", tmp_path / "o", *asked)
    assert result.exit_code == 0, result.output
    assert _names(tmp_path / "o") == ["stencil-1.dxf", "stencil-1.plt"]
    assert all(standing_of(path) is Standing.OURS for path in (tmp_path / "o").iterdir())


def test_cut_leaves_other_kinds_and_replaces_its_own(tmp_path: Path) -> None:
    panel, out = _panel(tmp_path), tmp_path / "o"
    for asked in (["--as", "svg"], ["--as", "pdf"], ["--as", "pdf", "--separate"]):
        assert _run("cut", panel, "--out", out, *asked).exit_code == 0
    assert _names(out) == [
        "stencil-1.svg",
        "stencil-mark.pdf",
        "stencil-registration.pdf",
        "stencil-weeding.pdf",
    ]


@pytest.mark.parametrize("kind", ["dxf", "plt", "pdf"])
def test_what_was_edited_is_kept_until_replace_is_given(tmp_path: Path, kind: str) -> None:
    panel, out = _panel(tmp_path), tmp_path / "o"
    assert _run("cut", panel, "--out", out, "--as", kind).exit_code == 0
    (file,) = out.iterdir()
    edited = file.read_bytes().replace(b"1", b"2", 1)
    file.write_bytes(edited)
    assert _run("cut", panel, "--out", out, "--as", kind).exit_code == 2
    assert file.read_bytes() == edited
    assert _run("cut", panel, "--out", out, "--as", kind, "--replace").exit_code == 0
    assert standing_of(file) is Standing.OURS


def test_make_writes_what_the_description_says_and_clears_the_rest_away(tmp_path: Path) -> None:
    out = tmp_path / "o"
    assert _run("make", _panel(tmp_path), "--out", out).exit_code == 0
    assert "stencil-1.svg" in _names(out)
    panel = _panel(tmp_path, 'cut_as = ["dxf", "pdf"]\ndxf_version = "R12"')
    result = _run("make", panel, "--out", out)
    assert result.exit_code == 0, result.output
    cut = [name for name in _names(out) if name.startswith(("stencil", "placement"))]
    assert cut == ["placement-card-1.dxf", "placement-card.pdf", "stencil-1.dxf", "stencil.pdf"]
    assert "in mm, which R12 cannot say" in result.output
    card = (out / "job-card.html").read_text()
    assert "<code>stencil-1.dxf</code> or <code>stencil.pdf</code>" in card
    assert "which R12 cannot say" in card
    assert ".svg</code>" not in card


def test_the_unit_is_said_on_the_screen(tmp_path: Path) -> None:
    def told(units: str, *asked: str) -> str:
        panel = _panel(tmp_path, units=units)
        return _run("cut", panel, "--out", tmp_path / "o", "--as", "dxf", *asked).stderr

    assert "cannot say its unit" in told("mm", "--dxf", "R12")
    assert "in mm, also of a panel in inches" in told("in")
    assert "unit" not in told("mm")


def test_hp_gl_that_goes_too_far_for_older_cutters_is_told(tmp_path: Path) -> None:
    wide = "stock_size = [2000, 300]\ncopies = 50"
    result = _run("cut", _panel(tmp_path, wide), "--out", tmp_path / "o", "--as", "plt")
    assert "go further than 819" in result.stderr


def test_the_coupon_is_written_by_the_ending_or_in_every_kind(tmp_path: Path) -> None:
    assert _run("coupon", "--out", tmp_path / "a" / "try.plt").exit_code == 0
    assert _names(tmp_path / "a") == ["try.plt"]
    both = _run("coupon", "--as", "svg,dxf", "--out", tmp_path / "b" / "try.dxf")
    assert both.exit_code == 0
    assert _names(tmp_path / "b") == ["try.dxf", "try.svg"]
    wrong = _run("coupon", "--as", "svg,dxf", "--out", tmp_path / "b" / "try.plt")
    assert wrong.exit_code == 2
    assert "ends in .plt, but asked for is svg and dxf" in wrong.stderr


def test_a_kind_that_is_none_is_refused_with_those_there_are(tmp_path: Path) -> None:
    result = _run("cut", _panel(tmp_path), "--as", "svg,step")
    assert result.exit_code == 2
    assert "'step' is no kind of file for a cutter; say svg, dxf, pdf or plt." in result.stderr


def test_pieces_cut_again_come_in_the_same_kinds(tmp_path: Path) -> None:
    panel = _panel(tmp_path, 'cut_as = ["plt"]')
    assert _run("cut", panel, "--out", tmp_path / "o", "--piece", "1").exit_code == 0
    assert _names(tmp_path / "o") == ["cut-again-1.plt"]
