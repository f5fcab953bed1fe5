"""Legends of one control side by side: marks in; the same in line, or whether they are, out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from legend.description.schema import Scale
from legend.layout.artwork import Mark, Role
from legend.layout.styles import apart_across, apart_on_a_baseline
from legend.layout.tracks import RoundTrack, StraightTrack

#: Lengths that differ by less are the same, mm, and so are parts of a whole.
_SAME = 1e-6
#: The cosine of how far from straight up or down an end of a scale may stand for its numeral to
#: be levelled, and for a word: further off, the ray leads aside more than up or down.
#: Common practice, no source.
_STEEP = {False: 0.7, True: 0.25}


def ends_levelled(marks: Sequence[Mark], scale: Scale, track: RoundTrack) -> tuple[Mark, ...]:
    """The marks of a round scale, the legends at its ends on one baseline if it is symmetrical.

    Each was pushed out as far as its own ink asks; the nearer one now follows the further
    along its ray, and so no word stands a little higher than the other.
    """
    ends = [i for i, mark in enumerate(marks) if mark.role is Role.NUMERAL]
    begin, end = (math.radians(track.degrees(fraction)) for fraction in (0.0, 1.0))
    mirrored = abs(math.sin(begin) + math.sin(end)) + abs(math.cos(begin) - math.cos(end)) < _SAME
    words = bool(scale.low.strip() or scale.high.strip())
    if track.closed or len(ends) < 2 or not mirrored or abs(math.cos(begin)) < _STEEP[words]:
        return tuple(marks)
    levelled = list(marks)
    level = [marks[i].baselines[0] for i in (ends[0], ends[-1])]
    further = (max if math.cos(begin) > 0 else min)(level)
    for i, angle, own in zip((ends[0], ends[-1]), (begin, end), level, strict=True):
        up = further - own
        levelled[i] = replace(marks[i], outline=marks[i].outline.moved(up * math.tan(angle), up))
    return tuple(levelled)


def levelled_along(marks: Sequence[Mark], track: StraightTrack) -> tuple[Mark, ...]:
    """The marks of a straight scale, its numerals and words on one baseline if it is level."""
    (_, y0), (_, y1) = track.begin, track.end
    baselines = [mark.baselines[0] for mark in marks if mark.role is Role.NUMERAL]
    if y0 != y1 or not baselines:
        return tuple(marks)
    further = max(baselines)  # the scale stands over its slide
    return tuple(
        replace(mark, outline=mark.outline.moved(0.0, further - mark.baselines[0]))
        if mark.role is Role.NUMERAL
        else mark
        for mark in marks
    )


def in_line_or_clear(one: Mark, other: Mark) -> bool:
    """Whether two level legends stand on one baseline and well apart, or not side by side."""
    if not one.baselines or not other.baselines:
        return True
    (baseline, *_), (other_baseline, *_) = one.baselines, other.baselines
    if abs(baseline - other_baseline) < _SAME:
        apart = apart_across(one.outline.bounds, other.outline.bounds)
        return apart >= apart_on_a_baseline(one.height, other.height) - _SAME
    return baseline >= other_baseline + other.height or baseline + one.height <= other_baseline
