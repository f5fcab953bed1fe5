"""Refuse descriptions that ask for more marks than can be worked out.

What a slip of the pen asks for, a thousand names at one place or a face of a million points,
would take hours and all memory. It is refused here as a fault of the description, before
that: no panel that anybody could read comes near.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from legend.description.faults import DescriptionError, Fault
from legend.layout.artwork import KeepOut, Mark, Opening
from legend.lettering.outlines.connected import pairs_that_meet
from legend.lettering.outlines.outline import Box
from legend.limits import MOST_IN_THE_WAY, MOST_PAIRS, MOST_POINTS

_AND_MORE = 30


class Ink:
    """The marks of a panel, as they come. Adding raises DescriptionError for too many."""

    def __init__(self) -> None:
        self.marks: list[Mark] = []
        self._points = 0

    def add(self, mark: Mark) -> None:
        """Add a mark. Error: DescriptionError where it is one too many."""
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
    points = np.array([mark.outline.nodes + _AND_MORE for mark in marks], dtype=float)
    boxes = [mark.outline.bounds for mark in marks]
    worst = _worst_of_heap(boxes, points, MOST_IN_THE_WAY)
    if worst is not None:
        what = (
            "Legends lie over each other in so many places, here among others, that nothing can "
            "be made of them; set them smaller or further apart, or leave some out."
        )
        raise DescriptionError([Fault(marks[worst].source, what)])


def refuse_piles(openings: Sequence[Opening], keep_outs: Sequence[KeepOut]) -> None:
    """Refuse holes and parts that lie over each other all too often. Error: DescriptionError."""
    boxes = [opening.outline.bounds for opening in openings]
    boxes += [keep_out.shape.bounds for keep_out in keep_outs]
    worst = _worst_of_heap(boxes, np.ones(len(boxes)), MOST_PAIRS)
    if worst is not None:
        ids = [*(opening.id for opening in openings), *(each.owner for each in keep_outs)]
        sources = {opening.id: opening.hole.source for opening in openings}
        what = (
            f"Hole {ids[worst]} and what is fitted there lie over very many others, as others do; "
            "check their places, and the sizes of what is fitted."
        )
        raise DescriptionError([Fault(sources[ids[worst]], what)])


def _worst_of_heap(boxes: Sequence[Box], weights: NDArray[np.float64], most: float) -> int | None:
    """The box that overlaps most, where all pairs that overlap weigh more than `most`."""
    if len(boxes) < 2:
        return None
    weighed = 0.0
    for one, other in pairs_that_meet(shapely.box(*np.array(boxes).T)):
        weighed += float(weights[one] @ weights[other])
        if weighed > most:
            return int(one[np.argmax(weights[one] * weights[other])])
    return None
