"""See a panel in a photograph: by its four edges, on its target page or without one."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from legend.camera.panel.edges.bow import bend_of
from legend.camera.panel.eye import eye_over, stretch_and_skew
from legend.camera.panel.fitting import Fit, Look, fitted, projective_map
from legend.camera.panel.judging import other_size, require_sides, seen_by, unseen
from legend.camera.panel.lines.four_sides import FourSides, four_sides
from legend.camera.panel.lines.long_lines import SmallCopy, long_lines, small_copy
from legend.camera.panel.outlines.by_outline import photo_by_outline
from legend.camera.panel.seen import DoubtfulPanelError, PanelUnseenError, SeenPanel
from legend.camera.picture import Picture
from legend.camera.view import USUAL_THICKNESS, Lens, View
from legend.description.tables.panel import Panel
from legend.length_words import MILLIMETRES, Lengths

if TYPE_CHECKING:
    from legend.camera.target.paper_view import PaperView

#: What k1 of a phone's lens is before it is measured, as a standard deviation: cameras straighten
#: their pictures, though not wholly. Common practice, no source.
_USUAL_K1 = 0.05
#: And where the squares of a target page have told it.
_PAGE_K1 = 0.02
#: By its page a panel may be longer one way than it is given by this share, as printers draw, and
#: so many mm besides; and both ways by this, since it may be thicker than most.
_PAGE_SHAPE, _PAGE_OFF, _PAGE_SCALE = 0.006, 0.3, 0.04
#: How far the shape found on the small copy may be off the given one, as a share.
_COARSE = 0.06
#: How far beside where sides are expected they are looked for, mm, and by how many profiles.
_ON_PAGE: tuple[Look, ...] = ((4.5, 80), (1.5, 160), (0.8, 320))
_ROUGHLY: tuple[Look, ...] = ((3.0, 80), (1.5, 80))
_CLOSER: tuple[Look, ...] = ((1.0, 160), (0.8, 320))


def photo_view(
    picture: Picture,
    panel: Panel,
    paper: PaperView | None = None,
    lengths: Lengths = MILLIMETRES,
) -> SeenPanel:
    """How a photograph sees the panel, which lies on its target page or on something else.

    Error: PanelUnseenError, which says what to do instead.
    """
    if panel.outline and not paper:
        raise PanelUnseenError(
            f"{picture.name}: a panel that is no rectangle is measured in a scan, or on its target "
            "page (legend target)."
        )
    if panel.outline and paper:
        return photo_by_outline(picture, panel, paper.view(USUAL_THICKNESS), lengths)
    if paper:
        fit = _on_page(picture, panel, paper)
        _check_by_page(fit, picture, panel, paper, lengths)
    else:
        fit = _alone(picture, panel, lengths)
    view = fit.view
    assert view.lens is not None
    view = replace(view, eye=eye_over(view.onto, view.lens.focal, view.lens.middle))
    return seen_by(replace(fit, view=view), panel, picture, lengths)


def _on_page(picture: Picture, panel: Panel, paper: PaperView) -> Fit:
    """The panel on its target page: about where the page has its outline."""
    # Its sides are looked for in the plane of its front, as far above the page as it is thick.
    start = paper.view(USUAL_THICKNESS)
    assert start.lens is not None
    fit = fitted(picture, start, panel, _ON_PAGE[:1], projective=True)
    return _closer(picture, panel, fit, _ON_PAGE[1:], start.lens.k1, _PAGE_K1)


def _check_by_page(
    fit: Fit, picture: Picture, panel: Panel, paper: PaperView, lengths: Lengths
) -> None:
    """Refuse a panel that by the mm of its page is of another size. Error: PanelUnseenError.

    The thickness of the panel and the printer make it larger or smaller both ways alike, and that
    less than a wrong size does.
    """
    width, height = panel.size
    ends = np.array([(0, height / 2), (width, height / 2), (width / 2, 0), (width / 2, height)])
    left, right, lower, upper = paper.view(USUAL_THICKNESS).to_panel(fit.view.to_picture(ends))
    across, up = float(np.hypot(*(right - left))), float(np.hypot(*(upper - lower)))
    apart = abs(math.log(across / width * height / up))
    scale = abs(math.log(across / width * up / height)) / 2
    if apart > _PAGE_SHAPE + _PAGE_OFF / min(width, height) or scale > _PAGE_SCALE:
        raise DoubtfulPanelError(
            f"{picture.name}: by the squares of its page the panel is about "
            f"{lengths.short(across)} × {lengths.short_said(up)}; "
            f"{other_size(panel, lengths)}"
        )


def _closer(
    picture: Picture,
    panel: Panel,
    fit: Fit,
    looks: tuple[Look, ...],
    k1: float,
    spread: float,
) -> Fit:
    """The fit look by look, the lens bent by the sides each time; k1 is known to `spread`."""
    for look in looks:
        require_sides(fit, picture.name)
        fit = fitted(
            picture, _unbent(fit, k1, spread), panel, (look,), True, ends=look is looks[-1]
        )
    return require_sides(fit, picture.name)


def _alone(picture: Picture, panel: Panel, lengths: Lengths) -> Fit:
    """The panel by its edges alone, wherever it lies in the picture."""
    small = small_copy(picture.rgb)
    found = four_sides(long_lines(small.rgb), (small.rgb.shape[1], small.rgb.shape[0]))
    focal = picture.focal or picture.usual_focal
    width, height = picture.size
    lens = Lens(focal, ((width - 1) / 2, (height - 1) / 2))
    views = [
        (four.support, view) for four in found for view in _views(four, small, panel.size, lens)
    ]
    best: tuple[float, Fit] | None = None
    for support, view in views[:4]:
        fit = fitted(picture, view, panel, _ROUGHLY[:1], projective=True)
        if None in fit.sides:
            continue
        score = min(side.covered for side in fit.sides if side) + support
        if best is None or score > best[0]:
            best = score, fit
    if best is None:
        raise unseen(picture, panel, lengths)
    return _closer(picture, panel, best[1], (*_ROUGHLY[1:], *_CLOSER), 0.0, _USUAL_K1)


def _unbent(fit: Fit, k1: float, spread: float) -> View:
    """The view of a fit with its lens bent as the sides are."""
    view = fit.view
    assert view.lens is not None
    bend = bend_of(fit.before, tuple(side for side in fit.sides if side), k1, spread)
    lens = replace(view.lens, k1=view.lens.k1 + bend.k1)
    # The corners stay where they are seen, whatever the lens.
    corners = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]) * 100
    seen = lens.straightened(view.to_picture(corners))
    return replace(view, onto=projective_map(corners, seen), lens=lens)


def _views(four: FourSides, small: SmallCopy, size: tuple[float, float], lens: Lens) -> list[View]:
    """The ways in which a panel of this size may lie in four corners, upright or on its side."""
    width, height = size
    given = np.array([[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]])
    out = []
    for turn in (0, 1):
        corners = small.in_picture(np.roll(four.corners, -turn, axis=0))
        onto = projective_map(given, corners)
        stretch, skew = stretch_and_skew(onto, lens.focal, lens.middle)
        if abs(math.log(stretch)) < _COARSE and abs(skew) < _COARSE:
            out.append(View(onto, lens))
    return out
