"""Lay out what stands round a turned control: scales and positions, in a ring for each knob.

A concentric control has two knobs on one hole. What stands round the outer one is the inner ring,
hard by its rim, since its pointer is there, next to the panel: it touches its own graduations and
no others. What stands round the inner knob is the ring outside of that; its pointer stands higher
and further in, and is read across the outer knob in any case. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from legend.description.tables.description import Control, InnerKnob, Scale
from legend.layout.artwork import Finding, Mark, Role, Severity
from legend.layout.fitted_controls import Fitted
from legend.layout.names.fanned_words import Fan, fanned_out
from legend.layout.names.fitting import ink_width
from legend.layout.scales.end_legends import Between, ends_levelled
from legend.layout.scales.scale_marks import lay_scale, travel
from legend.layout.scales.tracks import RoundTrack, scale_radius
from legend.layout.styles import Stroke, Styles, gap, name_space
from legend.length_words import Lengths
from legend.lettering.faces.face import LetteringError
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import is_symbol, set_text
from legend.vector import Vector


def lay_round(fitted: Fitted, styles: Styles, stroke: Stroke) -> Iterator[Mark | Finding]:
    """All that stands round a turned control. Errors: DomainError, LetteringError."""
    radius = scale_radius(fitted.cover, fitted.opening)
    for knob in fitted.control.knobs:
        laid = tuple(_lay_ring(fitted, knob, radius, styles, stroke))
        yield from laid
        radius = _beyond(fitted, laid, radius)


def ring_radii(
    fitted: Fitted, styles: Styles, stroke: Stroke
) -> Iterator[tuple[Control | InnerKnob, float]]:
    """How far from the axis the ring of each knob begins, mm, from the part outward.

    Errors: DomainError, LetteringError.
    """
    radius = scale_radius(fitted.cover, fitted.opening)
    *others, last = fitted.control.knobs
    for knob in others:
        yield knob, radius
        radius = _beyond(fitted, tuple(_lay_ring(fitted, knob, radius, styles, stroke)), radius)
    yield last, radius


def _beyond(fitted: Fitted, laid: Sequence[Mark | Finding], radius: float) -> float:
    """Where the next ring begins: the space of a name outside of what was laid, mm."""
    marks = [each for each in laid if isinstance(each, Mark)]
    if not marks:
        return radius
    reach = _reach(fitted.opening.centre, marks)
    return reach + name_space(max(mark.height for mark in marks))


def _reach(centre: Vector, marks: Sequence[Mark]) -> float:
    """How far the ink of marks reaches from the axis, mm."""
    points = shapely.get_coordinates([mark.outline.shape for mark in marks])
    return float(np.hypot(*(points - centre).T).max())


def _lay_ring(
    fitted: Fitted, knob: Control | InnerKnob, radius: float, styles: Styles, stroke: Stroke
) -> Iterator[Mark | Finding]:
    if knob.scale:
        yield from _lay_scale(fitted, knob, knob.scale, radius, styles, stroke)
    if knob.positions:
        yield from _lay_detents(fitted, knob, radius, styles, stroke)


# --- Scales ---


def round_track(fitted: Fitted, scale: Scale, radius: float) -> RoundTrack:
    """The arc on which a scale stands, `radius` mm from the axis. Error: DomainError."""
    return RoundTrack(fitted.opening.centre, radius, *travel(scale))


def _lay_scale(
    fitted: Fitted,
    knob: Control | InnerKnob,
    scale: Scale,
    radius: float,
    styles: Styles,
    stroke: Stroke,
) -> tuple[Mark, ...]:
    track, style = round_track(fitted, scale, radius), styles["numeral"]
    source = knob.source_of("scale")
    laid = lay_scale(scale, track, style, stroke, fitted.control.hole, source)
    return ends_levelled(laid, scale, track, _name_below(fitted, styles))


def _name_below(fitted: Fitted, styles: Styles) -> Between | None:
    """The name below a turned control as near to its part as it may come; None without one."""
    style = styles["name"]
    control = fitted.control
    if control.side != "below" or not control.name.strip() or "\n" in control.name:
        return None
    lowest = fitted.cover.shape.bounds[1]
    try:
        width = ink_width(set_text(control.name, style))
    except LetteringError:  # it is told where names are placed
        return None
    return Between(lowest - gap(style.height) - style.height, width, style.height)


# --- Positions ---


def _lay_detents(
    fitted: Fitted, knob: Control | InnerKnob, radius: float, styles: Styles, stroke: Stroke
) -> Iterator[Mark | Finding]:
    """Positions round a selector, each with a short line that points at it."""
    assert isinstance(knob.positions, tuple)  # the schema sees to it
    names, style = knob.positions, styles["position"]
    detent = knob.step
    sweep = detent * (len(names) - 1)
    start = -sweep / 2 if knob.start is None else knob.start
    track = RoundTrack(fitted.opening.centre, radius, start, sweep or 360.0)
    hole, source = fitted.control.hole, knob.source_of("positions")
    length, width = style.height * 0.6, stroke.width(style.stroke * style.height)
    fractions = [i * detent / track.sweep for i in range(len(names))]
    named = [(f, name) for f, name in zip(fractions, names, strict=True) if name.strip()]
    least = min(styles.least_height, style.height)
    fan = fanned_out(named, track, style, length + gap(style.height), least)
    for fraction, name in zip(fractions, names, strict=True):
        if name:
            tip = track.point(fraction, length + fan.outward)
            line = Outline.line_stroke(track.point(fraction), tip, width)
            yield Mark(line, Role.GRADUATION, hole, source)
    marks = [
        Mark(
            word.ink,
            Role.SYMBOL if is_symbol(name) else Role.POSITION,
            hole,
            source,
            name,
            fan.style.height,
            word.setting,
        )
        for (_, name), word in zip(named, fan.words, strict=True)
    ]
    yield from marks
    yield from _reports(fan, marks, fitted.lengths)


def _reports(fan: Fan, marks: Sequence[Mark], lengths: Lengths) -> Iterator[Finding]:
    """What was done to the words of a selector to fit them round it, and what was not enough."""
    done = fan.done(lengths)
    if fan.crowded:
        one, other = (marks[i] for i in fan.crowded)
        apart = one.outline.shape.distance(other.outline.shape)
        left, bottom, right, top = other.outline.bounds
        said = [mark.text.replace("\n", " ") for mark in (one, other)]
        yield Finding(
            Severity.ERROR,
            "no-room",
            f"The positions {said[0]!r} and {said[1]!r} of {one.owner} have no room beside each "
            f"other, though they were {done}: they stand {lengths.said(apart)} apart.",
            one.source,
            "Shorten them, give the control a larger knob with `covers`, if that is the truth, or "
            "detents further apart.",
            ((left + right) / 2, (bottom + top) / 2),
        )
    elif done:
        yield Finding(
            Severity.NOTE,
            "fitted",
            f"The positions of {marks[0].owner} were {done}, to fit round it.",
            marks[0].source,
        )
