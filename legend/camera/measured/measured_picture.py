"""Draw what was measured on the picture it was measured in: `Measured` in, the bytes of a PNG out.

The panel is turned upright and brought square, and shown in grey, so that what is drawn stands out:
every hole with its rim, its middle, its name and its size. Green is sure; yellow is doubtful, and
to be looked at; red is missing, or none of the holes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray

from legend.camera.grids import grid_round, paint, picture_on
from legend.camera.holes.found_hole import FoundHole
from legend.camera.measured.measured import Measured
from legend.camera.measured.sayings import size_words
from legend.camera.view import Points
from legend.description.shapes.edge import Edge
from legend.drawing.colours import GREEN, RED, YELLOW, Colour
from legend.drawing.picture import drawn, png_file
from legend.drawing.proofs.coverage import Grid
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import BUILT_IN, load_face
from legend.lettering.outlines.boolean import from_shape
from legend.lettering.outlines.outline import Box, Outline
from legend.lettering.typesetting import set_text
from legend.standards import INCH

_WHITE: Colour = (255, 255, 255)
#: Colours in the order in which they are drawn, each over those before it.
_IN_TURN: tuple[Colour, ...] = (GREEN, YELLOW, RED)
#: Ground shown round the panel, mm; pixels of the longer side at the most.
_MARGIN, _LONGEST = 7.0, 2000
#: How wide lines are, and how far a cross reaches from a middle, mm, on a panel of usual size.
_LINE, _CROSS = 0.22, 1.4
#: Height of the words and what is round them, mm; of a larger panel, in parts of its longer side.
_WORDS, _ROUND, _WORDS_PART = 2.2, 0.6, 0.011
#: The grey of the picture goes from this to white, so that lines are seen on black too.
_DARKEST = 40


@dataclass(frozen=True, slots=True, eq=False)
class _Drawn:
    """Something to draw: lines about a place, and words beside it."""

    colour: Colour
    lines: tuple[shapely.Geometry, ...]
    box: Box
    words: str


def measured_png(measured: Measured) -> bytes:
    """The bytes of the picture, in which the first of the pictures is shown."""
    width, height = measured.panel.size
    box = (0.0, 0.0, width, height)
    view = measured.seen[0].view
    longer = max(width, height) + 2 * _MARGIN
    scale = min(1.2 * view.pixels_per_mm((width / 2, height / 2)), _LONGEST / longer)
    grid = grid_round(box, _MARGIN, scale)
    image = _as_seen(measured, grid)
    size = max(_WORDS, _WORDS_PART * longer)
    everything = list(_everything(measured, size / _WORDS))
    half = max(_LINE * size / _WORDS / 2, 0.8 / scale)
    for each in sorted(everything, key=lambda each: _IN_TURN.index(each.colour)):
        paint(image, grid, [from_shape(line.buffer(half)) for line in each.lines], each.colour)
    _write(everything, grid, image, size)
    pixels = np.clip(image + 0.5, 0, 255).astype(np.uint8)
    title = measured.description.called if measured.description else "Panel"
    return png_file(
        drawn("RGB", (grid.width, grid.height), [pixels]), scale * INCH, f"{title}, as measured"
    )


def _as_seen(measured: Measured, grid: Grid) -> NDArray[np.float32]:
    """The first picture, upright and square, in grey."""
    seen = measured.seen[0]
    grey = picture_on(seen.picture, seen.view, grid) @ np.full(3, 1 / 3, np.float32)
    out = _DARKEST + grey * np.float32((255 - _DARKEST) / 255)
    return np.repeat(out[:, :, None], 3, axis=2)


# --- What is drawn ---


def _everything(measured: Measured, larger: float) -> Iterator[_Drawn]:
    lengths = measured.lengths
    for hole in measured.holes:
        found = hole.found
        doubt = "" if hole.is_sure else " ?"
        words = f"{hole.id}  {size_words(found, lengths)}{doubt}"
        colour = GREEN if hole.is_sure else YELLOW
        yield _Drawn(colour, (*_rim(found), *_cross(found.at, larger)), found.edge.box, words)
    for missing in measured.missing:
        edge = missing.wanted.shape.edge.turned(missing.wanted.angle).moved(*missing.at)
        x0, y0, x1, y1 = edge.box
        struck = shapely.LineString([(x0, y0), (x1, y1)]), shapely.LineString([(x0, y1), (x1, y0)])
        yield _Drawn(RED, (_ring(edge), *struck), edge.box, f"{missing.id} is missing")
    marks = [missing.mark for missing in measured.missing if missing.mark]
    for extra in (*measured.extra, *marks):
        x, y = extra.at
        far = extra.width / 2 + larger
        yield _Drawn(
            RED,
            (shapely.Point(x, y).buffer(far).exterior,),
            (x - far, y - far, x + far, y + far),
            "not in the design" if measured.description else "no hole",
        )


def _rim(hole: FoundHole) -> Iterator[shapely.Geometry]:
    ring = _ring(hole.edge)
    yield ring
    if hole.chamfer:
        yield shapely.Polygon(ring).buffer(hole.chamfer).exterior


def _ring(edge: Edge) -> shapely.LinearRing:
    points: Points = np.array([(p.x, p.y) for p in edge.points(32)])
    return shapely.LinearRing(points)


def _cross(at: tuple[float, float], larger: float) -> Iterator[shapely.Geometry]:
    x, y = at
    reach = _CROSS * larger
    yield shapely.LineString([(x - reach, y), (x + reach, y)])
    yield shapely.LineString([(x, y - reach), (x, y + reach)])


# --- Words ---


def _write(
    everything: Sequence[_Drawn], grid: Grid, image: NDArray[np.float32], size: float
) -> None:
    """The words of each, white on its colour, beside it where there is room."""
    style = TextStyle(load_face(BUILT_IN, Path()), size)
    around = _ROUND * size / _WORDS
    taken: list[Box] = [each.box for each in everything]
    for each in everything:
        text = set_text(each.words, style).outline
        x0, y0, x1, y1 = text.bounds
        box = _room(each.box, (x1 - x0 + 2 * around, y1 - y0 + 2 * around), taken, grid)
        taken.append(box)
        paint(image, grid, [Outline.rectangle(*box)], each.colour)
        moved = text.moved(box[0] + around - x0, box[1] + around - y0)
        paint(image, grid, [moved], _WHITE)


def _room(box: Box, size: tuple[float, float], taken: Sequence[Box], grid: Grid) -> Box:
    """Where words of this size stand beside a box, in the picture: where they hide least."""
    width, height = size
    left, bottom, right, top = box
    x1, y0 = grid.left + grid.width / grid.scale, grid.top - grid.height / grid.scale
    gap = 0.8
    places = []
    for further in (0.0, height + gap, 2 * (height + gap)):
        for y in (top + gap + further, bottom - gap - further - height):
            places += [(x, y) for x in ((left + right - width) / 2, left, right - width)]
        middle = (bottom + top - height) / 2
        places += [(right + gap + further, middle), (left - gap - further - width, middle)]
    inside = [
        (
            min(max(x, grid.left), x1 - width),
            min(max(y, y0), grid.top - height),
        )
        for x, y in places
    ]

    def hidden(place: tuple[float, float]) -> float:
        x, y = place
        return sum(
            max(min(x + width, r) - max(x, beg), 0) * max(min(y + height, t) - max(y, b), 0)
            for beg, b, r, t in taken
        )

    x, y = min(inside, key=hidden)
    return x, y, x + width, y + height
