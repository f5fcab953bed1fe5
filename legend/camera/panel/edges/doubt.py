"""Say how far a view of a panel may be off, by how surely its edges were placed."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from legend.camera.panel.edges.steps import SeenSide
from legend.camera.view import WITHIN_95, SidesDoubt
from legend.description.values.length_values import Datum

#: How far the light beside an edge may shift it whatever is measured, px, as a standard deviation:
#: sharpening by the camera, pixels that are not square, the curve of the file. Common practice, no
#: source.
_PIXELS = 0.15
#: A bevel that is not seen may be there, narrower than a pixel, and shift the edge by half of it;
#: px, as a standard deviation.
_UNSEEN_BEVEL = 0.3
#: A bevel narrower than so many pixels may as well be wider and darker, or narrower and lighter: by
#: this share of its width the edge lies elsewhere then, as a standard deviation. Measured on
#: pictures that were reckoned.
_UNPARTED, _OF_BEVEL = 2.5, 0.15
#: And what a sawn edge itself is off the line that callipers would take it for, mm. Likewise.
_SAWN = 0.012
#: How far the width and height that are given may be off, as a standard deviation, mm: as fine as
#: callipers are read. Common practice, no source.
_GIVEN = 0.02


def side_deviation(side: SeenSide) -> float:
    """The standard deviation of where a side lies at its worse end, mm."""
    ends = side.profiles.along[[0, -1]]
    line = max(side.line.deviation(float(end)) for end in ends)
    edge = side.edge.deviation if side.edge else side.blur
    bevel = side.edge.bevel if side.edge else 0.0
    if not bevel:
        bevel = _UNSEEN_BEVEL * side.pixel
    else:
        bevel *= _OF_BEVEL * (bevel < _UNPARTED * side.pixel)
    return float(np.sqrt(line**2 + edge**2 + (_PIXELS * side.pixel) ** 2 + bevel**2 + _SAWN**2))


def doubt_of_sides(
    sides: Sequence[SeenSide], size: tuple[float, float], datum: Datum
) -> SidesDoubt:
    """How far any point of the panel may be off by how its four sides were placed.

    `sides` are lower, right, upper and left. Width and height are taken as they are given, so
    they shift the sides that lie off the datum.
    """
    words = ("lower", "right", "upper", "left")
    off = [_GIVEN / 2 if datum == "centre" else _GIVEN * (word not in datum) for word in words]
    each = (float(np.hypot(side_deviation(s), far)) for s, far in zip(sides, off, strict=True))
    return SidesDoubt(size, *each)


def doubt_of_datum(sides: Sequence[SeenSide], datum: Datum) -> float:
    """How far the datum may be off, mm, at 95 %."""
    lower, right, upper, left = (side_deviation(side) for side in sides)
    if datum == "centre":
        across, up = np.hypot(left, right) / 2, np.hypot(lower, upper) / 2
    else:
        across = left if "left" in datum else right
        up = lower if "lower" in datum else upper
    return WITHIN_95 * float(np.hypot(across, up))


def doubt_in_plane(deviation: float) -> float:
    """How far a point may be off, mm, at 95 %, that is off alike in both directions."""
    return WITHIN_95 * float(np.hypot(deviation, deviation))
