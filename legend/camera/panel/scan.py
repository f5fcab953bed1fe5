"""See a panel in a scan: face down on the glass, by its edges and its given size.

The scanner looks at the front itself, from below the glass, and gives what it sees as one would
see the front lying face up: a scan is not mirrored.
"""

from __future__ import annotations

import numpy as np

from legend.camera.panel.fitting import Fit, fitted
from legend.camera.panel.judging import seen_by, unseen
from legend.camera.panel.lines.four_sides import FourSides, four_sides
from legend.camera.panel.lines.long_lines import SmallCopy, long_lines, small_copy
from legend.camera.panel.outlines.by_outline import scan_by_outline
from legend.camera.panel.seen import SeenPanel
from legend.camera.picture import Picture
from legend.camera.view import Points, View
from legend.description.tables.panel import Panel
from legend.length_words import MILLIMETRES, Lengths
from legend.standards import INCH

#: Opposite sides of a panel in a scan are parallel to this, degrees.
_PARALLEL = 1.5
#: How far the shape found on the small copy may be off the given one, as a share.
_COARSE = 0.03
#: How far beside where sides are expected they are looked for, mm, and by how many profiles.
_FIRST = ((2.5, 80),)
_CLOSER = ((1.0, 160), (0.7, 320))


def scan_view(picture: Picture, panel: Panel, lengths: Lengths = MILLIMETRES) -> SeenPanel:
    """How a scan sees the panel; lengths are said as given.

    Error: PanelUnseenError, which says what to do instead.
    """
    if panel.outline:
        return scan_by_outline(picture, panel, lengths)
    small = small_copy(picture.rgb)
    found = four_sides(long_lines(small.rgb), (small.rgb.shape[1], small.rgb.shape[0]), _PARALLEL)
    width, height = panel.size
    views: list[tuple[float, View]] = []
    for four in found:
        for view in _views(four, small, panel.size):
            across = view.pixels_per_mm((width / 2, height / 2))
            if picture.dpi and abs(across / (picture.dpi[0] / INCH) - 1) > _COARSE:
                continue
            views.append((four.support, view))
        if len(views) >= 16:
            break
    if not views:
        raise unseen(picture, panel, lengths)
    best: tuple[float, Fit] | None = None
    for support, view in views[:4]:
        fit = fitted(picture, view, panel, _FIRST, projective=False)
        if None in fit.sides:
            continue
        score = min(side.covered for side in fit.sides if side) + support
        if best is None or score > best[0]:
            best = score, fit
    if best is None:
        raise unseen(picture, panel, lengths)
    fit = fitted(picture, best[1].view, panel, _CLOSER, projective=False, ends=True)
    return seen_by(fit, panel, picture, lengths)


def _views(four: FourSides, small: SmallCopy, size: tuple[float, float]) -> list[View]:
    """The ways in which a panel of this size may lie in four corners, upright or on its side."""
    width, height = size
    level, upright = four.lengths
    given = np.array([[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]])
    out = []
    for turn, (across, up) in ((0, (level, upright)), (1, (upright, level))):
        if abs(across / up * height / width - 1) > _COARSE + 6 / min(across, up):
            continue
        corners = small.in_picture(np.roll(four.corners, -turn, axis=0))
        out.append(View(_affine(given, corners)))
    return out


def _affine(given: Points, seen: Points) -> Points:
    """The affine map that takes corners nearest to where they are seen."""
    design = np.column_stack([given, np.ones(len(given))])
    matrix = np.linalg.lstsq(design, seen, rcond=None)[0].T
    return np.vstack([matrix, [0.0, 0.0, 1.0]])
