"""Scales: a law, a track and a style in; graduations, numerals and lines as marks out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cache

import shapely

from legend.description.laws import Law, Tabulated
from legend.description.schema import Control, Scale
from legend.layout.artwork import Mark, Role
from legend.layout.graduations import Graduation, Length, graduate
from legend.layout.numerals import numeral
from legend.layout.styles import Stroke, gap
from legend.layout.tracks import Track
from legend.lettering.curves import united
from legend.lettering.face import TextStyle
from legend.lettering.outline import Outline
from legend.lettering.typesetting import set_text
from legend.standards import CONTROL_SWEEP

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


def travel(scale: Scale, usual: float = CONTROL_SWEEP) -> tuple[float, float]:
    """Where the travel of a scale begins, and its sweep, in degrees clockwise from the top.

    `usual` is the sweep of a scale that says nothing of it.
    """
    law = scale.as_law()
    if isinstance(law, Tabulated):
        return law.begin_degrees, law.end_degrees - law.begin_degrees
    sweep = scale.sweep or usual
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
    width = {k: stroke.width(w * style.stroke * style.height) for k, w in _WIDTHS.items()}
    length = {k: v * style.height for k, v in _LENGTHS.items()}
    numeral_at = _numerals(scale, law, track, style)
    graduations = _graduated(scale, law, track, style, 2 * width[Length.MAJOR], numeral_at)
    drawn = _drawn_once(graduations, track)
    owner, source = control.hole, control.source_of("scale")
    wedges = [_wedge(track, law.fraction(v), length[Length.MAJOR]) for v in scale.points]
    upright = [
        line
        for line in (_line(track, g, length, width) for g in drawn if g.value not in scale.points)
        if _clear_of(line, wedges, width[Length.MINOR])
    ]
    ends = graduations[0].fraction, graduations[-1].fraction
    along = _along(scale, law, track, style, ends, width[Length.MINOR])
    lines, flattened = [*upright, *wedges], False
    if along:  # what touches is one opening
        outline, flattened = united([*along, *lines])
        lines = [outline]
    return (
        *(Mark(line, Role.GRADUATION, owner, source, flattened=flattened) for line in lines),
        *(
            Mark(
                numeral_at(g.value),
                Role.NUMERAL,
                owner,
                source,
                _words(scale, g.value),
                style.height,
                set_text(_words(scale, g.value), style),
            )
            for g in drawn
            if g.numbered
        ),
    )


def _numerals(scale: Scale, law: Law, track: Track, style: TextStyle) -> Callable[[float], Outline]:
    """What gives the numeral of each value where it stands."""
    out = numeral_distance(style)

    @cache
    def numeral_at(value: float) -> Outline:
        ink = set_text(_words(scale, value), style).outline
        return track.pushed([ink], [law.fraction(value)], out)[0]

    return numeral_at


def _graduated(
    scale: Scale,
    law: Law,
    track: Track,
    style: TextStyle,
    least_pitch: float,
    numeral_at: Callable[[float], Outline],
) -> tuple[Graduation, ...]:
    """The graduations for which there is room along the track."""

    def fits(a: float, b: float) -> bool:
        space = _NUMERAL_SPACE * style.height
        return bool(shapely.distance(numeral_at(a).shape, numeral_at(b).shape) >= space)

    pitch = max(min(_GRADUATION_PITCH * style.height, _WIDE_ENOUGH), least_pitch)
    return graduate(
        law,
        scale.from_,
        scale.to,
        fits,
        pitch / track.length,
        major=scale.major,
        step=scale.step,
        closed=track.closed,
    )


def _along(
    scale: Scale,
    law: Law,
    track: Track,
    style: TextStyle,
    ends: tuple[float, float],
    width: float,
) -> list[Outline]:
    """The bands of a scale, and the line along the feet of its graduations."""
    depth = _BAND * style.height
    lines = [
        track.line(law.fraction(band.from_), law.fraction(band.to), depth / 2, depth)
        for band in scale.band
    ]
    if scale.arc:
        lines.append(track.line(*ends, width / 2, width))
    return lines


def numeral_distance(style: TextStyle) -> float:
    """How far off the track the ink of numerals stands: a major graduation, and the gap, mm."""
    return _LENGTHS[Length.MAJOR] * style.height + gap(style.height)


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


def _line(
    track: Track,
    graduation: Graduation,
    length: Mapping[Length, float],
    width: Mapping[Length, float],
) -> Outline:
    foot = track.point(graduation.fraction)
    top = track.point(graduation.fraction, length[graduation.length])
    return Outline.line_stroke(foot, top, width[graduation.length])


def _wedge(track: Track, fraction: float, length: float) -> Outline:
    """A wedge at a marked point, its tip on the track and its back outward."""
    (x0, y0), (x1, y1) = track.point(fraction), track.point(fraction, length)
    half = _WEDGE / 2
    dx, dy = (y1 - y0) * half, (x0 - x1) * half
    return Outline.polygon([(x0, y0), (x1 + dx, y1 + dy), (x1 - dx, y1 - dy)])


def _clear_of(line: Outline, wedges: Sequence[Outline], space: float) -> bool:
    return all(line.shape.distance(wedge.shape) > space for wedge in wedges)
