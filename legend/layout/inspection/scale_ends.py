"""Check scales: their direction, their dead zone and their steps."""

from __future__ import annotations

import math
from collections.abc import Iterator

from legend.description.laws import DomainError
from legend.description.tables.description import Control, Scale
from legend.layout.artwork import Finding, Role, Severity
from legend.layout.controls import scale_track, shared_by
from legend.layout.fitted_controls import fit_controls
from legend.layout.inspection.scene import Scene, check
from legend.layout.openings import cover_of
from legend.layout.scales.scale_marks import (
    Graduated,
    clear_between,
    graduated,
    stepped_too_finely,
    travel,
)
from legend.layout.scales.steps import is_multiple, is_usual
from legend.layout.scales.tracks import scale_radius
from legend.layout.styles import stroke_on
from legend.length_words import Lengths
from legend.lettering.faces.face import LetteringError
from legend.sentences import listed
from legend.standards import CONTROL_SWEEP, MOST_BETWEEN_NUMBERED

#: The least dead zone of a turned control, as an arc in heights of its numerals.
#: Common practice, no source.
_LEAST_DEAD_ZONE = 2.0

#: The gap that a usual control leaves, degrees: nobody takes its ends for each other, however
#: few values are numbered. Common practice, no source.
_USUAL_GAP = 360 - CONTROL_SWEEP


def _scales(scene: Scene) -> Iterator[tuple[Control, Scale]]:
    for control in scene.artwork.description.control:
        if control.scale is not None:
            yield control, control.scale


