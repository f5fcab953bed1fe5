"""Find the corners of a ring of straight lines: a cut also has a node where it begins."""

from __future__ import annotations

from typing import Any

import numpy as np


def corners(ring: Any) -> Any:
    """The points at which a closed ring turns, shape (n, 2); where it begins is none by itself."""
    points = np.asarray(ring, dtype=float)[:-1]
    into, out_of = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
    turns = into[:, 0] * out_of[:, 1] - into[:, 1] * out_of[:, 0]
    return points[np.abs(turns) > 1e-6 * np.hypot(*into.T) * np.hypot(*out_of.T)]
