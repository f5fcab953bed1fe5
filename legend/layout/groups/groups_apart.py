"""Keep the lines of groups that stand side by side clear of each other.

Each line is first as roomy as what stands beside it allows; where two would then meet between
their groups, both draw in and share what room there is. A line draws in alike at both ends, so
that its name stays over the middle of its controls.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from legend.description.tables.description import Group
from legend.lettering.outlines.outline import Box


def apart(
    groups: Sequence[Group],
    boxes: Mapping[int, Box],
    contents: Mapping[int, Box],
    least_widths: Mapping[int, float],
    spaces: Sequence[float],
    clear: float,
) -> dict[int, Box]:
    """The boxes of groups, by their number, drawn in where those side by side would meet.

    `contents` is what each goes round, and `least_widths` how broad each must stay for its name.
    Between two of them is the first of the `spaces`, mm, that there is room for: a frame keeps
    `clear` of what it goes round, and any other line does not end short of it. Where there is
    room for none they stay as they are, and the inspection tells of it.
    """
    drawn_in = dict.fromkeys(boxes, 0.0)
    for left, right in _side_by_side(groups, boxes, contents):
        for space in spaces:
            if boxes[right][0] - boxes[left][2] >= space:
                break
            reach = (contents[right][0] - contents[left][2] - space) / 2
            ends = {
                left: boxes[left][2] - contents[left][2] - reach,
                right: contents[right][0] - boxes[right][0] - reach,
            }
            if all(
                reach >= (clear if groups[i].style == "frame" else 0.0)
                and _width(boxes[i]) - 2 * end >= least_widths[i]
                for i, end in ends.items()
            ):
                drawn_in |= {i: max(drawn_in[i], end) for i, end in ends.items()}
                break
    return {
        i: (x0 + drawn_in[i], y0, x1 - drawn_in[i], y1) for i, (x0, y0, x1, y1) in boxes.items()
    }


def _side_by_side(
    groups: Sequence[Group], boxes: Mapping[int, Box], contents: Mapping[int, Box]
) -> Iterator[tuple[int, int]]:
    """The groups with lines that stand beside each other, the left one first."""
    with_lines = [i for i in boxes if groups[i].style != "heading"]
    for pair in combinations(with_lines, 2):
        left, right = sorted(pair, key=lambda i: contents[i][0])
        (_, low, _, high), (_, under, _, over) = boxes[left], boxes[right]
        if contents[left][2] < contents[right][0] and low < over and under < high:
            yield left, right


def _width(box: Box) -> float:
    return box[2] - box[0]
