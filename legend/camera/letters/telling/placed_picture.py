"""Draw what was found of laid letters on their photograph: `Placed` in, the bytes of a PNG out.

The panel is turned upright and brought square, so that it can be held beside the overlay. Where
each letter is wanted is outlined, and each piece framed: green where it lies true, red where it is
to be laid again, yellow where it is not told.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from legend.camera.grids import grid_round, paint, picture_on
from legend.camera.letters.placed import Judged, Placed
from legend.camera.letters.telling.labels import Label, labels
from legend.camera.picture import linear_light
from legend.camera.srgb import encoded
from legend.drawing.colours import GREEN, RED, YELLOW, Colour
from legend.drawing.picture import drawn, png_file
from legend.drawing.proofs.coverage import Grid
from legend.lettering.outlines.boolean import from_shape
from legend.lettering.outlines.outline import Outline
from legend.standards import INCH

Pixels = NDArray[np.float32]

_PAPER: Colour = (255, 255, 255)
#: What the wanted place of letters may be outlined in: what stands out most from film and base.
_LINES: tuple[Colour, ...] = (
    (0, 0, 0),
    (255, 255, 255),
    (0, 60, 255),
    (230, 0, 200),
    (0, 200, 220),
)
#: Ground shown round the panel, mm; the longer side of the picture at the most, px.
_MARGIN, _LONGEST = 8.0, 2600
#: How wide the lines are, mm, and at the least, px: round letters and holes, and round a piece.
_LINE, _FRAME, _LEAST = 0.08, 0.3, 1.2
#: How far a frame is from the letters, mm.
_ROUND_LETTERS = 1.0


def placed_png(placed: Placed) -> bytes:
    """The bytes of the picture."""
    box = placed.artwork.panel.bounds
    x0, y0, x1, y1 = box
    longer = max(x1 - x0, y1 - y0) + 2 * _MARGIN
    seen = placed.seen.panel.view.pixels_per_mm(((x0 + x1) / 2, (y0 + y1) / 2))
    grid = grid_round(box, _MARGIN, min(1.2 * seen, _LONGEST / longer))
    image = picture_on(placed.seen.panel.picture, placed.seen.panel.view, grid)
    line = _line_colour(placed, image)
    rims = [hole.opening.outline for hole in placed.seen.holes]
    paint(image, grid, _lines_along(rims, _LINE, grid), GREEN)
    for judged in placed.pieces:
        paint(image, grid, _lines_along(judged.piece.wanted.marks, _LINE, grid), line)
        frame = from_shape(shapely.box(*judged.piece.wanted.box).buffer(_ROUND_LETTERS))
        paint(image, grid, _lines_along([frame], _FRAME, grid), _colour(judged))
    for label in labels(placed, grid):
        _draw(image, grid, label)
    pixels = np.clip(image + 0.5, 0, 255).astype(np.uint8)
    picture = drawn("RGB", (grid.width, grid.height), [pixels])
    return png_file(picture, grid.scale * INCH, f"{placed.artwork.description.called}, as laid")


def _colour(judged: Judged) -> Colour:
    return GREEN if judged.is_true else RED if judged.is_off else YELLOW


def _line_colour(placed: Placed, image: Pixels) -> Colour:
    """What stands out from the base coat and from the film, as they are seen."""
    rows, columns = (slice(side // 8, -side // 8, 5) for side in image.shape[:2])
    base = np.median(image[rows, columns].reshape(-1, 3), axis=0)
    light = linear_light()[np.rint(base).astype(int)] * placed.film.colour
    film = np.clip(encoded(light), 0, 1) * 255
    tones = np.array([base, film])

    def apart(colour: Colour) -> float:
        return float(np.abs(tones - np.array(colour)).sum(axis=1).min())

    return max(_LINES, key=apart)


def _lines_along(outlines: Sequence[Outline], width: float, grid: Grid) -> list[Outline]:
    """Lines of this width, mm, along outlines."""
    half = max(width, _LEAST / grid.scale) / 2
    return [from_shape(outline.shape.boundary.buffer(half)) for outline in outlines]


def _draw(image: Pixels, grid: Grid, label: Label) -> None:
    paint(image, grid, [Outline.rectangle(*label.box, 0.5)], _colour(label.judged))
    paint(image, grid, [label.words], _PAPER)
