"""Fan out the words round a selector clear of each other, and fit them where they are too long.

1. Words lean outward: the first lean is taken at which those side by side are well apart, or else
   the one at which they are furthest apart, if that is enough.
2. Of two words that stand alike to the left and to the right, the wider leans as much further that
   both begin alike: so what is between them and a third in the middle is alike as well.
3. Else those above and below the selector that can be are set in two lines; then all stand further
   out, by the least that will do, at the end of longer lines; then they are narrower; and then they
   are smaller.
4. What is still too near to its neighbour is set at its smallest, and told.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from itertools import pairwise

from legend.layout.names.fitting import heights, ink_width
from legend.layout.names.line_breaks import balanced
from legend.layout.scales.tracks import RoundTrack
from legend.layout.styles import apart_across, apart_on_a_baseline, gap, on_one_baseline
from legend.length_words import Lengths
from legend.lettering.faces.face import TextStyle
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import Setting, is_symbol, set_text
from legend.sentences import listed
from legend.standards import NARROWEST

#: How strongly the words of a selector lean outward. Common practice, no source.
_LEANS = (1.0, 1.5, 2.0, 3.0, 5.0, 10.0)
#: The widths that are tried, of the one asked for.
_WIDTHS = ((1 + NARROWEST) / 2, NARROWEST)
#: How much further out they are tried, in capital heights: the lines still lead the eye to them.
#: Common practice, no source.
_OUTWARD = (0.5, 1.0, 1.5, 2.0, 2.5, 3.0)
#: How nearly the least of these is found, mm.
_OUTWARD_STEP = 0.05
#: The sine of the angle up to which words crowd sideways rather than up and down, so that two
#: lines are of use.
_MOSTLY_UP_OR_DOWN = 0.8
#: The width that leans nowhere, in capital heights: a figure stays in the middle of its ray.
_UPRIGHT = 1.5
#: Angles and distances that differ by less are the same, degrees or mm.
_SAME = 1e-6


@dataclass(frozen=True, slots=True)
class Word:
    """A word where it stands, its setting, and the level of its ink, from which lines are told."""

    ink: Outline
    setting: Setting
    up: float

    @property
    def baselines(self) -> list[float]:
        """Where its lines stand on the panel, mm."""
        return [self.up + baseline for baseline in self.setting.baselines]


@dataclass(frozen=True, slots=True)
class Fan:
    """The words of a selector round it.

    `asked` is the style that was asked for, `broken` whether they were set in two lines to fit, and
    `outward` how much further out they stand than was asked, mm. `crowded` are the numbers of two
    neighbours that still come too near to each other; None where all have room.
    """

    words: tuple[Word, ...]
    style: TextStyle
    asked: TextStyle
    broken: bool = False
    outward: float = 0.0
    crowded: tuple[int, int] | None = None

    def done(self, lengths: Lengths) -> str:
        """What was done to fit them, in words; "" where nothing was."""
        done = []
        if self.broken:
            done.append("set in two lines")
        if self.style.width < self.asked.width:
            done.append(f"narrowed to {self.style.width / self.asked.width:.2f} of their width")
        if self.outward:
            done.append(f"moved {lengths.said(self.outward)} outward")
        if self.style.height < self.asked.height:
            done.append(f"made {lengths.said(self.style.height, 2)} tall")
        return listed(done) if done else ""


def fanned_out(
    named: Sequence[tuple[float, str]],
    track: RoundTrack,
    style: TextStyle,
    out: float,
    least_height: float,
) -> Fan:
    """The words of a selector round it, `out` mm off the track, each by its part of the travel."""
    return _fanned_out(tuple(named), track, style, out, least_height)


@lru_cache(maxsize=128)  # for a panel that is laid out again with one thing changed
def _fanned_out(
    named: tuple[tuple[float, str], ...],
    track: RoundTrack,
    style: TextStyle,
    out: float,
    least_height: float,
) -> Fan:
    ways = [named]
    broken = tuple(_in_two_lines(named, track, style))
    if broken != named:
        ways.append(broken)

    def first_fit(style: TextStyle, outward: float = 0.0) -> Fan | None:
        fans = (_leaning(way, track, style, out, outward) for way in ways)
        return next((fan for fan in fans if not fan.crowded), None)

    tried = heights(style.height, least_height)
    narrow = replace(style, width=style.width * NARROWEST)
    outwards = [step * style.height for step in (0.0, *_OUTWARD)]
    furthest = outwards[-1]
    smaller = cache(lambda step: first_fit(replace(narrow, height=tried[step]), furthest))

    def least_outward(style: TextStyle) -> Fan | None:
        nearer = 0.0
        for outward in outwards:
            if fan := first_fit(style, outward):
                break
            nearer = outward
        else:
            return None
        while fan.outward - nearer > _OUTWARD_STEP:
            middle = (nearer + fan.outward) / 2
            if between := first_fit(style, middle):
                fan = between
            else:
                nearer = middle
        return fan

    def fans() -> Iterator[Fan | None]:
        yield least_outward(style)
        if smaller(len(tried) - 1) is None:  # nothing that is less will do
            smallest = replace(narrow, height=tried[-1])
            every = (_leaning(way, track, smallest, out, furthest) for way in ways)
            yield max(every, key=_least_apart)
        for width in _WIDTHS:
            yield least_outward(replace(style, width=style.width * width))
        yield smaller(
            bisect_left(range(len(tried) - 1), True, key=lambda step: bool(smaller(step)))
        )

    fan = next(filter(None, fans()))
    lines = [word.setting.text.count("\n") for word in fan.words]
    return replace(fan, asked=style, broken=lines != [word.count("\n") for _, word in named])


def _least_apart(fan: Fan) -> float:
    """How far apart the two nearest words stand, mm; less than 0 by what they overlap."""
    shapes = [word.ink.shape for word in fan.words]
    return min(
        one.distance(other) or -float(one.envelope.intersection(other.envelope).area)
        for one, other in pairwise([*shapes, shapes[0]])
    )


def _in_two_lines(
    named: Sequence[tuple[float, str]], track: RoundTrack, style: TextStyle
) -> Iterator[tuple[float, str]]:
    """The words, those above and below broken at a space, or else after a hyphen."""
    for fraction, word in named:
        sideways = abs(math.sin(math.radians(track.degrees(fraction))))
        if sideways > _MOSTLY_UP_OR_DOWN or "\n" in word or is_symbol(word):
            yield fraction, word
        else:
            yield fraction, balanced(word, style) if " " in word else _after_a_hyphen(word, style)


def _after_a_hyphen(word: str, style: TextStyle) -> str:
    """A word broken after the hyphen or dash that leaves the wider of two lines narrowest."""
    at = [i + 1 for i, letter in enumerate(word[:-1]) if i and letter in "-‐–/"]
    broken = [f"{word[:i]}\n{word[i:]}" for i in at]
    return min(broken, key=lambda each: ink_width(set_text(each, style)), default=word)


def _leaning(
    named: Sequence[tuple[float, str]],
    track: RoundTrack,
    style: TextStyle,
    out: float,
    outward: float,
) -> Fan:
    """The words, each leaning outward as far as its neighbours ask."""
    settings = [set_text(name, style) for _, name in named]
    inks = [_about_its_middle(setting) for setting in settings]
    fractions = [fraction for fraction, _ in named]
    degrees = [track.degrees(fraction) for fraction in fractions]
    fans = []
    for lean in _LEANS:
        slides = _slides(inks, style, degrees, lean)
        leaning = [ink.moved(slide, 0.0) for ink, slide in zip(inks, slides, strict=True)]
        placed = track.pushed_anchored(leaning, fractions, out + outward)
        words = tuple(
            Word(ink, setting, ink.bounds[1] - setting.outline.bounds[1])
            for ink, setting in zip(placed, settings, strict=True)
        )
        crowded = _crowded(words, style.height)
        fans.append(Fan(words, style, style, outward=outward, crowded=crowded))
        if not crowded and _space_beside(words, style) > -_SAME:
            return fans[-1]
    roomy = [fan for fan in fans if not fan.crowded]
    return max(roomy, key=lambda fan: round(_space_beside(fan.words, style), 3), default=fans[-1])


def _space_beside(words: Sequence[Word], style: TextStyle) -> float:
    """What words side by side have to spare of the space of legends in one line, mm; or lack."""
    wanted = apart_on_a_baseline(style.height, style.height)
    apart = [
        apart_across(one.ink.bounds, other.ink.bounds) - wanted
        for one, other in pairwise([*words, *words[:1]])
        if one is not other and _side_by_side(one, other, style.height)
    ]
    return min(apart, default=0.0)


def _side_by_side(one: Word, other: Word, height: float) -> bool:
    """Whether a line of one stands less than a capital height above or below one of the other."""
    return any(abs(a - b) < height for a in one.baselines for b in other.baselines)


def _crowded(words: Sequence[Word], height: float) -> tuple[int, int] | None:
    """The first two neighbours that do not keep the space between legends."""
    numbers = [*range(len(words)), 0]
    for i, j in pairwise(numbers):
        if i != j and not _told_apart(words[i], words[j], height):
            return i, j
    return None


def _told_apart(one: Word, other: Word, height: float) -> bool:
    """Whether two words keep the space between legends."""
    if on_one_baseline(one.baselines, other.baselines, height):
        across = apart_across(one.ink.bounds, other.ink.bounds)
        return across >= apart_on_a_baseline(height, height)
    return bool(one.ink.shape.distance(other.ink.shape) >= gap(height))


def _about_its_middle(setting: Setting) -> Outline:
    """A word with the middle of its capitals at the origin, or a symbol with that of its ink."""
    x0, y0, x1, y1 = setting.outline.bounds
    low, high = setting.baselines[-1], setting.baselines[0] + setting.height
    up = (y0 + y1) if is_symbol(setting.text) else low + high
    return setting.outline.moved(-(x0 + x1) / 2, -up / 2)


def _slides(
    inks: Sequence[Outline], style: TextStyle, degrees: Sequence[float], lean: float
) -> list[float]:
    """How far words are moved from their rays: the middle of each stands on its ray above and
    below, its near end beside.

    The anchor slides along the word with the sine of the angle, so that words fan out from a
    selector as a letterer would set them, and single figures stay centred on their ray. Of two
    that face each other the wider slides until its near end is as far from its ray.
    """
    widths = [ink.bounds[2] - ink.bounds[0] for ink in inks]
    sines = [math.sin(math.radians(angle)) for angle in degrees]
    most = [max(0.0, (width - _UPRIGHT * style.height) / 2) for width in widths]
    slides = [far * max(-1.0, min(1.0, lean * sine)) for far, sine in zip(most, sines, strict=True)]
    near = [width / 2 - abs(slide) for width, slide in zip(widths, slides, strict=True)]
    for i, j in _facing(degrees):
        for each in (i, j):
            if most[each]:
                slide = widths[each] / 2 - min(near[i], near[j])
                slides[each] = math.copysign(slide, sines[each])
    return slides


def _facing(degrees: Sequence[float]) -> Iterator[tuple[int, int]]:
    """The numbers of those that stand at one angle to the right and to the left."""
    for i, one in enumerate(degrees):
        for j, other in enumerate(degrees[:i]):
            if abs((one + other + 180) % 360 - 180) < _SAME < abs(math.sin(math.radians(one))):
                yield i, j
