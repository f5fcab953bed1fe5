"""Draw the outlines of holes and panels as polygons, as tools leave them."""

from __future__ import annotations

import math

import numpy as np

from legend.description.shapes.edge import Edge

from .coverage import Points


def round_rim(
    diameter: float, ragged: float = 0.0, rng: np.random.Generator | None = None
) -> Points:
    """A drilled rim about the origin, anticlockwise; `ragged` is how rough it is, rms mm.

    The roughness has no part that would shift the rim (first harmonic) or stretch it (second).
    """
    turns = np.linspace(0, 2 * math.pi, 240, endpoint=False)
    radius = np.full(240, diameter / 2)
    if ragged and rng is not None:
        for k in range(3, 40):
            a, b = rng.normal(size=2) / k
            radius += ragged * (a * np.cos(k * turns) + b * np.sin(k * turns)) / 0.55
    return radius[:, None] * np.column_stack([np.cos(turns), np.sin(turns)])


def edge_rim(edge: Edge, step: float = 0.25, parts: int = 48) -> Points:
    """The outline of an edge, its arcs in small steps and its lines parted, anticlockwise.

    A whole circle has so many parts.
    """
    corners = np.array([(point.x, point.y) for point in edge.points(parts)])
    return parted(corners, step)


def parted(corners: Points, step: float) -> Points:
    """A polygon with more corners on its long sides, none further from the next than `step`."""
    way = np.roll(corners, -1, axis=0) - corners
    count = np.maximum(1, np.ceil(np.hypot(*way.T) / step)).astype(int)
    side = np.repeat(np.arange(len(corners)), count)
    part = (np.arange(len(side)) - (np.cumsum(count) - count)[side]) / count[side]
    out: Points = corners[side] + part[:, None] * way[side]
    return out


def turned(points: Points, degrees: float) -> Points:
    """Points turned clockwise about the origin, as angles are told in a description."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return points @ np.array([[c, -s], [s, c]])


def grown(rim: Points, by: float) -> Points:
    """A rim that runs anticlockwise, moved outwards everywhere by so much, mm."""
    before, after = np.roll(rim, 1, axis=0), np.roll(rim, -1, axis=0)
    way = after - before
    normal = np.column_stack([way[:, 1], -way[:, 0]]) / np.linalg.norm(way, axis=1, keepdims=True)
    out: Points = rim + by * normal
    return out
