"""Find how a photograph sees the panel by its holes alone: no outline is needed.

The spots that may be holes are told by their pattern; then each rim is measured where the list has
it, and a camera is fitted to all of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from legend.camera.letters.by_holes.blobs import blobs_in
from legend.camera.letters.by_holes.camera_by_holes import (
    HoleCamera,
    begun,
    fitted_to_holes,
    fitted_to_spots,
)
from legend.camera.letters.by_holes.pattern import Pattern, patterns_in
from legend.camera.letters.by_holes.rims import Rim, rim_of
from legend.camera.letters.by_holes.seen_panel import SeenPanel
from legend.camera.picture import Picture
from legend.layout.artwork import Opening

#: How far from its place a rim is looked for, mm, from round to round.
_REACHES = (1.0, 0.5, 0.4)
#: Rims that are found on so small a part of their rays do not count.
_LEAST_SUPPORT = 0.7
#: A rim that is seen so far from its listed place is left out, mm.
_FAR_OFF = 0.6
#: So many holes carry a view at the least; so many patterns are looked into.
_FEWEST, _MOST_PATTERNS = 4, 4


@dataclass(frozen=True, slots=True, eq=False)
class SeenHole:
    """A hole that was found: how far its rim is seen from its listed place, right and up, mm."""

    opening: Opening
    off: tuple[float, float]
    rim: Rim


@dataclass(frozen=True, slots=True, eq=False)
class ViewByHoles:
    """How a photograph sees the panel, and the holes that say so.

    `off` is how far they are seen from the list, root mean square, mm; `blur` how blurred their
    rims are, mm, as a standard deviation.
    """

    panel: SeenPanel
    by: HoleCamera
    holes: tuple[SeenHole, ...]
    off: float
    blur: float


def views_by_holes(picture: Picture, openings: Sequence[Opening]) -> tuple[list[ViewByHoles], int]:
    """The views that the holes allow, the likeliest first; how many spots suited at the most.

    Several only where the holes look the same in several ways, as on a panel that can be turned
    over by half.
    """
    patterns = patterns_in(blobs_in(picture), openings)
    most = max((len(pattern.holes) for pattern in patterns), default=0)
    some = patterns[:_MOST_PATTERNS]
    found = [view for p in some if (view := _fitted_view(picture, openings, p))]
    found.sort(key=lambda view: (-len(view.holes), view.off))
    return [view for view in found if len(view.holes) >= len(found[0].holes) - 1], most


def _fitted_view(
    picture: Picture, openings: Sequence[Opening], pattern: Pattern
) -> ViewByHoles | None:
    """The view by the rims of the holes, from that by the spots; None where rims do not suit."""
    if len(pattern.holes) < _FEWEST:
        return None
    centres = np.array([opening.centre for opening in openings], dtype=float)
    try:
        camera = begun(picture, centres[pattern.holes], pattern.middles)
    except (ValueError, np.linalg.LinAlgError):  # they stand in one line
        return None
    by = fitted_to_spots(camera, picture, centres[pattern.holes], pattern.middles)
    holes: list[SeenHole] = []
    for reach in _REACHES:
        panel = SeenPanel(picture, by.camera.view())
        rims = [(opening, rim_of(panel, opening, reach)) for opening in openings]
        seen = [(opening, rim) for opening, rim in rims if rim and rim.support > _LEAST_SUPPORT]
        if len(seen) < _FEWEST:
            return None
        places = np.array([opening.centre for opening, _ in seen], dtype=float)
        offs = np.array([rim.off for _, rim in seen])
        spread = np.array([np.sqrt(np.trace(rim.covariance) / 2) for _, rim in seen])
        at = by.camera.view().to_picture(places + offs)
        by = fitted_to_holes(by.camera, picture, places, offs, spread)
        left = by.camera.view().to_panel(at) - places
        holes = [
            SeenHole(opening, (float(dx), float(dy)), rim)
            for (opening, rim), (dx, dy) in zip(seen, left, strict=True)
            if np.hypot(dx, dy) < _FAR_OFF
        ]
    if len(holes) < _FEWEST:
        return None
    off = float(np.sqrt(np.mean([dx * dx + dy * dy for dx, dy in (h.off for h in holes)])))
    blur = float(np.median([hole.rim.spread for hole in holes]))
    return ViewByHoles(SeenPanel(picture, by.camera.view()), by, tuple(holes), off, blur)
