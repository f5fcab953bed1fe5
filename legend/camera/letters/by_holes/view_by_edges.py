"""Find how a photograph sees a panel whose holes alone do not tell: by its edges and long holes.

The panel's four edges say about how it is seen; where they are not, the pattern of its holes does,
roughly. What is measured then are the holes, and the ends of slots and corners of windows, and the
edges hold what these leave open.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from legend.camera.letters.by_holes.blobs import blobs_in
from legend.camera.letters.by_holes.camera_by_holes import begun, fitted_to_spots
from legend.camera.letters.by_holes.landmarks import are_in_one_line, parted_rims
from legend.camera.letters.by_holes.pattern import mapped_by, patterns_in
from legend.camera.letters.by_holes.view_by_holes import Held, ViewByHoles, view_by_rims
from legend.camera.panel.photo import photo_view
from legend.camera.panel.seen import PanelUnseenError
from legend.camera.picture import Picture
from legend.camera.view import Points
from legend.description.tables.panel import Panel
from legend.layout.artwork import Opening
from legend.length_words import Lengths

#: How well the edges, as cut, and as seen, are where the panel's size has them, mm, as a standard
#: deviation. Common practice, no source.
_EDGES_ARE_RIGHT = 0.1
#: A view that has so many landmarks less than the best is none.
_FEWER = 1
_FEWEST, _MOST_PATTERNS = 4, 4
#: The corners and the middles of the sides of a square.
_ROUND = np.array([[0, 0], [1, 0], [1, 1], [0, 1], [0.5, 0], [1, 0.5], [0.5, 1], [0, 0.5]])


def views_by_edges(
    picture: Picture, panel: Panel, openings: Sequence[Opening], lengths: Lengths
) -> tuple[list[ViewByHoles], str]:
    """The views that its edges and holes allow, the likeliest first; and why the edges are not
    seen, with what to do, or "".
    """
    landmarks = parted_rims(openings)
    why = ""
    try:
        views = photo_view(picture, panel, lengths=lengths).views
    except PanelUnseenError as error:
        views, why = (), str(error)
    found = []
    places = _ROUND * panel.size
    for view in views:
        held = Held(places, view.to_picture(places), _EDGES_ARE_RIGHT)
        by = fitted_to_spots(begun(picture, places, held.pixels), picture, places, held.pixels)
        found.append(view_by_rims(picture, by, landmarks, held))
    if not found and len(landmarks) >= _FEWEST and not are_in_one_line(landmarks):
        for pattern in patterns_in(blobs_in(picture), openings)[:_MOST_PATTERNS]:
            around = _box_round(np.array([each.at for each in landmarks]))
            pixels = mapped_by(pattern.onto, around)
            by = fitted_to_spots(begun(picture, around, pixels), picture, around, pixels)
            found.append(view_by_rims(picture, by, landmarks))
    seen = [view for view in found if view]
    seen.sort(key=lambda view: (-len(view.holes), view.off))
    return [view for view in seen if len(view.holes) >= len(seen[0].holes) - _FEWER], why


def _box_round(places: Points) -> Points:
    """The corners and the middles of the sides of the box round places."""
    low, high = places.min(axis=0), places.max(axis=0)
    out: Points = low + _ROUND * (high - low)
    return out
