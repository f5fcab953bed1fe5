"""Lead from a name on the second storey down to its part, through the names on the first.

Where a row has no room for its names, every other one may stand further out. A fine line runs
from it, along its own axis, to where it would stand on the first storey; names there leave a
channel for it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence

from legend.description.tables.description import Side
from legend.layout.artwork import Mark, Role
from legend.layout.names.baselines import Berth, line_of
from legend.layout.names.wanted_names import Wanted
from legend.layout.styles import Stroke, gap, name_space
from legend.lettering.faces.face import TextStyle
from legend.lettering.outlines.outline import Outline
from legend.standards import LEAST_MARK_GAP

#: The width of the line, in strokes of the name. Common practice, no source.
_FINE = 0.6
#: Shorter than this, in capital heights, a line tells nothing. Common practice, no source.
_SHORTEST = 0.5

#: By the side and the line of a row, the axes along which lines run through its first storey, mm.
Channels = Mapping[tuple[Side, float], Sequence[float]]


def channels_of(wanted: Iterable[Wanted]) -> Channels:
    """Where lines run from names on the second storey."""
    channels: dict[tuple[Side, float], list[float]] = {}
    for each in wanted:
        if each.storey > 1:
            channels.setdefault(line_of(each), []).append(each.centre[0])
    return channels


def between_channels(each: Wanted, style: TextStyle, channels: Channels) -> float:
    """The width that a name may take between the lines that run past it, mm."""
    if each.storey > 1 or each.is_beside:
        return math.inf
    axes = channels.get(line_of(each), ())
    room = (abs(axis - each.centre[0]) - gap(style.height) for axis in axes)
    return 2 * (min(room, default=math.inf) - style.stroke * style.height)


def leader_to(mark: Mark, berth: Berth, stroke: Stroke) -> Iterator[Mark]:
    """The line to a name that is placed; none to one on the first storey."""
    each, style = berth.wanted, berth.wanted.style
    if each.storey == 1:
        return
    x = each.centre[0]
    out = mark.baselines[-1] if each.side == "above" else -mark.baselines[0]
    begin = berth.first - each.inward - name_space(style.height) + LEAST_MARK_GAP
    end = out - each.inward - gap(style.height)
    if end - begin < _SHORTEST * style.height:
        return
    up = 1.0 if each.side == "above" else -1.0
    width = stroke.width(_FINE * style.stroke * style.height)
    line = Outline.line_stroke((x, up * begin), (x, up * end), width)
    yield Mark(line, Role.RULE, each.hole, each.source)
