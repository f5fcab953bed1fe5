"""Level the legends at the ends of a scale, or check that they stand in line."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from legend.description.tables.description import Scale
from legend.layout.artwork import Mark, Role
from legend.layout.scales.tracks import RoundTrack, StraightTrack
from legend.layout.styles import apart_across, apart_on_a_baseline

#: Lengths that differ by less are the same, mm, and so are parts of a whole.
_SAME = 1e-6
#: Words no higher than this above a name, in their capital heights, go down to it.
#: Common practice, no source.
_NEARLY_LEVEL = 0.5
#: The cosine of how far from straight up or down an end of a scale may stand for its numeral to
#: be levelled, and for a word: further off, the ray leads aside more than up or down.
#: Common practice, no source.
_STEEP = {False: 0.7, True: 0.25}


@dataclass(frozen=True, slots=True)
class Between:
    """A name below a control: the highest baseline that it may have, its width and height, mm."""

    baseline: float
    width: float
    height: float


def ends_levelled(
    marks: Sequence[Mark], scale: Scale, track: RoundTrack, name: Between | None = None
) -> tuple[Mark, ...]:
    """The marks of a round scale, the legends at its ends on one baseline if it is symmetrical.

    Each was pushed out as far as its own ink asks; the nearer one now follows the further
    along its ray, and so no word stands a little higher than the other. Words go a little
    further still to meet a name that has room between them.
    """
    ends = [i for i, mark in enumerate(marks) if mark.role is Role.NUMERAL]
    begin, end = (math.radians(track.degrees(fraction)) for fraction in (0.0, 1.0))
    mirrored = abs(math.sin(begin) + math.sin(end)) + abs(math.cos(begin) - math.cos(end)) < _SAME
    words = not scale.words_at.keys().isdisjoint(scale.ends)
    if track.closed or len(ends) < 2 or not mirrored or abs(math.cos(begin)) < _STEEP[words]:
        return tuple(marks)
    own = [marks[i].baselines[0] for i in (ends[0], ends[-1])]

    def at(baseline: float) -> list[Mark]:
        """The two ends on this baseline, each moved along its ray."""
        moved = []
        for i, angle in ((ends[0], begin), (ends[-1], end)):
            up = baseline - marks[i].baselines[0]
            outline = marks[i].outline.moved(up * math.tan(angle), up)
            moved.append(replace(marks[i], outline=outline))
        return moved

    placed = at(max(own) if math.cos(begin) > 0 else min(own))
    if name and words and math.cos(begin) < 0:
        higher = placed[0].baselines[0] - name.baseline
        level = at(name.baseline)
        room = apart_across(level[0].outline.bounds, level[1].outline.bounds) - name.width
        space = apart_on_a_baseline(name.height, level[0].height)
        nearly = _NEARLY_LEVEL * level[0].height
        if 0 < higher < nearly and room >= 2 * space:
            placed = level
    levelled = list(marks)
    levelled[ends[0]], levelled[ends[-1]] = placed
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