@check
def runs_backwards(scene: Scene) -> Iterator[Finding]:
    """Values rise clockwise, upward, or to the right."""
    for control, scale in _scales(scene):
        begin, end = scale.ends
        turned = control.of_kind.lays == "round"
        anticlockwise = turned and travel(scale)[1] < 0
        if (end > begin) != anticlockwise:
            continue
        low, high = sorted(scale.ends)
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
    for control, scale in _scales(scene):
        if control.of_kind.lays != "round":
            continue
        free = 360 - abs(travel(scale)[1])
        if free < 1e-9:
            continue
        height = scene.styles["numeral"].height
        opening = openings[control.hole]
        screws = [openings[hole] for hole in control.fixing_holes]
        arc = math.radians(free) * scale_radius(cover_of(control, opening, screws), opening)
        if arc < _LEAST_DEAD_ZONE * height:
            yield Finding(
                Severity.WARNING,
                "no-dead-zone",
                f"The two ends of the scale of {control.hole} stand only "
                f"{scene.lengths.said(arc)} apart.",
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


@check
def track_assumed(scene: Scene) -> Iterator[Finding]:
    """How far a track goes is measured, or told."""
    for control, scale in _scales(scene):
        if control.of_kind.lays != "round" or not scale.usual_track:
            continue
        _, track = travel(scale)
        yield Finding(
            Severity.NOTE,
            "track-assumed",
            f"The track of {control.hole} is taken to go through {track:g} of the "
            f"{scale.sweep or CONTROL_SWEEP:g} degrees that it turns, as is usual with the taper "
            f"{scale.taper}.",
            control.source_of("scale"),
            "Measure between which angles its resistance changes, and give the degrees as `track`.",
        )


@check
def shared_numerals(scene: Scene) -> Iterator[Finding]:
    """Where two slides share their numerals, they face each other."""
    description = scene.artwork.description
    if not any(scale.shared_with for _, scale in _scales(scene)):
        return
    for fitted in fit_controls(description, scene.artwork.openings):
        control, scale = fitted.control, fitted.control.scale
        if scale and scale.shared_with and not shared_by(fitted):
            yield Finding(
                Severity.ERROR,
                "not-shared",
                f"The numerals of {control.hole} cannot stand between it and "
                f"{scale.shared_with}, and stand beside {control.hole} alone.",
                scale.source_of("shared_with"),
                "Name the slide next to it, of which the slot is level with its own, and see that "
                "their parts leave room between them.",
                fitted.opening.centre,
            )


# --- Steps ---


@check
def steps(scene: Scene) -> Iterator[Finding]:
    """What was asked for of a scale's graduations can be cut, and is read at a glance."""
    description = scene.artwork.description
    stroke, style = stroke_on(description.stencil), scene.styles["numeral"]
    asked = [c.hole for c, s in _scales(scene) if s.step is not None or s.numbered is not None]
    for fitted in fit_controls(description, scene.artwork.openings) if asked else ():
        scale = fitted.control.scale
        if scale is None or fitted.control.hole not in asked:
            continue
        track = scale_track(fitted, scale, stroke)
        try:
            drawn = graduated(scale, track, style, stroke)
        except (DomainError, LetteringError):  # told where it was not drawn
            continue
        if drawn.crowded:
            clear = clear_between(track, *drawn.crowded, style, stroke)
            yield _too_fine(fitted.control, scale, drawn, scene.lengths, (clear, stroke.apart))
        elif scale.step is not None:
            yield from _off_step(fitted.control, scale, scale.step)
            yield from _unusual(fitted.control, drawn, scale.step)


def _too_fine(
    control: Control, scale: Scale, drawn: Graduated, lengths: Lengths, apart: tuple[float, float]
) -> Finding:
    """Graduations that stand nearer than the stock carries: `apart` is both, mm."""
    assert drawn.crowded
    one, other = (f"{each.value:g}" for each in drawn.crowded)
    clear, least = lengths.compared(*apart, 2)
    how = f"would stand {clear} apart" if apart[0] > 0 else "would lie over each other"
    said = f"The graduations of {control.hole} at {one} and {other} {how}, where the stock carries "
    said += least
    stepped = stepped_too_finely(scale, drawn.crowded)
    if not stepped:
        remedy = "Number fewer values, or give the scale more room."
    elif drawn.drawn_by is None:
        said += f": no step fits its scale, and the step of {scale.step:g} was left aside"
        remedy = "Leave step out, or give the scale more room."
    else:
        said += f": the finest step that fits its scale is {drawn.drawn_by:g}, and it is drawn so"
        said += f" instead of by {scale.step:g}"
        remedy = f"Write step = {drawn.drawn_by:g}, or give the scale more room."
    source = scale.source_of("step" if stepped else "numbered")
    return Finding(Severity.ERROR, "too-fine", said + ".", source, remedy)


def _off_step(control: Control, scale: Scale, step: float) -> Iterator[Finding]:
    """What is marked though it is no multiple of the step."""
    asked = [f"{v:g}" for v in scale.numbered or () if not is_multiple(v, step)]
    if asked:
        yield Finding(
            Severity.WARNING,
            "off-step",
            f"The scale of {control.hole} is to be numbered at {listed(asked)}, to which its step "
            f"of {step:g} does not lead.",
            scale.source_of("numbered"),
            "Number multiples of the step, or give a step that goes into them all.",
        )
    ends = [f"{v:g}" for v in scale.ends if not is_multiple(v, step)]
    if ends:
        both = f"its ends at {listed(ends)} are" if len(ends) > 1 else f"its end at {ends[0]} is"
        yield Finding(
            Severity.NOTE,
            "off-step",
            f"The step of {step:g} does not go into the scale of {control.hole}, counted from 0; "
            f"{both} marked all the same.",
            scale.source_of("step"),
        )


def _unusual(control: Control, drawn: Graduated, step: float) -> Iterator[Finding]:
    """What was asked for, and is read less well than the handbook would have it."""
    between, most = 0, 0
    for each in drawn.graduations:
        between = 0 if each.numbered else between + 1
        most = max(most, between)
    what = []
    if not is_usual(step):
        what.append(f"goes in steps of {step:g}")
    if most > MOST_BETWEEN_NUMBERED:
        what.append(f"has {most} graduations between two numbers")
    if what:
        yield Finding(
            Severity.NOTE,
            "steps-unusual",
            f"The scale of {control.hole} {' and '.join(what)}. It is read soonest in steps of 1, "
            f"2 or 5, or of ten times as much or as little, with at most {MOST_BETWEEN_NUMBERED} "
            "graduations between two numbers.",
            control.source_of("scale"),
        )
