"""The samples show what they say."""

import re
from pathlib import Path

import pytest

from legend.description.reading.description_file import read
from legend.description.tables.description import Description
from legend.drawing.pdf.panel_drawing import extents_of
from legend.drawing.pdf.paper import tiled
from legend.layout import lay_out
from legend.stencil import cut

ROOT = Path(__file__).parents[1]
SAMPLES = sorted(path.parent for path in (ROOT / "samples").glob("*/panel.toml"))
README = (ROOT / "README.md").read_text(encoding="utf-8")


def described(sample: str) -> Description:
    return read(ROOT / "samples" / sample / "panel.toml")


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.name)
def test_each_is_told_of(sample: Path) -> None:
    told = (sample / "README.md").read_text(encoding="utf-8")
    assert told.startswith("# ")
    assert len(told.splitlines()) <= 12
    assert f"](samples/{sample.name}/proof.png)](samples/{sample.name})" in README
    for file in re.findall(r"`([\w-]+\.\w+)`", told):
        assert (sample / file).exists(), file


def test_the_enlarger_timer_is_the_everyday_job() -> None:
    timer = described("enlarger-timer")
    assert timer.stencil.method == "lift-off"
    assert timer.hole_list == "holes.csv"
    kinds = [control.kind for control in timer.control]
    assert kinds.count("toggle") == 3 and {"knob", "selector", "window", "stud"} <= set(kinds)
    assert {c.scale.law for c in timer.control if c.scale} == {"log", "linear"}
    assert timer.group[0].name and timer.bare


def test_the_kiln_controller_has_mains_and_a_calibrated_dial() -> None:
    kiln = described("kiln-controller")
    assert [c.scale.law for c in kiln.control if c.scale] == ["table"]
    assert any(control.mains for control in kiln.control)
    words = [control.note for control in kiln.control] + [text.text for text in kiln.text]
    assert any("symbol:dangerous-voltage" in each for each in words)
    assert any("symbol:caution" in each for each in words)
    kinds = [control.kind for control in kiln.control]
    assert kinds.count("selector") == 2 and "window" in kinds
    assert kiln.panel.datum == "upper left"


def test_the_dome_rotator_is_a_rack_panel_in_tiles() -> None:
    dome = described("dome-rotator")
    assert dome.panel.size[0] == 482.6
    assert len(dome.group) == 2
    artwork = lay_out(dome)
    sheets = cut(artwork).sheets
    pieces = [placed.piece for sheet in sheets for placed in sheet.placed]
    assert len(tiled(extents_of(artwork, pieces)[0], "A4").tiles) > 1
    frames = [m.outline.bounds for m in artwork.marks if m.role == "frame" and not m.owner]
    assert frames[0][1::2] == pytest.approx(frames[1][1::2])  # level with each other
    assert dome.stencil.piece == "row"


def test_the_crystal_receiver_is_painted_through_a_sheet() -> None:
    receiver = described("crystal-set")
    assert (receiver.stencil.method, receiver.stencil.stock) == ("paint-through", "sheet")
    assert receiver.units == "in"
    assert "inverse-square" in [c.scale.law for c in receiver.control if c.scale]
    (sheet,) = cut(lay_out(receiver)).sheets
    registration = [p for placed in sheet.placed for p in placed.paths if p.cut == "registration"]
    assert len(registration) == len(receiver.holes)  # each takes a bolt
