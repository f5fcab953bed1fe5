"""Arrange guessed parts roughly: on which side each is named, and what else it says.

A rough reckoning with boxes, for a description to begin with: the layout proper comes later
and knows the letters. Heights are those for the usual viewing distance.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from legend.description.kinds import KINDS
from legend.description.tables.description import Side
from legend.description.tables.hole import Hole

#: Left, bottom, right, top, mm.
Box = tuple[float, float, float, float]

#: Capital heights of names and of positions, as chosen for 600 mm, and the space before each, mm.
_NAME, _NAME_SPACE = 3.5, 2.5
_WORD, _WORD_SPACE = 2.5, 1.3
#: Width of a capital with the space after it, in heights, about.
_PITCH = 0.85
#: How far a scale reaches past what covers its middle, and a frame past a window, mm, about.
_SCALE_REACH, _FRAME_REACH = 7.2, 2.0
#: Half the width of the words of a lever, such as OFF, and of a fuse's rating, in letters, about.
_HALF_WORD, _HALF_RATING = 1.5, 5.5
#: How far down of that they go, the dead zone of a control being at the bottom.
_BELOW = {
    "knob": 0.87,
    "selector": 0.4,
    "keyswitch": 0.4,
    **dict.fromkeys(("window", "display", "meter"), 1.0),
}
#: Kept free round legends, mm.
_CLEAR = 1.75
#: Holes in a row, mm; names whose natural places differ by less share a baseline, mm.
_SAME_ROW, _SHARED = 1.0, 10.0


@dataclass(frozen=True, slots=True)
class Part:
    """A part in its hole on the panel: what it is, its name, and half of what it covers."""

    id: str
    kind: str
    name: str
    at: tuple[float, float]
    half: tuple[float, float]

    @property
    def cover(self) -> Box:
        """What it hides."""
        (x, y), (across, up) = self.at, self.half
        return x - across, y - up, x + across, y + up


@dataclass(frozen=True, slots=True)
class Arrangement:
    """The side of a name, and whether the part's scale or positions are lettered."""

    side: Side = "above"
    lettered: bool = True


def part_of(id: str, kind: str, name: str, hole: Hole, at: tuple[float, float]) -> Part:
    """A part of a kind in a hole, as large as it usually is."""
    cover = hole.shape.cover(KINDS[kind].covers_factor, KINDS[kind].covers_extra)
    x0, y0, x1, y1 = cover.turned(hole.angle).box
    return Part(id, kind, name, at, ((x1 - x0) / 2, (y1 - y0) / 2))


def reach_of(part: Part) -> Box:
    """All that a part takes with its legends where there is room for them: its name above it."""
    boxes = [part.cover, *_legends(part, Arrangement(), 0.0)]
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return min(x0) - _CLEAR, min(y0) - _CLEAR, max(x1) + _CLEAR, max(y1) + _CLEAR


def arranged(parts: Sequence[Part], size: tuple[float, float]) -> Mapping[str, Arrangement]:
    """How each part's legends go so that they meet as little as can be, on a panel of this size."""
    edges = {part.id: _row_edge(part, parts) for part in parts}
    taken = [part.cover for part in parts]
    chosen: dict[str, Arrangement] = {}
    for part in sorted(parts, key=lambda part: (-part.at[1], part.at[0])):
        best = min(
            _possible(part),
            key=lambda way: _trouble(_legends(part, way, edges[part.id]), part.cover, taken, size),
        )
        chosen[part.id] = best
        taken += _legends(part, best, edges[part.id])
    return chosen


def _possible(part: Part) -> Iterator[Arrangement]:
    """The ways a part may be arranged, the best first."""
    has_more = part.kind in ("knob", "selector", "toggle")
    sides: tuple[Side, ...] = ("above", "below", "right", "left")
    if has_more:
        yield from (Arrangement(side) for side in sides[:2])
    yield from (Arrangement(side, not has_more) for side in sides)


def _trouble(
    legends: Sequence[Box], own: Box, taken: Sequence[Box], size: tuple[float, float]
) -> int:
    """How often legends would run off the panel, or into what is there already."""
    width, height = size
    count = 0
    for x0, y0, x1, y1 in legends:
        count += 2 * (x0 < _CLEAR or y0 < _CLEAR or x1 > width - _CLEAR or y1 > height - _CLEAR)
        count += sum(
            x0 - _CLEAR < box[2]
            and x1 + _CLEAR > box[0]
            and y0 - _CLEAR < box[3]
            and y1 + _CLEAR > box[1]
            for box in taken
            if box != own
        )
    return count


def _row_edge(part: Part, parts: Sequence[Part]) -> float:
    """How far above its hole the names of a part's row begin, if they share a baseline."""
    own = _name_edge(part)
    row = [
        _name_edge(other)
        for other in parts
        if abs(other.at[1] - part.at[1]) <= _SAME_ROW and other.name
    ]
    return max((edge for edge in row if abs(edge - own) <= _SHARED), default=own)


def _name_edge(part: Part) -> float:
    """How far above its hole a part's name would begin by itself."""
    return part.half[1] + _more(part, lettered=True) + _NAME_SPACE


def _more(part: Part, lettered: bool) -> float:
    """How far what hugs a part reaches past what it covers."""
    if part.kind in ("window", "display", "meter"):
        return _FRAME_REACH
    if not lettered:
        return 0.0
    if part.kind in ("toggle", "rocker"):
        return _WORD_SPACE + _WORD
    return _SCALE_REACH if KINDS[part.kind].lays == "round" else 0.0


def _legends(part: Part, way: Arrangement, row_edge: float) -> list[Box]:
    """About where the legends of a part would stand."""
    if not part.name:
        return []
    (x, y), (across, up) = part.at, part.half
    more = _more(part, way.lettered)
    boxes = []
    if part.kind in _BELOW and more:
        below = (up + more) * _BELOW[part.kind]
        boxes.append((x - across - more, y - below, x + across + more, y + up + more))
    elif more:
        half = _HALF_WORD * _PITCH * _WORD
        boxes.append((x - half, y + up + _WORD_SPACE, x + half, y + up + more))
        boxes.append((x - half, y - up - more, x + half, y - up - _WORD_SPACE))
    if part.kind == "fuse":
        half = _HALF_RATING * _PITCH * _WORD
        below = y - up if way.side != "below" else y + up + _WORD + 2 * _WORD_SPACE
        boxes.append((x - half, below - _WORD_SPACE - _WORD, x + half, below - _WORD_SPACE))
    half = _PITCH * _NAME * (1 if part.name.startswith("symbol:") else len(part.name)) / 2
    edge = up + more + _NAME_SPACE
    if way.side == "above":
        edge = max(edge, row_edge)
        boxes.append((x - half, y + edge, x + half, y + edge + _NAME))
    elif way.side == "below":
        boxes.append((x - half, y - edge - _NAME, x + half, y - edge))
    else:
        begin = across + (more if part.kind != "toggle" else 0.0) + _NAME_SPACE
        middle = begin + half if way.side == "right" else -begin - half
        boxes.append((x + middle - half, y - _NAME / 2, x + middle + half, y + _NAME / 2))
    return boxes
