"""The painted proof against its own drawing in mm, as an independent renderer (resvg) sees it.

Source of the colours of names: CSS Color Module Level 4, 6.1.
"""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
import resvg_py
from numpy.typing import NDArray
from PIL import Image

from legend.description.source import Source
from legend.description.tables.description import Description
from legend.drawing.proofs.proof_png import MARGIN, write_proof
from legend.drawing.proofs.proof_svg import panel_svg
from legend.layout.artwork import Artwork, Mark, Role
from legend.layout.openings import lay_openings
from legend.layout.styles import choose_styles
from legend.lettering.outlines.outline import Outline

DPI = 254.0


def marks() -> tuple[Mark, ...]:
    outlines = [
        Outline.arc_stroke((20.3, 25.1), 6, -140, 140, 0.7),
        Outline.arc_stroke((45.0, 24.9), 5, 0, 360, 0.45),
        Outline.line_stroke((5, 6), (55, 9.3), 0.35),
        Outline.rectangle(60.13, 10.21, 66.4, 30.77, 1.5),
    ]
    return tuple(Mark(outline, Role.SYMBOL, "A", Source("panel.toml", 1)) for outline in outlines)


@pytest.fixture(params=["lift-off", "paint-through"])
def artwork(request: pytest.FixtureRequest) -> Artwork:
    description = Description.model_validate(
        {
            "panel": {"size": (80, 40), "corner_radius": 3},
            "finish": {"base": "gold", "top": "navy"},
            "stencil": {"method": request.param},
            "holes": {"A": {"at": (73, 8), "drill": 6}},
        }
    )
    panel = Outline.rectangle(0, 0, 80, 40, 3)
    return Artwork(
        description, choose_styles(description), panel, lay_openings(description), marks(), (), ()
    )


def pictures(artwork: Artwork, tmp_path: Path) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The proof without its margin, and the drawing, at the same scale."""
    write_proof(artwork, None, tmp_path / "proof.png", dpi=DPI)
    with Image.open(tmp_path / "proof.png") as image:
        margin = round(MARGIN * 10)
        proof = np.asarray(image.convert("RGB"), dtype=float)[margin:-margin, margin:-margin]
    # The renderer rounds a size in mm to whole pixels first; ten pixels to the mm are whole.
    svg = panel_svg(artwork).replace('"80mm"', '"800"').replace('"40mm"', '"400"')
    png = resvg_py.svg_to_bytes(svg_string=svg)
    drawn = np.asarray(Image.open(io.BytesIO(bytes(png))).convert("RGB"), dtype=float)
    return proof, drawn


def test_proof_and_drawing_agree(artwork: Artwork, tmp_path: Path) -> None:
    proof, drawn = pictures(artwork, tmp_path)
    assert proof.shape == drawn.shape == (400, 800, 3)
    inside = np.s_[40:-40, 40:680]  # away from corners, edge and the rim of the hole
    assert np.abs(proof[inside] - drawn[inside]).mean() < 0.2
    assert (
        np.abs(proof[inside] - drawn[inside]).max() < 64
    )  # the renderer samples a pixel four times a side


def test_the_letters_have_their_true_area(artwork: Artwork, tmp_path: Path) -> None:
    proof, drawn = pictures(artwork, tmp_path)
    gold, navy = np.array([255.0, 215, 0]), np.array([0.0, 0, 128])
    lift_off = artwork.description.stencil.method == "lift-off"
    ground, ink = (navy, gold) if lift_off else (gold, navy)
    true = sum(mark.outline.area for mark in artwork.marks)
    for picture in (proof, drawn):
        share = (picture[30:-30, 30:680] - ground) @ (ink - ground) / ((ink - ground) ** 2).sum()
        assert share.sum() / 100 == pytest.approx(true, rel=0.005)
