"""Tell from scans of one panel, turned between them, what is the scanner's and what its own.

One scan cannot tell a scanner that shears from a panel out of square: both make an angle of the
panel other than 90 degrees. When the panel is turned by a quarter on the glass, the scanner's
shear changes its sign against the panel, and the panel's own angle does not. So two scans, one
turned by about a quarter, tell both; scans that lie alike, however many, tell neither.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from legend.camera.view import Points, View

#: Scans tell shear only if some are turned against others by at least this, degrees, out of 90.
_LEAST_TURN = 30.0


@dataclass(frozen=True, slots=True)
class Squareness:
    """How far the panel is out of square, and the scanner, radians.

    `panel` is more than 0 where the upper left corner lies to the right of square above the lower
    left one: by `panel` times the height.
    """

    panel: float
    scanner: float


def squareness(views: Sequence[View]) -> Squareness | None:
    """What scans of one panel tell together; None where none is turned against the others.

    Views take distances from two edges of the panel to pixels, as if it were square. So what each
    makes of the panel's two directions is the scanner's doing after the panel's: in the scanner's
    own measure, both have the length 1, and the same angle between them in all scans.
    """
    maps = [view.onto[:2, :2] for view in views if view.lens is None]
    if not _turned_apart(maps):
        return None
    rows, wanted = [], []
    for a in maps:
        (a00, a01), (a10, a11) = a
        # xx, xy, yy of the scanner's measure, and the sine of the panel's angle
        rows.append([a00**2, 2 * a00 * a10, a10**2, 0.0])
        rows.append([a01**2, 2 * a01 * a11, a11**2, 0.0])
        rows.append([a00 * a01, a00 * a11 + a01 * a10, a10 * a11, -1.0])
        wanted += [1.0, 1.0, 0.0]
    design = np.array(rows)
    scale = np.abs(design).max(axis=0)
    xx, xy, yy, sine = np.linalg.lstsq(design / scale, np.array(wanted))[0] / scale
    return Squareness(float(np.arcsin(np.clip(sine, -1, 1))), float(-xy / np.sqrt(xx * yy)))


def _turned_apart(maps: Sequence[Points]) -> bool:
    """Whether some scan lies turned against another, by a quarter rather than by a half."""
    if len(maps) < 2:
        return False
    bearings = np.degrees([np.arctan2(a[1, 0], a[0, 0]) for a in maps])
    apart = np.abs((bearings[:, None] - bearings[None] + 90) % 180 - 90)
    return bool(apart.max() >= _LEAST_TURN)
