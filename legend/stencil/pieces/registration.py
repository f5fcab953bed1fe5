"""Make the registration marks that bring a stencil true to the holes of the panel.

How a stencil is brought to its holes depends on how it is worked:

- `lift-off` film: a disc that sits in the drilled hole with an even gap all round. It masks
  nothing, because there is nothing there to paint. A hole that is not round has a plug of
  its own shape.
- `paint-through` film: the hole itself at the drilled size, cut but left in place.
- `sheet`: the hole itself at the drilled size, cut right through, so that a bolt pins it.
  Out of a large cut-out, which no bolt pins, only sights are cut, each along the middle of a
  side, to lay the stencil true to its edges; the rest stays and keeps the stencil stiff.

On film, the rim of a disc, or the circle, is the gauge. Cross lines through the middle, to be
sighted on scribed centre lines, come on request: each is a narrow slit in the shape of a plus, so
that every cut is closed, the disc stays in one piece and the metal shows through; but that is
twelve corners to cut, and a sliver to weed. Or film has no marks on its holes at all.

A hole under a plug of film cannot be seen, but the edge of the plug can, even under paint: on film
the mark is then brought to that, and lies on the plug.
"""

from __future__ import annotations

import numpy as np
import shapely

from legend.description.shapes.edge import Line
from legend.description.tables.description import Stencil
from legend.description.tables.stock import StockLimits
from legend.layout.artwork import BareDisc, Opening
from legend.layout.edges import grown
from legend.layout.openings import placed
from legend.lettering.outlines.outline import Outline

#: The part of a small hole that its gap may take on either side, and the least size of a
#: disc that can be weeded and laid, mm. Common practice, no source.
_LARGEST_GAP_PART = 0.15
_LEAST_DISC = 1.0

#: Cross lines: the least width, through its middle, of a hole that has them, mm; how far they
#: reach, as a part of the way from there to its edge; the longest arm, mm. Common practice, no
#: source.
_LEAST_CROSSED = 4.0
_ARM_PART = 0.6
_LONGEST_ARM = 8.0

#: Sights: the least size of a cut-out that has them, how wide they are, the part of a side
#: that they run along, the longest, and the stock between two, mm. Common practice, no source.
_LEAST_SIGHTED, _SIGHT_WIDTH, _SIGHT_PART, _LONGEST_SIGHT = 12.0, 2.5, 0.4, 20.0
_BETWEEN_SIGHTS = 1.0
#: A cut-out with fewer straight sides is not found by sights alone.
_LEAST_SIDES = 3

#: Turns of a row of points by 0, 90, 180 and 270 degrees clockwise: a clockwise contour.
_QUARTER_TURNS = tuple(
    np.array(m, dtype=float)
    for m in ([[1, 0], [0, 1]], [[0, -1], [1, 0]], [[-1, 0], [0, -1]], [[0, 1], [-1, 0]])
)


def registration(
    opening: Opening, stencil: Stencil, limits: StockLimits, plug: BareDisc | None = None
) -> Outline | None:
    """The registration mark on an opening, or on the plug over it, where there is one.

    None where there is to be none, or where a disc would be too small to lay.
    """
    if stencil.stock == "sheet":
        return _sights(opening) or opening.outline
    if stencil.registration == "none":
        return None
    if stencil.method == "paint-through":
        shape: Outline | None = plug.outline if plug else opening.outline
    else:
        covered = plug.bare.margin or 0.0 if plug else 0.0
        shape = _inset(opening, limits.registration_gap, covered)
    return shape and crossed(shape, opening, stencil, limits)


def crossed(outline: Outline, opening: Opening, stencil: Stencil, limits: StockLimits) -> Outline:
    """A shape on an opening, with cross lines through its middle where they are asked for and
    have room.
    """
    if stencil.registration != "cross":
        return outline
    size = 2 * opening.hole.shape.edge.distance((0.0, 0.0))
    if size < _LEAST_CROSSED or not outline.shape.contains(shapely.Point(opening.centre)):
        return outline
    arm, half = min(_ARM_PART * size / 2, _LONGEST_ARM), limits.gap / 2
    quarter = np.array([(half, arm), (half, half), (arm, half)])
    corners = np.vstack([quarter @ turn for turn in _QUARTER_TURNS]) + opening.centre
    return Outline((*outline.contours, *Outline.polygon(corners).contours))


def _inset(opening: Opening, gap: float, covered: float) -> Outline | None:
    """The opening, smaller by the gap all round; a small one has a gap in proportion.

    Or the plug over it, which covers so much round it, smaller by the gap.
    """
    shape = opening.hole.shape
    least = min(shape.size)
    gap = min(gap, _LARGEST_GAP_PART * least)
    if least - 2 * gap < _LEAST_DISC:
        return None
    edge = shape.edge if covered else shape.plug(_LEAST_DISC + 2 * gap)
    disc = grown(edge, covered - gap)
    return placed(disc, opening.hole, opening.centre) if disc else None


def _sights(opening: Opening) -> Outline | None:
    """Narrow openings along the sides of a large cut-out, or None where it has no room for them."""
    shape = opening.hole.shape
    if shape.diameter is not None or min(shape.size) < _LEAST_SIGHTED:
        return None
    sights = [_sight(line, shape.corner_radius) for line in shape.edge.lines]
    shapes = [sight.shape for sight in sights]
    near = shapely.STRtree(shapes).query(shapes, "dwithin", _BETWEEN_SIGHTS)
    if len(sights) < _LEAST_SIDES or len(near[0]) > len(sights):  # each is near to itself
        return None
    return placed(Outline.gathered(sights), opening.hole, opening.centre)


def _sight(line: Line, radius: float) -> Outline:
    """An opening along the middle of a side, on the inside."""
    length = min(_SIGHT_PART * (line.length + 2 * radius), _LONGEST_SIGHT, line.length)
    (x0, y0), (x1, y1) = line.first, line.last
    ux, uy = (x1 - x0) / line.length, (y1 - y0) / line.length
    half, deep = length / 2, _SIGHT_WIDTH / 2
    x, y = (x0 + x1) / 2 - deep * uy, (y0 + y1) / 2 + deep * ux
    begin, end = (x - half * ux, y - half * uy), (x + half * ux, y + half * uy)
    return Outline.line_stroke(begin, end, _SIGHT_WIDTH)
