"""Pictures come out of the synthetic camera as files of phones and scanners, the same each time."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from camera.synthetic.cases import Case, as_it_happens, by_edges, on_page, scanned
from camera.synthetic.letter_cases import with_letters
from camera.synthetic.letters import LaidPiece, letters, letters_middle
from camera.synthetic.plates import STEADY, made
from camera.synthetic.sensors import Sensor, developed
from PIL import Image

import legend
from legend.camera.opencv import found_markers
from legend.camera.picture import picture_in
from legend.camera.target.target_page import target_page
from legend.stencil.sheet import pieces_of

SMALL = (480, 640)

#: A panel with letters on several pieces.
LETTERED = """
[panel]
size = [90, 60]
[holes]
gain = { at = [25, 30], drill = 7 }
lamp = { at = [65, 30], drill = 8 }
[[control]]
hole = "gain"
kind = "knob"
name = "GAIN"
[[control]]
hole = "lamp"
kind = "lamp"
name = "ON"
"""

FEW: dict[str, Any] = {"size": (90.0, 60.0), "count": 4}

TAKEN: dict[str, Callable[[int], Case]] = {
    "page": lambda seed: on_page(seed, (240, 320), **FEW),
    "edges": lambda seed: by_edges(seed, (240, 320), **FEW),
    "scan": lambda seed: scanned(seed, 75, **FEW),
    "any": lambda seed: as_it_happens(seed, (240, 320), 50),
}


@pytest.mark.parametrize("taken", TAKEN.values(), ids=TAKEN)
def test_a_seed_gives_the_same_picture_again(taken: Callable[[int], Case]) -> None:
    one, again = taken(1), taken(1)
    assert one.shot.data == again.shot.data
    assert legend.parse(one.toml).holes.keys() == one.holes.keys()


def test_another_seed_gives_another_picture() -> None:
    assert TAKEN["scan"](1).shot.data != TAKEN["scan"](2).shot.data


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_a_picture_that_was_stored_turned_is_turned_upright(orientation: int) -> None:
    light = np.zeros((240, 320, 3), np.float32)
    light[:60, :80] = 0.5  # the upper left corner
    data = developed(light, Sensor(orientation=orientation), np.random.default_rng(0))
    with Image.open(io.BytesIO(data)) as image:
        assert image.size == ((240, 320) if orientation in (6, 8) else (320, 240))
    upright = picture_in(data, "picture").rgb
    assert upright.shape == (240, 320, 3)
    assert upright[:50, :70].min() > 100
    assert upright[70:].max() < 60


def test_a_scan_tells_its_dots() -> None:
    picture = picture_in(scanned(3, 75, **FEW).shot.data, "scan")
    assert picture.dpi == pytest.approx((75, 75), abs=0.5)


def test_holes_are_dark_over_black_paper_where_the_truth_has_them() -> None:
    case = by_edges(3, SMALL)
    grey = case.shot.rgb.mean(axis=2)
    view = case.shot.truth.view
    for hole in case.shot.truth.holes:
        middle = view.to_picture(np.array([hole.at]))[0]
        beside = view.to_picture(hole.rim[::30] * 1.0 + (hole.rim[::30] - hole.at) * 0.6)
        rows, columns = np.round([beside[:, 1], beside[:, 0]]).astype(int)
        u, v = np.round(middle).astype(int)
        assert grey[v, u] < 0.6 * np.median(grey[rows, columns])


def test_the_page_lies_where_it_is_laid() -> None:
    """The markers of the printed page, found by OpenCV, lie round the panel as on the page."""
    case = on_page(5, (600, 800), **FEW)
    grey = np.asarray(case.shot.rgb.mean(axis=2), np.uint8)
    page = target_page(*case.size)
    found = dict(found_markers(grey, range(len(page.marked))))
    assert len(found) > 0.8 * len(page.marked)
    view, off = case.shot.truth.view, []
    for place, cell in enumerate(page.marked):
        if place in found:
            x0, y0, x1, y1 = page.marker_box(cell)
            at = view.to_panel(found[place].mean(axis=0)[None])[0]
            off.append(np.hypot(*(at - ((x0 + x1) / 2, (y0 + y1) / 2))))
    assert max(off) < 4.5  # laid by hand, and 2 to 3 mm lower than the face


def test_letters_lie_as_the_truth_says() -> None:
    description = legend.parse(LETTERED)
    pieces = pieces_of(legend.cut(legend.lay_out(description)).sheets)
    rng = np.random.default_rng(0)
    plate = made((90.0, 60.0), {}, rng, STEADY)
    laid = {p.number: LaidPiece(p.number, 0.4, -0.3, 90.0) for p in pieces}
    for piece, mark in zip(pieces, letters(plate, pieces, laid, (0, 0, 0)), strict=True):
        points = np.concatenate(mark.outlines)
        middle = (points.min(axis=0) + points.max(axis=0)) / 2
        assert middle == pytest.approx(letters_middle(piece) + np.array([0.4, -0.3]), abs=0.01)
    laid[1] = LaidPiece(1, state="missing")
    assert len(list(letters(plate, pieces, laid, (0, 0, 0)))) == len(pieces) - 1


def test_letters_are_seen() -> None:
    case = with_letters(
        legend.parse(LETTERED), 2, SMALL, colour=(0.5, 0.02, 0.02), base=(0.8, 0.8, 0.8)
    )
    red, _, blue = (case.shot.rgb[..., k].astype(int) for k in range(3))
    assert ((red - blue) > 60).sum() > 200
    assert {piece.state for piece in case.laid.values()} == {"laid"}
