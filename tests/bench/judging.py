"""What was cut of texts in; what is wrong with each, as a cutter and a hand would find it, out."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import shapely

from legend.description.tables.stock import StockLimits
from legend.standards import PLOTTER_STEP

#: Straight lines that a curve is judged by, and where it seems not simple.
_LINES, _MANY_LINES = 12, 96
#: What is no island, mm²; and the part of a bridge that is as good as one.
_SPECK, _LESS = 2e-3, 0.95
#: What is no opening that bridges could leave anything of, in squares of a bridge.
_CRUMB = 0.25
#: What two contours may overlap by, which is no more than the straight lines they are judged by
#: lie off their curves, mm².
_HAIR = 1e-3
#: A loop of a contour that is smaller than a step of the cutter each way is none, mm².
_LOOP = PLOTTER_STEP**2
#: The part of an opening's area that must be left on sheet, and on film.
_LEFT = {"sheet": 0.05, "film": 0.95}


@dataclass(frozen=True)
class Text:
    """A text, in one face, at a height in mm, for a stock."""

    face: str
    height: float
    stock: str
    words: str


@dataclass(frozen=True)
class Fault:
    """What is wrong with a text: the column it is counted in, and in words."""

    text: Text
    column: str
    words: str


@dataclass(frozen=True)
class Cutting:
    """What came of a panel: the ink of each text, the contours of its SVG, what was warned of.

    `contours` are the words of paths; `back` takes their points to the panel, y up.
    """

    before: list[shapely.Geometry]
    contours: list[str]
    back: Callable[[np.ndarray], np.ndarray]
    told: list[tuple[float, float]]
    stock: StockLimits


def judged(texts: Sequence[Text], cut: Cutting) -> Iterator[Fault]:
    """What is wrong with texts that stand on one panel."""
    rings = [cut.back(_ring(contour, _LINES)) for contour in cut.contours]
    which = np.repeat(np.arange(len(rings)), [len(ring) for ring in rings])
    lines = shapely.linearrings(np.vstack(rings), indices=which)
    sound = shapely.is_simple(lines)
    for index in np.flatnonzero(~sound):
        sound[index] = _is_simple(_ring(cut.contours[index], _MANY_LINES))
    shapes = shapely.make_valid(shapely.polygons(lines))
    sound &= ~_overlapping(shapes)
    cells = shapely.STRtree([shapely.box(*shape.bounds).buffer(0.01) for shape in cut.before])
    begins = shapely.points([ring[0] for ring in rings])
    owners = dict(zip(*cells.query(begins, "within").tolist(), strict=True))
    told = shapely.points(cut.told or np.empty((0, 2)))
    for index, (text, before) in enumerate(zip(texts, cut.before, strict=True)):
        own = [ring for ring, owner in owners.items() if owner == index]
        faults = []
        if bad := np.count_nonzero(~sound[own]):
            faults.append(Fault(text, "not simple", f"{bad} of {len(own)} contours"))
        openings = shapely.get_parts(before)
        rest = _rest(openings, shapes[own])
        faults += _of_openings(text, openings, rest, cut.stock.bridge)
        if text.stock == "sheet":
            faults += _of_islands(text, openings, rest, cut.stock.bridge)
        is_told = shapely.dwithin(shapely.box(*before.bounds), told, 1).any()
        yield from (replace(fault, column="told") if is_told else fault for fault in faults)


_WORD = re.compile(r"([MLHVCQ])([^A-Z]*)")


def _ring(d: str, count: int) -> np.ndarray:
    """The points of one contour of a path, each curve as so many straight lines."""
    points: list[np.ndarray] = []
    for word, rest in _WORD.findall(d):
        numbers = np.array(rest.replace(",", " ").split(), dtype=float)
        if word in "HV":
            for value in numbers:
                last = points[-1].copy()
                last["HV".index(word)] = value
                points.append(last)
            continue
        pairs = numbers.reshape(-1, 2)
        degree = {"M": 1, "L": 1, "Q": 2, "C": 3}[word]
        for at in range(0, len(pairs), degree):
            points += list(_bent([*points[-1:], *pairs[at : at + degree]], degree, count))
    return np.array(points)


def _bent(control: Sequence[np.ndarray], degree: int, count: int) -> Iterable[np.ndarray]:
    """Points along a curve after its first, or the end of a line."""
    if degree == 1:
        return control[-1:]
    t = _parts(count)
    while len(control) > 1:
        control = [a + (b - a) * t for a, b in itertools.pairwise(control)]
    return control[0]


@cache
def _parts(count: int) -> np.ndarray:
    return np.linspace(0, 1, count + 1)[1:, None]


def _is_simple(ring: np.ndarray) -> bool:
    """Whether a ring neither crosses nor touches itself, loops that no knife knows of left out."""
    parts = shapely.get_parts(shapely.make_valid(shapely.Polygon(ring)))
    rings = shapely.polygons(shapely.get_rings(parts[shapely.get_dimensions(parts) == 2]))
    return int(np.count_nonzero(shapely.area(rings) > _LOOP)) <= 1


def _overlapping(shapes: np.ndarray) -> np.ndarray:
    """Which shapes in rings run over others: neither beside them nor within, nor round them."""
    one, other = shapely.STRtree(shapes).query(shapes, "overlaps")
    shared = shapely.area(shapely.intersection(shapes[one], shapes[other]))
    least = np.minimum(shapely.area(shapes[one]), shapely.area(shapes[other]))
    found = np.zeros(len(shapes), dtype=bool)
    found[one[(shared > _HAIR) & (least - shared > _HAIR)]] = True
    return found


def _rest(openings: np.ndarray, shapes: np.ndarray) -> list[shapely.Geometry]:
    """What is left of each connected opening when it is cut along the rings round these shapes."""
    ink = shapely.symmetric_difference_all(shapes)
    parts = shapely.get_parts(ink)
    parts = parts[shapely.get_dimensions(parts) == 2]
    of = shapely.STRtree(openings).nearest(shapely.point_on_surface(parts))
    return [shapely.multipolygons(parts[of == index]) for index in range(len(openings))]


def _of_openings(
    text: Text, openings: np.ndarray, rest: Sequence[shapely.Geometry], bridge: float
) -> Iterator[Fault]:
    large = shapely.area(openings) > _CRUMB * bridge**2
    left = shapely.area(rest)[large] / shapely.area(openings)[large]
    if lost := int(np.count_nonzero(left < _LEFT[text.stock])):
        yield Fault(text, "lost", f"{lost} of {len(left)} openings, {left.min():.0%} left")


def _of_islands(
    text: Text, openings: np.ndarray, rest: Sequence[shapely.Geometry], bridge: float
) -> Iterator[Fault]:
    """The islands of each connected opening by itself, and by how much they hang now."""
    for opening, ink in zip(openings, rest, strict=True):
        islands = [shapely.Polygon(ring) for ring in opening.interiors]
        islands = [island for island in islands if island.area > _SPECK]
        sheet = shapely.box(*opening.bounds).buffer(4 * bridge, join_style="mitre")
        sheet = sheet.difference(ink) if islands else sheet
        for island in islands:
            room = 2 * float(shapely.maximum_inscribed_circle(island).length)
            hangs_by = _hangs_by(island, opening, sheet, min(bridge, room) * _LESS, room < bridge)
            if hangs_by is not None:
                said = f"an island {room:.2f} mm wide hangs by {hangs_by:.2f} mm in all"
                yield Fault(text, "thin necks", said)


def _hangs_by(
    island: shapely.Polygon,
    opening: shapely.Polygon,
    sheet: shapely.Geometry,
    wanted: float,
    is_narrow: bool,
) -> float | None:
    """How wide the necks are by which an island hangs, mm, if that is too little; or None."""
    outside = _outside(sheet, wanted / 2)
    cores = shapely.get_parts(island.buffer(-wanted / 2, quad_segs=8))
    if outside.intersects(cores[shapely.area(cores).argmax()]):
        return None
    firm = outside.buffer(wanted / 2, quad_segs=8)
    necks = shapely.get_parts(opening.intersection(sheet).buffer(-1e-3))
    widths = [_width(neck, island, sheet, firm, wanted) for neck in necks]
    if sum(widths) >= 1.98 * wanted or (is_narrow and max(widths, default=0) >= 0.99 * wanted):
        return None
    return sum(widths)


def _outside(sheet: shapely.Geometry, wear: float) -> shapely.Polygon:
    """What the edge of the sheet holds when all is worn by so much."""
    worn = shapely.get_parts(sheet.buffer(-wear, quad_segs=8))
    return worn[shapely.area(shapely.envelope(worn)).argmax()]


def _width(
    neck: shapely.Polygon,
    island: shapely.Polygon,
    sheet: shapely.Geometry,
    firm: shapely.Geometry,
    wanted: float,
) -> float:
    """How wide a neck is from an island to firm stock, mm, no more than wanted: 0 for none."""
    here = sheet.intersection(neck.buffer(2 * wanted))
    beyond = firm.difference(island).difference(neck.buffer(2e-3))
    low, high = 0.0, wanted
    while high - low > 0.002:
        width = (low + high) / 2
        worn = shapely.get_parts(here.buffer(-width / 2, quad_segs=8))
        both = shapely.intersects(worn, island) & shapely.intersects(worn, beyond)
        low, high = (width, high) if both.any() else (low, width)
    return low
