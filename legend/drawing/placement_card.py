"""Draw placement cards to cut out, with a window for every trimmed piece.

A card lies on the panel, pinned or sighted through the drilled holes. A piece that is
dropped into its window stands where the artwork says. Between two windows there is always
enough card to hold it together: pieces that stand nearer to each other have their windows
on different cards. A card that is larger than the stock is cut in tiles, to be taped
together edge to edge; one that would fall into very many is drawn whole, to be cut by hand.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterator, Sequence
from itertools import pairwise
from pathlib import Path as FilePath

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from legend.drawing.pdf.label_places import grown
from legend.drawing.pdf.panel_drawing import MOST_SURROUND
from legend.drawing.stencil_svg import sheet_file
from legend.layout.artwork import Artwork
from legend.lettering.outlines.boolean import from_shape
from legend.lettering.outlines.outline import Box, Outline
from legend.limits import MOST_TILES
from legend.stencil.sheet import Cut, Path, Piece, Placed, Sheet, pieces_of
from legend.stencil.test_square import for_the_cutter
from legend.writing import write_all

#: The least width of card left between two windows, mm. Common practice, no source.
WEB = 4.0
#: How much larger than its piece a window is on every side, so that the piece drops in, mm.
#: Common practice, no source.
PLAY = 0.1
#: The least width of card left round a hole, mm.
_ROUND_HOLE = 1.0
#: A hole cut at each corner of the panel, where the card is larger, to sight the corner by, or
#: where a round one is furthest out, mm.
_SIGHT = 2.5

#: How the files of the cards are called.
PLACEMENT_CARDS = re.compile(r"placement-card-\d+\.svg")


def write_placement_cards(
    artwork: Artwork, sheets: Sequence[Sheet], folder: FilePath
) -> list[FilePath]:
    """Write `placement-card-1.svg` and so on, and remove those of an earlier run that had more.

    All are written, or none. Errors: as `write_all`.
    """
    return write_all(folder, card_files(artwork, sheets), PLACEMENT_CARDS)


def card_files(artwork: Artwork, sheets: Sequence[Sheet]) -> dict[str, bytes]:
    """The files of the cards by their names."""
    cards, called = cards_of(artwork, sheets), artwork.description.called
    return {
        f"placement-card-{card.number}.svg": sheet_file(
            card, f"{called}, placement card {card.number} of {len(cards)}"
        )
        for card in cards
    }


def cards_of(artwork: Artwork, sheets: Sequence[Sheet]) -> tuple[Sheet, ...]:
    """The cards, each tile of them on a sheet of its own.

    Windows and holes come before the outline that frees the card. Pieces that are put on
    before the base coat need no window: their holes place them. Nor do pieces that lie off
    the panel, which is told as an error of the artwork.
    """
    reach = shapely.box(*grown(artwork.panel.bounds, MOST_SURROUND))
    pieces = [
        piece
        for piece in pieces_of(sheets)
        if any(path.cut is Cut.MARK for path in piece.paths) and reach.contains(piece.edge.shape)
    ]
    stencil = artwork.description.stencil
    tiles = [
        tile
        for windows in _shared_out(pieces)
        for tile in _tiles(_Card(artwork, windows), stencil.stock_size)
    ]
    return tuple(
        for_the_cutter(_sheet(number, *tile), stencil) for number, tile in enumerate(tiles, 1)
    )


def _shared_out(pieces: Sequence[Piece]) -> list[list[Piece]]:
    """The pieces by card, so that windows on one card stand a web apart, on few cards."""
    if not pieces:
        return []
    boxes = [_window(piece).shape for piece in pieces]
    beside: list[list[int]] = [[] for _ in pieces]
    for one, other in zip(*_nearer(boxes, boxes, WEB), strict=True):
        beside[one].append(other)
    card_of: dict[int, int] = {}
    # Those with the most neighbours choose first, which keeps the cards few.
    for index in sorted(range(len(pieces)), key=lambda i: (-len(beside[i]), i)):
        closed = {card_of[other] for other in beside[index] if other in card_of}
        card_of[index] = next(card for card in itertools.count() if card not in closed)
    cards: list[list[Piece]] = [[] for _ in set(card_of.values())]
    for index, piece in enumerate(pieces):
        cards[card_of[index]].append(piece)
    return cards


_Shapes = Sequence[BaseGeometry] | NDArray[np.object_]


def _nearer(shapes: _Shapes, others: _Shapes, distance: float) -> tuple[list[int], list[int]]:
    """The pairs of a shape and another that stand nearer to each other than a distance."""
    shapes, others = np.asarray(shapes, dtype=object), np.asarray(others, dtype=object)
    one, other = shapely.STRtree(others).query(shapes, "dwithin", distance)
    near = shapely.distance(shapes[one], others[other]) < distance
    return one[near].tolist(), other[near].tolist()


def _window(piece: Piece) -> Outline:
    """The window that a piece drops into."""
    return from_shape(piece.edge.shape.buffer(PLAY, join_style="mitre"))


class _Card:
    """One card as it lies on the panel: its outline, its windows and its holes."""

    def __init__(self, artwork: Artwork, pieces: Sequence[Piece]) -> None:
        self.windows = [_window(piece) for piece in pieces]
        windows = shapely.union_all([window.shape for window in self.windows])
        panel = artwork.panel
        if panel.shape.buffer(-WEB).contains(windows):
            self.outline = panel
            sights = []
        else:
            box = shapely.union(panel.shape, windows).bounds
            self.outline = Outline.rectangle(*grown(box, 2 * WEB), WEB)
            tips = sorted(set(artwork.description.panel.edge.tips))
            sights = [Outline.disc(tip, _SIGHT) for tip in tips]
        holes = [*(opening.outline for opening in artwork.openings), *sights]
        room = self.outline.shape.buffer(-_ROUND_HOLE)
        shapely.prepare(room)
        shapes = [hole.shape for hole in holes]
        whole = shapely.contains(room, shapes)
        whole[_nearer(shapes, [window.shape for window in self.windows], _ROUND_HOLE)[0]] = False
        self.holes = [holes[k] for k in np.flatnonzero(whole)]


_Tile = tuple[Box, list[Path]]


def _tiles(card: _Card, stock: tuple[float, float]) -> Iterator[_Tile]:
    """The card in parts that fit on the stock, the lowest and leftmost first, or else whole."""
    x0, y0, x1, y1 = card.outline.bounds
    inner = [*card.windows, *card.holes]
    bounds = np.array([shape.bounds for shape in inner]).reshape(-1, 4)
    xs = _divided(x0, x1, stock[0], bounds[:, [0, 2]])
    ys = _divided(y0, y1, stock[1], bounds[:, [1, 3]])
    cuts = [Path(Cut.WEEDING, window) for window in card.windows]
    cuts += [Path(Cut.REGISTRATION, hole) for hole in card.holes]
    if len(xs) == len(ys) == 2 or (len(xs) - 1) * (len(ys) - 1) > MOST_TILES:
        yield (x0, y0, x1, y1), [*cuts, Path(Cut.WEEDING, card.outline)]
        return
    shapes = np.array([cut.outline.shape for cut in cuts])
    tree = shapely.STRtree(shapes)
    for bottom, top in pairwise(ys):
        for left, right in pairwise(xs):
            tile = shapely.box(left, bottom, right, top)
            whole = np.sort(tree.query(tile, "contains_properly"))
            cut_up = np.setdiff1d(tree.query(tile, "intersects"), whole)
            rest = shapely.union_all(shapes[cut_up])
            edge = from_shape(_areas(card.outline.shape.intersection(tile).difference(rest)))
            if edge:  # a part that lies in a window is no card
                yield edge.bounds, [*(cuts[k] for k in whole), Path(Cut.WEEDING, edge)]


def _areas(shape: BaseGeometry) -> BaseGeometry:
    """The shape without the lines and points that cutting can leave."""
    parts = [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon"]
    return shapely.MultiPolygon(parts)


def _divided(low: float, high: float, room: float, spans: np.ndarray) -> list[float]:
    """Where a side is cut so that each part has room: through as few windows as can be."""
    count = math.ceil((high - low) / room - 1e-9)
    places = [low]
    beside = np.concatenate([spans[:, 0] - WEB / 2, spans[:, 1] + WEB / 2])
    begins, ends = np.sort(spans, axis=0).T
    for index in range(1, count):
        least, most = high - (count - index) * room, places[-1] + room
        even = low + (high - low) * index / count
        able = np.clip([*beside, even], least, most)
        through = np.searchsorted(begins, able) - np.searchsorted(ends, able, "right")
        best = np.lexsort([np.abs(able - even), through])[0]
        places.append(float(able[best]))
    return [*places, high]


def _sheet(number: int, box: Box, paths: Sequence[Path]) -> Sheet:
    """A part of a card on a sheet of its own."""
    x0, y0, x1, y1 = box
    piece = Piece(number, "placement card", (), Outline.rectangle(*box), tuple(paths))
    return Sheet(number, (x1 - x0, y1 - y0), (Placed(piece, (1, 0, 0, 1, -x0, -y0), 1, False),))
