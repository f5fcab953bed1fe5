"""Give groups that stand side by side, or over each other, lines that end together.

Two frames side by side share their upper and their lower edge, and two over each other their
left and their right one, where the outermost of their controls are in line, as near as holes
are drilled; or, asked for, however far each reaches.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from legend.description.tables.description import Group
from legend.lettering.outlines.connected import components
from legend.lettering.outlines.outline import Box

#: Controls no further apart than this across a line, mm, are meant to be in line.
#: Common practice, no source.
_NEARLY_IN_LINE = 3.0

#: Where the edges of a box stand in it that bound it across, and that bound it upwards.
_ACROSS, _UPWARDS = (0, 2), (1, 3)


def in_line(
    groups: Sequence[Group],
    boxes: Mapping[int, Box],
    places: Mapping[str, tuple[float, float]],
) -> dict[int, Box]:
    """The boxes of groups, by their number, each made as large as those that it is in line with.

    `places` are where the holes were to be, mm. No box grows over another that it was clear of.
    """
    edges = {i: list(box) for i, box in boxes.items()}
    for shared, facing in ((_UPWARDS, _ACROSS), (_ACROSS, _UPWARDS)):
        for together in _together(groups, boxes, places, shared, facing):
            low, high = shared
            grown = {i: list(edges[i]) for i in together}
            for each in grown.values():
                each[low] = min(edges[i][low] for i in together)
                each[high] = max(edges[i][high] for i in together)
            if not _in_the_way(grown, edges):
                edges |= grown
    return {i: (x0, y0, x1, y1) for i, (x0, y0, x1, y1) in edges.items()}


def _together(
    groups: Sequence[Group],
    boxes: Mapping[int, Box],
    places: Mapping[str, tuple[float, float]],
    shared: tuple[int, int],
    facing: tuple[int, int],
) -> Iterator[list[int]]:
    """The groups that are to share two edges: those that face each other and are in line."""
    pairs = [
        (i, j)
        for i in boxes
        for j in boxes
        if i < j
        and groups[i].style == groups[j].style
        and not _overlap(boxes[i], boxes[j], facing)
        and (
            (_asked_for(groups[i], groups[j]) and _overlap(boxes[i], boxes[j], shared))
            or _are_in_line(groups[i], groups[j], places, shared)
        )
    ]
    ends = np.array(pairs, dtype=np.int64).reshape(-1, 2)
    part_of = components(len(groups), ends[:, 0], ends[:, 1]).tolist()
    for part in dict.fromkeys(part_of[i] for i, _ in pairs):
        yield [i for i in boxes if part_of[i] == part]


def _asked_for(one: Group, other: Group) -> bool:
    return one.in_line is True and other.in_line is True


def _are_in_line(
    one: Group, other: Group, places: Mapping[str, tuple[float, float]], shared: tuple[int, int]
) -> bool:
    """Whether the outermost controls of two groups stand in line, and nobody has them otherwise."""
    if one.in_line is False or other.in_line is False:
        return False
    axis = shared[0]
    ours, theirs = ([places[hole][axis] for hole in group.holes] for group in (one, other))
    return all(abs(end(ours) - end(theirs)) < _NEARLY_IN_LINE for end in (min, max))


def _overlap(a: Sequence[float], b: Sequence[float], sides: tuple[int, int]) -> bool:
    low, high = sides
    return a[low] < b[high] and b[low] < a[high]


def _in_the_way(grown: Mapping[int, list[float]], edges: Mapping[int, list[float]]) -> bool:
    """Whether a grown box comes over another that it was clear of."""

    def meet(a: Sequence[float], b: Sequence[float]) -> bool:
        return _overlap(a, b, _ACROSS) and _overlap(a, b, _UPWARDS)

    return any(
        meet(box, grown.get(j, edges[j])) and not meet(edges[i], edges[j])
        for i, box in grown.items()
        for j in edges
        if j != i
    )
