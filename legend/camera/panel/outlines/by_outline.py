"""Judge a panel that was found by its outline, in a scan or on its target page."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from legend.camera.panel.edges.doubt import doubt_in_plane
from legend.camera.panel.eye import eye_over
from legend.camera.panel.judging import MOST_OFF, check_fine, check_light, check_shape, unseen
from legend.camera.panel.outlines.outline import OutlineFit, outline_fit
from legend.camera.panel.outlines.outline_start import is_round, outline_starts, turned_alike
from legend.camera.panel.seen import DoubtfulPanelError, SeenPanel
from legend.camera.panel.turning import turned
from legend.camera.picture import Picture
from legend.camera.view import View
from legend.description.tables.panel import Panel
from legend.length_words import Lengths

#: How far beside where the outline is expected it is looked for, mm, round by round.
_ROUGHLY, _CLOSER = (3.0,), (1.0, 0.8)
#: The least share of the outline that must be seen.
_LEAST_COVERED = 0.7
#: A view turned otherwise is told too if so much of the outline is seen with it, of the best's.
_AS_GOOD = 0.97


def scan_by_outline(picture: Picture, panel: Panel, lengths: Lengths) -> SeenPanel:
    """How a scan sees a panel that is no rectangle. Error: PanelUnseenError."""
    return _judged(picture, panel, outline_starts(picture, panel), lengths)


def photo_by_outline(picture: Picture, panel: Panel, start: View, lengths: Lengths) -> SeenPanel:
    """How a photograph sees such a panel that lies about as a view has it, on its target page.

    The perspective stays that of the page. Error: PanelUnseenError.
    """
    return _judged(picture, panel, [start], lengths)


def _judged(picture: Picture, panel: Panel, starts: list[View], lengths: Lengths) -> SeenPanel:
    fits = _fits(picture, panel, starts)
    if not fits:
        raise unseen(picture, panel, lengths)
    best = fits[0]
    check_light(best.view, panel, picture)
    check_fine(best.view, list(best.sides), panel, picture.name, lengths)
    check_shape(best.view, panel, picture, lengths)
    doubt = doubt_in_plane(best.deviation)
    if doubt > MOST_OFF:
        raise DoubtfulPanelError(
            f"{picture.name}: where the outline of the panel lies is not sure to "
            f"{lengths.given(MOST_OFF)}. "
            "Lay paper behind that is black under a light panel, or of a strong colour, let light "
            "come from all sides, and scan or photograph it again."
        )
    views = _as_they_lie([replace(fit.view, uncertainty=doubt) for fit in fits], panel)
    return SeenPanel(
        views,
        turn_open=is_round(panel),
        covered=(best.covered,),
        datum_uncertainty=doubt,
        assumed=tuple(_assumed(panel, len(views))),
    )


def _fits(picture: Picture, panel: Panel, starts: list[View]) -> list[OutlineFit]:
    """The fits from these starts in which most of the outline is seen, the best first."""
    rough = [fit for each in starts if (fit := outline_fit(picture, each, panel, _ROUGHLY))]
    most = max((fit.covered for fit in rough), default=0.0)
    found = [
        fit
        for each in rough
        if each.covered > _AS_GOOD * most
        and (fit := outline_fit(picture, each.view, panel, _CLOSER, ends=True))
        and fit.covered >= _LEAST_COVERED
    ]
    found.sort(key=lambda fit: -fit.covered)
    return [fit for fit in found if fit.covered > _AS_GOOD * found[0].covered]


def _as_they_lie(views: list[View], panel: Panel) -> tuple[View, ...]:
    """The views with all by which the outline looks the same, the one nearest to upright first."""
    if all(view.lens for view in views):
        views = [
            replace(view, eye=eye_over(view.onto, view.lens.focal, view.lens.middle))
            for view in views
            if view.lens
        ]
    if is_round(panel):
        return (views[0],)
    about, turns = turned_alike(panel)
    alike = [turned(view, about, turn) for view in views for turn in turns]

    def off_upright(view: View) -> float:
        here, right = view.to_picture(np.array([about, (about[0] + 1, about[1])]))
        return abs(math.atan2(*(right - here)[::-1]))

    return tuple(sorted(alike, key=off_upright))


def _assumed(panel: Panel, ways: int) -> list[str]:
    if is_round(panel):
        return ["How the panel is turned is told by its holes alone."]
    if ways > 1:
        return ["The outline looks the same turned; which way round it lies, its holes tell."]
    return []
