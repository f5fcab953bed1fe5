"""Draw what was found of laid letters on their photograph: `Placed` in, the bytes of a PNG out.

The panel is turned upright and brought square, so that it can be held beside the overlay. Where
each letter is wanted is outlined, and each piece framed: green where it lies true, red where it is
to be laid again, yellow where it is not told.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray

from legend.camera.letters.grids import cover_of, grid_round
from legend.camera.letters.placed import Judged, Placed
from legend.camera.letters.sayings import short_of
from legend.drawing.colours import Colour
from legend.drawing.picture import drawn, png_file
from legend.drawing.proofs.coverage import Grid
from legend.length_words import Lengths
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import BUILT_IN, load_face
from legend.lettering.outlines.boolean import from_shape
from legend.lettering.outlines.outline import Box, Outline
from legend.lettering.typesetting import set_text
from legend.standards import INCH

_GREEN: Colour = (0, 158, 60)
_YELLOW: Colour = (214, 158, 0)
_RED: Colour = (216, 30, 40)
_PAPER: Colour = (255, 255, 255)
#: Ground shown round the panel, mm; the longer side of the picture at the most, px.
_MARGIN, _LONGEST = 8.0, 3200
#: How wide the lines are, mm: round the letters, and round a piece.
_LINE, _BOX_LINE = 0.12, 0.3
#: Height of the words, mm, and what is round them.
_WORDS, _ROUND_WORDS = 2.4, 0.7


def placed_png(placed: Placed) -> bytes:
    """The bytes of the picture."""
    box = placed.artwork.panel.bounds
    x0, y0, x1, y1 = box
    longer = max(x1 - x0, y1 - y0) + 2 * _MARGIN
    seen = placed.seen.panel.view.pixels_per_mm(((x0 + x1) / 2, (y0 + y1) / 2))
    grid = grid_round(box, _MARGIN, min(1.2 * seen, _LONGEST / longer))
    image = _as_seen(placed, grid)
    _draw_holes(placed, grid, image)
    for colour in (_GREEN, _YELLOW, _RED):
        pieces = [each for each in placed.pieces if _colour(each) == colour]
        lines = [line for each in pieces for line in _outlines(each, grid)]
        _paint(image, cover_of(lines, grid), colour)
    _draw_words(placed, grid, image)
    pixels = np.clip(image + 0.5, 0, 255).astype(np.uint8)
    picture = drawn("RGB", (grid.width, grid.height), [pixels])
    return png_file(picture, grid.scale * INCH, f"{placed.artwork.description.called}, as laid")


def _colour(judged: Judged) -> Colour:
    return _GREEN if judged.is_true else _RED if judged.is_off else _YELLOW


def _as_seen(placed: Placed, grid: Grid) -> NDArray[np.float32]:
    """The photograph, upright and square, as its file has its colours; grey where it ends."""
    light = placed.seen.panel.light_on(grid)
    light[~np.isfinite(light)] = 0.2
    light = np.clip(light, 0, 1)
    # IEC 61966-2-1 (sRGB), 5.2.
    low, high = 12.92 * light, 1.055 * light ** np.float32(1 / 2.4) - 0.055
    out: NDArray[np.float32] = np.where(light <= 0.0031308, low, high) * np.float32(255)
    return out


def _paint(image: NDArray[np.float32], cover: NDArray[np.float32], colour: Colour) -> None:
    image += cover[:, :, None] * (np.array(colour, np.float32) - image)


def _outlines(judged: Judged, grid: Grid) -> Iterator[Outline]:
    """Fine lines round the letters where they are wanted; round the piece too, unless it is true."""
    wanted = judged.piece.wanted
    half = max(_LINE / 2, 0.6 / grid.scale)
    for mark in wanted.marks:
        yield from_shape(mark.shape.boundary.buffer(half))
    if not judged.is_true:
        frame = shapely.box(*wanted.box).buffer(1.0)
        yield from_shape(frame.boundary.buffer(max(_BOX_LINE / 2, 1 / grid.scale)))


def _draw_holes(placed: Placed, grid: Grid, image: NDArray[np.float32]) -> None:
    """Fine lines where the list has the holes that the picture was measured by."""
    half = max(_LINE / 2, 0.6 / grid.scale)
    rims = [
        from_shape(hole.opening.outline.shape.boundary.buffer(half)) for hole in placed.seen.holes
    ]
    _paint(image, cover_of(rims, grid), _GREEN)


# --- Words ---


def _draw_words(placed: Placed, grid: Grid, image: NDArray[np.float32]) -> None:
    """The number of each piece, and in a few words what is wrong with it, beside it."""
    style = TextStyle(load_face(BUILT_IN, Path()), _WORDS)
    lengths = Lengths(placed.artwork.description.units)
    taken: list[Box] = [each.piece.wanted.box for each in placed.pieces]
    holes = [opening.outline.bounds for opening in placed.artwork.openings]
    for judged in sorted(placed.pieces, key=lambda each: each.is_true):
        number = str(judged.piece.wanted.piece.number)
        words = number if judged.is_true else f"{number}: {short_of(judged, lengths)}"
        text = set_text(words, style).outline
        x0, y0, x1, y1 = text.bounds
        size = x1 - x0 + 2 * _ROUND_WORDS, y1 - y0 + 2 * _ROUND_WORDS
        box = _room(judged.piece.wanted.box, size, [*taken, *holes], grid)
        taken.append(box)
        _paint(image, cover_of([Outline.rectangle(*box)], grid), _colour(judged))
        text = text.moved(box[0] + _ROUND_WORDS - x0, box[1] + _ROUND_WORDS - y0)
        _paint(image, cover_of([text], grid), _PAPER)


def _room(box: Box, size: tuple[float, float], taken: Sequence[Box], grid: Grid) -> Box:
    """Where words of this size stand round a box: where they lie least on what is taken."""
    width, height = size
    left, bottom, right, top = box
    gap = 1.4
    xs = (left, (left + right - width) / 2, right - width)
    places = [(x, y) for y in (top + gap, bottom - gap - height) for x in xs]
    places += [(x, (bottom + top - height) / 2) for x in (right + gap, left - gap - width)]
    places += [(left + gap, top - height - gap), (left + gap, bottom + gap)]
    x0, y1 = grid.left, grid.top
    x1, y0 = x0 + grid.width / grid.scale, y1 - grid.height / grid.scale

    def hidden(place: tuple[float, float]) -> float:
        x, y = place
        beyond = max(x0 - x, 0, x + width - x1) + max(y0 - y, 0, y + height - y1)
        common = 0.0
        for l, b, r, t in taken:
            w, h = min(x + width, r) - max(x, l), min(y + height, t) - max(y, b)
            common += max(w, 0) * max(h, 0)
        return common + 1000 * beyond

    x, y = min(places, key=hidden)
    return x, y, x + width, y + height
