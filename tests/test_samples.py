"""The samples show what they say, and the pictures that are kept are of the program as it is."""

import re
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from legend.description.reading.description_file import read
from legend.description.tables.description import Description
from legend.drawing.pdf.panel_drawing import extents_of
from legend.drawing.pdf.paper import tiled
from legend.drawing.proofs.proof_png import write_proof
from legend.drawing.specimens.specimen import write_specimen
from legend.layout import lay_out
from legend.lettering.faces.stroke_face import plain
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


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.name)
def test_its_proof_is_up_to_date(sample: Path, tmp_path: Path) -> None:
    """Where this fails, draw it anew as DEVELOPERS.md says, and look at it."""
    artwork = lay_out(read(sample / "panel.toml"))
    write_proof(artwork, cut(artwork).sheets, tmp_path / "proof.png")
    with Image.open(sample / "proof.png") as old, Image.open(tmp_path / "proof.png") as new:
        assert old.size == new.size
        off = np.abs(np.asarray(old.convert("L"), dtype=int) - np.asarray(new.convert("L")))
    assert (off > 8).mean() < 1e-5  # a library may round another way


def test_the_specimen_is_up_to_date(tmp_path: Path) -> None:
    write_specimen(plain(), tmp_path / "specimen.svg", 300)
    old, new = (
        path.read_text(encoding="utf-8")
        for path in (ROOT / "fonts" / "specimen.svg", tmp_path / "specimen.svg")
    )
    seal = re.compile(r"sha256 [0-9a-f]+")  # of what may be a little otherwise
    old, new = seal.sub("", old), seal.sub("", new)
    number = re.compile(r"-?\d+(?:\.\d+)?")
    assert number.sub("0", old) == number.sub("0", new)
    pairs = zip(number.findall(old), number.findall(new), strict=True)
    assert max(abs(float(one) - float(other)) for one, other in pairs) < 0.01


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
