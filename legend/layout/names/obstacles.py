"""Find the room for a name among all that stands on the panel."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from legend.description.tables.description import Side
from legend.layout.artwork import KeepOut, Mark, Opening
from legend.layout.names.fitting import width_at
from legend.layout.names.nearness import Parts
from legend.layout.names.wanted_names import Wanted
from legend.layout.styles import apart_on_a_baseline, gap, on_one_baseline
from legend.lettering.faces.face import TextStyle
from legend.lettering.outlines.outline import Box


@dataclass(frozen=True, slots=True)
class Standing:
    """One thing on the panel: its shape, whose it is, and its text, if it is one.

    `is_part` is true of what is fitted in a hole.
    """

    shape: BaseGeometry
    owner: str
    text: Mark | None = None
    is_part: bool = False

    @classmethod
    def of(cls, mark: Mark) -> Self:
        return cls(mark.outline.shape, mark.owner, mark if mark.setting else None)


@dataclass(frozen=True, slots=True)
class Surroundings:
    """All that stands on the panel before the names do, the parts among it, and its size, mm."""

    things: Sequence[Standing]
    parts: Parts
    size: tuple[float, float]

    @classmethod
    def of(
        cls,
        openings: Iterable[Opening],
        covers: Sequence[KeepOut],
        marks: Iterable[Mark],
        size: tuple[float, float],
    ) -> Self:
        """What names must keep clear of on a panel of this size, mm."""
        things = [Standing(c.shape, c.owner, is_part=c.fitted) for c in covers]
        things += [Standing(opening.outline.shape, opening.id) for opening in openings]
        things += map(Standing.of, marks)
        return cls(things, Parts(covers), size)


class Obstacles:
    """What a name must stay clear of: its surroundings, and the names already placed."""

    def __init__(self, around: Surroundings) -> None:
        self.parts = around.parts
        self._size = around.size
        self._things = list(around.things)
        self._by_owner: dict[str, list[Standing]] = {}
        for thing in self._things:
            self._by_owner.setdefault(thing.owner, []).append(thing)
        self._tree = shapely.STRtree([thing.shape for thing in self._things])
        self._tallest = max((t.text.height for t in self._things if t.text), default=0.0)
        self._placed: list[Standing] = []
        self._placed_boxes: NDArray[np.float64] = np.empty((0, 4))

    def place(self, marks: Sequence[Mark]) -> None:
        """Keep others clear of these names from now on."""
        self._placed += map(Standing.of, marks)
        boxes = [mark.outline.bounds for mark in marks]
        self._placed_boxes = np.concatenate([self._placed_boxes, boxes])
        self._tallest = max([self._tallest, *(mark.height for mark in marks)])

    def family(self, owners: Iterable[str]) -> Sequence[Standing]:
        """What is of these controls: holes, parts, and legends but for names and notes."""
        return [thing for owner in owners for thing in self._by_owner[owner]]

    def edge_of_names(self, owners: Collection[str], side: Side) -> float:
        """How far out the names of these controls reach that are placed above or below, mm.

        Nothing, as -inf, where there are none.
        """
        sign, edge = (1, 3) if side == "above" else (-1, 1)
        edges = [
            sign * box[edge]
            for each, box in zip(self._placed, self._placed_boxes.tolist(), strict=True)
            if each.owner in owners
        ]
        return max(edges, default=-math.inf)

    def room(self, each: Wanted, out: float, lines: int, style: TextStyle) -> float:
        """The width that so many lines may take between all that is another's, mm.

        Nothing, where they would run off the panel; and no more than they could need.
        """
        space = gap(style.height)
        width, height = self._size
        needed = width_at(each.text, each.style, style.height)
        left, low, right, high = each.box(out, needed + 2 * space, lines, style)
        begin, end = max(left, space), min(right, width - space)
        if low < space or high > height - space or begin >= end:
            return 0.0
        x = each.centre[0]
        for box, wanted in self._in_the_way(each, out, lines, style, (begin, end)):
            if each.side != "left" and box[0] >= x:
                end = min(end, box[0] - wanted)
            if each.side != "right" and box[2] <= x:
                begin = max(begin, box[2] + wanted)
        if each.is_beside:
            return end - begin
        return 2 * min(x - begin, end - x)

    def _in_the_way(
        self, each: Wanted, out: float, lines: int, style: TextStyle, across: tuple[float, float]
    ) -> Iterator[tuple[Box, float]]:
        """What stands in the way from here to there, and the space that it wants.

        Another's part wants as much as the name keeps from its own control, lest it is read
        for that one.
        """
        _, low, _, high = each.box(out, 0.0, lines, style)
        space = gap(style.height)
        from_own = space
        if each.storey == 1:  # from the second, a line leads to its own
            from_own = max(space, self._from_family(each, out, style))
        furthest = max(from_own, apart_on_a_baseline(style.height, self._tallest))
        begin, end = across[0] - furthest, across[1] + furthest
        if each.side == "right":
            begin = across[0]
        if each.side == "left":
            end = across[1]
        baselines = each.baselines(out, lines, style)
        for thing, box in self._within((begin, low - space, end, high + space), each.holes):
            wanted = space
            if thing.text and on_one_baseline(
                baselines, thing.text.baselines, min(style.height, thing.text.height)
            ):
                wanted = apart_on_a_baseline(style.height, thing.text.height)
            yield box, wanted
        for thing, box in self._within((begin, low - from_own, end, high + from_own), each.holes):
            if thing.is_part:
                aside = max(low - box[3], box[1] - high, 0.0)
                yield box, math.sqrt(max(0.0, from_own**2 - aside**2))

    def _from_family(self, each: Wanted, out: float, style: TextStyle) -> float:
        """How far the name stands from the rest of its control, mm."""
        width = width_at(each.text, each.style, style.height)
        place = shapely.box(*each.box(out, width, each.lines, style))
        shapes = [thing.shape for thing in self.family(each.holes)]
        return float(shapely.distance(place, shapes).min())

    def _within(self, box: Box, owners: Collection[str]) -> Iterator[tuple[Standing, Box]]:
        """What lies in a box and is not of these controls, and the bounds of so much of it.

        Names already placed count, whosever they are.
        """
        x0, y0, x1, y1 = box
        near = [self._things[i] for i in self._tree.query(shapely.box(*box))]
        near = [thing for thing in near if thing.owner not in owners]
        boxes = self._placed_boxes
        hit = (boxes[:, 0] < x1) & (boxes[:, 2] > x0) & (boxes[:, 1] < y1) & (boxes[:, 3] > y0)
        near += [self._placed[i] for i in np.flatnonzero(hit)]
        if not near:
            return
        bounds = shapely.bounds(shapely.clip_by_rect([thing.shape for thing in near], *box))
        for thing, part in zip(near, bounds.tolist(), strict=True):
            if not math.isnan(part[0]):
                yield thing, tuple(part)
