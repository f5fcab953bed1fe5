"""Check scales: their direction, their dead zone and their steps."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from itertools import pairwise

from legend.description.laws import DomainError
from legend.description.tables.description import Control, InnerKnob, Scale
from legend.layout.artwork import Finding, Role, Severity
from legend.layout.controls.controls import StandingScale, scales_of, shared_by
from legend.layout.fitted_controls import fit_controls
from legend.layout.inspection.scene import TOLERANCE, Scene, check, finding, what
from legend.layout.remedies.offers import Change, Keys, Offer, offer
from legend.layout.remedies.place_offers import scale_keys
from legend.layout.scales.scale_marks import (
    Graduated,
    clear_between,
    graduated,
    stepped_too_finely,
    travel,
)
from legend.layout.scales.steps import is_multiple, is_usual
from legend.layout.scales.tracks import RoundTrack
from legend.layout.styles import gap, stroke_on
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


#: How it is said that a scale runs the wrong way, which it may do rightly.
_IF_IT_DOES = "if the control works the other way, exchange its ends"

Knob = Control | InnerKnob


def _scales(scene: Scene) -> Iterator[tuple[Control, Knob, Scale]]:
    for control in scene.artwork.description.control:
        for knob in control.knobs:
            if knob.scale is not None:
                yield control, knob, knob.scale


def _whose(control: Control, knob: Knob) -> str:
    """The hole of a control, for a sentence about its scale or that of its inner knob."""
    return control.hole if knob is control else f"the inner knob on {control.hole}"


@check
def runs_backwards(scene: Scene) -> Iterator[Finding]:
    """Values rise clockwise, upward, or to the right."""
    for control, knob, scale in _scales(scene):
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
            f"The scale of {_whose(control, knob)} falls from {high:g} to {low:g}{how}.",
            knob.source_of("scale"),
            "See that the degrees of its table are counted clockwise."
            if scale.law == "table"
            else "",
            offers=() if scale.law == "table" else _exchanged(scene, control, knob, scale),
        )


def _exchanged(scene: Scene, control: Control, knob: Knob, scale: Scale) -> tuple[Offer, ...]:
    """The two ends of a scale exchanged."""
    keys = scale_keys(scene.artwork, control, knob)
    ends = {"from": scale.to, "to": scale.from_}
    if not keys or None in ends.values():
        return ()
    changes = tuple(Change((*keys, key), value) for key, value in ends.items())
    return (Offer(_IF_IT_DOES, (changes,), "to exchange its ends does not help"),)


@check
def dead_zone(scene: Scene) -> Iterator[Finding]:
    """The end of a scale keeps off its beginning, unless it goes full circle.

    By as much as a numbered interval: NUREG-0700 rev. 2, 1.6.4-11.
    """
    height = scene.styles["numeral"].height
    for control, standing in _standing(scene, lambda control: control.of_kind.lays == "round"):
        knob, track = standing.knob, standing.track
        assert isinstance(track, RoundTrack)
        free = 360 - abs(track.sweep)
        if free < 1e-9:
            continue
        arc = math.radians(free) * track.radius
        whose, source = _whose(control, knob), knob.source_of("scale")
        if arc < _LEAST_DEAD_ZONE * height:
            yield Finding(
                Severity.WARNING,
                "no-dead-zone",
                f"The two ends of the scale of {whose} stand only {scene.lengths.said(arc)} apart.",
                source,
                "Give the sweep that the control turns through; most turn about 300 degrees.",
                offers=_swept(scene, control, knob, "most controls do"),
            )
        elif free < min(_numbered_interval(scene, standing, control.hole), _USUAL_GAP) - 1e-6:
            yield Finding(
                Severity.NOTE,
                "no-dead-zone",
                f"The two ends of the scale of {whose} stand {free:.0f} degrees apart, less than "
                "its numerals do.",
                source,
                "Number more values, or give a smaller sweep, if the control turns less.",
            )


def _swept(scene: Scene, control: Control, knob: Knob, who: str) -> tuple[Offer, ...]:
    """The sweep of most controls, if it is that of this one."""
    if not (keys := scale_keys(scene.artwork, control, knob)):
        return ()
    how = f"if it turns through {CONTROL_SWEEP:g} degrees, as {who}, say so"
    failed = f"even {CONTROL_SWEEP:g} degrees leave too little between its ends"
    return (offer(how, (*keys, "sweep"), [CONTROL_SWEEP], failed),)


def _standing(
    scene: Scene, such: Callable[[Control], bool]
) -> Iterator[tuple[Control, StandingScale]]:
    """The scales of such controls where they stand; what was not drawn is told elsewhere."""
    description = scene.artwork.description
    stroke = stroke_on(description.stencil)
    if not any(such(control) for control, _, _ in _scales(scene)):
        return
    for fitted in fit_controls(description, scene.artwork.openings):
        if such(fitted.control):
            with suppress(DomainError, LetteringError):
                for standing in scales_of(fitted, scene.styles, stroke):
                    yield fitted.control, standing


def _numbered_interval(scene: Scene, standing: StandingScale, hole: str) -> float:
    """How far apart the numerals of a scale stand, degrees, in the mean; 0 where there are none."""
    source, track = standing.knob.source_of("scale"), standing.track
    assert isinstance(track, RoundTrack)
    count = sum(
        mark.role is Role.NUMERAL and mark.owner == hole and mark.source == source
        for mark in scene.marks
    )
    return abs(track.sweep) / (count - 1) if count > 1 else 0.0


@check
def track_assumed(scene: Scene) -> Iterator[Finding]:
    """How far a track goes is measured, or told."""
    for control, knob, scale in _scales(scene):
        if control.of_kind.lays != "round" or not scale.usual_track:
            continue
        _, track = travel(scale)
        inner = () if knob is control else ("inner",)
        yield Finding(
            Severity.NOTE,
            "track-assumed",
            f"The track of {_whose(control, knob)} is taken to go through {track:g} of the "
            f"{scale.sweep or CONTROL_SWEEP:g} degrees that it turns, as is usual with the taper "
            f"{scale.taper}.",
            knob.source_of("scale"),
            "Measure between which angles its resistance changes, and give the degrees as `track`.",
            settled_by=(
                "control",
                scene.artwork.description.control.index(control),
                *inner,
                "scale",
                "track",
            ),
        )


@check
def shared_numerals(scene: Scene) -> Iterator[Finding]:
    """Where two slides, or the like, share their numerals, they face each other."""
    description = scene.artwork.description
    if not any(scale.shared_with for *_, scale in _scales(scene)):
        return
    stroke = stroke_on(description.stencil)
    for fitted in fit_controls(description, scene.artwork.openings):
        control, scale = fitted.control, fitted.control.scale
        if scale and scale.shared_with and not shared_by(fitted, stroke):
            yield Finding(
                Severity.ERROR,
                "not-shared",
                f"The numerals of {control.hole} cannot stand between it and "
                f"{scale.shared_with}, and stand beside {control.hole} alone.",
                scale.source_of("shared_with"),
                f"Name the {control.kind} next to it, of which the {_opening_of(control.kind)} is "
                "level with its own, and see that their parts leave room between them.",
                fitted.opening.centre,
            )


def _opening_of(kind: str) -> str:
    return "slot" if kind == "slide" else "opening"


# --- Steps ---


@check
def steps(scene: Scene) -> Iterator[Finding]:
    """What was asked for of a scale's graduations can be cut, and is read at a glance."""
    stroke, style = stroke_on(scene.artwork.description.stencil), scene.styles["numeral"]
    asking = {id(control) for control, _, scale in _scales(scene) if _asks(scale)}
    for control, standing in _standing(scene, lambda control: id(control) in asking):
        scale, track = standing.scale, standing.track
        if not _asks(scale):
            continue
        try:
            drawn = graduated(scale, track, style, stroke)
        except (DomainError, LetteringError):  # told where it was not drawn
            continue
        whose = _whose(control, standing.knob)
        if drawn.crowded:
            clear = clear_between(track, *drawn.crowded, style, stroke)
            apart = (clear, stroke.apart)
            told = _too_fine(whose, scale, drawn, scene.lengths, apart)
            keys = scale_keys(scene.artwork, control, standing.knob)
            if keys and stepped_too_finely(scale, drawn.crowded):
                told = replace(
                    told,
                    offers=_stepped(keys, drawn.drawn_by),
                    besides="Or give the scale more room.",
                )
            yield told
        elif scale.step is not None:
            keys = scale_keys(scene.artwork, control, standing.knob)
            yield from _off_step(whose, keys, scale, scale.step)
            yield from _unusual(whose, scale, drawn, scale.step)


