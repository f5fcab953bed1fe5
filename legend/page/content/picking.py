"""Tell what lies nearest to a point of the panel, and how near its neighbour is.

A legend is found by its ink, not by a box round it; a part, or a hole, by lying under the point.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from legend.description.source import Source
from legend.drawing.segments import SVG, path_texts
from legend.drawing.spoken import called_by_hole, spoken
from legend.layout.artwork import Artwork, KeepOut, Mark, Opening, Role
from legend.layout.inspection.scene import what
from legend.length_words import Lengths
from legend.lettering.outlines.boolean import from_shape
from legend.lettering.outlines.outline import Outline
from legend.page.messages import Picked
from legend.sentences import printable

#: What stands round a control as one scale, or as one set of positions.
_TOGETHER = (Role.GRADUATION, Role.NUMERAL, Role.POSITION)
#: So many neighbours are measured at once, those first whose boxes are nearest.
_AT_ONCE = 16


@dataclass(frozen=True, slots=True, eq=False)
class _Thing:
    """Something on the panel: its shape, what it is called as a neighbour, and what it is part of.

    Things that are part of the same are no neighbours of each other.
    """

    shape: BaseGeometry
    called: str
    part_of: Hashable


class Picking:
    """An artwork with its shapes in order of their places, made once for all that is asked."""

    def __init__(self, artwork: Artwork) -> None:
        self._artwork = artwork
        self._lengths = Lengths(artwork.description.units)
        self._names = called_by_hole(artwork.description)
        self._controls = {control.hole: control for control in artwork.description.control}
        self._marks = [mark for mark in artwork.marks if mark.outline]
        self._covers = list(artwork.keep_outs)
        self._things = [
            *(
                _Thing(mark.outline.shape, _as_neighbour(mark), _whole(mark))
                for mark in self._marks
            ),
            *(_Thing(cover.shape, cover.what, ("part", cover.over)) for cover in self._covers),
        ]
        shapes = [thing.shape for thing in self._things]
        self._shapes = np.array(shapes, dtype=object)
        self._boxes = shapely.bounds(self._shapes).reshape(-1, 4)
        self._parts_of = [thing.part_of for thing in self._things]
        self._ink = shapely.STRtree(shapes[: len(self._marks)])
        self._parts = shapely.STRtree(shapes[len(self._marks) :])
        self._openings = shapely.STRtree([o.outline.shape for o in artwork.openings])

    def picked(self, ask: int, at: tuple[float, float]) -> Picked | None:
        """What lies nearest to a point; None where there is nothing on the panel at all."""
        point = shapely.Point(at)
        nearest = self._ink.nearest(point) if self._marks else None
        on_ink = nearest is not None and self._shapes[nearest].distance(point) == 0
        if not on_ink and (cover := self._part_at(point)) is not None:
            return self._part(ask, cover)
        if not on_ink and (opening := self._hole_at(point)) is not None:
            return self._hole(ask, opening)
        return None if nearest is None else self._mark(ask, int(nearest))

    # --- What is there ---

    def _part_at(self, point: BaseGeometry) -> int | None:
        """The smallest part, or bare metal, that a point lies on, by its number among the parts."""
        found = self._parts.query(point, "intersects").tolist()
        return min(found, key=lambda number: self._covers[number].shape.area, default=None)

    def _hole_at(self, point: BaseGeometry) -> Opening | None:
        found = self._openings.query(point, "intersects").tolist()
        return self._artwork.openings[found[0]] if found else None

    def _mark(self, ask: int, number: int) -> Picked:
        mark = self._marks[number]
        return self._told(ask, self._said(mark), mark.source, mark.owner, mark.outline, number)

    def _part(self, ask: int, number: int) -> Picked:
        cover = self._covers[number]
        hole = cover.over
        control = self._controls.get(cover.owner)
        source = control.source if control else self._artwork.opening(hole).hole.source
        words = f"{self._names.get(hole, hole)}, {self._covered(cover)}"
        outline = from_shape(cover.shape)
        return self._told(ask, words, source, hole, outline, len(self._marks) + number)

    def _hole(self, ask: int, opening: Opening) -> Picked:
        words = f"hole {opening.id}, {self._size(opening)}"
        return self._told(ask, words, opening.hole.source, opening.id, opening.outline, None)

    # --- In words ---

    def _said(self, mark: Mark) -> str:
        text = " ".join(spoken(mark.text).split())
        if not text:
            return what(mark).removeprefix("the ")
        of = f" of {mark.owner}" if mark.owner and mark.owner != text else ""
        tall = f"{self._lengths.said(mark.height)} capitals"
        if mark.role is Role.SYMBOL:
            return f"{text}{of}, set with {tall}"
        return f"{text}, {mark.role}{of}, {tall}"

    def _covered(self, cover: KeepOut) -> str:
        """What a part covers, and in which hole; or what is there instead of one."""
        size, hole = cover.size(self._lengths), self._size(self._artwork.opening(cover.over))
        control = self._controls.get(cover.owner)
        if not cover.fitted or control is None:
            is_bare = cover.shape is not self._artwork.opening(cover.over).outline.shape
            return f"bare metal, {size}, round a hole of {hole}" if is_bare else f"hole, {hole}"
        kind = "screw" if cover.screw else control.kind
        taken = "is taken to cover" if cover.assumed else "covers"
        return f"{kind}, {taken} {size}, in a hole of {hole}"

    def _size(self, opening: Opening) -> str:
        return f"{opening.hole.shape.words(self._lengths.exact)} {self._lengths.unit}"

    # --- Its neighbour ---

    def _told(
        self,
        ask: int,
        words: str,
        source: Source,
        hole: str,
        outline: Outline,
        number: int | None,
    ) -> Picked:
        """The answer, with the neighbour of what has this number among all things."""
        own = source.file == self._artwork.description.source.file
        (path,) = path_texts([outline], SVG, self._artwork.panel.bounds[3])
        picked = (ask, _words(words), source.line if own else 0, hole, path)
        near = None if number is None else self._neighbour(number)
        if number is None or near is None:
            return Picked(*picked)
        line = shapely.shortest_line(self._shapes[number], self._shapes[near])
        begin, end = ((float(x), float(y)) for x, y in line.coords)
        gap = float(line.length)
        where = f"{self._lengths.said(gap)} to {self._things[near].called}"
        told = f"{words}, {where}" if gap else f"{words}, on {self._things[near].called}"
        return Picked(ask, _words(told), *picked[2:], gap=gap, gap_from=begin, gap_to=end)

    def _neighbour(self, number: int) -> int | None:
        """The number of the thing that is nearest, and no part of the same."""
        least, found = np.inf, None
        for chunk, apart in self._by_boxes(number):
            if apart > least:
                break
            gaps = shapely.distance(self._shapes[number], self._shapes[chunk])
            nearest = int(np.argmin(gaps))
            if gaps[nearest] < least:
                least, found = float(gaps[nearest]), int(chunk[nearest])
        return found

    def _by_boxes(
        self, number: int
    ) -> Iterator[tuple[np.ndarray[tuple[int], np.dtype[np.intp]], float]]:
        """The other things, those with the nearest boxes first, and how near those are at least."""
        x0, y0, x1, y1 = self._boxes[number]
        left, bottom, right, top = self._boxes.T
        apart = np.hypot(
            np.maximum(np.maximum(left - x1, x0 - right), 0),
            np.maximum(np.maximum(bottom - y1, y0 - top), 0),
        )
        own = self._parts_of[number]
        same = [i for i, part_of in enumerate(self._parts_of) if part_of == own]
        apart[same] = np.inf
        order = np.argsort(apart)
        order = order[np.isfinite(apart[order])]
        shapely.prepare(self._shapes[number])
        for begin in range(0, len(order), _AT_ONCE):
            chunk = order[begin : begin + _AT_ONCE]
            yield chunk, float(apart[chunk[0]])


def _words(said: str) -> str:
    return printable(said)


def _whole(mark: Mark) -> Hashable:
    """What a mark is part of: the scale or the positions of its control, or nothing but itself."""
    together = mark.owner and mark.role in _TOGETHER
    return ("round", mark.owner) if together else ("alone", id(mark))


def _as_neighbour(mark: Mark) -> str:
    is_scale = mark.owner and mark.role in (Role.GRADUATION, Role.NUMERAL)
    return f"the scale of {mark.owner}" if is_scale else spoken(what(mark))
