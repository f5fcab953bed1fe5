"""The stages as SVG: the same picture as the painted proof, whatever draws it."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import resvg_py
from numpy.typing import NDArray
from PIL import Image

from legend.description.reading.description_file import parse, read
from legend.drawing.proofs.layers import STAGES, Stage, layers_of
from legend.drawing.proofs.proof_png import MARGIN as PROOF_MARGIN
from legend.drawing.proofs.proof_png import painted
from legend.drawing.proofs.stages_svg import MARGIN, StagesDrawn, stages_svg
from legend.layout import lay_out
from legend.layout.artwork import Artwork
from legend.stencil import cut
from legend.stencil.sheet import Sheet

SAMPLES = Path(__file__).parents[3] / "samples"
DPI = 101.6  # four pixels to the mm

Pixels = NDArray[np.int_]


def whole(drawn: StagesDrawn, stage: Stage) -> str:
    left, top, width, height = drawn.view_box
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="{left} {top} {width} {height}">{drawn.shapes}{drawn.stages[stage]}</svg>'
    )


def seen(drawn: StagesDrawn, stage: Stage) -> Pixels:
    picture = resvg_py.svg_to_bytes(svg_string=whole(drawn, stage), dpi=DPI)
    return np.asarray(Image.open(io.BytesIO(bytes(picture))).convert("RGB")).astype(int)


def proof(artwork: Artwork, sheets: tuple[Sheet, ...] | None, stage: Stage) -> Pixels:
    data = painted([layers_of(artwork, sheets, stage)], artwork, DPI)
    return np.asarray(Image.open(io.BytesIO(data)).convert("RGB")).astype(int)


@lru_cache
def sample(name: str) -> Artwork:
    return lay_out(read(SAMPLES / name / "panel.toml"))


@lru_cache
def sheets_of(name: str) -> tuple[Sheet, ...]:
    return cut(sample(name)).sheets


def assert_alike(artwork: Artwork, sheets: tuple[Sheet, ...] | None, stage: Stage) -> None:
    ours, theirs = seen(stages_svg(artwork, sheets), stage), proof(artwork, sheets, stage)
    high, wide = (min(a, b) for a, b in zip(ours.shape[:2], theirs.shape[:2], strict=True))
    assert abs(ours.shape[0] - theirs.shape[0]) <= 1 and abs(ours.shape[1] - theirs.shape[1]) <= 1
    off = np.abs(ours[:high, :wide] - theirs[:high, :wide]).max(axis=2)
    # Along edges each of the two has its own way to tell the share of a pixel.
    assert off.mean() < 0.5
    assert off.max() <= 64


@pytest.mark.parametrize("stage", STAGES)
@pytest.mark.parametrize("as_cut", [False, True])
@pytest.mark.parametrize("name", ["enlarger-timer", "crystal-set"])
def test_each_stage_looks_as_the_painted_proof(name: str, as_cut: bool, stage: Stage) -> None:
    assert MARGIN == PROOF_MARGIN
    assert_alike(sample(name), sheets_of(name) if as_cut else None, stage)


@pytest.mark.parametrize("stage", STAGES)
@pytest.mark.parametrize("method", ["lift-off", "paint-through"])
def test_letters_on_bare_metal_are_drawn_as_they_are_painted(method: str, stage: Stage) -> None:
    artwork = lay_out(
        parse(
            f"""
[panel]
size = [60, 30]
corner_radius = 3
[finish]
base = "#f0e8d0"
top = "#305050"
[stencil]
method = "{method}"
[holes]
E = {{ at = [20, 12], drill = 4 }}
[[control]]
hole = "E"
kind = "stud"
name = "EARTH"
[[bare]]
hole = "E"
diameter = 14
[[text]]
at = [26, 12]
text = "OVER"
"""
        )
    )
    assert any(
        mark.outline.shape.intersects(artwork.bare_discs[0].outline.shape) for mark in artwork.marks
    )
    assert_alike(artwork, None, stage)


def test_shapes_stand_once_and_stages_use_them() -> None:
    drawn = stages_svg(sample("enlarger-timer"))
    for stage in ("base", "masked", "top", "finished"):
        assert len(drawn.stages[stage]) < 1000
    used = {
        name for stage in drawn.stages.values() for name in re.findall(r'href="#([^"]*)"', stage)
    }
    defined = re.findall(r'id="([^"]*)"', drawn.shapes)
    assert used == set(defined)
    assert len(defined) == len(set(defined))
    numbers = re.findall(r"\.(\d+)", drawn.shapes)
    assert max(map(len, numbers)) == 3


def test_a_path_knows_its_hole_and_its_line() -> None:
    artwork = sample("enlarger-timer")
    root = ElementTree.fromstring(whole(stages_svg(artwork), "finished"))
    kin = {
        (path.get("data-hole"), path.get("data-line"))
        for path in root.iter()
        if path.get("data-hole")
    }
    assert kin == {(m.owner, str(m.source.line)) for m in artwork.marks if m.owner}


def test_what_the_user_wrote_is_no_markup(make_artwork: Callable[..., Artwork]) -> None:
    evil = '<script>"&'
    artwork = make_artwork()
    marks = tuple(replace(mark, owner=evil) for mark in artwork.marks)
    drawn = stages_svg(replace(artwork, marks=marks))
    root = ElementTree.fromstring(whole(drawn, "finished"))
    assert {path.get("data-hole") for path in root.iter()} == {None, evil}
    assert "<script" not in drawn.shapes
