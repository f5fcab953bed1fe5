"""Marks as they are laid out in; the same out, unless there is more than can be worked out.

What a slip of the pen asks for, a thousand names at one place or a face of a million points,
would take hours and all memory. It is refused here as a fault of the description, before
that: no panel that anybody could read comes near.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import shapely

from legend.description.faults import DescriptionError, Fault
from legend.layout.artwork import Mark

#: The most points on the curves of all marks. A panel of 1,000 controls has about 200,000.
MOST_POINTS = 400_000

#: The most pairs of points of different marks that may lie in each other's way: as many as if
#: 1,000 letters lay all over each other. What is to be cut apart grows with it.
MOST_IN_THE_WAY = 100_000_000

#: So many marks are compared with all others at once.
_AT_ONCE = 200


class Ink:
    """The marks of a panel, as they come. Adding raises DescriptionError for too many."""

    def __init__(self) -> None:
        self.marks: list[Mark] = []
        self._points = 0

    def add(self, marks: Iterable[Mark]) -> None:
        """Add marks. Error: DescriptionError at the first that is too many."""
        for mark in marks:
            self._points += mark.outline.nodes
            if self._points > MOST_POINTS:
                what = (
                    f"Up to here the legends have more than {MOST_POINTS} points on their curves, "
                    "which is more than can be worked out or cut; leave some of them out, or "
                    "choose a plainer face."
                )
                raise DescriptionError([Fault(mark.source, what)])
            self.marks.append(mark)


def refuse_heaps(marks: Sequence[Mark]) -> None:
    """Refuse marks that lie over each other in too many places. Error: DescriptionError."""
    if len(marks) < 2:
        return
    boxes = shapely.box(*np.array([mark.outline.bounds for mark in marks]).T)
    points = np.array([mark.outline.nodes for mark in marks], dtype=float)
    tree = shapely.STRtree(boxes)
    in_the_way = 0.0
    for first in range(0, len(marks), _AT_ONCE):
        one, other = tree.query(boxes[first : first + _AT_ONCE], "intersects")
        one += first
        apart = one < other
        in_the_way += float(points[one[apart]] @ points[other[apart]])
        if in_the_way > MOST_IN_THE_WAY:
            most = one[apart][np.argmax(points[one[apart]] * points[other[apart]])]
            what = (
                "Legends lie over each other in so many places, here among others, that nothing "
                "can be made of them; set them smaller or further apart, or leave some out."
            )
            raise DescriptionError([Fault(marks[most].source, what)])
