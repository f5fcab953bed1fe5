"""Find the holes of a panel in a picture: candidates, their shapes, and their rims."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace

import numpy as np

from legend.camera.holes.candidates import Candidate, candidates
from legend.camera.holes.found_hole import Doubt, FoundHole
from legend.camera.holes.light import Light
from legend.camera.holes.rims import Rim, RoundRim, ShapedRim, begun, some_points
from legend.camera.holes.rings import FrontRim, front_rim, lit_to_one_side
from legend.camera.view import Points, View
from legend.description.shapes.hole_shapes import CutOut, Drilled, Polygon, Slot
from legend.description.shapes.shape import Shape

#: An outline is round where its points lie so near to an oval, mm and parts of its radius; and
#: one that is oval by more than this part of its diameter is a slot.
_ROUND, _ROUND_PART, _MOST_OVAL = 0.06, 0.045, 0.16
#: What is smaller than this is drilled, if it is a hole at all, mm.
_LEAST_SHAPED = 3.0
#: Corners that are round by more than this part of half the shorter side make a slot, where the
#: longer side is so many times that.
_SLOT_ROUND, _SLOT_LONG = 0.8, 1.12
#: A rim that is not this steady, mm and pixels, or of which less than this was seen, is doubtful.
_RAGGED, _RAGGED_PIXELS, _IN_PART = 0.05, 0.35, 0.55
#: Out of round by more than this, mm and parts of its diameter, a rim is doubtful. Common practice,
#: no source: a file makes holes oval by some hundredths of their diameter.
_OVAL, _OVAL_PART = 0.5, 0.1
#: With so much of its rim on one shape, no other is tried.
_AS_GOOD_AS_WHOLE = 0.85
#: What is smaller than this may be a dot of a pen or a punch mark, mm.
#: Common practice, no source: screws of less than M2.5 hardly hold anything on a panel.
_SMALL = 2.6
#: What is narrower than this is no hole, mm; nor is what has these doubts.
_NO_HOLE = 0.9
_NONE = (
    {Doubt.SMALL, Doubt.PALE},
    {Doubt.PART, Doubt.PALE},
    {Doubt.UNKNOWN, Doubt.PALE},
    {Doubt.PART, Doubt.UNKNOWN},
    {Doubt.RAGGED, Doubt.PALE},
)
#: What is so much lighter or darker within than the other holes, in root light, may be none; and
#: so much of the step from there to the face.
_UNLIKE, _UNLIKE_PART = 0.12, 0.45
#: What is looked for where it should be is of its size within this, mm and part, and differs by so
#: much from the face, in root light.
_SIZE_OFF, _SIZE_PART, _LEAST_CONTRAST = 0.3, 0.06, 0.05
#: How far light from one side shifts all rims, in pixels, at 95 %: of a scanner, whose light comes
#: past the metal, and of a camera, which sees lit walls. Measured on pictures that were reckoned.
_SHIFTED_SCAN, _SHIFTED_PHOTO = 0.34, 0.5
#: The same for diameters.
_LARGER_SCAN, _LARGER_PHOTO = 0.6, 0.65
#: How far a rim is led astray, at 95 %, in what lies to one side of it, and in the spread of the
#: steps round it: where they do not lie as a rim does, it may not be the rim. Measured so too.
_ASTRAY = 2.0
#: And by light or shade on one side of it beyond what is usual, mm for the whole of its step.
_BY_LIGHT, _EVEN = 5.0, 0.03
#: Steps to one side where the face is as light as elsewhere are scratches, most of them: they count
#: for this part.
_STEPS_ONLY = 0.4
#: Where it is lighter within than the face, which is no darker than this part of it, in root
#: light, the shadow of the panel is about as light as the face, and its edge may be taken for the
#: rim: so far off, mm.
_SHADED, _SHADOW = 0.3, 0.6
#: With more than this to one side of it, mm, or parts of its step, a rim is doubtful.
_ASIDE, _ASIDE_PART = 0.09, 0.12
#: And where it is not told which of several it is, so far apart, mm.
_OPEN = 0.15
#: Radius of the circle that 95 % of errors lie in, in standard deviations each way; and the same
#: for a single number. Of the normal distribution.
_IN_CIRCLE, _ON_LINE = 2.448, 1.960


def holes_in(light: Light, view: View, edge: Points) -> list[FoundHole]:
    """The holes of a panel whose edge is given, mm, from the top, row by row, as far as may be.

    What may be none is among them, with its doubts.
    """
    found = [
        hole
        for candidate in candidates(light, view, edge)
        if (hole := _found(light, view, _roughly(candidate)))
    ]
    return _doubted(_apart(found), light, view)


def discs_in(light: Light, view: View, edge: Points) -> list[FoundHole]:
    """What is round within an edge, mm: discs on a ground, each with its raised border."""
    found = [
        hole
        for candidate in candidates(light, view, edge)
        if (hole := _found(light, view, _as_discs(candidate)))
    ]
    whole = [
        replace(disc, shape=Drilled(drill=disc.width + 2 * (disc.chamfer or 0.0)), chamfer=None)
        for disc in found
    ]
    return _apart([disc for disc in whole if disc.width >= _NO_HOLE])


def hole_like(light: Light, view: View, near: FoundHole, shape: Shape, angle: float) -> FoundHole:
    """A hole again, now that its shape is known; as it was where it does not fit that."""
    found = front_rim(light, view, _rim_of(near.at, shape, angle))
    if found is None or found.ring.support < _IN_PART:
        return near
    told = _told(found, light, view)
    kept = (doubt for doubt in near.doubts if doubt in (Doubt.PALE, Doubt.APART))
    doubts = (doubt for doubt in told.doubts if doubt is not Doubt.UNKNOWN)
    return replace(told, doubts=(*doubts, *kept))


def hole_near(
    light: Light, view: View, at: tuple[float, float], shape: Shape, angle: float
) -> FoundHole | None:
    """A hole of a known shape, looked for where it should be; None where there is none.

    What stands out so little that it was no candidate must be of the right size and nearly whole.
    """
    found = front_rim(light, view, _rim_of(at, shape, angle))
    if found is None or found.ring.support < _AS_GOOD_AS_WHOLE or _is_ragged(found):
        return None
    hole = _told(found, light, view)
    contrast = abs(hole.within - _beside(light, view, found.ring.rim))
    if contrast < _LEAST_CONTRAST or not is_as_large(hole, shape):
        return None
    return replace(hole, doubts=(*hole.doubts, Doubt.FAINT))


def is_as_large(hole: FoundHole, shape: Shape) -> bool:
    """Whether a hole is about as large as its shape should be, both ways."""
    sizes = zip(hole.shape.size, shape.size, strict=True)
    return all(abs(a - b) < _SIZE_OFF + _SIZE_PART * b for a, b in sizes)


def _rim_of(at: tuple[float, float], shape: Shape, angle: float) -> Rim:
    """The rim of a hole of a shape."""
    if isinstance(shape, Drilled):
        return RoundRim(at, shape.drill / 2)
    return ShapedRim(at, angle, begun(shape))


# --- One candidate ---


def _as_discs(candidate: Candidate) -> Iterator[Rim]:
    """The discs that an outline may be: one as large as it, and the oval nearest to it."""
    yield RoundRim(candidate.middle, math.sqrt(candidate.area / math.pi))
    at, radius, oval, _ = _round(candidate.outline)
    yield RoundRim(at, radius, oval)


def _found(light: Light, view: View, rims: Iterable[Rim]) -> FoundHole | None:
    best: FrontRim | None = None
    for rough in rims:
        rim = front_rim(light, view, rough)
        if rim and (best is None or _fit(rim) > 1.15 * _fit(best)):
            best = rim
        if best and best.ring.support > _AS_GOOD_AS_WHOLE and not _is_ragged(best):
            break
    return _told(best, light, view) if best else None


def _fit(found: FrontRim) -> float:
    """How well a rim fits what is seen: how much of it, how nearly."""
    return found.ring.support / (found.ring.spread + 0.2 * found.rays.steps.pixel)


def _roughly(candidate: Candidate) -> Iterator[Rim]:
    """The rims that an outline may be, the likeliest first."""
    outline = candidate.outline
    at, radius, oval, off = _round(outline)
    if off < max(_ROUND, _ROUND_PART * radius) and math.hypot(*oval) < _MOST_OVAL / 2 * radius:
        yield RoundRim(at, radius, oval if math.hypot(*oval) > 0.05 else None)
    at, width, height, angle = _boxed(outline)
    if width < _LEAST_SHAPED:
        yield RoundRim(at, radius)
        return
    # Round corners are what an outline lacks of the box round it: (4 - pi) r² of its area.
    radius = math.sqrt(max(width * height - candidate.area, 0.0) / (4 - math.pi))
    radius = min(radius, height / 2 * 0.98)
    if radius > _SLOT_ROUND * height / 2 and width > _SLOT_LONG * height:
        yield ShapedRim(at, angle, begun(Slot(slot=(width, height))))
    yield ShapedRim(at, angle, begun(CutOut(cutout=(width, height), corner_radius=radius)))
    if corners := _corners(outline, candidate.middle):
        yield ShapedRim(candidate.middle, 0.0, Polygon(polygon=corners))


def _round(outline: Points) -> tuple[tuple[float, float], float, tuple[float, float], float]:
    """The oval nearest to an outline: middle, radius, oval, and how far points lie off it, mm."""
    middle = outline.mean(axis=0)
    for _ in range(2):
        x, y = (outline - middle).T
        phi, far = np.arctan2(y, x), np.hypot(x, y)
        waves = [np.ones_like(phi), np.cos(phi), np.sin(phi), np.cos(2 * phi), np.sin(2 * phi)]
        columns = np.column_stack(waves)
        numbers, *_ = np.linalg.lstsq(columns, far, rcond=None)
        middle = middle + numbers[1:3]
    off = float(np.sqrt(((far - columns @ numbers) ** 2).mean()))
    x, y = middle.tolist()
    radius, _, _, c, s = numbers.tolist()
    return (x, y), max(radius, 0.1), (c, s), off


def _boxed(outline: Points) -> tuple[tuple[float, float], float, float, float]:
    """The least rectangle round an outline: its middle, sides, and how far it is turned.

    The first side is the one that lies level, or nearly: it is turned by 45 degrees at the most;
    of one that is far longer than high, by 90.
    """
    import shapely

    ring = shapely.minimum_rotated_rectangle(shapely.MultiPoint(outline))
    corners = np.array(ring.exterior.coords)[:4]
    a, b = corners[1] - corners[0], corners[2] - corners[1]
    width, height = float(np.hypot(*a)), float(np.hypot(*b))
    angle = -math.degrees(math.atan2(a[1], a[0]))
    if height > width:
        width, height, angle = height, width, angle + 90
    angle = (angle + 90) % 180 - 90
    x, y = corners.mean(axis=0).tolist()
    return (x, y), width, height, angle


def _corners(
    outline: Points, middle: tuple[float, float]
) -> tuple[tuple[float, float], ...] | None:
    """The corners of an outline that is made of straight sides, about its middle."""
    import shapely

    ring = shapely.Polygon(outline - middle).simplify(0.25)
    if not ring.is_valid or ring.geom_type != "Polygon":
        return None
    corners = shapely.orient_polygons(ring).exterior.coords[:-1]
    if not 3 <= len(corners) <= 24 or not ring.contains(shapely.Point(0, 0)):
        return None
    return tuple((float(x), float(y)) for x, y in corners)


# --- What is told of it ---


def _told(found: FrontRim, light: Light, view: View) -> FoundHole:
    """A hole as its rim was fitted."""
    ring, rim = found.ring, found.ring.rim
    pixel = found.rays.steps.pixel
    shifted, larger = (_SHIFTED_PHOTO, _LARGER_PHOTO) if view.eye else (_SHIFTED_SCAN, _LARGER_SCAN)
    place = math.sqrt(float(np.linalg.eigvalsh(ring.covariance[:2, :2])[-1]))
    size = math.sqrt(float(ring.covariance[2, 2])) * (2 if isinstance(rim, RoundRim) else 1)
    if isinstance(rim, ShapedRim):
        size = math.sqrt(float(np.max(np.diag(ring.covariance)[3:])))
    doubts = [Doubt.PART] * (ring.support < _IN_PART) + [Doubt.RAGGED] * _is_ragged(found)
    within, face = _within(light, view, rim), _beside(light, view, rim)
    is_shaded = within > face > _SHADED * within
    doubts += [Doubt.SHADED] * is_shaded
    aside = lit_to_one_side(light, view, found)
    is_aside = aside > _ASIDE_PART or (found.lopsided > _ASIDE and aside > _EVEN)
    is_open = max(found.place_open, found.size_open / 2) > _OPEN
    doubts += [Doubt.ASIDE] * (is_aside or found.is_half_shaded or is_open)
    at = (float(rim.numbers[0]), float(rim.numbers[1]))
    shape, angle, out_of_round = _shape(rim)
    # No drill or file leaves a hole so oval: its rim goes over a chamfer or a wall in part.
    too_oval = out_of_round if out_of_round > max(_OVAL, _OVAL_PART * shape.size[0]) else 0.0
    doubts += [Doubt.RAGGED] * bool(too_oval and Doubt.RAGGED not in doubts)
    if isinstance(shape, Polygon):
        doubts.append(Doubt.UNKNOWN)
    return FoundHole(
        at,
        angle,
        shape,
        math.hypot(
            _IN_CIRCLE * place,
            shifted * pixel,
            _ASTRAY * found.lopsided * (1.0 if aside > _EVEN else _STEPS_ONLY),
            _ASTRAY * ring.spread,
            _BY_LIGHT * max(aside - _EVEN, 0.0),
            _SHADOW * is_shaded,
            too_oval / 2,
            found.place_open,
            view.uncertainty_at(at),
        ),
        math.hypot(_ON_LINE * size, larger * pixel, found.size_open, too_oval),
        ring.support,
        within,
        found.chamfer,
        out_of_round,
        tuple(doubts),
    )


def _shape(rim: Rim) -> tuple[Shape, float, float]:
    """The shape of a rim, how far it is turned, and how far out of round it is."""
    if isinstance(rim, RoundRim):
        return Drilled(drill=2 * rim.radius), 0.0, rim.out_of_round
    assert isinstance(rim, ShapedRim)
    angle = (rim.angle + 180) % 360 - 180
    return rim.shape, angle, 0.0


def _is_ragged(found: FrontRim) -> bool:
    pixel = found.rays.steps.pixel
    return found.ring.spread > _RAGGED + _RAGGED_PIXELS * pixel


def _within(light: Light, view: View, rim: Rim) -> float:
    """The root light in the middle of a hole."""
    points, _ = some_points(rim, 24)
    middle = rim.numbers[:2]
    inner = np.concatenate([middle + part * (points - middle) for part in (0.0, 0.25, 0.5)])
    return float(np.median(light.at(view.to_picture(inner))[1]))


# --- All of them ---


def _apart(found: list[FoundHole]) -> list[FoundHole]:
    """The better of two that came to rest on one hole, or one within the other."""
    kept: list[tuple[FoundHole, float]] = []
    for hole in sorted(found, key=lambda one: (len(one.doubts), -one.width)):
        across = min(hole.shape.size)
        if all(math.dist(hole.at, other.at) > max(across, its) / 2 for other, its in kept):
            kept.append((hole, across))
    return [hole for hole, _ in kept]


def _doubted(found: list[FoundHole], light: Light, view: View) -> list[FoundHole]:
    """The holes with the doubts that come of comparing them."""
    sure = [hole for hole in found if not hole.doubts and hole.width >= _SMALL]
    usual = float(np.median([hole.within for hole in sure])) if sure else None
    out = []
    for hole in found:
        doubts = list(hole.doubts)
        if hole.width < _SMALL:
            doubts.append(Doubt.SMALL)
        if usual is not None and len(sure) > 2:
            face = _beside(light, view, _rim_of(hole.at, hole.shape, hole.angle))
            towards = (hole.within - usual) * math.copysign(1.0, face - usual)
            if towards > max(_UNLIKE, _UNLIKE_PART * abs(face - usual)):
                doubts.append(Doubt.PALE)
        if not _is_mark(hole, doubts):
            out.append(replace(hole, doubts=tuple(doubts)))
    return sorted(out, key=lambda hole: (-round(hole.at[1] / 8), hole.at[0]))


def _is_mark(hole: FoundHole, doubts: list[Doubt]) -> bool:
    """Whether what was found is surely none: a scratch, or a spot that only begins to be one."""
    kinds = set(doubts)
    return min(hole.shape.size) < _NO_HOLE or len(kinds) > 2 or kinds in _NONE


def _beside(light: Light, view: View, rim: Rim) -> float:
    """The root light of the face beside a hole."""
    points, ways = some_points(rim, 48)
    return float(np.median(light.at(view.to_picture(points + 1.5 * ways))[1]))
