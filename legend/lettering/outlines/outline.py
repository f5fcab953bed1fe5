"""Define an outline: one filled shape as curves, which all later rooms pass on.

An `Outline` is made of closed `Contour`s of straight lines, quadratics and cubics,
in mm, y upwards. It is clean: its contours neither cross themselves nor each other,
so that its inside is the same by the even-odd and by the nonzero rule. What is inside
is measured on a flattened `shapely` geometry, made once, when first asked for.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import reduce
from itertools import pairwise
from typing import TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from legend.lettering.outlines.curve_points import Points, along, arc_points, steps_along
from legend.vector import Vector

#: Left, bottom, right, top, mm.
Box = tuple[float, float, float, float]
#: An affine map as (a, b, c, d, e, f): x' = a x + c y + e, y' = b x + d y + f.
Affine = tuple[float, float, float, float, float, float]

#: How far the flattened shape may lie from its curve, mm.
FLATNESS = 0.002

#: Rings that are no further apart than this are measured as if they met, where need be, mm.
_HARDLY = 1e-9

#: Points that each kind of segment adds: a line, a quadratic, a cubic.
ADDS = {"L": 1, "Q": 2, "C": 3}
_ADDS = np.zeros(128, dtype=np.intp)
_ADDS[[ord(code) for code in ADDS]] = list(ADDS.values())


@dataclass(frozen=True, slots=True, eq=False)
class Contour:
    """One closed curve.

    `codes` has one letter a segment: L line, Q quadratic, C cubic. `points` holds the
    starting point and then the points of each segment in turn (1, 2 or 3), shape (n, 2).
    Where the last point is not the first, a straight line closes the contour.

    >>> square = Contour("LLL", np.array([[0, 0], [1, 0], [1, 1], [0, 1.0]]))
    >>> [code for code, _ in square.segments()]
    ['L', 'L', 'L', 'L']
    """

    codes: str
    points: Points
    _original: tuple[Contour, Points] | None = field(default=None, repr=False)
    _flat: Points | None = field(default=None, init=False, repr=False)

    @property
    def is_open_ended(self) -> bool:
        """True where the closing line is left out of `codes`."""
        (x0, y0), (x1, y1) = self.points[0].tolist(), self.points[-1].tolist()
        return math.hypot(x1 - x0, y1 - y0) > 1e-9

    def segments(self) -> Iterator[tuple[str, Points]]:
        """Each segment as its code and its points, the one it starts from included."""
        at = 0
        for code in self.codes:
            end = at + ADDS[code]
            yield code, self.points[at : end + 1]
            at = end
        if self.is_open_ended:
            yield "L", self.points[[-1, 0]]

    @property
    def nodes(self) -> int:
        """How many points lie on the curve, each counted once."""
        return len(self.codes) + self.is_open_ended

    @property
    def flat(self) -> Points:
        """The contour as a closed ring of points within `FLATNESS` of it, shape (n, 2)."""
        if self._flat is not None:
            return self._flat
        (ring,) = _rings((self,))
        return ring

    @property
    def signed_area(self) -> float:
        """The area it encloses, mm²: positive where it runs counter-clockwise, round ink."""
        x, y = self.flat.T
        return float(np.dot(x[:-1], y[1:]) - np.dot(x[1:], y[:-1])) / 2

    def moved(self, shift: Points) -> Contour:
        """The curve moved by (dx, dy), its flattening with it."""
        return Contour(self.codes, self.points + shift, _original(self, shift))

    def reversed(self) -> Contour:
        """The same curve, run the other way, from the same start."""
        closed = self.closed()
        return Contour(closed.codes[::-1], closed.points[::-1])

    def closed(self) -> Contour:
        """The same curve, the line that closes it among its segments."""
        if not self.is_open_ended:
            return self
        return Contour(self.codes + "L", np.vstack([self.points, self.points[:1]]))

    def started_at(self, segment: int) -> Contour:
        """The same curve, begun where the segment with this index begins."""
        if segment == 0:
            return self
        closed = self.closed()
        codes, points = closed.codes, closed.points
        at = sum(ADDS[code] for code in codes[:segment])
        turned = np.vstack([points[at:], points[1 : at + 1]])
        return Contour(codes[segment:] + codes[:segment], turned)


# --- Flattening ---


def _rings(contours: Sequence[Contour]) -> list[Points]:
    """The contours as rings. Each is flattened but once, and those that are new together."""
    done = [contour._flat for contour in contours]
    if all(ring is not None for ring in done):
        return [ring for ring in done if ring is not None]
    firsts = [contour._original[0] if contour._original else contour for contour in contours]
    new = {id(first): first.closed() for first in firsts if first._flat is None}
    flattened = dict(zip(new, _flattened(list(new.values())), strict=True))
    rings = []
    for contour, first in zip(contours, firsts, strict=True):
        ring = flattened[id(first)] if first._flat is None else first._flat
        object.__setattr__(first, "_flat", ring)
        if contour._original:
            ring = ring + contour._original[1] if contour._flat is None else contour._flat
            object.__setattr__(contour, "_flat", ring)
        rings.append(ring)
    return rings


def _flattened(contours: Sequence[Contour]) -> list[Points]:
    """Closed contours as rings of points, in one go: most of the time goes into the calls."""
    if all(set(contour.codes) == {"L"} for contour in contours):
        return [contour.points for contour in contours]
    cubics, straight, _ = cubics_of(contours)
    steps = steps_along(cubics, straight, FLATNESS)
    last = np.cumsum(steps)
    which = np.repeat(np.arange(len(steps)), steps)
    points = along(cubics[which], (np.arange(last[-1]) - (last - steps - 1)[which]) / steps[which])
    # Each ring begins and ends where its contour begins.
    ends = last[np.cumsum([len(contour.codes) for contour in contours]) - 1].tolist()
    rings = []
    for contour, (begin, end) in zip(contours, pairwise([0, *ends]), strict=True):
        ring = np.empty((end - begin + 1, 2))
        ring[1:] = points[begin:end]
        ring[0] = ring[-1] = contour.points[0]
        rings.append(ring)
    return rings


def cubics_of(
    contours: Sequence[Contour],
) -> tuple[NDArray[np.float64], NDArray[np.bool_], NDArray[np.intp]]:
    """Every segment as a cubic, shape (n, 4, 2); which are straight; the contour of each.

    Quadratics are raised exactly, and a line has its middle points on its ends. The line that
    closes a contour without being in its codes is left out.
    """
    points = np.concatenate([contour.points for contour in contours])
    codes = np.frombuffer("".join(contour.codes for contour in contours).encode(), np.uint8)
    of = np.repeat(np.arange(len(contours)), [len(contour.codes) for contour in contours])
    adds = _ADDS[codes]
    end = np.cumsum(adds) + of
    start = end - adds
    cubics = np.empty((len(codes), 4, 2))
    cubics[:, 0], cubics[:, 1] = points[start], points[start + (adds == 3)]
    cubics[:, 2], cubics[:, 3] = points[end - (adds == 3)], points[end]
    bent = np.flatnonzero(adds == 2)
    if len(bent):
        middle = points[start[bent] + 1] * (2 / 3)
        cubics[bent, 1] = cubics[bent, 0] / 3 + middle
        cubics[bent, 2] = cubics[bent, 3] / 3 + middle
    return cubics, adds == 1, of


_Measured = TypeVar("_Measured", Contour, "Outline")


def _original(moved: _Measured, shift: Points) -> tuple[_Measured, Points]:
    """Where a thing that is moved by `shift` was first, so that it is measured only once."""
    if moved._original:
        first, before = moved._original
        return first, before + shift
    return moved, shift


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """One filled shape as curves, in mm: letters of a legend, a graduation, a frame.

    >>> disc = Outline.disc((10, 20), 5)
    >>> round(disc.area, 1)
    78.5
    >>> disc.moved(1, 0).bounds
    (6.0, 15.0, 16.0, 25.0)
    """

    contours: tuple[Contour, ...]
    _original: tuple[Outline, Points] | None = field(default=None, repr=False)
    _parts: tuple[Outline, ...] = field(default=(), repr=False)
    _shape: BaseGeometry | None = field(default=None, init=False, repr=False)
    _bounds: Box | None = field(default=None, init=False, repr=False)

    # --- Making ---

    @classmethod
    def polygon(cls, points: Sequence[Sequence[float]] | Points) -> Outline:
        """The straight-sided shape with these corners, which must not cross itself."""
        corners = np.asarray(points, dtype=float)
        return cls((Contour("L" * (len(corners) - 1), corners),))

    @classmethod
    def rectangle(cls, x0: float, y0: float, x1: float, y1: float, radius: float = 0.0) -> Outline:
        """An upright rectangle, its corners rounded by `radius` where that is not 0."""
        radius = min(radius, (x1 - x0) / 2, (y1 - y0) / 2)
        if radius <= 0:
            return cls.polygon([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
        corners = [
            arc_points((x1 - radius, y0 + radius), radius, 180, 90),
            arc_points((x1 - radius, y1 - radius), radius, 90, 0),
            arc_points((x0 + radius, y1 - radius), radius, 0, -90),
            arc_points((x0 + radius, y0 + radius), radius, -90, -180),
        ]
        codes = "L".join("C" * (len(corner) // 3) for corner in corners)
        return cls((Contour(codes, np.vstack(corners)),))

    @classmethod
    def disc(cls, centre: Sequence[float], radius: float) -> Outline:
        """A filled circle."""
        points = arc_points(centre, radius, 90, -270)
        return cls((Contour("C" * (len(points) // 3), points),))

    @classmethod
    def arc_stroke(
        cls, centre: Sequence[float], radius: float, begin: float, end: float, width: float
    ) -> Outline:
        """A line of `width` along an arc, from `begin` to `end` degrees clockwise from the top.

        A sweep of 360 degrees or more gives a closed ring.
        """
        outer, inner = radius + width / 2, radius - width / 2
        if abs(end - begin) >= 360 - 1e-9:
            hole = cls.disc(centre, inner).contours[0].reversed()
            return cls((*cls.disc(centre, outer).contours, hole))
        begin, end = max(begin, end), min(begin, end)
        there = arc_points(centre, outer, begin, end)
        back = arc_points(centre, inner, end, begin)
        codes = "C" * (len(there) // 3) + "L" + "C" * (len(back) // 3)
        return cls((Contour(codes, np.vstack([there, back])),))

    @classmethod
    def line_stroke(cls, p: Sequence[float], q: Sequence[float], width: float) -> Outline:
        """A straight line of `width` from p to q with square-cut ends."""
        begin, end = Vector(*p), Vector(*q)
        aside = (end - begin).unit.left * width / 2
        return cls.polygon([begin - aside, end - aside, end + aside, begin + aside])

    @classmethod
    def gathered(cls, outlines: Iterable[Outline]) -> Outline:
        """Several outlines that do not touch each other, as one."""
        parts = tuple(outlines)
        return cls(tuple(contour for part in parts for contour in part.contours), None, parts)

    # --- Moving ---

    def transformed(self, affine: Affine) -> Outline:
        """The shape under an affine map; a mirrored shape stays counter-clockwise outside."""
        a, b, c, d, e, f = affine
        matrix = np.array([[a, b], [c, d]])
        contours = [Contour(k.codes, k.points @ matrix + (e, f)) for k in self.contours]
        if a * d - b * c < 0:
            contours = [contour.reversed() for contour in contours]
        return Outline(tuple(contours))

    def moved(self, dx: float, dy: float) -> Outline:
        """The shape moved by dx to the right and dy upwards, its measures with it."""
        shift = np.array([dx, dy])
        contours = tuple(contour.moved(shift) for contour in self.contours)
        return Outline(contours, _original(self, shift))

    def turned(self, degrees: float, about: Sequence[float] = (0.0, 0.0)) -> Outline:
        """The shape turned clockwise by `degrees` about a point."""
        c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        x, y = about
        return self.transformed((c, -s, s, c, x - c * x - s * y, y + s * x - c * y))

    def scaled(self, sx: float, sy: float | None = None) -> Outline:
        """The shape scaled about the origin, in y as in x where `sy` is left out."""
        return self.transformed((sx, 0, 0, sx if sy is None else sy, 0, 0))

    # --- Measuring ---

    @property
    def rings(self) -> list[Points]:
        """Its contours as closed rings of points within `FLATNESS` of them, shape (n, 2) each."""
        return _rings(self.contours)

    @property
    def signed_areas(self) -> list[float]:
        """The area that each of its contours encloses, mm², as `Contour.signed_area` has it."""
        _rings(self.contours)  # all in one go, which is quicker
        return [contour.signed_area for contour in self.contours]

    @property
    def shape(self) -> BaseGeometry:
        """The inside as a shapely polygon or multipolygon, flattened to `FLATNESS`."""
        shape = self._shape
        if shape is None:
            shape = self._measured()
            object.__setattr__(self, "_shape", shape)
        return shape

    def _measured(self) -> BaseGeometry:
        """The shape, not kept: that of a text, or a letter, is of no use once it is placed."""
        if self._original:
            outline, shift = self._original
            source = outline._measured() if outline._parts else outline.shape
            return shapely.transform(source, lambda points: points + shift)
        if len(self._parts) > 1:
            return shapely.multipolygons(shapely.get_parts([p._measured() for p in self._parts]))
        rings = self.rings
        if not rings:
            return shapely.MultiPolygon()
        which = np.repeat(np.arange(len(rings)), [len(ring) for ring in rings])
        lines = shapely.multilinestrings(shapely.linearrings(np.vstack(rings), indices=which))
        with np.errstate(invalid="ignore"):  # GEOS tries what leads nowhere, on its way
            # Curves that do not cross may touch, and cross as straight pieces where they nearly do.
            if shapely.is_simple(lines):
                return shapely.polygons(rings[0]) if len(rings) == 1 else shapely.build_area(lines)
            insides = [
                shapely.make_valid(shapely.polygons(ring), method="structure", keep_collapsed=False)
                for ring in rings
            ]
            return reduce(lambda a, b: a.symmetric_difference(b, grid_size=_HARDLY), insides)

    @property
    def bounds(self) -> Box:
        """Left, bottom, right, top of the ink, mm. Error: ValueError where there is no ink."""
        bounds = self._bounds
        if bounds is None:
            bounds = self._bounded()
            object.__setattr__(self, "_bounds", bounds)
        return bounds

    def _bounded(self) -> Box:
        if not self.contours:
            raise ValueError("an empty outline has no bounds")
        if self._original:
            outline, (dx, dy) = self._original
            x0, y0, x1, y1 = outline.bounds
            return x0 + float(dx), y0 + float(dy), x1 + float(dx), y1 + float(dy)
        if self._parts:
            lefts, bottoms, rights, tops = zip(*(p.bounds for p in self._parts if p), strict=True)
            return min(lefts), min(bottoms), max(rights), max(tops)
        points = np.vstack(self.rings)
        (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
        return float(x0), float(y0), float(x1), float(y1)

    @property
    def control_box(self) -> Box:
        """Left, bottom, right, top of all points, those off the curve included: never less
        than `bounds`, and quicker. Error: ValueError where there is no ink."""
        if not self.contours:
            raise ValueError("an empty outline has no bounds")
        low = np.min([contour.points.min(axis=0) for contour in self.contours], axis=0)
        high = np.max([contour.points.max(axis=0) for contour in self.contours], axis=0)
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])

    @property
    def area(self) -> float:
        """Inked area, mm²."""
        return float(self.shape.area)

    @property
    def nodes(self) -> int:
        """How many points lie on the curves."""
        return sum(contour.nodes for contour in self.contours)

    def __bool__(self) -> bool:
        return bool(self.contours)


def mapped(affine: Affine, point: tuple[float, float]) -> tuple[float, float]:
    """Where an affine map takes a point."""
    a, b, c, d, e, f = affine
    x, y = point
    return a * x + c * y + e, b * x + d * y + f


def box_round(boxes: Iterable[Box]) -> Box:
    """The box round all boxes, of which there is one at least."""
    x0, y0, x1, y1 = np.array(list(boxes)).T
    return float(x0.min()), float(y0.min()), float(x1.max()), float(y1.max())
