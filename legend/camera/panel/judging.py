"""Judge what was found of a panel: take it, with what may be off, or refuse it."""

from __future__ import annotations

from dataclasses import replace

from legend.camera.panel.doubt import doubt_anywhere, doubt_of_datum
from legend.camera.panel.fitting import Fit
from legend.camera.panel.seen import SeenPanel
from legend.camera.panel.turning import turned_by_half
from legend.description.tables.panel import Panel


def seen_by(fit: Fit, panel: Panel) -> SeenPanel:
    """The panel as a fit has it. Error: PanelUnseenError, where that is not sure enough."""
    sides = [side for side in fit.sides if side]
    view = replace(fit.view, uncertainty=doubt_anywhere(sides))
    covered = tuple(side.covered for side in sides)
    return SeenPanel(
        (view, turned_by_half(view, panel.size)),
        covered=covered,
        datum_uncertainty=doubt_of_datum(sides, panel.datum),
    )
