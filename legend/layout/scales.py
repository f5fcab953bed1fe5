"""Scales: a law, a track and a style in; graduations, numerals and lines as marks out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

import shapely

from legend.description.laws import Law, Tabulated
from legend.description.schema import Control, Scale
from legend.layout.artwork import Mark, Role
from legend.layout.graduations import Graduation, Length, graduate
from legend.layout.numerals import numeral
from legend.layout.tracks import RoundTrack, Track
from legend.lettering.curves import united
from legend.lettering.face import TextStyle
from legend.lettering.outline import Outline
from legend.lettering.typesetting import set_text
from legend.standards import CONTROL_SWEEP, LEAST_MARK_GAP, MARK_GAP

#: Lengths of minor, medium and major graduations, in heights of the numerals.
#: Common practice, no source.
_LENGTHS = {Length.MINOR: 0.5, Length.MEDIUM: 0.75, Length.MAJOR: 1.0}

#: Widths of the same, in strokes of the numerals. Common practice, no source.
_WIDTHS = {Length.MINOR: 0.75, Length.MEDIUM: 0.75, Length.MAJOR: 1.0}

#: Depth of a band, and width of the back of a wedge over its length, in heights of the
#: numerals. Common practice, no source.
_BAND = 0.35
_WEDGE = 0.6

#: Least space between neighbouring numerals, in their heights. Common practice, no source.
_NUMERAL_SPACE = 0.8

#: Least distance from graduation to graduation, so that each can be seen, cut and lifted by
#: itself: in heights of the numerals, but no more than so many mm. Common practice, no source.
_GRADUATION_PITCH = 0.55
_WIDE_ENOUGH = 1.6


@dataclass(frozen=True, slots=True)
class Stroke:
    """How lines are drawn: the least a stock can carry is the floor of every width."""

    least: float

    def width(self, wanted: float) -> float:
        return max(wanted, self.least)


def travel(scale: Scale) -> tuple[float, float]:
    """Where the travel of a scale begins, and its sweep, in degrees clockwise from the top."""
    law = scale.as_law()
    if isinstance(law, Tabulated):
        return law.begin_degrees, law.end_degrees - law.begin_degrees
    sweep = scale.sweep or CONTROL_SWEEP
    return (-sweep / 2 if scale.start is None else scale.start), sweep


def lay_scale(
    control: Control,
    scale: Scale,
    track: Track,
    style: TextStyle,
    stroke: Stroke,
) -> tuple[Mark, ...]:
    """The marks of a scale along its track, the innermost first.

    Graduations stand on the track and point outward; numerals are pushed out until their ink
    clears the graduations by the gap. Error: DomainError.
    """
    law = scale.as_law()
    owner, source = control.hole, control.source_of("scale")
    width = {k: stroke.width(w * style.stroke * style.height) for k, w in _WIDTHS.items()}
    length = {k: v * style.height for k, v in _LENGTHS.items()}
    numeral_out = numeral_distance(style)

    @cache
    def placed(value: float) -> Outline:
        ink = set_text(_words(scale, value), style).outline
        return track.pushed([ink], [law.fraction(value)], numeral_out)[0]

    def fits(a: float, b: float) -> bool:
        space = _NUMERAL_SPACE * style.height
        return bool(shapely.distance(placed(a).shape, placed(b).shape) >= space)

    apart = max(min(_GRADUATION_PITCH * style.height, _WIDE_ENOUGH), 2 * width[Length.MAJOR])
    pitch = apart / track.length
    graduations = graduate(
        law,
        scale.from_,
        scale.to,
        fits,
        pitch,
        major=scale.major,
        step=scale.step,
        closed=track.closed,
    )
    marks = [
        Mark(
            Outline.line_stroke(
                track.point(g.fraction), track.point(g.fraction, length[g.length]), width[g.length]
            ),
            Role.GRADUATION,
            owner,
            source,
        )
        for g in _drawn_once(graduations, track)
        if g.value not in scale.points
    ]
    wedges = _wedges(control, scale, law, track, length[Length.MAJOR])
    marks = [mark for mark in marks if _clear_of(mark, wedges, width[Length.MINOR])] + wedges
    lines = [
        track.line(
            law.fraction(b.from_),
            law.fraction(b.to),
            _BAND * style.height / 2,
            _BAND * style.height,
        )
        for b in scale.band
    ]
    if scale.arc:
        ends = graduations[0].fraction, graduations[-1].fraction
        lines.append(track.line(*ends, width[Length.MINOR] / 2, width[Length.MINOR]))
    if lines:
        marks = _joined(marks, lines)
    for g in _drawn_once(graduations, track):
        if g.numbered:
            words = _words(scale, g.value)
            setting = set_text(words, style)
            marks.append(
                Mark(placed(g.value), Role.NUMERAL, owner, source, words, style.height, setting)
            )
    return tuple(marks)


def numeral_distance(style: TextStyle) -> float:
    """How far off the track the ink of numerals stands: a major graduation, and the gap, mm."""
    gap = max(MARK_GAP * style.height, LEAST_MARK_GAP)
    return _LENGTHS[Length.MAJOR] * style.height + gap


def _words(scale: Scale, value: float) -> str:
    """What stands at a numbered value: its number, or the word for that end."""
    if scale.low.strip() and value == scale.from_:
        return scale.low
    if scale.high.strip() and value == scale.to:
        return scale.high
    return numeral(value, scale.unit)


def _drawn_once(graduations: tuple[Graduation, ...], track: Track) -> tuple[Graduation, ...]:
    """On a full circle the two ends fall together; the beginning stands for both."""
    return graduations[:-1] if track.closed else graduations


def _wedges(control: Control, scale: Scale, law: Law, track: Track, length: float) -> list[Mark]:
    """A wedge at each marked point, its tip on the track and its back outward."""
    marks = []
    for value in scale.points:
        at = law.fraction(value)
        (x0, y0), (x1, y1) = track.point(at), track.point(at, length)
        half = _WEDGE / 2
        dx, dy = (y1 - y0) * half, (x0 - x1) * half
        wedge = Outline.polygon([(x0, y0), (x1 + dx, y1 + dy), (x1 - dx, y1 - dy)])
        marks.append(Mark(wedge, Role.GRADUATION, control.hole, control.source_of("scale")))
    return marks


def _clear_of(mark: Mark, wedges: list[Mark], space: float) -> bool:
    return all(mark.outline.shape.distance(w.outline.shape) > space for w in wedges)


def _joined(marks: list[Mark], lines: list[Outline]) -> list[Mark]:
    """Graduations with the lines and bands along their feet: what touches is one opening."""
    ink = united([*lines, *(mark.outline for mark in marks)]).outline
    return [replace(marks[0], outline=ink)]


def round_track(
    control: Control, scale: Scale, centre: tuple[float, float], radius: float
) -> RoundTrack:
    """The track of a scale round a control, `radius` from its axis."""
    start, sweep = travel(scale)
    return RoundTrack(centre, radius, start, sweep)
