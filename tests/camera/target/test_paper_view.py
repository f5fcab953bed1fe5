"""Photographs of printed target pages: the view of the paper is right, or they are refused."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

import numpy as np
import pytest
from PIL import Image
from target_photographs import Laid, Taken, laid, photograph

from legend.camera.fineness import coarse
from legend.camera.picture import Picture
from legend.camera.target.paper_view import PaperView, UnfitPhotographError, view_from_target
from legend.camera.target.target_page import TargetPage, target_page
from legend.length_words import MILLIMETRES

_PAGE = target_page(60, 40)
_FOCAL = 640.0


def _taken(**more: Any) -> Taken:
    """A camera that sees the page with some six pixels to the mm."""
    return Taken((800, 640), _FOCAL, **more)


_ABOVE = _taken()


@cache
def _paper() -> Laid:
    return laid(_PAGE)


def _spots(page: TargetPage) -> np.ndarray:
    width, height = page.panel
    return np.array([(x, y) for x in (0, width / 2, width) for y in (0, height / 2, height)])


def _off(view: PaperView, camera: Taken, height: float = 0.0) -> float:
    """How far the view is off at the worst place of the panel, mm, so high above the paper."""
    spots = _spots(view.page)
    seen = view.view(height).to_panel(camera.seen(spots, height))
    return float(np.hypot(*(seen - spots).T).max())


def _view(camera: Taken, focal: float | None = _FOCAL) -> PaperView:
    view = view_from_target(photograph(_paper(), camera, focal=focal), _PAGE)
    assert view is not None
    return view


def _from(x: float, y: float, z: float, **more: float) -> Taken:
    return _taken(eye=(x, y, z), **more)


@pytest.mark.parametrize(
    "camera",
    [
        _ABOVE,
        _from(45, 5, 95, roll=180),
        _from(20, 30, 100, roll=25, k1=-0.12, k2=0.03),
    ],
    ids=["above", "upside down", "turned and distorted"],
)
def test_the_view_is_right(camera: Taken) -> None:
    view = _view(camera)
    assert view.coverage > 0.9
    assert view.off < 0.1
    assert _off(view, camera) < 0.02
    assert _off(view, camera, 2.0) < 0.03
    eye = view.view().eye
    assert eye is not None and np.abs(np.subtract(eye, camera.eye)).max() < 1.5
    assert view.blur == pytest.approx(0.1, abs=0.04)


def test_tilted_the_focal_length_is_told_by_the_page() -> None:
    camera = _from(85, -25, 85)
    view = _view(camera, focal=None)
    lens = view.view().lens
    assert lens is not None and lens.focal == pytest.approx(_FOCAL, rel=0.03)
    assert _off(view, camera, 2.0) < 0.05
    assert any("from the perspective" in said for said in view.assumed)


def test_square_on_the_focal_length_is_assumed_and_told() -> None:
    view = _view(_ABOVE, focal=None)
    assert any("taken to be that of a phone" in said for said in view.assumed)
    assert _off(view, _ABOVE) < 0.02
    # What lies above the paper is placed as well as the uncertainty says.
    assert _off(view, _ABOVE, 2.0) < view.view(2.0).uncertainty
    assert view.view(2.0).uncertainty > 3 * view.view().uncertainty


def test_partly_covered() -> None:
    camera = _taken(covered=((-30, 20, -4, 70), (35, -30, 60, -8)))
    view = _view(camera)
    assert 0.5 < view.coverage < 0.85
    assert _off(view, camera) < 0.02


def test_turned_by_the_camera(tmp_path) -> None:  # type: ignore[no-untyped-def]
    from legend.camera.picture import read_picture

    camera = _from(45, 5, 95)
    exif = Image.Exif()
    exif[0x0112] = 3
    exif.get_ifd(0x8769)[0xA405] = 27  # 639 px
    stored = Image.fromarray(photograph(_paper(), camera).rgb[::-1, ::-1])
    stored.save(tmp_path / "photo.jpg", quality=92, exif=exif)
    view = view_from_target(read_picture(tmp_path / "photo.jpg"), _PAGE)
    assert view is not None
    assert _off(view, camera) < 0.02
    assert any("that the camera says" in said for said in view.assumed)


def test_sheets_that_were_taped_by_eye() -> None:
    page = target_page(150, 70)
    paper = laid(page, (140.0, 240.0), {1: (0.4, -0.3, 0.002)})
    camera = Taken((1280, 800), 960, (80, 30, 160), (75, 35))
    view = view_from_target(photograph(paper, camera, focal=960), page)
    assert view is not None
    off = view.fit.lying.off
    assert len(off) >= 1
    assert _off(view, camera) < 0.1
    assert np.abs(off[:, :2]).max() > 0.3
    assert view.coverage > 0.8


def _told(picture: Picture, page: TargetPage = _PAGE) -> str:
    with pytest.raises(UnfitPhotographError) as failure:
        view_from_target(picture, page)
    assert str(failure.value).startswith("photo.jpg: ")
    return str(failure.value)


def test_what_is_refused_and_why() -> None:
    missing = _taken(covered=((-40, -40, -8, 90),))
    assert re.search("the left side of the target page is hardly seen", _told(_photo(missing)))
    few = _taken(covered=((-40, -40, 0, 90), (60, -40, 130, 90)))
    assert re.search("left and right sides of the target page are", _told(_photo(few)))
    assert re.search("blurred|sharp", _told(_photo(_taken(blur=3.4))))
    assert "of another size" in _told(_photo(_ABOVE), target_page(90, 30))


def _photo(camera: Taken) -> Picture:
    return photograph(_paper(), camera, focal=_FOCAL)


def test_far_off_is_told_and_then_refused() -> None:
    near = Taken((750, 600), 600)
    view = view_from_target(photograph(_paper(), near, focal=600), _PAGE)
    assert view is not None and 5.5 < view.pixels_per_mm < 6.5
    assert any("pixels to the mm" in said for said in coarse(view.pixels_per_mm, MILLIMETRES))
    assert _off(view, near) < 0.03
    far = Taken((800, 600), 800, (30, 20, 290), blur=0.3)
    with pytest.raises(UnfitPhotographError, match=r"from nearer|hardly seen"):
        view_from_target(photograph(_paper(), far, focal=800), _PAGE)


def test_a_picture_without_a_page() -> None:
    noise = np.random.default_rng(2).integers(0, 255, (600, 800, 3), np.uint8)
    assert view_from_target(Picture(noise, None, "photo.jpg"), _PAGE) is None


@cache
def _whole() -> Picture:
    return photograph(_paper(), _ABOVE)


@pytest.mark.parametrize("lost", (96, 109, 122, 141))
def test_a_side_that_is_cut_off_is_seen_as_far_as_it_goes_or_refused(lost: int) -> None:
    whole = _whole()
    picture = Picture(np.ascontiguousarray(whole.rgb[:, lost:]), None, "cut")
    try:
        view = view_from_target(picture, _PAGE)
    except UnfitPhotographError as refusal:
        assert "squares" in str(refusal)
    else:
        assert view is None or view.coverage < 1
