"""Legends of one control side by side: marks in; the same in line, or whether they are, out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from legend.layout.artwork import Mark, Role
from legend.layout.styles import apart_across, apart_on_a_baseline
from legend.layout.tracks import RoundTrack

#: Lengths that differ by less are the same, mm, and so are parts of a whole.
_SAME = 1e-6
#: The cosine beyond which an end of a scale stands over or under its control, not beside it.
_STEEP = 0.25


def ends_levelled(marks: Sequence[Mark], track: RoundTrack) -> tuple[Mark, ...]:
    """The marks of a scale, the legends at the two ends of a symmetrical one on one baseline.

    Each was pushed out as far as its own ink asks; the nearer one now follows the further
    along its ray. Beside the control, where that would lead nowhere, they meet half-way.
    """
    ends = [i for i, mark in enumerate(marks) if mark.role is Role.NUMERAL]
    begin, end = (math.radians(track.degrees(fraction)) for fraction in (0.0, 1.0))
    mirrored = abs(math.sin(begin) + math.sin(end)) + abs(math.cos(begin) - math.cos(end)) < _SAME
    if track.closed or len(ends) < 2 or not mirrored:
        return tuple(marks)
    levelled = list(marks)
    level = [marks[i].baselines[0] for i in (ends[0], ends[-1])]
    steep = abs(math.cos(begin)) > _STEEP
    further = (max if math.cos(begin) > 0 else min)(level) if steep else sum(level) / 2
    for i, angle, own in zip((ends[0], ends[-1]), (begin, end), level, strict=True):
        up = further - own
        aside = up * math.tan(angle) if steep else 0.0
        levelled[i] = replace(marks[i], outline=marks[i].outline.moved(aside, up))
    return tuple(levelled)


def in_line_or_clear(one: Mark, other: Mark) -> bool:
    """Whether two level legends stand on one baseline and well apart, or not side by side."""
    if not one.baselines or not other.baselines:
        return True
    (baseline, *_), (other_baseline, *_) = one.baselines, other.baselines
    if abs(baseline - other_baseline) < _SAME:
        apart = apart_across(one.outline.bounds, other.outline.bounds)
        return apart >= apart_on_a_baseline(one.height, other.height) - _SAME
    return baseline >= other_baseline + other.height or baseline + one.height <= other_baseline
