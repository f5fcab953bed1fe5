"""Continue a closed cut past its start, so that no hair of stock is left uncut.

A blade lags behind the middle of its holder, so that a cut which ends where it began may
leave a hair of stock uncut. With an overrun the knife goes on along the line it has cut
already. The line then ends past its start and is closed no more, neither by a last line home
nor by the file's word for it; what it encloses is the same. With a lead-in the cut is begun so
much earlier on its line (`legend.stencil.order.starts`), and goes on past that by both together.
"""

from __future__ import annotations

import itertools

import numpy as np

from legend.lettering.outlines.curve_points import Points, divided
from legend.lettering.outlines.outline import Contour

#: Into how many parts a curve is divided to measure along it.
_PARTS = 64


def run_on(contour: Contour, length: float) -> Contour:
    """The contour, all its lines written out, and then its beginning again for `length` mm.

    A contour shorter than that is gone round twice.
    """
    segments = list(contour.segments())
    lengths = [_along(points)[1][-1] for _, points in segments]
    left = min(length, sum(lengths))
    taken = list(segments)
    for (code, points), own in zip(
        itertools.cycle(segments), itertools.cycle(lengths), strict=False
    ):
        if left < 1e-6:
            break
        taken.append((code, points if own <= left else _first_part(points, left)))
        left -= min(own, left)
    rest = [points[1:] for _, points in taken]
    return Contour("".join(code for code, _ in taken), np.vstack([taken[0][1][:1], *rest]))


def run_past(row: Points, length: float) -> Points:
    """A line through these points, made longer by `length` mm at both ends."""
    ends = [(row[0], row[0] - row[1]), (row[-1], row[-1] - row[-2])]
    first, last = (end + length * way / np.hypot(*way) for end, way in ends)
    return np.vstack([first, row[1:-1], last])


def _along(points: Points) -> tuple[Points, Points]:
    """Places along a segment as its parameter, and how far each is from its start, mm."""
    t = np.linspace(0, 1, 2 if len(points) == 2 else _PARTS + 1)
    at = points[:, None, :] + 0 * t[None, :, None]
    while len(at) > 1:
        at = at[:-1] * (1 - t[:, None]) + at[1:] * t[:, None]
    steps = np.hypot(*np.diff(at[0], axis=0).T)
    return t, np.concatenate([[0.0], np.cumsum(steps)])


def _first_part(points: Points, length: float) -> Points:
    """The beginning of a line, a quadratic or a cubic, this long."""
    t, reached = _along(points)
    return divided(points, float(np.interp(length, reached, t)))[0]
