"""Find the line on which a straight scale stands, by itself or shared with its neighbour."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from legend.layout.artwork import Opening
from legend.layout.names.rows import SAME_AXIS
from legend.layout.scales.tracks import StraightTrack
from legend.lettering.outlines.outline import Box, Outline
from legend.standards import LEAST_MARK_GAP
from legend.vector import Vector

#: A slide, a bar or an edge meter: its opening, and the box round what covers it.
Slide = tuple[Opening, Box]


@dataclass(frozen=True, slots=True)
class SharedTrack:
    """The line beside a slide whose numerals stand between it and that of its neighbour."""

    own: StraightTrack
    other: StraightTrack

    @property
    def length(self) -> float:
        return self.own.length

    @property
    def closed(self) -> bool:
        return False

    @property
    def turned_over(self) -> SharedTrack:
        """The same from the side of the neighbour."""
        return SharedTrack(self.other, self.own)

    def middle(self, fraction: float) -> Vector:
        """The point between both slides at this part of the travel."""
        return (self.own.point(fraction) + self.other.point(fraction)) / 2

    def point(self, fraction: float, out: float = 0.0) -> Vector:
        return self.own.point(fraction, out)

    def line(self, begin: float, end: float, out: float, width: float) -> Outline:
        return self.own.line(begin, end, out, width)

    def pushed(
        self, outlines: Sequence[Outline], fractions: Sequence[float], out: float
    ) -> list[Outline]:
        placed = []
        for outline, (x, y) in zip(outlines, map(self.middle, fractions), strict=True):
            x0, y0, x1, y1 = outline.bounds
            placed.append(outline.moved(x - (x0 + x1) / 2, y - (y0 + y1) / 2))
        return placed

    def pushed_anchored(
        self, outlines: Sequence[Outline], fractions: Sequence[float], out: float
    ) -> list[Outline]:
        """Outlines with their origin in the middle between both slides, however far that is out."""
        places = map(self.middle, fractions)
        return [outline.moved(*place) for outline, place in zip(outlines, places, strict=True)]


def slide_track(slide: Slide, towards: float = 1.0) -> StraightTrack:
    """The line on which a slide's scale stands: right of an upright slide, above a level one.

    With `towards` -1, on the other side.
    """
    opening, (x0, y0, x1, y1) = slide
    left, bottom, right, top = opening.outline.bounds
    if is_upright(opening):
        x = x1 + LEAST_MARK_GAP if towards > 0 else x0 - LEAST_MARK_GAP
        return StraightTrack(Vector(x, bottom), Vector(x, top), Vector(towards, 0.0))
    y = y1 + LEAST_MARK_GAP if towards > 0 else y0 - LEAST_MARK_GAP
    return StraightTrack(Vector(left, y), Vector(right, y), Vector(0.0, towards))


def shared_track(slide: Slide, neighbour: Slide) -> SharedTrack | None:
    """The lines of two slides that face each other; None for such as do not.

    They run the same way, from one level to one level, and there is room between them.
    """
    (opening, _), (other, _) = slide, neighbour
    if is_upright(opening) != is_upright(other):
        return None
    across, along = (0, 1) if is_upright(opening) else (1, 0)
    towards = 1.0 if other.centre[across] > opening.centre[across] else -1.0
    own, facing = slide_track(slide, towards), slide_track(neighbour, -towards)
    ends = zip((own.begin, own.end), (facing.begin, facing.end), strict=True)
    if any(abs(here[along] - there[along]) > SAME_AXIS for here, there in ends):
        return None
    if towards * (facing.begin[across] - own.begin[across]) <= 0:
        return None
    return SharedTrack(own, facing)


def is_upright(opening: Opening) -> bool:
    """Whether a slide is moved up and down."""
    left, bottom, right, top = opening.outline.bounds
    return top - bottom >= right - left
