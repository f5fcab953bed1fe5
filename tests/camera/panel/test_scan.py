"""A scan shows where the panel lies, or it is refused."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from camera.synthetic.plates import ORDINARY, STEADY, Hand, Plate, made
from camera.synthetic.shots import BLACK_PAPER, WHITE_PAPER, Shot, scan
from camera.synthetic.surfaces import BRASS, painted

from legend.camera.panel.fitting import fitted
from legend.camera.panel.judging import check_shape
from legend.camera.panel.outlines.outline_start import is_round
from legend.camera.panel.scan import scan_view
from legend.camera.panel.seen import PanelUnseenError, SeenPanel
from legend.camera.panel.several import squareness
from legend.camera.picture import Picture, picture_in
from legend.camera.view import Points, View
from legend.description.tables.panel import Panel
from legend.length_words import MILLIMETRES
from legend.standards import INCH

SIZE = (70.0, 44.0)
HOLES = {"a": {"at": [14, 20], "drill": 9.5}, "b": {"at": [50, 30], "drill": 6.5}}
#: A seed by which the scanner's sensor is as wide as the glass, and sees no walls of edges.
CONTACT = 1
#: Dots to the inch that tell as much of these here, and take half the time of 300.
COARSE = 200
#: Places all over a panel, as parts of its width and height.
ALL_OVER = np.array([(x, y) for x in (0, 0.5, 1) for y in (0, 0.5, 1)])


def _plate(
    hand: Hand = ORDINARY, size: tuple[float, float] = SIZE, bevel: float | None = 0.02
) -> Plate:
    """A panel, its edges broken so wide, mm; None for as wide as by chance."""
    plate = made(size, HOLES, np.random.default_rng(3), hand, 1.5)
    return plate if bevel is None else replace(plate, bevel=bevel)


def _off(seen: SeenPanel, shot: Shot, size: tuple[float, float] = SIZE) -> Points:
    """How far off places of the panel are, mm, by the view that is nearest to the truth."""
    places = ALL_OVER * size
    pixels = shot.truth.view.to_picture(places)
    apart = [np.hypot(*(view.to_panel(pixels) - places).T) for view in seen.views]
    return min(apart, key=lambda each: float(each.max()))


def test_right_on_advised_paper() -> None:
    shot = scan(_plate(bevel=None), 4, finish=BRASS, backing=BLACK_PAPER)
    seen = scan_view(picture_in(shot.data, "scan"), Panel(size=SIZE))
    off = _off(seen, shot)
    assert off[0] <= seen.datum_uncertainty < 0.15
    assert off.max() < 0.15
    assert all(
        far <= seen.view.uncertainty_at(tuple(place))
        for far, place in zip(off, ALL_OVER * SIZE, strict=True)
    )
    assert seen.view.lens is None and seen.view.eye is None
    assert seen.assumed == ()


def _view_near(truth: View, picture: Picture, datum: str = "lower left") -> View:
    """The view by a scan's edges, looked for near where they are, and no further judged."""
    panel = Panel(size=SIZE, datum=datum)
    return fitted(picture, truth, panel, ((1.0, 160), (0.7, 320)), projective=False).view


@pytest.fixture(scope="module")
def askew() -> tuple[Picture, Shot]:
    """A panel that is out of square."""
    shot = scan(_plate(Hand(sides=0.0, square=0.35, size=0.0)), CONTACT, COARSE)
    return picture_in(shot.data, "scan"), shot


@pytest.mark.parametrize("datum", ["lower left", "upper right", "centre"])
def test_the_two_edges_at_the_datum_are_the_axes(askew: tuple[Picture, Shot], datum: str) -> None:
    picture, shot = askew
    view = _view_near(shot.truth.view, picture, datum)
    outline = view.to_panel(shot.truth.view.to_picture(shot.truth.outline))
    width, height = SIZE
    for axis, side, level in (
        (1, "lower", 0),
        (1, "upper", height),
        (0, "left", 0),
        (0, "right", width),
    ):
        along, length = outline[:, 1 - axis], SIZE[1 - axis]
        on = (np.abs(outline[:, axis] - level) < 1) & (np.abs(along - length / 2) < 0.4 * length)
        slope, off = np.polyfit(along[on] - length / 2, outline[on, axis] - level, 1)
        assert abs(off) < 0.08
        if side in datum:
            assert abs(slope * length) < 0.05


def test_a_shadow_is_no_edge() -> None:
    # Thick metal on white paper: beside two edges lie shadows far darker than the paper.
    plate = replace(_plate(STEADY), thickness=3.0)
    shot = scan(plate, 11, finish=painted((0.02, 0.02, 0.02)), backing=WHITE_PAPER)
    try:
        seen = scan_view(picture_in(shot.data, "scan"), Panel(size=SIZE))
    except PanelUnseenError as refused:
        assert "Lay paper behind" in str(refused)
    else:
        assert _off(seen, shot)[0] < 0.2


