"""Say the sizes of holes, discs and panels, for drawings and the job card."""

from __future__ import annotations

from legend.description.tables.description import Description
from legend.layout.artwork import BareDisc, Opening
from legend.length_words import Lengths


def hole_in_words(opening: Opening, lengths: Lengths) -> str:
    """The size of a hole, and by how much it is turned: Ø 9.5, or 19.2 × 13, 90°."""
    angle = f", {opening.hole.angle:g}°" if opening.hole.angle else ""
    return opening.hole.shape.words(lengths.exact) + angle


def disc_in_words(disc: BareDisc, lengths: Lengths) -> str:
    """The diameter of a disc that keeps paint off, or both sides of a plug: 12, or 16 × 8."""
    sides = disc.size[:1] if disc.what == "disc" else disc.size
    return " × ".join(map(lengths.exact, sides))


def panel_size(description: Description) -> str:
    """Width and height of the panel, or its diameter, with the unit."""
    lengths = Lengths(description.units)
    return f"{description.panel.words(lengths.exact)} {lengths.unit}"
