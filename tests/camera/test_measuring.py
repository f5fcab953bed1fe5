"""Panels are measured in their pictures: matched to their design, listed, drawn, or refused."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from camera.looked_once import look_once
from camera.synthetic.marks import INK, blot
from camera.synthetic.plates import STEADY, Hand, made
from camera.synthetic.scenes import Mark
from camera.synthetic.shots import BLACK_PAPER, Shot, scan
from camera.synthetic.surfaces import painted
from PIL import Image
from scipy.ndimage import gaussian_filter

import legend
from legend.camera.measured.hole_list_csv import hole_list_csv
from legend.camera.measured.measured import Measured
from legend.camera.measured.measured_picture import measured_png
from legend.camera.measured.sayings import about_holes, counted_against
from legend.camera.measuring import NotMeasuredError, measured_from
from legend.camera.picture import Picture, picture_in

#: All holes; the last of them was not drilled, and has the dot of a pen in its place.
_DESIGN = """\
[panel]
size = [92, 60]
datum = "{datum}"
[holes]
SPEED = {{ at = [22, 40], drill = 9.5 }}
MODE = {{ at = [52, 41], drill = 6.5 }}
M1 = {{ at = [6, 6], drill = 3.2, note = "M3" }}
M2 = {{ at = [86, 54], drill = 3.2 }}
SLIDE = {{ at = [30, 15], slot = [20, 4], angle = 10 }}
WINDOW = {{ at = [68, 18], cutout = [24, 14] }}
LAMP = {{ at = [76, 40], drill = 8 }}
"""
_SIZE = (92.0, 60.0)
_STEADY = Hand(chamfered=0, filed=0, burred=0)


def _design(datum: str = "lower left") -> legend.Description:
    return legend.parse(_DESIGN.format(datum=datum))


@pytest.fixture(scope="module", autouse=True)
def once() -> Iterator[None]:
    """Each picture is looked at once."""
    with pytest.MonkeyPatch.context() as patch:
        look_once(patch)
        yield


@pytest.fixture(scope="module")
def shot() -> Shot:
    """A scan of a panel, which lies turned by half."""
    holes = {id: hole for id, hole in _design().holes.items() if id != "LAMP"}
    plate = made(_SIZE, holes, np.random.default_rng(2), _STEADY)
    dot = Mark((blot((76.1, 39.8), 1.8, np.random.default_rng(1)),), INK, 0.9)
    return scan(plate, 2, dpi=300, backing=BLACK_PAPER, marks=(dot,), quarter=2)


def _measured(
    shot: Shot, description: legend.Description | None, count: int | None = None
) -> Measured:
    picture = picture_in(shot.data, "scan.jpg")
    panel = (description or _design()).panel
    units = description.units if description else "mm"
    return measured_from([picture], panel, units, description, count)


@pytest.fixture(scope="module")
def measured(shot: Shot) -> Measured:
    return _measured(shot, _design())


def test_holes_get_the_names_of_the_design_though_the_panel_lies_turned(
    shot: Shot, measured: Measured
) -> None:
    true = {hole.id: hole for hole in shot.truth.holes}
    assert [hole.id for hole in measured.holes] == ["SPEED", "MODE", "M1", "M2", "SLIDE", "WINDOW"]
    for hole in measured.holes:
        off = math.dist(hole.found.at, true[hole.id].at)
        assert off < min(0.25, 2 * hole.found.uncertainty)
        if true[hole.id].key != "drill":
            turned = (hole.found.angle - true[hole.id].angle) % 180
            assert min(turned, 180 - turned) < 0.6


def test_what_is_missing_is_told_with_what_is_in_its_place(measured: Measured) -> None:
    assert [missing.id for missing in measured.missing] == ["LAMP"]
    told = next(line for line in about_holes(measured) if line.startswith("LAMP"))
    assert "is missing" in told
    assert "mark" in told
    assert not measured.is_sure
    assert not measured.extra


def test_a_shadow_within_a_window_is_not_taken_for_its_rim() -> None:
    """Of a dark panel on white paper, which is darker for a third of the window."""
    design = legend.parse(
        "[panel]\nsize = [60, 40]\n[holes]\nA = { at = [8, 8], drill = 6 }\n"
        "B = { at = [50, 30], drill = 4 }\nW = { at = [30, 15], cutout = [15, 11] }"
    )
    scale = 300 / 25.4
    y, x = (each / scale - 5 for each in np.mgrid[:590, :826] + 0.5)
    y = 40 - y
    white, face, shade = 0.8, 0.04, 0.16
    light = np.where((x > 0) & (x < 60) & (y > 0) & (y < 40), face, white)
    for at, radius in (((8, 8), 3), ((50, 30), 2)):
        light[np.hypot(x - at[0], y - at[1]) < radius] = white
    within = (abs(x - 30.1) < 7.5) & (abs(y - 15.1) < 5.5)
    light[within] = np.where(y > 18, shade, white)[within]
    light = gaussian_filter(light, 1.0) + np.random.default_rng(1).normal(0, 0.003, light.shape)
    grey = (255 * (1.055 * np.clip(light, 0.004, 1) ** (1 / 2.4) - 0.055)).astype(np.uint8)
    picture = Picture(np.repeat(grey[..., None], 3, axis=2), (300.0, 300.0), "scan")
    found = {
        hole.id: hole.found for hole in measured_from([picture], design.panel, "mm", design).holes
    }
    assert math.dist(found["W"].at, (30.1, 15.1)) < 0.1
    assert found["W"].shape.size == pytest.approx((15, 11), abs=0.1)


def test_the_list_is_read_back_as_the_holes_as_drilled(measured: Measured, tmp_path: Path) -> None:
    comma = hole_list_csv(measured, comma=True).decode()
    assert ";" in comma.splitlines()[0]
    for number, text in enumerate((hole_list_csv(measured).decode(), comma)):
        panel = tmp_path / f"panel{number}.toml"
        lamp = f"LAMP{text[2]}76{text[2]}40\n"  # measured with callipers
        (tmp_path / f"measured{number}.csv").write_text(text + lamp)
        panel.write_text(
            _DESIGN.format(datum="lower left")
            + f'[as_drilled]\nhole_list = "measured{number}.csv"\n'
        )
        description = legend.read(panel)
        for hole in measured.holes:
            assert description.holes[hole.id].at == pytest.approx(hole.found.at, abs=0.006)
            size = description.holes[hole.id].shape.size
            assert size == pytest.approx(hole.found.shape.size, abs=0.02)


def test_places_are_measured_from_the_datum_of_the_panel(measured: Measured) -> None:
    centred = replace(measured, panel=_design("centre").panel)
    rows = [line.split(",") for line in hole_list_csv(centred).decode().splitlines()[1:]]
    for row, hole in zip(rows, measured.holes, strict=True):
        expected = hole.found.at[0] - 46, hole.found.at[1] - 30
        assert (float(row[1]), float(row[2])) == pytest.approx(expected, abs=0.006)


def test_without_a_design_holes_are_named_by_rows(shot: Shot) -> None:
    found = _measured(shot, None)
    sure = [hole for hole in found.holes if hole.is_sure]
    assert len(sure) == 6
    assert [hole.id for hole in found.holes] == [f"H{k + 1}" for k in range(len(found.holes))]
    counted = _measured(shot, None, count=6)
    assert len(counted.holes) == 6
    assert counted.is_sure
    assert len(counted.extra) == len(found.holes) - 6


def test_a_round_panel_may_lie_at_any_angle() -> None:
    description = legend.parse(
        "[panel]\noutline = { diameter = 52 }\n[holes]\nA = { at = [26, 38], drill = 9.5 }\n"
        "B = { at = [44, 26], drill = 6.5 }\nC = { at = [14, 20], drill = 3.2 }\n"
    )
    panel = description.panel
    plate = made(
        (52.0, 52.0), description.holes, np.random.default_rng(970), STEADY, 1.5, 0, panel.edge
    )
    shot = scan(plate, 1, 200, painted((0.6, 0.6, 0.5)), BLACK_PAPER, turn=-141.7)
    round_ = _measured(shot, description)
    assert [hole.id for hole in round_.holes] == ["A", "B", "C"]
    assert not round_.notes
    for hole in round_.holes:
        assert hole.found.at == pytest.approx(description.holes[hole.id].at, abs=0.12)


def test_fewer_holes_than_there_should_be_is_told(measured: Measured) -> None:
    assert not list(counted_against(measured.holes, 6))
    (note,) = counted_against(measured.holes, 30)
    assert note.startswith("Of 30 holes only 6 were found.")


def test_another_panel_is_refused(shot: Shot) -> None:
    other = "".join(
        f"X{k} = {{ at = [{8 + 9 * k}, {30 + 7 * (-1) ** k}], drill = 5 }}\n" for k in range(9)
    )
    with pytest.raises(NotMeasuredError, match="another panel"):
        _measured(shot, legend.parse(f"[panel]\nsize = [92, 60]\n[holes]\n{other}"))


def test_the_picture_shows_everything_in_its_colour(measured: Measured) -> None:
    with Image.open(io.BytesIO(measured_png(measured))) as image:
        pixels = np.asarray(image.convert("RGB")).astype(int)
        scale = image.info["dpi"][0] / 25.4
    red, green, blue = pixels.transpose(2, 0, 1)
    for colour, hole in (("green", measured.holes[0].found.at), ("red", measured.missing[0].at)):
        x, y = (hole[0] + 7) * scale, (60 - hole[1] + 7) * scale
        part = np.s_[
            int(y - 7 * scale) : int(y + 7 * scale), int(x - 7 * scale) : int(x + 7 * scale)
        ]
        is_green = (green - red > 60) & (green - blue > 40)
        is_red = (red - green > 60) & (red - blue > 60)
        wanted = is_green if colour == "green" else is_red
        assert wanted[part].mean() > 0.01
        assert wanted[part].sum() > 2 * (is_red if colour == "green" else is_green)[part].sum()
