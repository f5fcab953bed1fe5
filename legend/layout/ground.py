"""What legends are laid on: all that is known of a panel before the first of them stands."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Self

from legend.description.tables.description import Description
from legend.layout.artwork import BareDisc, KeepOut, Opening
from legend.layout.controls.centre_words import with_centres
from legend.layout.edges import outline_of
from legend.layout.fitted_controls import Fitted, fit_controls
from legend.layout.openings import keep_outs, lay_bare_discs, lay_openings
from legend.layout.styles import Stroke, Styles, choose_styles, stroke_on
from legend.length_words import Lengths
from legend.lettering.outlines.outline import Outline


@dataclass(frozen=True, slots=True)
class Twin:
    """What a name or a note owes to the one that it is to match on another panel, mm.

    It is no taller and no wider, and its line, the baseline next to the control, is the same if
    it may stand there.
    """

    tall: float = math.inf
    wide: float = math.inf
    line: float | None = None


#: The twins of names and notes, by the hole of their control and their role.
Twins = Mapping[tuple[str, str], Twin]


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
    twins: Twins

    @property
    def lengths(self) -> Lengths:
        """How lengths are said: in the units of the panel."""
        return Lengths(self.description.units)

    @classmethod
    def of(cls, description: Description, twins: Twins, as_asked: bool) -> Self:
        """The ground of a description; where `as_asked`, no letters may be made smaller to fit.

        Error: FaceError where a face cannot be found or read.
        """
        styles = choose_styles(description)
        if as_asked:
            styles = replace(styles, least_height=math.inf)
        openings = lay_openings(description)
        panel = outline_of(description.panel.edge)
        fitted = tuple(with_centres(fit_controls(description, openings), panel, styles))
        bare_discs = lay_bare_discs(description, openings)
        covers = [each.cover for each in fitted]
        covers += [head for each in fitted for head in each.heads]
        return cls(
            description,
            styles,
            stroke_on(description.stencil),
            panel,
            openings,
            fitted,
            bare_discs,
            keep_outs(openings, covers, bare_discs),
            twins,
        )
