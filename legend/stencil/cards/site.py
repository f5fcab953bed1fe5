"""Gather what the cards of a panel are planned from: windows, holes, edges and sizes of card."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from legend.description.shapes.edge import Edge
from legend.description.tables.description import Stencil
from legend.layout.artwork import Artwork, Opening
from legend.length_words import Lengths
from legend.lettering.outlines.outline import Box
from legend.stencil.cards.card import Side
from legend.stencil.sheet import Piece

#: The least card left between two windows, and between a window and the rim, mm. Common
#: practice, no source.
WEB, RIM = 4.0, 3.0
#: How much larger than its piece a window is on every side, so that the piece drops in, mm.
#: Common practice, no source.
PLAY = 0.1
#: The least card left round a hole that holds it, mm. Common practice, no source.
ROUND_HOLE = 3.0
#: How far a card may reach over the edges of the panel, mm; how wide a stop is at the least.
OVERHANG, STOP = 15.0, 12.0
#: Between a card and its stops on one piece of stock, mm.
BESIDE = 3.0

#: A sheet of A4 card (ISO 216), less 5 mm at each side, by which rollers hold it and which
#: printers leave free (common practice, no source), mm.
USUAL_SIZE = (200.0, 287.0)

#: Diameters that a drill shank or a bolt goes through, mm. Common practice, no source.
_PINNED = (2.0, 13.5)
#: A hole is round that fills so much of its circle.
_ROUND = 0.995
#: Lengths that differ by less are the same, mm.
SAME = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Site:
    """What does not change from card to card.

    `panel` is the rectangle round the panel. `windows` are the shapes of the windows of the
    `pieces`, `boxes` the rectangles round them, one a row, and `clash` tells for each window
    which others stand too near to it to be on one card. `holes` are round, in `hole_boxes`;
    `swallowed` tells for
    each in which windows it lies, or nearly; `closed` for each by which pieces film covers it
    once they are laid. `sides` are the straight parts of the edge that lie on the rectangle,
    from where to where; the `favoured` ones meet at the datum. `sizes` are the sizes that a card
    and its stops may have, the way up first that is to be tried first. `units` are those that
    lengths are said in.
    """

    panel: Box
    pieces: tuple[Piece, ...]
    windows: NDArray[np.object_]
    boxes: NDArray[np.float64]
    clash: tuple[frozenset[int], ...]
    holes: tuple[Opening, ...]
    hole_boxes: NDArray[np.float64]
    swallowed: tuple[frozenset[int], ...]
    closed: tuple[frozenset[int], ...]
    sides: dict[Side, tuple[float, float]]
    favoured: tuple[Side, Side]
    sizes: tuple[tuple[float, float], ...]
    units: str

    @property
    def size_in_words(self) -> str:
        """How large a card may be."""
        return Lengths(self.units).across((max(self.sizes[0]), min(self.sizes[0])))

    def limits(self, side: Side) -> float:
        """Where an edge of the panel stands, mm along the axis across it."""
        return self.panel[side.axis + (2 if side.outwards > 0 else 0)]


def site_of(artwork: Artwork, pieces: Sequence[Piece]) -> Site:
    """The site of a panel and the pieces that are to have windows."""
    windows = np.array([window_of(piece) for piece in pieces], dtype=object)
    plugs = {disc.bare.hole for disc in artwork.bare_discs if disc.what == "plug"}
    holes = [hole for hole in artwork.openings if hole.id not in plugs and is_round(hole)]
    stencil = artwork.description.stencil
    covers = stencil.method == "paint-through" and stencil.stock == "film"
    datum = artwork.description.panel.datum
    across, along = card_room(stencil)
    sizes = sorted({(across, along), (along, across)})
    width, height = artwork.panel.bounds[2:]
    sizes.sort(key=lambda size: (size[0] > size[1]) != (width > height))
    return Site(
        artwork.panel.bounds,
        tuple(pieces),
        windows,
        shapely.bounds(windows).reshape(-1, 4),
        tuple(map(frozenset, _near(windows, windows, WEB, but_itself=True))),
        tuple(holes),
        np.array([hole.outline.bounds for hole in holes]).reshape(-1, 4),
        _holes_near(holes, windows, ROUND_HOLE),
        _holes_near(holes, windows, 0.0) if covers else (frozenset(),) * len(holes),
        _sides(artwork.description.panel.edge, artwork.panel.bounds),
        (
            Side.RIGHT if "right" in datum else Side.LEFT,
            Side.TOP if "upper" in datum else Side.BOTTOM,
        ),
        tuple(sizes),
        artwork.description.units,
    )


def card_room(stencil: Stencil) -> tuple[float, float]:
    """The width and the length that a card and its stops may take, mm.

    What is usual has free edges already.
    """
    if stencil.card_size is None:
        return USUAL_SIZE
    width, length = stencil.card_size
    return width - 2 * stencil.stock_margin, length - 2 * stencil.stock_margin


def contains(room: Box, box: Box) -> bool:
    """Whether a box lies within a room."""
    return all(box[k] >= room[k] - SAME and box[k + 2] <= room[k + 2] + SAME for k in (0, 1))


def window_of(piece: Piece) -> BaseGeometry:
    """The opening that a piece drops into."""
    return piece.edge.shape.buffer(PLAY, join_style="mitre")


def is_round(hole: Opening) -> bool:
    """Whether a hole is a plain round one."""
    diameter = hole.hole.shape.diameter
    return diameter is not None and hole.outline.area > _ROUND * math.pi * diameter**2 / 4


def takes_a_pin(hole: Opening) -> bool:
    """Whether a drill shank or a bolt goes through a round hole."""
    least, most = _PINNED
    return least <= (hole.hole.shape.diameter or 0.0) <= most


def _holes_near(
    holes: Sequence[Opening], windows: NDArray[np.object_], distance: float
) -> tuple[frozenset[int], ...]:
    shapes = np.array([hole.outline.shape for hole in holes], dtype=object)
    return tuple(map(frozenset, _near(shapes, windows, distance)))


def _near(
    shapes: NDArray[np.object_],
    others: NDArray[np.object_],
    distance: float,
    but_itself: bool = False,
) -> list[Collection[int]]:
    """For each shape the others that stand nearer to it than a distance, or over it."""
    near: list[set[int]] = [set() for _ in shapes]
    if len(shapes) and len(others):
        one, other = shapely.STRtree(others).query(shapes, "dwithin", max(distance, SAME))
        nearer = shapely.distance(shapes[one], others[other]) < max(distance - SAME, SAME)
        for i, j in zip(one[nearer].tolist(), other[nearer].tolist(), strict=True):
            if not (but_itself and i == j):
                near[i].add(j)
    return list(near)


def _sides(edge: Edge, panel: Box) -> dict[Side, tuple[float, float]]:
    """The longest straight part of the edge on each side of the rectangle round the panel."""
    longest: dict[Side, tuple[float, float]] = {}
    for side in Side:
        at = panel[side.axis + (2 if side.outwards > 0 else 0)]
        along = list(_lying_on(edge, side, at))
        if along:
            longest[side] = max(along, key=lambda ends: ends[1] - ends[0])
    return longest


def _lying_on(edge: Edge, side: Side, at: float) -> Iterator[tuple[float, float]]:
    for line in edge.lines:
        first, last = line.first, line.last
        if max(abs(first[side.axis] - at), abs(last[side.axis] - at)) < SAME:
            ends = sorted((first[1 - side.axis], last[1 - side.axis]))
            yield ends[0], ends[1]
