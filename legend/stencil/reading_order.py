"""Put what stands on a panel in the order in which one reads: from the left, from the top."""

from __future__ import annotations

from collections.abc import Sequence

from legend.lettering.outlines.outline import Box


def reading_order(boxes: Sequence[Box]) -> list[int]:
    """Top row first, left to right; a box is in the row whose first box holds its middle."""
    left = sorted(range(len(boxes)), key=lambda i: (-boxes[i][3], boxes[i][0]))
    order: list[int] = []
    while left:
        _, bottom, _, _ = boxes[left[0]]
        row = [i for i in left if (boxes[i][1] + boxes[i][3]) / 2 > bottom]
        order += sorted(row, key=lambda i: (boxes[i][0], -boxes[i][3]))
        taken = set(row)
        left = [i for i in left if i not in taken]
    return order
