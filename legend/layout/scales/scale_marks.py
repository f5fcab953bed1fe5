"""Lay out a scale along its track: graduations, numerals and lines."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache, lru_cache
from itertools import pairwise

import shapely

from legend.description.laws import Law, Tabulated
from legend.description.source import Source
from legend.description.tables.description import Scale
from legend.layout.artwork import Mark, Role
from legend.layout.scales.graduations import Chosen, Graduation, Length, Room, graduate
from legend.layout.scales.numerals import MINUS, PLUS, Notation, numeral
from legend.layout.scales.steps import same_value, steps_within
from legend.layout.scales.tracks import StraightTrack, Track
from legend.layout.styles import Stroke, gap
from legend.lettering.faces.face import TextStyle
from legend.lettering.outlines.boolean import united
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import set_text
from legend.limits import MOST_GRADUATIONS
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

#: What a graduation may lack of the distance that the stock asks for, mm: no cutter is so fine.
_NEARLY = 0.005


def travel(scale: Scale, usual: float = CONTROL_SWEEP) -> tuple[float, float]:
    """Where the travel of a scale begins, and its sweep, in degrees clockwise from the top.

    Of a control with a track that is what its track takes up, in the middle of the whole
    sweep. `usual` is the sweep of a scale that says nothing of it.
    """
    law = scale.as_law()
    if isinstance(law, Tabulated):
        return law.begin_degrees, law.end_degrees - law.begin_degrees
    sweep = scale.sweep or usual
    track = scale.track or sweep * (scale.usual_track or 1.0)
    at_the_top = 0.0 if scale.full_turn else -sweep / 2
    start = at_the_top if scale.start is None else scale.start
    return start + (sweep - track) / 2, track


@dataclass(frozen=True, slots=True)
class Graduated:
    """The graduations of a scale, and what is wrong with those that were asked for.

    `crowded` are two neighbours that the stock does not carry, if there are any; `drawn_by` is
    the step that took the place of the one asked for, the finest that fits, if any does.
    """

    graduations: tuple[Graduation, ...]
    crowded: tuple[Graduation, Graduation] | None = None
    drawn_by: float | None = None


@dataclass(frozen=True, slots=True)
class _SameScale:
    """A scale that is the same as any that says the same, wherever that stands."""

    content: Hashable
    scale: Scale = field(compare=False)


def lay_scale(
    scale: Scale,
    track: Track,
    style: TextStyle,
    stroke: Stroke,
    owner: str,
    source: Source,
) -> tuple[Mark, ...]:
    """The marks of a scale along its track, the innermost first; their owner and their source.

    Graduations stand on the track and point outward; numerals are pushed out until their ink
    clears the graduations by the gap. Error: DomainError.
    """
    laid = _laid(_SameScale(scale.content, scale), track, style, stroke)
    return tuple(replace(mark, owner=owner, source=source) for mark in laid)


@lru_cache(maxsize=128)
def _laid(same: _SameScale, track: Track, style: TextStyle, stroke: Stroke) -> tuple[Mark, ...]:
    """The same, nobody's yet: kept for a panel that is laid out again with one thing changed."""
    scale, owner, source = same.scale, "", Source("")
    law = scale.as_law()
    width = _widths(style, stroke)
    length = {k: v * style.height for k, v in _LENGTHS.items()}
    numeral_at = _numerals(scale, law, track, style)
    graduations = _graduated(scale, law, track, style, stroke, numeral_at).graduations
    drawn = _drawn_once(graduations, track)
    wedges = [_wedge(track, law.fraction(v), length[Length.MAJOR]) for v in scale.points]
    upright = [
        line
        for line in (_line(track, g, length, width) for g in drawn if g.value not in scale.points)
        if _clear_of(line, wedges, stroke.apart)
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
                words_on(scale, g.value, style),
                style.height,
                set_text(words_on(scale, g.value, style), style),
            )
            for g in drawn
            if g.numbered
        ),
    )


# --- Which values are marked ---


def graduated(scale: Scale, track: Track, style: TextStyle, stroke: Stroke) -> Graduated:
    """The graduations of a scale along its track. Error: DomainError, LetteringError."""
    law = scale.as_law()
    numeral_at = _numerals(scale, law, track, style)
    return _graduated(scale, law, track, style, stroke, numeral_at)


def stepped_too_finely(scale: Scale, crowded: tuple[Graduation, Graduation]) -> bool:
    """Whether two graduations are too near for their step, and not as values asked for by hand."""
    by_hand = {*scale.ends, *(scale.numbered or ()), *scale.words_at}
    return scale.step is not None and not {each.value for each in crowded} <= by_hand


def clear_between(
    track: Track, one: Graduation, other: Graduation, style: TextStyle, stroke: Stroke
) -> float:
    """The space between the feet of two graduations, mm; below 0 where they overlap."""
    width = _widths(style, stroke)
    apart = math.dist(track.point(one.fraction), track.point(other.fraction))
    return apart - (width[one.length] + width[other.length]) / 2


