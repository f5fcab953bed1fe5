"""Find how a photograph sees the panel by its holes alone: no outline is needed.

The spots that may be holes are told by their pattern; then each rim is measured where the list has
it, and the view is fitted to all of them, with the lens as far as they tell it. What cannot be told
surely is refused.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.camera.letters.by_holes.blobs import blobs_in
from legend.camera.letters.by_holes.pattern import Pattern, patterns_in
from legend.camera.letters.by_holes.rims import Rim, rim_of
from legend.camera.letters.by_holes.seen_panel import SeenPanel
from legend.camera.picture import Picture
from legend.camera.view import Lens, Points, View
from legend.layout.artwork import Opening

Floats = NDArray[np.float64]

#: How strongly lenses bend, as a standard deviation of Brown's first term, on the focal length:
#: what cameras of telephones leave when they have put it right. Common practice, no source.
_LENS_BENDS = 0.012
#: What rim of a hole may be taken for another's is that off, mm; from round to round less.
_REACHES = (1.0, 0.5, 0.4)
#: Rims that are found on so small a part of their rays do not count.
_LEAST_SUPPORT = 0.7
#: How well a hole list is kept, mm, as a standard deviation: as drilled, and measured.
_LIST_IS_RIGHT = 0.04
#: A rim that is seen so far from its listed place is left out of the view, mm.
_FAR_OFF = 0.6
#: The usual focal length, as a part of the picture's longer side: 26 mm on 35 mm film.
_USUAL_FOCAL = 0.75


@dataclass(frozen=True, slots=True, eq=False)
class SeenHole:
    """A hole that was found: how far its rim is seen from its listed place, right and up, mm."""

    opening: Opening
    off: tuple[float, float]
    rim: Rim


@dataclass(frozen=True, slots=True, eq=False)
class ViewByHoles:
    """How a photograph sees the panel, and the holes that say so.

    `off` is how far they are seen from the list, root mean square, mm. `covariance` is that of
    the parameters of the view, for what it says of a place.
    """

    panel: SeenPanel
    holes: tuple[SeenHole, ...]
    off: float
    blur: float
    covariance: Floats

    def uncertainty_at(self, place: Points) -> float:
        """How far the view may be off at a place of the panel, mm, at 95 %."""
        view = self.panel.view
        jacobian = _jacobian(_parameters(view), view, place[None])
        seen = jacobian.reshape(2, -1) @ self.covariance @ jacobian.reshape(2, -1).T
        x, y = place
        scale = view.pixels_per_mm((float(x), float(y)))
        return float(2 * np.sqrt(np.linalg.eigvalsh(seen)[-1]) / scale)


def views_by_holes(picture: Picture, openings: Sequence[Opening]) -> tuple[list[ViewByHoles], int]:
    """The views that the holes allow, the likeliest first; how many spots suited at the most.

    Several only where the holes look the same in several ways, as on a panel that can be turned
    over by half.
    """
    patterns = patterns_in(blobs_in(picture), openings)
    most = max((len(pattern.holes) for pattern in patterns), default=0)
    found = [view for p in patterns[:4] if (view := _fitted_view(picture, openings, p))]
    found.sort(key=lambda view: (-len(view.holes), view.off))
    return found, most


def _fitted_view(
    picture: Picture, openings: Sequence[Opening], pattern: Pattern
) -> ViewByHoles | None:
    """The view by the rims of the holes, from that by the spots; None where rims do not suit."""
    view = _with_eye(picture, View(pattern.onto, _lens(picture)))
    covariance = np.zeros((9, 9))
    holes: list[SeenHole] = []
    for reach in _REACHES:
        panel = SeenPanel(picture, view)
        rims = [(opening, rim_of(panel, opening, reach)) for opening in openings]
        seen = [(opening, rim) for opening, rim in rims if rim and rim.support > _LEAST_SUPPORT]
        if len(seen) < 4:
            return None
        places = np.array([opening.centre for opening, _ in seen], dtype=float)
        offs = np.array([rim.off for _, rim in seen])
        spread = np.array([np.sqrt(np.trace(rim.covariance) / 2) for _, rim in seen])
        view, covariance, left = _solved(view, places, offs, spread)
        view = _with_eye(picture, view)
        kept = np.hypot(*left.T) < _FAR_OFF
        if kept.sum() < 4:
            return None
        holes = [
            SeenHole(opening, (float(dx), float(dy)), rim)
            for (opening, rim), (dx, dy), keep in zip(seen, left, kept, strict=True)
            if keep
        ]
    off = float(np.sqrt(np.mean([dx * dx + dy * dy for dx, dy in (h.off for h in holes)])))
    blur = float(np.median([hole.rim.spread for hole in holes]))
    return ViewByHoles(SeenPanel(picture, view), tuple(holes), off, blur, covariance)


def _lens(picture: Picture) -> Lens:
    width, height = picture.size
    focal = picture.focal or _USUAL_FOCAL * max(width, height)
    return Lens(focal, ((width - 1) / 2, (height - 1) / 2))


def _solved(
    view: View, places: Points, offs: Points, spread: Floats
) -> tuple[View, Floats, Points]:
    """The view that has the holes where they are seen; its covariance; what is left, mm.

    By steps of Gauss and Newton over the nine parameters, the lens held by what is usual. A hole
    that does not suit the others counts little.
    """
    seen = view.to_picture(places + offs)
    scale = np.array([view.pixels_per_mm((float(x), float(y))) for x, y in places])
    sigma = np.sqrt(spread**2 + _LIST_IS_RIGHT**2) * scale
    parameters = _parameters(view)
    prior = np.zeros((9, 9))
    prior[8, 8] = 1 / _LENS_BENDS**2
    normal = prior
    for _ in range(8):
        now = _view(parameters, view)
        residual = seen - now.to_picture(places)
        far = np.hypot(*residual.T) / sigma
        weight = np.where(far < 2.5, 1.0, 2.5 / np.maximum(far, 1e-9)) / sigma**2
        jacobian = _jacobian(parameters, view, places)
        normal = np.einsum("n,nki,nkj->ij", weight, jacobian, jacobian) + prior
        right = np.einsum("n,nki,nk->i", weight, jacobian, residual) - prior @ parameters
        step = _solve(normal, right)
        parameters = parameters + step
    fitted = _view(parameters, view)
    left = (seen - fitted.to_picture(places)) / scale[:, None]
    mm = fitted.to_panel(seen) - places
    freedom = max(2 * len(places) - 9, 1)
    chi2 = float((np.sum(left**2, axis=1) * weight * scale**2).sum()) / freedom
    return fitted, np.asarray(np.linalg.pinv(normal) * max(chi2, 1.0), float), mm


def _solve(normal: Floats, right: Floats) -> Floats:
    """The step, the parameters brought to one scale first."""
    size = 1 / np.sqrt(np.maximum(np.diag(normal), 1e-30))
    scaled = normal * size[:, None] * size[None]
    step: Floats = np.linalg.lstsq(scaled, right * size, rcond=1e-12)[0] * size
    return step


def _parameters(view: View) -> Floats:
    """The view as numbers: its matrix, the last place of which is 1, and how the lens bends."""
    onto = view.onto / view.onto[2, 2]
    return np.append(onto.ravel()[:8], view.lens.k1 if view.lens else 0.0)


def _view(parameters: Floats, like: View) -> View:
    onto = np.append(parameters[:8], 1.0).reshape(3, 3)
    assert like.lens is not None
    lens = Lens(like.lens.focal, like.lens.middle, float(parameters[8]))
    return View(onto, lens, like.eye, like.uncertainty)


def _jacobian(parameters: Floats, like: View, places: Points) -> NDArray[np.float64]:
    """How places in the picture move with the parameters, px: shape (n, 2, 9)."""
    steps = np.append(np.maximum(np.abs(parameters[:8]) * 1e-6, 1e-9), 1e-6)
    columns = []
    for k, step in enumerate(steps):
        more, less = parameters.copy(), parameters.copy()
        more[k] += step
        less[k] -= step
        moved = _view(more, like).to_picture(places) - _view(less, like).to_picture(places)
        columns.append(moved / (2 * step))
    return np.stack(columns, axis=2)


def _with_eye(picture: Picture, view: View) -> View:
    """The view with where the camera stands: by its focal length, as told or as usual."""
    focal = picture.focal or _focal_in(view, picture) or _USUAL_FOCAL * max(picture.size)
    width, height = picture.size
    rays = np.linalg.inv(
        np.array([[focal, 0, (width - 1) / 2], [0, focal, (height - 1) / 2], [0, 0, 1]])
    )
    m = rays @ view.onto
    scale = 2 / (np.linalg.norm(m[:, 0]) + np.linalg.norm(m[:, 1]))
    m = m * scale * (1 if m[2, 2] > 0 else -1)
    # Right and up on the panel, as the camera has them; out of it is towards the camera.
    u, _, v = np.linalg.svd(np.column_stack([m[:, 0], m[:, 1], np.cross(m[:, 0], m[:, 1])]))
    turn = u @ v
    x, y, z = (-turn.T @ m[:, 2]).tolist()
    return View(view.onto, view.lens, (x, y, abs(z)), view.uncertainty)


def _focal_in(view: View, picture: Picture) -> float | None:
    """The focal length by which right and up on the panel are square and alike; None if untold."""
    width, height = picture.size
    shift = np.array([[1, 0, -(width - 1) / 2], [0, 1, -(height - 1) / 2], [0, 0, 1]])
    a, b = (shift @ view.onto)[:, :2].T
    flat = a[2] * b[2]
    if abs(flat) < 1e-12:
        return None
    f2 = -(a[0] * b[0] + a[1] * b[1]) / flat
    longer = max(picture.size)
    if not 0.4 * longer < np.sqrt(max(f2, 0.0)) < 4 * longer:
        return None
    return float(np.sqrt(f2))