@check
def numerals_apart(scene: Scene) -> Iterator[Finding]:
    """Numerals that were asked for do not crowd each other."""
    for control, knob, scale in _scales(scene):
        if not _asks(scale) or scale.numbered == ():
            continue
        source = knob.source_of("scale")
        numerals = [
            mark
            for mark in scene.marks
            if mark.role is Role.NUMERAL and mark.owner == control.hole and mark.source == source
        ]
        for one, other in pairwise(numerals):
            apart = one.outline.shape.distance(other.outline.shape)
            wanted = gap(one.height)
            if 0 < apart < wanted - TOLERANCE:
                stands, wants = scene.lengths.compared(apart, wanted)
                yield finding(
                    Severity.WARNING,
                    "crowded",
                    f"{what(one)} stands {stands} from {what(other)} on its scale; they want "
                    f"{wants}.",
                    other,
                    "Number fewer values, make the numerals smaller, or give the scale more room.",
                )


def _asks(scale: Scale) -> bool:
    """Whether anything was asked for of the graduations of a scale."""
    return any(
        each is not None for each in (scale.step, scale.numbered, scale.numbered_step)
    ) or bool(scale.words and not scale.of_words)


def _too_fine(
    whose: str, scale: Scale, drawn: Graduated, lengths: Lengths, apart: tuple[float, float]
) -> Finding:
    """Graduations that stand nearer than the stock carries: `apart` is both, mm."""
    assert drawn.crowded
    one, other = (f"{each.value:g}" for each in drawn.crowded)
    clear, least = lengths.compared(*apart, 2)
    how = f"would stand {clear} apart" if apart[0] > 0 else "would lie over each other"
    said = f"The graduations of {whose} at {one} and {other} {how}, where the stock carries "
    said += least
    stepped = stepped_too_finely(scale, drawn.crowded)
    if not stepped:
        remedy = "Number fewer values, or give the scale more room."
    elif drawn.drawn_by is None:
        said += f": no step fits its scale, and the step of {scale.step:g} was left aside"
        remedy = "Give the scale more room."
    else:
        said += f": the finest step that fits its scale is {drawn.drawn_by:g}, and it is drawn so"
        said += f" instead of by {scale.step:g}"
        remedy = "Give the scale more room."
    source = scale.source_of("step" if stepped else "numbered")
    return Finding(Severity.ERROR, "too-fine", said + ".", source, remedy)


