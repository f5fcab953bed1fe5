"""Define what comes of measuring a panel in pictures: its holes, what is missing or doubted."""

from __future__ import annotations

from dataclasses import dataclass

from legend.camera.holes.found_hole import FoundHole
from legend.camera.picture import Picture
from legend.camera.view import View
from legend.description.tables.description import Description, Hole
from legend.description.tables.panel import Panel
from legend.length_words import Lengths


@dataclass(frozen=True, slots=True, eq=False)
class MeasuredHole:
    """A hole as measured: its name, what was found, and as it is wanted, if there is a design."""

    id: str
    found: FoundHole
    wanted: Hole | None = None

    @property
    def is_sure(self) -> bool:
        """Whether nothing about it is doubted."""
        return not self.found.doubts


@dataclass(frozen=True, slots=True, eq=False)
class MissingHole:
    """A hole of the design that was not found; `mark` is what is seen in its place, if anything."""

    id: str
    at: tuple[float, float]
    wanted: Hole
    mark: FoundHole | None = None


@dataclass(frozen=True, slots=True, eq=False)
class SeenIn:
    """A picture that was measured in, and how it sees the panel."""

    picture: Picture
    view: View
    kind: str


@dataclass(frozen=True, slots=True, eq=False)
class Measured:
    """What was measured of a panel, in panel coordinates and mm.

    `holes` are those that there are, in the order of the design, or from the top by rows. `extra`
    are places that look like a hole, but are none of the design. `assumed` and `notes` are whole
    sentences: what was taken for granted, and what is to be looked at.
    """

    panel: Panel
    units: str
    holes: tuple[MeasuredHole, ...]
    missing: tuple[MissingHole, ...]
    extra: tuple[FoundHole, ...]
    seen: tuple[SeenIn, ...]
    assumed: tuple[str, ...]
    notes: tuple[str, ...] = ()
    description: Description | None = None

    @property
    def lengths(self) -> Lengths:
        """How lengths are said."""
        return Lengths(self.units)

    @property
    def is_sure(self) -> bool:
        """Whether all holes are there, and none of them is doubted."""
        return not self.missing and not self.notes and all(hole.is_sure for hole in self.holes)
