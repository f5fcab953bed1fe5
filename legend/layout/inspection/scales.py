"""Checks of scales: do they run the right way, and does their end keep off their beginning."""

from __future__ import annotations

import math
from collections.abc import Iterator

from legend.layout.artwork import Finding, Role, Severity
from legend.layout.controls import scale_radius
from legend.layout.inspection.scene import Scene, check
from legend.layout.openings import cover_of
from legend.layout.scales import travel
from legend.standards import CONTROL_SWEEP

#: The least dead zone of a turned control, as an arc in heights of its numerals.
#: Common practice, no source.
_LEAST_DEAD_ZONE = 2.0

#: The gap that a usual control leaves, degrees: nobody takes its ends for each other, however
#: few values are numbered. Common practice, no source.
_USUAL_GAP = 360 - CONTROL_SWEEP


@check
def runs_backwards(scene: Scene) -> Iterator[Finding]:
    """Values rise clockwise, upward, or to the right."""
    for control in scene.artwork.description.control:
        scale = control.scale
        if scale is None:
            continue
        turned = control.of_kind.lays == "round"
        anticlockwise = turned and travel(scale)[1] < 0
        if (scale.to > scale.from_) != anticlockwise:
            continue
        low, high = sorted((scale.from_, scale.to))
        how = " as the control is turned clockwise" if turned else ""
        yield Finding(
            Severity.WARNING,
            "scale-backwards",
            f"The scale of {control.hole} falls from {high:g} to {low:g}{how}.",
            control.source_of("scale"),
            "See that the degrees of its table are counted clockwise."
            if scale.law == "table"
            else "Exchange `from` and `to`, if the control works that way.",
        )


@check
def dead_zone(scene: Scene) -> Iterator[Finding]:
    """The end of a scale keeps off its beginning, unless it goes full circle.

    By as much as a numbered interval: NUREG-0700 rev. 2, 1.6.4-11.
    """
    openings = {opening.id: opening for opening in scene.artwork.openings}
    for control in scene.artwork.description.control:
        scale = control.scale
        if scale is None or control.of_kind.lays != "round":
            continue
        free = 360 - abs(travel(scale)[1])
        if free < 1e-9:
            continue
        height = scene.styles["numeral"].height
        opening = openings[control.hole]
        arc = math.radians(free) * scale_radius(cover_of(control, opening), opening)
        if arc < _LEAST_DEAD_ZONE * height:
            yield Finding(
                Severity.WARNING,
                "no-dead-zone",
                f"The two ends of the scale of {control.hole} stand only {arc:.1f} mm apart.",
                control.source_of("scale"),
                "Give the sweep that the control turns through; most turn about 300 degrees.",
            )
        elif free < min(_numbered_interval(scene, control.hole, 360 - free), _USUAL_GAP) - 1e-6:
            yield Finding(
                Severity.NOTE,
                "no-dead-zone",
                f"The two ends of the scale of {control.hole} stand {free:.0f} degrees apart, less "
                "than its numerals do.",
                control.source_of("scale"),
                "Number more values, or put words at the ends, `low` and `high`; or give a smaller "
                "sweep, if the control turns less.",
            )


def _numbered_interval(scene: Scene, hole: str, sweep: float) -> float:
    """How far apart the numerals of a scale stand, degrees, in the mean; 0 where there are none."""
    count = sum(mark.role is Role.NUMERAL and mark.owner == hole for mark in scene.marks)
    return sweep / (count - 1) if count > 1 else 0.0
