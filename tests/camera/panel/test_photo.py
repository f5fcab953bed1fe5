"""A photograph shows where the panel lies, on its target page or by its edges alone."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from camera.synthetic.eyes import Camera
from camera.synthetic.pages import Printing, target_sheet
from camera.synthetic.plates import Plate, made
from camera.synthetic.shots import BLACK_PAPER, BLUE_PAPER, Shot, photo
from camera.synthetic.surfaces import PRIMER, painted
from hypothesis import given
from hypothesis import strategies as st

from legend.camera.panel.eye import eye_over, stretch_and_skew
from legend.camera.panel.photo import photo_view
from legend.camera.panel.seen import PanelUnseenError
from legend.camera.picture import Picture, mirrored, picture_in
from legend.camera.seeing import seen_in
from legend.camera.target.paper_view import view_from_target
from legend.camera.target.target_page import target_page
from legend.description.tables.panel import Panel
from legend.drawing.pdf.paper import Paper
from legend.length_words import MILLIMETRES

SIZE = (70.0, 44.0)
SHAPE = (576, 768)
HOLES = {"a": {"at": [14, 20], "drill": 9.5}, "b": {"at": [50, 30], "drill": 6.5}}
ALL_OVER = np.array([(x, y) for x in (0, 35, 70) for y in (0, 22, 44)], float)


def _plate() -> Plate:
    return replace(made(SIZE, HOLES, np.random.default_rng(3), thickness=1.5), bevel=0.05)


@cache
def _camera(tilt: float = 3.0, k1: float = 0.0, per_mm: float = 8.0) -> Camera:
    middle = (SIZE[0] / 2, SIZE[1] / 2)
    return Camera.over(middle, SHAPE, per_mm, tilt=tilt, towards=40, roll=2, k1=k1)


@cache
def _shot(eye: Camera) -> Shot:
    return photo(_plate(), 3, SHAPE, painted((0.6, 0.6, 0.55)), BLUE_PAPER, eye=eye)


def test_by_the_edges_alone_through_a_lens_that_bends() -> None:
    k1 = -0.06
    shot = _shot(_camera(k1=k1))
    seen = photo_view(picture_in(shot.data, "photo"), Panel(size=SIZE))
    view, truth = seen.view, shot.truth.view
    off = np.hypot(*(view.to_panel(truth.to_picture(ALL_OVER)) - ALL_OVER).T)
    assert off.max() < 0.15
    assert off[0] <= seen.datum_uncertainty
    assert view.lens is not None and view.lens.k1 == pytest.approx(k1, abs=0.025)
    assert view.eye is not None and truth.eye is not None
    assert np.abs(np.subtract(view.eye, truth.eye)).max() < 12


#: A hexagon that is 52 mm from corner to corner.
HEXAGON = [[13, 0], [39, 0], [52, 22.517], [39, 45.033], [13, 45.033], [0, 22.517]]


@pytest.mark.parametrize(
    ("panel", "turn", "paper"),
    [
        (Panel(size=(110.0, 44.0)), -1.0, (136.0, 150.0)),
        (Panel(outline={"polygon": HEXAGON}), 1.5, "A4"),
    ],
    ids=["several sheets", "hexagon"],
)
def test_on_its_target_page(panel: Panel, turn: float, paper: Paper) -> None:
    """The printer draws a little wrong, and the panel is laid askew of its outline on the page."""
    width, height = panel.size
    edge = panel.edge if panel.outline else None
    plate = made(panel.size, {}, np.random.default_rng(930), thickness=1.5, edge=edge)
    plate = replace(plate, bevel=0.05)
    printing = Printing((1.003, 0.998), (0.8, -0.5), turn, 0.3)
    sheet = target_sheet(plate, panel.edge, printing, paper=paper)
    shape = (600, round(6.2 * max(width + 46, 129)))
    eye = Camera.over((width / 2, height / 2), shape, 6.0, tilt=4, towards=70, roll=3, k1=0.02)
    shot = photo(
        plate, 932, shape, painted((0.6, 0.6, 0.55)), replace(BLACK_PAPER, sheet=sheet), eye=eye
    )
    picture = picture_in(shot.data, "photo")
    seen = photo_view(picture, panel, view_from_target(picture, target_page(width, height)))
    places = np.array([(x, y) for x in (0, 0.5, 1) for y in (0, 0.5, 1)]) * panel.size
    pixels = shot.truth.view.to_picture(places)
    view = min(seen.views, key=lambda each: np.abs(each.to_panel(pixels) - places).max())
    assert view is seen.view  # as it lies on the page
    found = view.to_panel(pixels)
    off = np.hypot(*(found - places).T)
    assert not seen.turn_open
    assert len(seen.views) == (6 if panel.outline else 2)
    assert off.max() < 0.12
    assert all(
        far <= seen.view.uncertainty_at(tuple(place))
        for far, place in zip(off, places, strict=True)
    )
    assert view.eye is not None and shot.truth.view.eye is not None
    assert view.eye[2] == pytest.approx(shot.truth.view.eye[2], abs=6)


def test_a_page_tells_of_a_wrong_size_and_a_mirrored_picture() -> None:
    panel = Panel(size=SIZE)
    sheet = target_sheet(_plate(), panel.edge, Printing(), paper="A4")
    shape = (600, 780)
    eye = Camera.over((SIZE[0] / 2, SIZE[1] / 2), shape, 6.0, tilt=4)
    backing = replace(BLACK_PAPER, sheet=sheet)
    shot = photo(_plate(), 931, shape, painted((0.6, 0.6, 0.55)), backing, eye=eye)
    picture = picture_in(shot.data, "photo")
    paper = view_from_target(picture, target_page(*SIZE))
    assert paper is not None
    with pytest.raises(PanelUnseenError, match="by the squares of its page"):
        photo_view(picture, Panel(size=(71.4, 44.0)), paper)
    with pytest.raises(PanelUnseenError, match="mirrored"):
        seen_in(mirrored(picture), panel, MILLIMETRES)


def test_a_panel_that_is_burnt_out_is_refused() -> None:
    shot = _shot(_camera())
    rgb = picture_in(shot.data, "photo").rgb.astype(int)
    burnt = Picture(np.clip(rgb * 1.7, 0, 255).astype(np.uint8), None, "photo")
    with pytest.raises(PanelUnseenError, match="Expose it less"):
        photo_view(burnt, Panel(size=SIZE))


def _refused(shot: Shot, size: tuple[float, float] = SIZE) -> str:
    with pytest.raises(PanelUnseenError) as failure:
        photo_view(picture_in(shot.data, "photo"), Panel(size=size))
    return str(failure.value)


def test_what_is_not_sure_is_refused_with_what_to_do() -> None:
    straight = _shot(_camera())
    assert "size" in _refused(straight, (70.0, 48.0)) or "shape" in _refused(straight, (70.0, 48.0))
    assert "Hold it square over" in _refused(_shot(_camera(tilt=28.0, per_mm=6.0)))
    assert "from nearer" in _refused(_shot(_camera(per_mm=3.2)))


def test_a_panel_like_what_it_lies_on_is_refused() -> None:
    plate = _plate()
    alike = replace(BLACK_PAPER, colour=PRIMER.colour)
    shot = photo(plate, 3, SHAPE, PRIMER, alike, eye=_camera())
    assert "paper" in _refused(shot)


def test_no_rectangle_needs_a_page() -> None:
    shot = _shot(_camera())
    with pytest.raises(PanelUnseenError, match="target page"):
        photo_view(picture_in(shot.data, "photo"), Panel(outline={"diameter": 50}))


@given(st.floats(0, 25), st.floats(0, 360), st.floats(-10, 10), st.floats(0.6, 1.4))
def test_the_eye_is_where_the_camera_stands(
    tilt: float, towards: float, roll: float, focal: float
) -> None:
    camera = Camera.over((50, 30), SHAPE, 8, focal, tilt, towards, roll)
    view = camera.view(_STEADY_PLATE)
    assert view.lens is not None and view.eye is not None
    eye = eye_over(view.onto, view.lens.focal, view.lens.middle)
    assert eye == pytest.approx(view.eye, abs=1e-3 * view.eye[2])
    stretch, skew = stretch_and_skew(view.onto, view.lens.focal, view.lens.middle)
    assert stretch == pytest.approx(1, abs=1e-3)
    assert skew == pytest.approx(0, abs=1e-3)


_STEADY_PLATE = _plate()