@pytest.fixture(scope="module")
def plain() -> tuple[Picture, Shot]:
    shot = scan(_plate(), 4, COARSE)
    return picture_in(shot.data, "plain.jpg"), shot


def _refused(picture: Picture, size: tuple[float, float] = SIZE) -> str:
    with pytest.raises(PanelUnseenError) as failure:
        scan_view(picture, Panel(size=size))
    words = str(failure.value)
    assert words.startswith("plain.jpg: ") and words.endswith(".")
    return words


def test_another_size_is_refused(plain: tuple[Picture, Shot]) -> None:
    assert "Measure its width" in (words := _refused(plain[0], (71.0, 44.0))) or "size" in words


def test_a_size_larger_both_ways_is_refused_by_the_dots_to_the_inch() -> None:
    picture = Picture(np.zeros((400, 600, 3), np.uint8), (COARSE, COARSE), "plain.jpg")
    scale = COARSE / INCH
    for share, is_right in ((1.0, True), (1.005, True), (0.972, False), (1.03, False)):
        view = View(np.diag([share * scale, -share * scale, 1.0]))
        if is_right:
            check_shape(view, Panel(size=SIZE), picture, MILLIMETRES)
            continue
        with pytest.raises(PanelUnseenError, match="Measure its width"):
            check_shape(view, Panel(size=SIZE), picture, MILLIMETRES)


def test_a_panel_that_is_cut_off_is_refused(plain: tuple[Picture, Shot]) -> None:
    picture = plain[0]
    _refused(replace(picture, rgb=picture.rgb[:, : int(picture.size[0] * 0.8)]))
    _refused(replace(picture, rgb=picture.rgb[int(picture.size[1] * 0.17) :]))


def test_backing_like_the_panel_is_refused(plain: tuple[Picture, Shot]) -> None:
    flat = np.random.default_rng(1).normal(120, 3, plain[0].rgb.shape)
    _refused(replace(plain[0], rgb=flat.clip(0, 255).astype(np.uint8)))


def test_too_coarse_is_refused() -> None:
    shot = scan(_plate(), 4, dpi=90)
    picture = picture_in(shot.data, "plain.jpg")
    assert "300 dots" in _refused(picture)


def test_a_square_panel_may_lie_four_ways() -> None:
    size = (50.0, 50.0)
    plate = _plate(size=size)
    shot = scan(plate, CONTACT, quarter=3)
    seen = scan_view(picture_in(shot.data, "scan"), Panel(size=size))
    assert len(seen.views) == 4
    assert _off(seen, shot, size).max() < 0.15


def test_two_scans_tell_a_panel_out_of_square() -> None:
    plate = _plate(Hand(sides=0.0, square=0.0, size=0.0))
    sheared = replace(plate, outline=plate.outline + np.outer(plate.outline[:, 1], (0.006, 0.0)))
    views = []
    for quarter in (0, 1):
        shot = scan(sheared, CONTACT, COARSE, quarter=quarter)
        views.append(_view_near(shot.truth.view, picture_in(shot.data, "scan")))
    found = squareness(views)
    assert found is not None
    assert found.panel == pytest.approx(0.006, abs=0.0012)


HEXAGON = [[13, 0], [39, 0], [52, 22.517], [39, 45.033], [13, 45.033], [0, 22.517]]
UNEVEN = [[0, 0], [66, 0], [66, 20], [40, 42], [0, 42]]


def test_by_the_outline() -> None:
    """One that lies one way only; of a hexagon on its target page, see `test_photo`."""
    panel = Panel(outline={"polygon": UNEVEN})
    plate = made(panel.size, HOLES, np.random.default_rng(2), edge=panel.edge)
    plate = replace(plate, bevel=0.02)
    shot = scan(plate, CONTACT, COARSE, painted((0.6, 0.6, 0.5)), turn=97.5)
    seen = scan_view(picture_in(shot.data, "scan"), panel)
    assert not seen.turn_open
    expected = ALL_OVER * panel.size
    pixels = shot.truth.view.to_picture(expected)
    (view,) = seen.views
    assert np.abs(view.to_panel(pixels) - expected).max() < 0.1


def test_a_circle_from_a_drawing_is_round() -> None:
    circle = Panel(outline={"diameter": 52})
    assert is_round(circle) and is_round(Panel(outline={"drawing": circle.edge}))
    assert not is_round(Panel(outline={"polygon": HEXAGON}))
