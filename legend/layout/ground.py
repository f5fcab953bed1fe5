"""What legends are laid on: all that is known of a panel before the first of them stands."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Self

from legend.description.tables.description import Description
from legend.layout.artwork import BareDisc, KeepOut, Opening
from legend.layout.edges import outline_of
from legend.layout.fitted_controls import Fitted, fit_controls
from legend.layout.openings import keep_outs, lay_bare_discs, lay_openings
from legend.layout.styles import Stroke, Styles, choose_styles, stroke_on
from legend.lettering.outlines.outline import Outline


#: How tall and how wide the name or the note of a control may be, by its hole and its role, where
#: those of another panel are no larger, mm.
Most = Mapping[tuple[str, str], tuple[float, float]]


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """A panel with its holes and what is fitted in them, and how its legends are set.

    Every step of laying out works on it: see `legend.layout`.
    """

    description: Description
    styles: Styles
    stroke: Stroke
    panel: Outline
    openings: tuple[Opening, ...]
    fitted: tuple[Fitted, ...]
    bare_discs: tuple[BareDisc, ...]
    covers: tuple[KeepOut, ...]
    most: Most

    @classmethod
    def of(cls, description: Description, most: Most, as_asked: bool) -> Self:
        """The ground of a description; where `as_asked`, no letters may be made smaller to fit.

        Error: FaceError where a face cannot be found or read.
        """
        styles = choose_styles(description)
        if as_asked:
            styles = replace(styles, least_height=math.inf)
        openings = lay_openings(description)
        fitted = tuple(fit_controls(description, openings))
        bare_discs = lay_bare_discs(description, openings)
        return cls(
            description,
            styles,
            stroke_on(description.stencil),
            outline_of(description.panel.edge),
            openings,
            fitted,
            bare_discs,
            keep_outs(openings, [each.cover for each in fitted], bare_discs),
            most,
        )
