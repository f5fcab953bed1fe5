"""Tell of every hole where it is, what is fitted in it, and how it came out by its design."""

from __future__ import annotations

import math
from collections.abc import Iterator

from legend.description.tables.as_drilled import Drilling
from legend.description.tables.description import Description
from legend.drawing.length_words import hole_in_words
from legend.layout.artwork import Artwork
from legend.length_words import Lengths


def hole_rows(
    artwork: Artwork, lengths: Lengths
) -> Iterator[tuple[str, str, tuple[tuple[str, str], ...], tuple[str, ...], str, str]]:
    """Name, size, both distances from the datum, how far off it is, what is fitted, note.

    Behind each distance stands what is to be set unseen after it.
    """
    fitted = {control.hole: control.kind for control in artwork.description.control}
    fitted |= {screw: f"screw of {part}" for screw, part in artwork.description.fixings.items()}
    drilling = artwork.description.drilling
    places = [opening.hole.at for opening in artwork.openings]
    columns = [lengths.column(place[axis] for place in places) for axis in (0, 1)]
    for opening, *distances in zip(artwork.openings, *columns, strict=True):
        yield (
            opening.id,
            hole_in_words(opening, lengths),
            tuple(distances),
            _off_in_words(opening.id, drilling, lengths) if drilling else (),
            fitted.get(opening.id, ""),
            opening.hole.note,
        )


def _off_in_words(hole: str, drilling: Drilling, lengths: Lengths) -> tuple[str, ...]:
    """How far a hole is off, right and up; nothing for the screws of a pattern."""
    off = drilling.off.get(hole)
    return tuple(map(lengths.signed, off)) if off else ("", "")


def drilling_in_words(description: Description, lengths: Lengths) -> Iterator[str]:
    """How the holes came out by their design, in sentences; none where that was not measured."""
    drilling = description.drilling
    if not drilling or not drilling.off:
        return
    if drilling.measured:
        turn = drilling.measured.turn
        way = "clockwise" if turn > 0 else "anticlockwise"
        yield (
            "They were measured from elsewhere, and laid upon the design by the best fit, turned "
            f"by {abs(turn):.2f}° {way}."
        )
    worst = max(drilling.off, key=lambda id: math.hypot(*drilling.off[id]))
    yield (
        f"From where they were to be, they are off by {lengths.fine(drilling.spread)} "
        f"{lengths.unit} (root mean square), {worst} the furthest, by "
        f"{lengths.fine(math.hypot(*drilling.off[worst]))} {lengths.unit}."
    )
