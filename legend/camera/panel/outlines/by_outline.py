"""Judge a panel that was found by its outline, in a scan or on its target page."""

from __future__ import annotations

from dataclasses import replace

from legend.camera.panel.edges.doubt import doubt_in_plane
from legend.camera.panel.judging import MOST_OFF, check_fine, check_shape, unseen
from legend.camera.panel.outlines.outline import OutlineFit, outline_fit
from legend.camera.panel.outlines.outline_start import outline_starts
from legend.camera.panel.seen import DoubtfulPanelError, SeenPanel
from legend.camera.picture import Picture
from legend.camera.view import View
from legend.description.tables.panel import Panel

#: How far beside where the outline is expected it is looked for, mm, round by round.
_REACHES = (3.0, 1.0, 0.8)
#: The least share of the outline that must be seen.
_LEAST_COVERED = 0.7
#: A view turned otherwise is told too if so much of the outline is seen with it, of the best's.
_AS_GOOD = 0.97


def scan_by_outline(picture: Picture, panel: Panel) -> SeenPanel:
    """How a scan sees a panel that is no rectangle. Error: PanelUnseenError."""
    return _judged(picture, panel, outline_starts(picture, panel))


def photo_by_outline(picture: Picture, panel: Panel, start: View) -> SeenPanel:
    """How a photograph sees such a panel that lies about as a view has it, on its target page.

    The perspective stays that of the page. Error: PanelUnseenError.
    """
    return _judged(picture, panel, [start])


def _judged(picture: Picture, panel: Panel, starts: list[View]) -> SeenPanel:
    found = [fit for start in starts if (fit := outline_fit(picture, start, panel, _REACHES))]
    found = [fit for fit in found if fit.covered >= _LEAST_COVERED]
    if not found:
        raise unseen(picture, panel)
    found.sort(key=lambda fit: -fit.covered)
    best = found[0]
    check_fine(best.view, list(best.sides), panel, picture.name)
    check_shape(best.view, panel, picture)
    doubt = doubt_in_plane(best.deviation)
    if doubt > MOST_OFF:
        raise DoubtfulPanelError(
            f"{picture.name}: where the outline of the panel lies is not sure to {MOST_OFF:g} mm. "
            "Lay paper behind that is black under a light panel, or of a strong colour, let light "
            "come from all sides, and scan or photograph it again."
        )
    alike = [fit for fit in found if fit.covered > _AS_GOOD * best.covered]
    round_ = bool(panel.outline and panel.outline.diameter)
    return SeenPanel(
        tuple(replace(fit.view, uncertainty=doubt) for fit in alike),
        turn_open=round_,
        covered=(best.covered,),
        datum_uncertainty=doubt,
        assumed=tuple(_assumed(panel, alike, round_)),
    )


def _assumed(panel: Panel, alike: list[OutlineFit], round_: bool) -> list[str]:
    said = [
        f"The scale is that by which the outline of the panel is {panel.words('{:g}'.format)} mm; "
        "the datum is told by the whole outline."
    ]
    if round_:
        said.append("How the panel is turned is told by its holes alone.")
    elif len(alike) > 1:
        said.append("The outline looks the same turned; which way round it lies, its holes tell.")
    return said
