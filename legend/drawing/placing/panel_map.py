"""Draw a map of the panel: its edge and holes, the lines that are measured from, every piece."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from legend.drawing.placing.piece_places import PiecePlace
from legend.drawing.segments import SVG, path_texts
from legend.layout.artwork import Artwork

#: How large numbers are beside the map, and at the most beside the box they stand in.
_OF_MAP, _OF_HEIGHT, _OF_WIDTH = 0.055, 0.8, 1.3
#: How far the map reaches beyond what is on it, beside its greater side.
_AROUND = 0.015


@dataclass(frozen=True, slots=True)
class PieceOnMap:
    """One piece on the map: its weeding box as a path, and where its number stands, how large.

    `ways` are the two ways from the lines that are measured from, as the text of a path.
    """

    number: int
    box: str
    at: tuple[float, float]
    size: float
    ways: str


@dataclass(frozen=True, slots=True)
class PanelMap:
    """All that is on the map, in mm, y downwards.

    `view` is its viewBox, `width` and `height` what is in it. `edges` are the edges that are
    measured from, and `scribed` the centre lines, as the text of paths.
    """

    view: str
    width: float
    height: float
    panel: str
    holes: str
    edges: str
    scribed: str
    pieces: tuple[PieceOnMap, ...]


def panel_map(artwork: Artwork, places: Sequence[PiecePlace]) -> PanelMap:
    """The map of a panel with these pieces."""
    boxes = [place.piece.edge.shape for place in places]
    x0, y0, x1, y1 = shapely.total_bounds([artwork.panel.shape, *boxes]).tolist()
    top = artwork.panel.bounds[3]
    around = _AROUND * max(x1 - x0, y1 - y0)
    width, height = x1 - x0 + 2 * around, y1 - y0 + 2 * around
    edges, scribed = _lines(artwork, places, top)
    return PanelMap(
        f"{x0 - around:.6g} {top - y1 - around:.6g} {width:.6g} {height:.6g}",
        width,
        height,
        "".join(path_texts([artwork.panel], SVG, top)),
        "".join(path_texts([opening.outline for opening in artwork.openings], SVG, top)),
        edges,
        scribed,
        tuple(_on_map(place, top, _OF_MAP * max(width, height)) for place in places),
    )


def _lines(artwork: Artwork, places: Sequence[PiecePlace], top: float) -> tuple[str, str]:
    """The edges that are measured from, and the centre lines, as long as the panel is there."""
    texts = {True: "", False: ""}
    x0, y0, x1, y1 = artwork.panel.bounds
    for distance in places[0].distances if places else ():
        line = distance.line
        whole = (
            shapely.LineString([(x0, line.at), (x1, line.at)])
            if line.axis
            else shapely.LineString([(line.at, y0), (line.at, y1)])
        )
        on_it = whole.intersection(artwork.panel.shape.buffer(1e-6))
        left, low, right, high = (on_it if on_it.length else whole).bounds
        texts[line.is_edge] += _path((left, low), (right, high), top)
    return texts[True], texts[False]


def _on_map(place: PiecePlace, top: float, largest: float) -> PieceOnMap:
    x0, y0, x1, y1 = place.piece.box
    inside = place.piece.edge.shape.representative_point()
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    at = middle if place.piece.edge.shape.contains(shapely.Point(middle)) else (inside.x, inside.y)
    digits = len(str(place.piece.number))
    across, up = place.distances
    ways = _path((across.line.at, at[1]), (across.at, at[1]), top)
    ways += _path((at[0], up.line.at), (at[0], up.at), top)
    return PieceOnMap(
        place.piece.number,
        "".join(path_texts([place.piece.edge], SVG, top)),
        (round(at[0], 2), round(top - at[1], 2)),
        round(min(largest, _OF_HEIGHT * (y1 - y0), _OF_WIDTH * (x1 - x0) / digits), 2),
        ways,
    )


def _path(begin: tuple[float, float], end: tuple[float, float], top: float) -> str:
    (x0, y0), (x1, y1) = begin, end
    return f"M{x0:.7g} {top - y0:.7g}L{x1:.7g} {top - y1:.7g}"
