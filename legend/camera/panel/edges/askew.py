"""Tell how far beyond what is seen of it a broken edge reaches, where a camera looks from aside.

The front's plane is measured in. Where an edge is broken, its outermost line, which callipers take
hold of, lies below that plane, about as deep as the bevel is wide. So it is seen nearer to the
point that the camera stands over: by its depth times the `lean` there, which is the way outwards
from below the camera over the camera's height. The bevel is seen narrower by as much; on an edge
that the camera stands beyond, where the lean is negative, both are the other way round.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]

#: How deep an edge is broken, in widths, and its standard deviation: by a file that is held at half
#: a right angle as deep as wide; rounded by paper or filed flatter, less. Common practice, no
#: source.
_DEEP, _DEEP_SPREAD = 0.85, 0.15
#: How wide the bevel of most sawn edges is, mm. Common practice, no source.
_USUAL = 0.13
#: A camera that leans more sees nothing of a bevel; it is reckoned with as with one that does.
_MOST_LEAN = 0.85


def whole_width(seen: float, lean: float) -> float:
    """How wide a bevel is of which so much is seen, mm."""
    return seen / _part(lean)


def seen_width(whole: float, lean: float) -> float:
    """How much is seen of a bevel that is so wide, mm."""
    return whole * _part(lean)


def reach_beyond(seen: Numbers, lean: float) -> Numbers:
    """How far outwards of the seen edge the panel ends, mm."""
    return np.asarray(_DEEP * lean * seen / _part(lean))


def reach_spread(seen: Numbers, lean: float) -> Numbers:
    """The standard deviation of that, mm: by how deep a bevel may be that is seen so wide."""
    # Of b = seen / (1 - deep lean), how deep lean b grows with deep.
    return np.asarray(_DEEP_SPREAD * abs(lean) * seen / _part(lean) ** 2)


def usual_reach(lean: float) -> float:
    """How far outwards of the seen edge a panel ends whose edge is broken as is usual, mm."""
    return _DEEP * lean * _USUAL


def _part(lean: float) -> float:
    return 1 - _DEEP * min(lean, _MOST_LEAN)
