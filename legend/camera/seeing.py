"""See the panel in a picture: in a scan, or in a photograph with a target page or without."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from legend.camera.panel.photo import photo_view
from legend.camera.panel.scan import scan_view
from legend.camera.panel.seen import DoubtfulPanelError, PanelUnseenError, SeenPanel
from legend.camera.picture import Picture, mirrored
from legend.camera.target.paper_view import shows_page, view_from_target
from legend.camera.target.target_page import target_page
from legend.description.tables.panel import Panel
from legend.length_words import Lengths


class Kind(StrEnum):
    """What a picture is, in words."""

    SCAN = "scan"
    ON_PAGE = "photograph on the target page"
    ALONE = "photograph without a target page"


@dataclass(frozen=True, slots=True, eq=False)
class Sight:
    """How a picture sees a panel, and what kind of picture it is."""

    kind: Kind
    panel: SeenPanel


def seen_in(picture: Picture, panel: Panel, lengths: Lengths) -> Sight:
    """How a picture sees a panel; lengths are said as given.

    Errors: PanelUnseenError, UnfitPhotographError.

    A scanner says its dots to the inch, and the panel is as large by them as it is; a camera may
    say some number too, by which it is not.
    """
    if picture.dpi and not picture.focal:
        try:
            return Sight(Kind.SCAN, scan_view(picture, panel, lengths))
        except DoubtfulPanelError:
            raise  # as a photograph it would be no surer, only less strictly judged
        except PanelUnseenError:
            pass
    paper = view_from_target(picture, target_page(*panel.size), lengths)
    if paper:
        seen = photo_view(picture, panel, paper, lengths)
        return Sight(Kind.ON_PAGE, replace(seen, assumed=(*seen.assumed, *paper.assumed)))
    if shows_page(mirrored(picture), target_page(*panel.size)):
        raise PanelUnseenError(
            f"{picture.name} is mirrored, as cameras that face their user write it. Use the main "
            "camera, and no mirrored copy."
        )
    return Sight(Kind.ALONE, photo_view(picture, panel, lengths=lengths))
