"""Find where film letters lie to hundredths of a millimetre: their shape is laid on what is seen.

The shape, as blurred as the picture, is shifted and turned until it differs least from the cover by
film that is seen, by steps of Gauss and Newton on the pixels near its edges; what disagrees, such
as dust or the edge of a hole, counts little. The place is told by the film's colour, which a shadow
does not change; the turn by its lightness as well, which a file keeps finer than colour, and which
a shadow shifts but hardly turns.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.camera.letters.film_seen.seen_film import Patch
from legend.camera.letters.pieces.rough_place import Place
from legend.camera.opencv import blurred, resampled
from legend.drawing.proofs.coverage import Grid

Cover = NDArray[np.float32]
Floats = NDArray[np.float64]

#: The blur that both are given first, so that the rough place is near enough, then less, mm.
_BLURS = (0.3, 0.12, 0.0)
#: Of more pixels than this, some are taken.
_MOST = 60_000
#: An edge is where the shape changes by so much of it a mm.
_EDGE = 0.25
#: At most so many steps, each no longer than this, mm or radians; and what is none.
_STEPS, _LONGEST_STEP, _STANDS = 12, 0.3, 2e-4
#: And so far in all from the turn that is about right, radians: a spot has none.
_FURTHEST_TURN = 0.05
_ROW = 512
#: Of fewer pixels no place is told.
_FEWEST = 20
#: By light alone nothing is told where so little of what is seen near edges is explained.
_LEAST_FIT = 0.5


@dataclass(frozen=True, slots=True)
class FinePlace:
    """A place, how far it may be off, right and up, mm, and in its turn, degrees, at 95 %.

    `film` is how much of film the letters are seen to be: 1 for whole ones, 0 for none. `fit` is
    the part of what is seen near their edges that they explain, 0 to 1. `lever` is how far their
    edges go on the mean, mm, when they are turned by a radian: of a round spot none.
    """

    place: Place
    uncertainty: float
    turn_uncertainty: float
    film: float
    fit: float
    lever: float


def fine_place(
    patch: Patch,
    shape: Cover,
    about: tuple[float, float],
    start: Place,
    blur: float,
) -> FinePlace | None:
    """Where the shape lies, from a rough place; `blur` is that of the picture, mm.

    None where the steps lead away from there.
    """
    grid = patch.grid
    at = np.array([start.right, start.up, math.radians(start.clockwise)])
    for more in _BLURS:
        own = math.hypot(blur, more)
        edge = _edge_of(blurred(shape, own * grid.scale), grid, about).seen_on(patch, about, at)
        if len(edge.x) < _FEWEST:
            return None
        by_colour = _stepped(blurred(patch.cover, more * grid.scale), grid, about, edge, at, own)
        at = by_colour.at
    if math.hypot(at[0] - start.right, at[1] - start.up) > 1.0:
        return None
    by_light = _stepped(patch.by_light, grid, about, edge, at, own, grown=True)
    angle, turn = _pooled(by_colour, by_light)
    place = Place(float(at[0]), float(at[1]), math.degrees(angle), start.alike)
    far = 2 * math.sqrt(float(np.linalg.eigvalsh(by_colour.covariance[:2, :2])[-1]))
    lever = _lever(edge.moving(angle))
    return FinePlace(place, far, 2 * math.degrees(turn), by_colour.film, by_colour.fit, lever)


def _pooled(by_colour: _Fit, by_light: _Fit) -> tuple[float, float]:
    """The turn by both, each as it is sure, and its standard deviation, radians."""
    turns = np.array([by_colour.at[2], by_light.at[2]])
    variances = np.array([by_colour.covariance[2, 2], by_light.covariance[2, 2]])
    weights = 1 / np.maximum(variances, 1e-12)
    if by_light.fit < _LEAST_FIT:
        weights[1] = 0.0
    return float(weights @ turns / weights.sum()), float(weights.sum() ** -0.5)


@dataclass(frozen=True, slots=True, eq=False)
class _Fit:
    """Shift, mm, and turn, radians, and their covariance; film and fit as of `FinePlace`."""

    at: Floats
    covariance: Floats
    film: float
    fit: float


def _stepped(
    seen: Cover,
    grid: Grid,
    about: tuple[float, float],
    edge: _Edge,
    at: Floats,
    blur: float,
    grown: bool = False,
) -> _Fit:
    """Shift and turn, from where they are; where `grown`, edges may stand off, as shadows let
    them seem to.
    """
    covariance, gain, fit, begin = np.eye(3), 1.0, 0.0, float(at[2])
    # Pixels that the same blur reaches tell the same; those that were left out tell no more.
    alike = max(4 * math.pi * (blur * grid.scale) ** 2 / edge.every, 1.0)
    steady = [edge.value, np.ones(len(edge.x))]
    for _ in range(_STEPS):
        found = _looked_up(seen, grid, about, edge, at)
        growth = edge.growing(float(at[2])) if grown else []
        level = np.column_stack([*steady, *growth])
        design = np.column_stack([gain * edge.moving(float(at[2])), level])
        shares, *_ = np.linalg.lstsq(level, found, rcond=None)
        gain = float(np.clip(shares[0], 0.2, 2.0))
        residual = np.abs(found - level @ shares)
        fit = float(1 - (residual**2).mean() / max(float(found.var()), 1e-6)) if gain > 0.2 else 0.0
        far = 2.5 * max(1.4826 * float(np.median(residual)), 0.01)
        weight = far / np.maximum(residual, far)
        normal = (design.T * weight) @ design + 1e-9 * np.eye(design.shape[1])
        step = np.linalg.solve(normal, (design.T * weight) @ found)[:3]
        at = at + np.clip(step, -_LONGEST_STEP, _LONGEST_STEP)
        at[2] = np.clip(at[2], begin - _FURTHEST_TURN, begin + _FURTHEST_TURN)
        variance = float((weight * residual**2).sum() / max(weight.sum(), 1))
        covariance = np.linalg.inv(normal)[:3, :3] * variance * alike
        if np.abs(step).max() < _STANDS:
            break
    return _Fit(at, covariance, gain, fit)


def _lever(moving: Floats) -> float:
    """How far edges go, mm, when a shape is turned by a radian, beyond what a shift does to them:
    by how much of what is seen changes with it, as against a shift by a mm.
    """
    normal = moving.T @ moving
    shift, both, turn = normal[:2, :2], normal[:2, 2], float(normal[2, 2])
    own = turn - float(both @ np.linalg.solve(shift + 1e-9 * np.eye(2), both))
    return math.sqrt(max(own, 0.0) / max(float(np.trace(shift)) / 2, 1e-9))


@dataclass(frozen=True, slots=True, eq=False)
class _Edge:
    """The pixels of a shape near its edges: where, from its middle, mm; how much of it is there,
    and how that grows to the right and up. Of them one in so many was taken.
    """

    x: Floats
    y: Floats
    value: Floats
    across: Floats
    up: Floats
    every: int

    def seen_on(self, patch: Patch, about: tuple[float, float], at: Floats) -> _Edge:
        """Those of the pixels that lie on what is known, when the shape lies there."""
        known = _looked_up(patch.known.astype(np.float32), patch.grid, about, self, at) > 0.99
        if known.all():
            return self
        x, y, value = self.x[known], self.y[known], self.value[known]
        return _Edge(x, y, value, self.across[known], self.up[known], self.every)

    def moving(self, turn: float) -> Floats:
        """How the value at a place changes as the shape, turned by so many radians, goes right, up
        and clockwise: shape (n, 3).
        """
        c, s = math.cos(turn), math.sin(turn)
        right, up = c * self.across + s * self.up, c * self.up - s * self.across
        return -np.column_stack([right, up, self.across * self.y - self.up * self.x])

    def growing(self, turn: float) -> list[Floats]:
        """How it changes as edges stand off: all alike, and by which way they face, as a shadow
        goes round a shape that is turned by so many radians.
        """
        steep = np.hypot(self.across, self.up)
        facing = 2 * (np.arctan2(self.up, self.across) - turn)
        return [steep, steep * np.cos(facing), steep * np.sin(facing)]


def _edge_of(pattern: Cover, grid: Grid, about: tuple[float, float]) -> _Edge:
    down, across = (np.asarray(each, float) for each in np.gradient(pattern))
    rows, columns = np.nonzero(np.hypot(across, down) * grid.scale > _EDGE)
    every = max(1, len(rows) // _MOST)
    rows, columns = rows[::every], columns[::every]
    return _Edge(
        np.asarray(grid.left + (columns + 0.5) / grid.scale - about[0], float),
        np.asarray(grid.top - (rows + 0.5) / grid.scale - about[1], float),
        pattern[rows, columns].astype(float),
        across[rows, columns] * float(grid.scale),
        -down[rows, columns] * float(grid.scale),
        every,
    )


def _looked_up(
    seen: Cover, grid: Grid, about: tuple[float, float], edge: _Edge, at: Floats
) -> Floats:
    """What is seen where pixels of the shape lie when it is shifted and turned."""
    c, s = math.cos(at[2]), math.sin(at[2])
    x = about[0] + c * edge.x + s * edge.y + at[0]
    y = about[1] - s * edge.x + c * edge.y + at[1]
    # In rows, because OpenCV takes none of any length.
    size = math.ceil(len(x) / _ROW) * _ROW
    column, row = (
        np.resize(each, size).reshape(-1, _ROW).astype(np.float32)
        for each in ((x - grid.left) * grid.scale - 0.5, (grid.top - y) * grid.scale - 0.5)
    )
    return resampled(seen, column, row).ravel()[: len(x)].astype(float)
