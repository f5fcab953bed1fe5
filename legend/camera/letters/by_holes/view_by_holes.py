"""Find how a photograph sees the panel by its holes: where they are enough, no outline is needed.

The spots that may be holes are told by their pattern; then each rim is measured where the list has
it, and a camera is fitted to all of them. Where holes are too few, or all in one line, the ends of
slots, the corners of windows and the panel's own edges are taken with them.
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
from legend.camera.letters.by_holes.chamfered_rims import chamfered_rim
from legend.camera.letters.by_holes.landmarks import Landmark, whole_rims
from legend.camera.letters.by_holes.pattern import Pattern, patterns_in
from legend.camera.letters.by_holes.rims import Rim, rim_of
from legend.camera.letters.by_holes.seen_panel import SeenPanel
from legend.camera.picture import Picture
from legend.camera.view import Points
from legend.layout.artwork import Opening

#: How far from its place a rim is looked for, mm, from round to round.
_REACHES = (1.0, 0.5, 0.4)
#: Rims that are found on so small a part of their rays do not count.
_LEAST_SUPPORT = 0.7
#: A rim that is seen so far from its listed place is left out, mm.
_FAR_OFF = 0.6
#: So many holes carry a view at the least; so many patterns are looked into.
_FEWEST, _MOST_PATTERNS = 4, 4
#: So often each hole chooses again between its two rims; a hole that is further off than this, mm,
#: is an outlier, whose way off says no more.
_ROUNDS, _OUTLIER = 4, 0.15
#: How blurred a picture is taken for in which no rim is seen, mm, as a standard deviation.
_USUAL_BLUR = 0.1


@dataclass(frozen=True, slots=True, eq=False)
class SeenHole:
    """A hole that was found: how far its rim is seen from its listed place, right and up, mm."""

    opening: Opening
    off: tuple[float, float]
    rim: Rim


@dataclass(frozen=True, slots=True, eq=False)
class Held:
    """Places of the panel, mm, and where they are seen, px, by something else than rims; and how
    well, mm, as a standard deviation.
    """

    places: Points
    pixels: Points
    spread: float


@dataclass(frozen=True, slots=True, eq=False)
class ViewByHoles:
    """How a photograph sees the panel, and the holes that say so.

    `off` is how far they are seen from the list, root mean square, mm; `blur` how blurred their
    rims are, mm, as a standard deviation. `by_edges` says that the panel's edges helped.
    """

    panel: SeenPanel
    by: HoleCamera
    holes: tuple[SeenHole, ...]
    off: float
    blur: float
    by_edges: bool = False

    @property
    def openings(self) -> list[Opening]:
        """The holes that were found, each once, though several places of it may be."""
        return list({hole.opening.id: hole.opening for hole in self.holes}.values())


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
    return view_by_rims(picture, by, whole_rims(openings))


def view_by_rims(
    picture: Picture, by: HoleCamera, landmarks: Sequence[Landmark], held: Held | None = None
) -> ViewByHoles | None:
    """The view by the rims, or parts of them, from one that is about right; None where they do not
    suit. With what else holds it, no rim is needed.
    """
    fewest = 0 if held else _FEWEST
    for reach in _REACHES:
        seen = _rims(SeenPanel(picture, by.camera.view()), landmarks, reach)
        if len(seen) < fewest:
            return None
        by = _by_rims(by, picture, seen, held)
    panel = SeenPanel(picture, by.camera.view())
    by, holes = _agreed(by, panel, _rims(panel, landmarks, _REACHES[-1]), held)
    if len(holes) < fewest:
        return None
    offs = [dx * dx + dy * dy for dx, dy in (hole.off for hole in holes)]
    off = float(np.sqrt(np.mean(offs))) if offs else 0.0
    blur = float(np.median([hole.rim.spread for hole in holes])) if holes else _USUAL_BLUR
    seen_panel = SeenPanel(picture, by.camera.view())
    return ViewByHoles(seen_panel, by, holes, off, blur, by_edges=held is not None)


def _rims(
    panel: SeenPanel, landmarks: Sequence[Landmark], reach: float
) -> list[tuple[Landmark, Rim]]:
    """The rims that are found within so many mm of their places."""
    found = [(landmark, rim_of(panel, landmark, reach)) for landmark in landmarks]
    return [(landmark, rim) for landmark, rim in found if rim and rim.support > _LEAST_SUPPORT]


def _by_rims(
    begin: HoleCamera, picture: Picture, seen: Sequence[tuple[Landmark, Rim]], held: Held | None
) -> HoleCamera:
    """The camera by these rims, which were measured through another."""
    places = np.array([landmark.at for landmark, _ in seen], dtype=float).reshape(-1, 2)
    offs = np.array([rim.off for _, rim in seen]).reshape(-1, 2)
    spread = np.array([np.sqrt(np.trace(rim.covariance) / 2) for _, rim in seen])
    if held:
        offs = np.vstack([offs, begin.camera.view().to_panel(held.pixels) - held.places])
        places = np.vstack([places, held.places])
        spread = np.append(spread, np.full(len(held.places), held.spread))
    return fitted_to_holes(begin.camera, picture, places, offs, spread)


def _agreed(
    by: HoleCamera,
    panel: SeenPanel,
    seen: Sequence[tuple[Landmark, Rim]],
    held: Held | None,
) -> tuple[HoleCamera, tuple[SeenHole, ...]]:
    """The camera, and the rims that agree with each other best, of the two that each hole may have:
    by its listed size, and as one with a chamfer, perhaps.
    """
    if not seen:
        return by, ()
    either = [(rim, chamfered_rim(panel, landmark, rim) or rim) for landmark, rim in seen]
    best, found, least = by, tuple[SeenHole, ...](), np.inf
    for start in (0, 1):
        chosen = [start] * len(seen)
        for _ in range(_ROUNDS):
            rims = [
                (landmark, rims[k])
                for (landmark, _), rims, k in zip(seen, either, chosen, strict=True)
            ]
            now = _by_rims(by, panel.picture, rims, held)
            offs = np.array(
                [_offs(by, now, o, rims) for (o, _), rims in zip(seen, either, strict=True)]
            )
            far = np.hypot(offs[:, :, 0], offs[:, :, 1])
            before, chosen = chosen, far.argmin(axis=1).tolist()
            if before == chosen:
                break
        cost = float(np.minimum(far.min(axis=1), _OUTLIER).sum())
        if cost < least:
            best, least = now, cost
            found = tuple(
                SeenHole(landmark.opening, (float(off[k, 0]), float(off[k, 1])), rims[k])
                for (landmark, _), rims, k, off in zip(seen, either, before, offs, strict=True)
                if np.hypot(*off[k]) < _FAR_OFF
            )
    return best, found


def _offs(begin: HoleCamera, by: HoleCamera, landmark: Landmark, rims: Sequence[Rim]) -> Points:
    """How far rims of a hole, measured through one camera, are seen through another, mm."""
    places = np.array([np.array(landmark.at) + rim.off for rim in rims])
    out: Points = by.camera.view().to_panel(begin.camera.view().to_picture(places))
    return out - landmark.at
