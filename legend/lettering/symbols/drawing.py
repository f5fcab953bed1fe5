"""Draw symbols as outlines that stand among the letters.

The square that a symbol is drawn in is one step of the ISO 3098-0 heights taller than the
capitals, and stands on the middle of their height.
"""

from __future__ import annotations

import math
from functools import lru_cache

from legend.lettering.faces.face import LetteringError, TextStyle
from legend.lettering.outlines.outline import Outline
from legend.lettering.strokes.pen import Ends
from legend.lettering.symbols.names import known_as, not_known
from legend.lettering.symbols.registry import SYMBOLS
from legend.standards import ISO_B_BETWEEN_CHARACTERS, STROKE_DARK_ON_LIGHT

#: Side of the square over capital height: a step of the ISO 3098-0 series of heights.
_SIZE = math.sqrt(2)
#: Side of the square in the units of the drawings.
_GRID = 20.0


def symbol(name: str, style: TextStyle) -> Outline:
    """A symbol in the weight of the style, its pen at x = 0 and the baseline at y = 0.

    It stands upright and at its own width whatever the style's `slope` and `width`; its
    strokes are never heavier than a sixth of the capital height, which would fill it in.

    Error: LetteringError for a name that is neither in `SYMBOLS` nor another for one of these.
    """
    known = known_as(name)
    if known not in SYMBOLS:
        raise LetteringError(f"There is no symbol {name!r}; {not_known(known)}.")
    return _drawn(known, style.height, min(style.stroke, STROKE_DARK_ON_LIGHT), style.ends)


@lru_cache(maxsize=512)
def _drawn(name: str, height: float, stroke: float, ends: Ends) -> Outline:
    from legend.lettering.outlines.boolean import joined

    drawing = SYMBOLS[name]
    parts = [_inked(path, height, stroke, ends) for path in (drawing.strokes, drawing.filled)]
    parts[1] = Outline(tuple(edge for edge in parts[1].contours if edge.signed_area > 0))
    outline = joined([part for part in parts if part]).outline.turned(drawing.turn)
    bearing = ISO_B_BETWEEN_CHARACTERS / 2 * height
    return outline.moved(bearing - outline.bounds[0], height / 2)


def _inked(path: str, height: float, stroke: float, ends: Ends) -> Outline:
    """What the pen leaves along the lines of a drawing, the middle of its square at (0, 0)."""
    from legend.lettering.strokes.pathdata import read_path
    from legend.lettering.strokes.skeleton import transformed
    from legend.lettering.strokes.stroking import inked

    if not path:
        return Outline(())
    scale = (_SIZE - stroke) / _GRID
    skeleton = transformed(read_path(path), (scale, 0.0, 0.0, scale, 0.0, 0.0))
    return inked(skeleton, stroke, ends, height).outline(height).outline
