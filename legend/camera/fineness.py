"""Say how finely a picture shows a panel: in pixels to the mm, or to the inch."""

from __future__ import annotations

from legend.length_words import Lengths
from legend.standards import INCH

#: Pixels to the mm with which what is promised of the measuring holds.
FINE_ENOUGH = 7.5


def pixels_to(fineness: float, lengths: Lengths) -> str:
    """So many pixels to the mm, or to the inch."""
    if lengths.unit == "in":
        return f"{fineness * INCH:.0f} pixels to the inch"
    return f"{fineness:.1f} pixels to the mm"


def coarse(fineness: float, lengths: Lengths) -> tuple[str, ...]:
    """What is told of a picture that is less fine than is wanted."""
    if fineness >= FINE_ENOUGH:
        return ()
    return (
        f"The picture has {pixels_to(fineness, lengths)}; with less than "
        f"{pixels_to(FINE_ENOUGH, lengths)} it is measured less finely.",
    )