def _stepped(keys: Keys, finest: float | None) -> tuple[Offer, ...]:
    """The finest step that fits, or none at all."""
    if finest is None:
        how, failed = "have the step chosen", "no step fits"
    else:
        how, failed = "take the finest step that fits", "no step that fits is of any use"
    return (offer(how, (*keys, "step"), [finest], failed),)


def _into_all(keys: Keys, scale: Scale, values: Sequence[float]) -> tuple[Offer, ...]:
    """The greatest usual step, no wider than the one asked for, that goes into these values."""
    assert scale.step is not None
    tens = math.ceil(math.log10(scale.step))
    steps = (round(n * 10.0**power, 9) for power in range(tens, tens - 3, -1) for n in (5, 2, 1))
    able = [s for s in steps if s <= scale.step and all(is_multiple(v, s) for v in values)]
    failed = "no step that goes into them all can be cut"
    how = "take a step that goes into them all"
    return (offer(how, (*keys, "step"), able[:2], failed),) if keys and able else ()


def _off_step(whose: str, keys: Keys, scale: Scale, step: float) -> Iterator[Finding]:
    """What is marked though it is no multiple of the step."""
    asked = [f"{v:g}" for v in scale.numbered or () if not is_multiple(v, step)]
    if asked:
        yield Finding(
            Severity.WARNING,
            "off-step",
            f"The scale of {whose} is to be numbered at {listed(asked)}, to which its step "
            f"of {step:g} does not lead.",
            scale.source_of("numbered"),
            "Number multiples of the step, or give a step that goes into them all.",
            offers=_into_all(keys, scale, (*(scale.numbered or ()), *scale.ends)),
        )
    every = scale.numbered_step
    if every is not None and not is_multiple(every, step):
        yield Finding(
            Severity.WARNING,
            "off-step",
            f"The scale of {whose} is to be numbered every {every:g}, to which its step of "
            f"{step:g} does not lead.",
            scale.source_of("numbered_step"),
            "Number multiples of the step, or give a step that goes into them all.",
            offers=_into_all(keys, scale, (every, *scale.ends)),
        )
    ends = [f"{v:g}" for v in scale.ends if not is_multiple(v, step)]
    if ends:
        both = f"its ends at {listed(ends)} are" if len(ends) > 1 else f"its end at {ends[0]} is"
        yield Finding(
            Severity.NOTE,
            "off-step",
            f"The step of {step:g} does not go into the scale of {whose}, counted from 0; "
            f"{both} marked all the same.",
            scale.source_of("step"),
        )


def _unusual(whose: str, scale: Scale, drawn: Graduated, step: float) -> Iterator[Finding]:
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
            f"The scale of {whose} {' and '.join(what)}. It is read soonest in steps of 1, "
            f"2 or 5, or of ten times as much or as little, with at most {MOST_BETWEEN_NUMBERED} "
            "graduations between two numbers.",
            scale.source,
        )
