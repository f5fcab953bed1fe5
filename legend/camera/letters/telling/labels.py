"""Put words beside pieces in their photograph: the number of each, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from legend.camera.letters.placed import Judged, Placed
from legend.camera.letters.telling.sayings import short_of
from legend.drawing.proofs.coverage import Grid
from legend.length_words import Lengths
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import BUILT_IN, load_face
from legend.lettering.outlines.outline import Box, Outline
from legend.lettering.typesetting import set_text

#: How high the words are, as a part of the picture's longer side; and at the least and most, mm.
_PART, _LEAST, _MOST = 1 / 90, 1.6, 4.0
#: What is round the words, in their height; how far they stand off what they tell of, mm.
_ROUND, _OFF = 0.35, 1.5
#: What is worse than to lie on a square millimetre of something: to lie on one of a hole, or out of
#: the picture by a millimetre.
_ON_HOLE, _OUT = 3.0, 1000.0


@dataclass(frozen=True, slots=True, eq=False)
class Label:
    """Words on a plate, where they stand on the panel, and the piece that they tell of."""

    judged: Judged
    box: Box
    words: Outline


def labels(placed: Placed, grid: Grid) -> Iterator[Label]:
    """A label for each piece, in the picture of a grid; those with most to tell come first."""
    longer = max(grid.width, grid.height) / grid.scale
    height = float(np.clip(_PART * longer, _LEAST, _MOST))
    style = TextStyle(load_face(BUILT_IN, Path()), height)
    lengths = Lengths(placed.artwork.description.units)
    holes = [opening.outline.bounds for opening in placed.artwork.openings]
    taken: list[tuple[Box, float]] = [(box, _ON_HOLE) for box in holes]
    taken += [(box, 1.0) for each in placed.pieces for box in _boxes(each)]
    for judged in sorted(placed.pieces, key=lambda each: each.is_true):
        number = str(judged.piece.wanted.piece.number)
        told = "see which way up" if judged.is_either_way_up else short_of(judged, lengths)
        words = number if judged.is_true and not judged.is_either_way_up else f"{number}: {told}"
        text = set_text(words, style).outline
        x0, y0, x1, y1 = text.bounds
        around = _ROUND * height
        size = x1 - x0 + 2 * around, height + 2 * around
        box = _room(judged.piece.wanted.box, size, taken, grid)
        taken.append((box, _ON_HOLE))
        yield Label(judged, box, text.moved(box[0] + around - x0, box[1] + around))


def _boxes(judged: Judged) -> list[Box]:
    """The boxes round the marks of a piece, one by one: between them there may be room."""
    return [mark.bounds for mark in judged.piece.wanted.marks]


def _room(
    box: Box, size: tuple[float, float], taken: Sequence[tuple[Box, float]], grid: Grid
) -> Box:
    """Where words of this size stand round a box: where they lie least on what is taken."""
    width, height = size
    left, bottom, right, top = box
    xs = (left, (left + right - width) / 2, right - width)
    ys = (top - height, (bottom + top - height) / 2, bottom)
    places = [(x, y) for y in (top + _OFF, bottom - _OFF - height) for x in xs]
    places += [(x, y) for x in (right + _OFF, left - _OFF - width) for y in ys]
    places += [(x, y) for x in xs for y in ys]
    x0, y1 = grid.left, grid.top
    x1, y0 = x0 + grid.width / grid.scale, y1 - grid.height / grid.scale

    def hidden(place: tuple[float, float]) -> float:
        x, y = place
        out = max(x0 - x, 0) + max(x + width - x1, 0) + max(y0 - y, 0) + max(y + height - y1, 0)
        return _OUT * out + sum(
            weight * max(min(x + width, r) - max(x, a), 0) * max(min(y + height, t) - max(y, b), 0)
            for (a, b, r, t), weight in taken
        )

    x, y = min(places, key=hidden)
    return x, y, x + width, y + height
