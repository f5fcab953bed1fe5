"""Order the pieces of a sheet, and the cuts of each, from where the knife comes: a Sheet in,
the same Sheet out.

The knife begins at the lower left corner of the stock. Pieces come one after the other with short
travel; the cuts of a piece begin where the one before it ended, and its weeding box comes last, on
the side that is nearest then.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

import numpy as np

from legend.lettering.outlines.curve_points import Points
from legend.lettering.outlines.outline import Affine, Outline, mapped
from legend.stencil.order.knife import Cuts, left_at
from legend.stencil.order.starts import begun_before
from legend.stencil.order.travel import tour
from legend.stencil.sheet import Cut, Path, Placed, Sheet, along


def in_turn(sheet: Sheet, cuts: Mapping[int, Cuts], before: float) -> Sheet:
    """The sheet in knife order. `cuts` are those of each piece by its number, the weeding box
    left out; `before` as of `legend.stencil.order.starts.begun`.
    """
    entry = np.array([_on_sheet(each, each.piece.paths[0].outline) for each in sheet.placed])
    leave = np.array([_on_sheet(each, each.piece.paths[-1].outline) for each in sheet.placed])
    order = tour(entry, leave, np.zeros(2)) if sheet.placed else []
    pieces = _ordered(tuple(sheet.placed[i] for i in order), cuts, before)
    return replace(sheet, placed=tuple(pieces))


def _ordered(
    placed: tuple[Placed, ...], cuts: Mapping[int, Cuts], before: float
) -> Iterator[Placed]:
    at = np.zeros(2)
    for each in placed:
        paths = cuts[each.piece.number].in_order(_before(each.affine, at))
        box = weeding_box(each.piece.edge, left_at(paths[-1]), before)
        piece = replace(each.piece, paths=(*paths, box))
        yield replace(each, piece=piece)
        at = np.array(mapped(each.affine, _point(left_at(box))))


def weeding_box(edge: Outline, place: Points, before: float) -> Path:
    """The weeding box, begun on the side before the corner that is nearest to a place."""
    (contour,) = along(edge).contours
    nearest = int(np.hypot(*(contour.points[:-1] - place).T).argmin())
    return Path(Cut.WEEDING, Outline((begun_before(contour, nearest, before),)))


def _on_sheet(placed: Placed, outline: Outline) -> tuple[float, float]:
    return mapped(placed.affine, _point(outline.contours[0].points[0]))


def _point(point: Points) -> tuple[float, float]:
    x, y = point.tolist()
    return x, y


def _before(affine: Affine, place: Points) -> Points:
    """The place on the panel that lies at this one on the sheet."""
    a, b, c, d, e, f = affine
    x, y = place[0] - e, place[1] - f
    det = a * d - b * c
    return np.array([(d * x - c * y) / det, (a * y - b * x) / det])
