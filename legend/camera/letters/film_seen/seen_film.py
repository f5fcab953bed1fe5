"""See the film that lies on a panel in a photograph: a box of the panel in, its cover by film out.

What is near the edge of the panel and near its holes is left out, as it is neither film nor paint.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from legend.camera.grids import cover_of, grid_round
from legend.camera.letters.by_holes.seen_panel import SeenPanel
from legend.camera.letters.film_seen.film import Film, Light, base_noise, film_colour, of_base
from legend.camera.letters.pieces.wanted import Wanted
from legend.camera.picture import Picture
from legend.drawing.proofs.coverage import Grid
from legend.layout.artwork import Artwork
from legend.lettering.outlines.boolean import from_shape
from legend.lettering.outlines.outline import Box, Outline

#: How far round a piece is looked, mm.
_AROUND = 4.5
#: What of the panel's edge and of holes is left out round about, mm.
_OFF_EDGE, _OFF_HOLES = 0.7, 0.5
#: Pixels to the mm that are looked at, and how many in all.
_FINEST, _MOST_PIXELS = 12.0, 7_000_000
#: Of rows and columns of the picture, one in so many is looked at for what is lightest.
_SOME = 9


@dataclass(frozen=True, slots=True, eq=False)
class Patch:
    """What is seen of film round a box of the panel: its cover, 0 to 1 but for noise, on a grid;
    and the same by lightness alone. What is not `known` is a hole, or beyond the edge.
    """

    grid: Grid
    cover: Light
    by_light: Light
    known: NDArray[np.bool_]

    def round_box(self, box: Box, around: float = _AROUND) -> Patch:
        """The part of it round a box, as far as it goes."""
        left, bottom, right, top = box
        grid = self.grid
        x0 = max(math.floor((left - around - grid.left) * grid.scale), 0)
        y0 = max(math.floor((grid.top - top - around) * grid.scale), 0)
        x1 = min(math.ceil((right + around - grid.left) * grid.scale), grid.width)
        y1 = min(math.ceil((grid.top - bottom + around) * grid.scale), grid.height)
        corner = grid.left + x0 / grid.scale, grid.top - y0 / grid.scale
        part = slice(y0, y1), slice(x0, x1)
        smaller = Grid(x1 - x0, y1 - y0, grid.scale, *corner)
        return Patch(smaller, self.cover[part], self.by_light[part], self.known[part])

    def meets(self, box: Box) -> bool:
        """Whether a box of the panel lies on it, in part at least."""
        left, bottom, right, top = box
        grid = self.grid
        width, height = grid.width / grid.scale, grid.height / grid.scale
        across = grid.left < right and left < grid.left + width
        return across and grid.top - height < top and bottom < grid.top


def patch_of(grid: Grid, film: Film, by_base: Light) -> Patch:
    """What is seen of film in light by that of the base coat."""
    known = np.isfinite(by_base[:, :, 0])
    return Patch(grid, film.cover(by_base), film.by_light(by_base), known)


@dataclass(frozen=True, slots=True, eq=False)
class SeenPiece:
    """A piece that is looked for, and what is seen of film round its place.

    `shape` is the cover by its letters where they are wanted, `seen_part` how much of it can be
    seen at all.
    """

    wanted: Wanted
    patch: Patch
    shape: Light
    seen_part: float


@dataclass(frozen=True, slots=True, eq=False)
class SeenFilm:
    """The film on a panel: its colour, what is seen of each piece's, and more where it is asked."""

    film: Film
    pieces: tuple[SeenPiece, ...]
    _paint: _Paint

    def round_box(self, box: Box) -> Patch:
        """What is seen of film round a box."""
        grid = grid_round(box, _AROUND, self._paint.scale)
        return patch_of(grid, self.film, self._paint.by_base(grid).by_base)


@dataclass(frozen=True, slots=True, eq=False)
class _Paint:
    """Where paint may be seen on a panel, and with how many pixels to the mm it is looked at."""

    panel: SeenPanel
    kept: Outline
    left_out: tuple[Outline, ...]
    scale: float

    def by_base(self, grid: Grid) -> _Lit:
        """The light there, by that of the base coat."""
        light = self.panel.light_on(grid)
        usable = cover_of([self.kept], grid) > 0.99
        usable &= (cover_of(self.left_out, grid) < 0.01) & np.isfinite(light[:, :, 0])
        some = light[usable]
        base = np.median(some, axis=0) if len(some) else np.full(3, np.nan)
        return _Lit(of_base(light, usable), usable, base.astype(float))


@dataclass(frozen=True, slots=True, eq=False)
class _Lit:
    """Light by that of the base coat, which pixels are paint, or film on it, and the base's own."""

    by_base: Light
    usable: NDArray[np.bool_]
    base: NDArray[np.float64]


def film_on(panel: SeenPanel, artwork: Artwork, wanted: Sequence[Wanted]) -> SeenFilm:
    """The film on a panel, and what is seen of it round each piece."""
    kept = from_shape(artwork.panel.shape.buffer(-_OFF_EDGE))
    scale = _scale(panel, artwork, wanted)
    paint = _Paint(panel, kept, tuple(_left_out(artwork)), scale)
    grids = [grid_round(each.box, _AROUND, scale) for each in wanted]
    shapes = [cover_of(each.marks, grid) for each, grid in zip(wanted, grids, strict=True)]
    lit = [paint.by_base(grid) for grid in grids]
    parts = [
        float(shape[each.usable].sum() / max(shape.sum(), 1e-6))
        for each, shape in zip(lit, shapes, strict=True)
    ]
    lights = [each.by_base for each in lit]
    noise = base_noise(lights)
    pixels = sum(float(shape.sum()) for shape in shapes)
    base = np.nanmedian([each.base for each in lit], axis=0)
    film = noise.film(film_colour(lights, noise, pixels), base, _white_in(panel.picture))
    each = zip(wanted, grids, lights, shapes, parts, strict=True)
    pieces = (SeenPiece(w, patch_of(g, film, p), s, part) for w, g, p, s, part in each)
    return SeenFilm(film, tuple(pieces), paint)


def _white_in(picture: Picture) -> float:
    """The light of what is lightest in a picture, but for a hundredth of it."""
    some = replace(picture, rgb=picture.rgb[::_SOME, ::_SOME])
    return float(np.percentile(some.linear.mean(axis=2), 99))


def _left_out(artwork: Artwork) -> list[Outline]:
    """Holes, and discs of bare metal, with what is round them."""
    holes = [opening.outline for opening in artwork.openings]
    discs = [disc.outline for disc in artwork.bare_discs]
    return [from_shape(each.shape.buffer(_OFF_HOLES)) for each in (*holes, *discs)]


def _scale(panel: SeenPanel, artwork: Artwork, wanted: Sequence[Wanted]) -> float:
    """How many pixels to the mm are looked at: about as many as the picture has."""
    x0, y0, x1, y1 = artwork.panel.bounds
    seen = panel.view.pixels_per_mm(((x0 + x1) / 2, (y0 + y1) / 2))
    area = sum(float((each.size + 2 * _AROUND).prod()) for each in wanted)
    return float(min(1.15 * seen, _FINEST, np.sqrt(_MOST_PIXELS / area)))
