"""Put what stands on a panel in the order in which one reads: from the left, from the top."""

from __future__ import annotations

from collections.abc import Sequence

from legend.lettering.outlines.outline import Box


def reading_order(boxes: Sequence[Box]) -> list[int]:
    """Top row first, left to right.

    A row ends where the first of its boxes ends, going down, and takes in every box whose middle
    is above that. So a tall thing, as a line between two halves of a panel, stands in the row of
    its middle, and makes no single row of all that is beside it.
    """
    left = list(range(len(boxes)))
    order: list[int] = []
    while left:
        floor = max(boxes[i][1] for i in left)
        row = [i for i in left if (boxes[i][1] + boxes[i][3]) / 2 > floor]
        order += sorted(row, key=lambda i: (boxes[i][0], -boxes[i][3]))
        taken = set(row)
        left = [i for i in left if i not in taken]
    return order
