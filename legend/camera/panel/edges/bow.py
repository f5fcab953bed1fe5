"""Tell from how a panel's straight edges are bent in a photograph how its lens bends.

Sawn edges are straight to some hundredths of a millimetre; a lens bends them by tenths. D. C.
Brown, "Close-range camera calibration", Photogrammetric Engineering 37 (8), 1971, calibrates by
such lines ("plumb lines").
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from legend.camera.panel.edges.steps import SeenSide
from legend.camera.view import Points, View

#: How far a side of a panel itself bows, mm, as a standard deviation. Common practice, no source.
_OWN_BOW = 0.03
#: The step by which it is tried what a lens that bends more would do.
_STEP = 1e-3


@dataclass(frozen=True, slots=True)
class Bend:
    """How much k1 is off of the lens that sides were seen with, and its standard deviation."""

    k1: float
    deviation: float


def bend_of(view: View, sides: tuple[SeenSide, ...], about: float, spread: float) -> Bend:
    """How much more than its view's the lens bends by which these sides were seen.

    What is known of k1 beforehand lies about a value, with a standard deviation `spread`.

    Each side's own line is taken from it; what is left of it bows as the lens does, or as the
    side itself, which is told apart only by its size.
    """
    assert view.lens is not None
    more = replace(view, lens=replace(view.lens, k1=view.lens.k1 + _STEP))
    matrix, right = 1 / spread**2, (about - view.lens.k1) / spread**2
    for side in sides:
        profiles, counts = side.profiles, side.line.weights
        moved = more.to_panel(view.to_picture(profiles.places)) - profiles.places
        rate = _bowed(profiles.along, (moved * profiles.outward).sum(axis=1) / _STEP, counts)
        found = np.where(counts > 0, side.found, 0.0)
        apart = _bowed(profiles.along, found, counts)
        # The part of both that is a parabola: one number a side, as sure as the side is straight.
        shape = _bowed(profiles.along, (profiles.along - side.line.centre) ** 2, counts)
        norm = np.sqrt(float((counts * shape**2).sum()) / float(counts.sum()))
        seen = float((counts * shape * apart).sum()) / float(counts.sum()) / norm
        each = float((counts * shape * rate).sum()) / float(counts.sum()) / norm
        deviation = np.hypot(_OWN_BOW * _PARABOLA, side.line.spread / np.sqrt(counts.sum() / 10))
        matrix += (each / deviation) ** 2
        # Points that are found outwards of the line are moved back by a lens that bends more.
        right += -each * seen / deviation**2
    return Bend(right / matrix, float(1 / np.sqrt(matrix)))


#: The root mean square of a parabola over its chord, whose height in the middle is 1, when the
#: straight line that fits it best is taken away.
_PARABOLA = 2 / np.sqrt(45)


def _bowed(along: Points, values: Points, counts: Points) -> Points:
    """Values without the straight line that fits them best."""
    design = np.column_stack([np.ones_like(along), along - along.mean()])
    normal = design.T @ (counts[:, None] * design)
    out: Points = values - design @ np.linalg.solve(normal, design.T @ (counts * values))
    return out
