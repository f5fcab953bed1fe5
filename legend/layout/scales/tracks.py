"""Define the track along which a scale stands: an arc or a straight line.

A `Track` is where the graduations begin. `outward` is the direction in which graduations
point and numerals are pushed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
import shapely
from numpy.typing import NDArray

from legend.layout.artwork import KeepOut, Opening
from legend.lettering.outlines.outline import Outline
from legend.standards import LEAST_MARK_GAP
from legend.vector import Vector

#: Directions nearer to each other than this are one.
_SAME_RAY = 1e-6


class Track(Protocol):
    """Where a part of the travel stands on the panel."""

    @property
    def length(self) -> float:
        """Length of the whole travel along the feet of the graduations, mm."""
        ...

    @property
    def closed(self) -> bool:
        """Whether the end of the travel meets its beginning."""
        ...

    def point(self, fraction: float, out: float = 0.0) -> Vector:
        """The point at this part of the travel, `out` mm outward of the track."""
        ...

    def line(self, begin: float, end: float, out: float, width: float) -> Outline:
        """A line of `width` along the track between two parts of the travel."""
        ...

    def pushed(
        self, outlines: Sequence[Outline], fractions: Sequence[float], out: float
    ) -> list[Outline]:
        """Outlines, each pushed outward until its inked shape stands `out` mm off the track.

        Each is centred by its ink on the direction outward from its part of the travel.
        """
        ...

    def pushed_anchored(
        self, outlines: Sequence[Outline], fractions: Sequence[float], out: float
    ) -> list[Outline]:
        """As `pushed`, with the origin of each outline on that direction instead of its middle."""
        ...

    def __hash__(self) -> int: ...


def scale_radius(cover: KeepOut, opening: Opening) -> float:
    """How far what stands round a turned control begins from its axis, mm: clear of its part."""
    reach = shapely.hausdorff_distance(cover.shape, shapely.Point(opening.centre))
    return float(reach) + LEAST_MARK_GAP


@dataclass(frozen=True, slots=True)
class RoundTrack:
    """An arc round `centre`: from `start` degrees, clockwise from the top, through `sweep`."""

    centre: Vector
    radius: float
    start: float
    sweep: float

    @property
    def length(self) -> float:
        return math.radians(abs(self.sweep)) * self.radius

    @property
    def closed(self) -> bool:
        return abs(self.sweep) >= 360 - 1e-9

    def degrees(self, fraction: float) -> float:
        """The angle of a part of the travel, clockwise from the top."""
        return self.start + fraction * self.sweep

    def point(self, fraction: float, out: float = 0.0) -> Vector:
        return self.centre + (self.radius + out) * Vector.bearing(self.degrees(fraction))

    def line(self, begin: float, end: float, out: float, width: float) -> Outline:
        angles = self.degrees(begin), self.degrees(end)
        return Outline.arc_stroke(self.centre, self.radius + out, *angles, width)

    def pushed(
        self, outlines: Sequence[Outline], fractions: Sequence[float], out: float
    ) -> list[Outline]:
        centred = [_centred(outline) for outline in outlines]
        return self._placed(centred, *self._clear(centred, fractions, out))

    def pushed_anchored(
        self, outlines: Sequence[Outline], fractions: Sequence[float], out: float
    ) -> list[Outline]:
        """As `pushed`, with the origin of each outline on the ray instead of its middle.

        Those at the same angle to the left and to the right are pushed equally far, as the
        further of the two asks, so that they stand on one level.
        """
        rays, radii = self._clear(outlines, fractions, out)
        mirrored = np.abs(rays[:, None] - rays * (-1, 1)).max(axis=2) < _SAME_RAY
        further = np.where(mirrored, radii, 0.0).max(axis=1, initial=0)
        return self._placed(outlines, rays, np.maximum(radii, further))

    def _clear(
        self, outlines: Sequence[Outline], fractions: Sequence[float], out: float
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """The ray of each outline, and how far along it the outline is clear of the track."""
        angles = np.radians([self.degrees(f) for f in fractions])
        rays = np.column_stack([np.sin(angles), np.cos(angles)])
        if not outlines:
            return rays, np.empty(0)
        return rays, _clear_radii(np.array([o.shape for o in outlines]), rays, self.radius + out)

    def _placed(
        self, outlines: Sequence[Outline], rays: NDArray[np.float64], radii: NDArray[np.float64]
    ) -> list[Outline]:
        places = (rays * radii[:, None] + self.centre).tolist()
        return [o.moved(*place) for o, place in zip(outlines, places, strict=True)]


@dataclass(frozen=True, slots=True)
class StraightTrack:
    """A straight line from `begin` to `end`, with graduations to the side of `outward`."""

    begin: Vector
    end: Vector
    outward: Vector

    @property
    def length(self) -> float:
        return self.begin.distance(self.end)

    @property
    def closed(self) -> bool:
        return False

    def point(self, fraction: float, out: float = 0.0) -> Vector:
        return self.begin + (self.end - self.begin) * fraction + self.outward * out

    def line(self, begin: float, end: float, out: float, width: float) -> Outline:
        return Outline.line_stroke(self.point(begin, out), self.point(end, out), width)

    def pushed(
        self, outlines: Sequence[Outline], fractions: Sequence[float], out: float
    ) -> list[Outline]:
        return self.pushed_anchored([_centred(outline) for outline in outlines], fractions, out)

    def pushed_anchored(
        self, outlines: Sequence[Outline], fractions: Sequence[float], out: float
    ) -> list[Outline]:
        placed = []
        ox, oy = self.outward
        for outline, fraction in zip(outlines, fractions, strict=True):
            x0, y0, x1, y1 = outline.bounds
            near = min(x0 * ox, x1 * ox) + min(y0 * oy, y1 * oy)
            placed.append(outline.moved(*self.point(fraction, out - near)))
        return placed


def _centred(outline: Outline) -> Outline:
    x0, y0, x1, y1 = outline.bounds
    return outline.moved(-(x0 + x1) / 2, -(y0 + y1) / 2)


def _clear_radii(
    shapes: NDArray[np.object_], rays: NDArray[np.float64], clear: float
) -> NDArray[np.float64]:
    """How far along its ray each shape must stand to lie wholly outside a circle.

    The shapes stand about the origin; the circle of radius `clear` is about the other end of
    the ray. Found by bisection to a thousandth of a mm, all shapes at once.
    """
    near: NDArray[np.float64] = np.full(len(shapes), float(clear))
    boxes = shapely.bounds(shapes)
    far: NDArray[np.float64] = clear + np.hypot(
        *np.maximum(np.abs(boxes[:, :2]), np.abs(boxes[:, 2:])).T
    )
    for _ in range(max(1, math.ceil(math.log2(float((far - near).max()) / 1e-3)))):
        middle = (near + far) / 2
        outside = shapely.distance(shapes, shapely.points(-rays * middle[:, None])) >= clear
        near, far = np.where(outside, near, middle), np.where(outside, middle, far)
    return far
