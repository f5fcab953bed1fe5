"""Name the drill by which a hole came about, where its diameter is near that of one."""

from __future__ import annotations

from legend.length_words import Lengths
from legend.standards import (
    CLEARANCE_HOLES,
    DRILL_STEP,
    HOLE_OVER_DRILL,
    INCH,
    LARGEST_DRILL,
    LEAST_FRACTION,
)


def drill_near(diameter: float, uncertainty: float, lengths: Lengths) -> str:
    """The drill that a hole of this diameter was made with, with its unit; "" where none is near.

    A hole is a little wider than its drill. Of several the commoner one is named: of drills in mm a
    whole or half one, or one for clearance of a screw.
    """
    least, most = diameter - HOLE_OVER_DRILL - uncertainty, diameter + uncertainty
    if diameter > LARGEST_DRILL:
        return ""
    if lengths.unit == "in":
        steps = [INCH / LEAST_FRACTION * k for k in range(1, 128)]
        return _nearest(steps, diameter, least, most, lengths)
    common = sorted({*(k / 2 for k in range(2, 65)), *CLEARANCE_HOLES})
    every = [round(DRILL_STEP * k, 1) for k in range(5, 330)]
    return _nearest(common, diameter, least, most, lengths) or _nearest(
        every, diameter, least, most, lengths
    )


def _nearest(
    drills: list[float], diameter: float, least: float, most: float, lengths: Lengths
) -> str:
    near = [drill for drill in drills if least <= drill <= most]
    expected = diameter - HOLE_OVER_DRILL / 3
    best = min(near, key=lambda drill: abs(drill - expected), default=None)
    if best is None or abs(best - expected) > HOLE_OVER_DRILL * 2 / 3 + (most - diameter):
        return ""
    return lengths.given(best)