def _graduated(
    scale: Scale,
    law: Law,
    track: Track,
    style: TextStyle,
    stroke: Stroke,
    numeral_at: Callable[[float], Outline],
) -> Graduated:
    """The graduations as they were asked for; where a step is too fine, by the finest that fits."""

    space = _NUMERAL_SPACE * style.height
    middle = numeral_distance(style) + style.height

    @cache
    def fits(a: float, b: float) -> bool:
        middles = (track.point(law.fraction(value), middle) for value in (a, b))
        if math.dist(*middles) < space:  # far too near: nothing need be set to know it
            return False
        return bool(shapely.distance(numeral_at(a).shape, numeral_at(b).shape) >= space)

    def carried(one: Graduation, other: Graduation) -> bool:
        return clear_between(track, one, other, style, stroke) >= stroke.apart - _NEARLY

    room = Room(fits, _pitch(track, style, stroke), carried)

    chosen = Chosen(scale.numbered, scale.numbered_step, tuple(scale.words_at), scale.powers)

    def by(step: float | None) -> tuple[Graduation, ...]:
        if scale.of_words:
            values = sorted({*scale.ends, *scale.words_at})
            return tuple(Graduation(v, law.fraction(v), Length.MAJOR, True) for v in values)
        return graduate(law, *scale.ends, room, chosen, step=step, closed=track.closed)

    def crowded(graduations: tuple[Graduation, ...]) -> tuple[Graduation, Graduation] | None:
        neighbours = pairwise(_drawn_once(graduations, track))
        return min(
            (pair for pair in neighbours if not carried(*pair)),
            key=lambda pair: round(clear_between(track, pair[0], pair[1], style, stroke), 6),
            default=None,
        )

    wanted = by(scale.step)
    pair = crowded(wanted)
    if pair is None or not stepped_too_finely(scale, pair):
        return Graduated(wanted, pair)
    begin, end = scale.ends
    for step in steps_within(abs(end - begin), MOST_GRADUATIONS):
        if step > (scale.step or 0) and not crowded(instead := by(step)):
            return Graduated(instead, pair, step)
    return Graduated(by(None), pair)


def _pitch(track: Track, style: TextStyle, stroke: Stroke) -> float:
    """The least part of the travel from graduation to graduation, where the program chooses."""
    widest = _widths(style, stroke)[Length.MAJOR]
    pitch = min(_GRADUATION_PITCH * style.height, _WIDE_ENOUGH)
    return max(pitch, 2 * widest, widest + stroke.apart) / track.length


def _widths(style: TextStyle, stroke: Stroke) -> dict[Length, float]:
    return {k: stroke.width(w * style.stroke * style.height) for k, w in _WIDTHS.items()}


def _drawn_once(graduations: tuple[Graduation, ...], track: Track) -> tuple[Graduation, ...]:
    """On a full circle the two ends fall together; the beginning stands for both."""
    return graduations[:-1] if track.closed else graduations


# --- Numerals ---


def _numerals(scale: Scale, law: Law, track: Track, style: TextStyle) -> Callable[[float], Outline]:
    """What gives the numeral of each value where it stands.

    It is placed by its digits, and a sign hangs out to the left, so that -5 and 5 stand alike;
    round a knob by all of it where values above zero bear signs too, as -5 and +5 do.
    """
    low, high = sorted(scale.ends)
    # Beside an upright slide signs stand between track and digits, in a column of their own.
    beside = isinstance(track, StraightTrack) and track.outward[0] > 0
    bears_a_sign = low < 0 or (scale.plus and high > 0)
    signed = [MINUS + digit for digit in "0123456789"] if beside and bears_a_sign else [""]
    column = max(_sign(words, style) for words in signed)
    hangs_out = isinstance(track, StraightTrack) or not scale.plus

    @cache
    def anchored(value: float) -> tuple[Outline, float]:
        words = words_on(scale, value, style)
        ink, sign = set_text(words, style).outline, _sign(words, style)
        x0, y0, x1, y1 = ink.bounds
        aside = sign if hangs_out else 0.0
        return ink.moved(-(x0 + aside + x1) / 2, -(y0 + y1) / 2), sign

    def across(value: float) -> Iterator[float]:
        """What may stand across from a value, to the other side of the axis."""
        if scale.of_words:
            yield from (other for other in scale.words_at if other != value)
        elif track.closed:
            yield low + high - value
        elif value and low <= -value <= high:
            yield -value

    @cache
    def numeral_at(value: float) -> Outline:
        ink, sign = anchored(value)
        out = numeral_distance(style) + max(column - sign, 0.0)
        inks, fractions = [ink], [law.fraction(value)]
        for other in across(value):  # both are pushed as far
            inks.append(anchored(other)[0])
            fractions.append(law.fraction(other))
        return track.pushed_anchored(inks, fractions, out)[0]

    return numeral_at


def _sign(words: str, style: TextStyle) -> float:
    """How far the sign of a numeral reaches beyond its digits, mm."""
    if not words.startswith((MINUS, PLUS)) or not words[1:2].isdigit():
        return 0.0
    _, *digits = set_text(words, style).letters
    whole = set_text(words, style).outline
    return min(each.outline.bounds[0] for each in digits if each.outline) - whole.bounds[0]


def numeral_distance(style: TextStyle) -> float:
    """How far off the track the ink of numerals stands: a major graduation, and the gap, mm."""
    return _LENGTHS[Length.MAJOR] * style.height + gap(style.height)


def words_on(scale: Scale, value: float, style: TextStyle) -> str:
    """What stands at a numbered value: its number, or the word in its place."""
    word = next((word for at, word in scale.words_at.items() if same_value(at, value)), "")
    if word or scale.of_words:
        return word
    return numeral(value, Notation(scale.unit, style.decimal, scale.powers, scale.plus))


# --- Lines ---


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
