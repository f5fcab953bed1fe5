"""Read a DXF drawing: its circles, its texts and its closed outlines, in mm.

Closed outlines are polylines, or single lines and arcs that meet end to end on one layer. All
are of model space, those of inserted blocks too.

Here alone ezdxf reads.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice, pairwise
from typing import TYPE_CHECKING, Any

from legend.description.reading.explaining.table_names import shown
from legend.description.shapes.edge import SAME, Arc, Edge, Line
from legend.limits import MOST_SHAPES, MOST_SIDES
from legend.sentences import listed
from legend.vector import Vector

if TYPE_CHECKING:
    from ezdxf.document import Drawing

#: What a drawing's units are called here, by the code $INSUNITS; others have no such name.
#: DXF reference, header section.
_UNITS = {1: "in", 4: "mm", 5: "cm"}
#: Metres and the like, as factors to mm. DXF reference, header section.
_TO_MM = {2: 304.8, 6: 1000.0, 14: 100.0}
#: Width of a letter of a drawing over its height, about.
_LETTER_WIDTH = 0.7
#: Layers that are named to whoever looks for another.
_MOST_TOLD = 12
#: How each shape of a drawing begins.
_SHAPE = re.compile(rb"^[ \t]*0[ \t]*\r?\n[ \t]*[A-Z]", re.MULTILINE)
#: Ends of lines that are no further apart than this meet, mm.
_MEETING = 0.01
#: How far the straight lines that stand for a spline or an ellipse may be from it, mm.
_FLAT = 0.005
#: Into how many straight lines an arc is divided to see what lies within an outline.
PARTS_OF_AN_ARC = 16


class DxfError(ValueError):
    """A drawing that cannot be read; the text is a sentence for whoever drew it."""


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle of the drawing."""

    at: Vector
    diameter: float
    layer: str


@dataclass(frozen=True, slots=True)
class Label:
    """A text of the drawing, and about its middle."""

    text: str
    at: Vector


@dataclass(frozen=True, slots=True, eq=False)
class Contour:
    """A closed outline of the drawing."""

    edge: Edge
    layer: str


@dataclass(frozen=True, slots=True)
class DxfDrawing:
    """What is drawn, in mm from the drawing's origin."""

    circles: Sequence[Circle]
    labels: Sequence[Label]
    contours: Sequence[Contour]


def read_dxf(content: bytes, units: str) -> DxfDrawing:
    """Read a drawing; `units` are those of one that does not say its own. Error: DxfError."""
    if sum(1 for _ in _SHAPE.finditer(content)) > MOST_SHAPES:
        raise DxfError(f"The drawing has more than {MOST_SHAPES} shapes, which no panel needs.")
    try:
        return _shapes(_drawing(content), units)
    except DxfError:
        raise
    except Exception:  # ezdxf lets errors of every kind through, assertions too
        raise DxfError(
            "This is no DXF drawing that can be read; save it again as ASCII DXF."
        ) from None


def read_dxf_outline(content: bytes, layer: str, units: str) -> Edge:
    """The largest closed outline of a drawing, or of one layer of it. Error: DxfError.

    `units` are those of a drawing that does not say its own.
    """
    import shapely

    drawing = read_dxf(content, units)
    circles = (
        Contour(Edge.circle(circle.diameter).moved(*circle.at), circle.layer)
        for circle in drawing.circles
    )
    contours = [*drawing.contours, *circles]
    layers = list(dict.fromkeys(contour.layer for contour in contours))
    if not contours:
        raise DxfError(
            "The drawing has no closed outline; the panel's must be one polyline, or lines and "
            "arcs that meet end to end on one layer."
        )
    if layer and layer.casefold() not in map(str.casefold, layers):
        raise DxfError(
            f"The drawing has no closed outline on the layer {shown(layer)}; there are some on "
            f"{listed(map(shown, layers[:_MOST_TOLD]))}."
        )
    wanted = (c for c in contours if not layer or c.layer.casefold() == layer.casefold())
    return max(
        (contour.edge for contour in wanted),
        key=lambda edge: shapely.Polygon(edge.points(PARTS_OF_AN_ARC)).area,
    )


def _drawing(content: bytes) -> Drawing:
    """The drawing. Errors: of every kind, where it is none."""
    import logging

    from ezdxf import recover

    logging.getLogger("ezdxf").setLevel(logging.CRITICAL)  # what it passes over is no fault
    if b"SECTION" not in content:
        raise ValueError("no DXF at all")
    drawing, _ = recover.read(io.BytesIO(content))
    return drawing


def _shapes(drawing: Drawing, units: str) -> DxfDrawing:
    from ezdxf.disassemble import recursive_decompose

    scale = _scale(drawing, units)
    circles: list[Circle] = []
    labels: list[Label] = []
    contours: list[Contour] = []
    sides: dict[str, list[Line | Arc]] = {}
    shapes: Iterable[Any] = recursive_decompose(drawing.modelspace())
    for shape in islice(shapes, MOST_SHAPES):
        kind = shape.dxftype()
        if kind == "CIRCLE":
            x, y, _ = shape.ocs().to_wcs(shape.dxf.center) * scale
            circles.append(Circle(Vector(x, y), 2 * abs(shape.dxf.radius) * scale, shape.dxf.layer))
        elif kind in ("TEXT", "MTEXT"):
            label = _label(shape, scale)
            if label:
                labels.append(label)
        elif kind in _SIDES and getattr(shape, "is_closed", False):
            contours += _contour(_sides_of(shape, scale), shape.dxf.layer)
        elif kind in _SIDES:
            sides.setdefault(shape.dxf.layer, []).extend(_sides_of(shape, scale))
    for layer, loose in sides.items():
        for chain in _chains(loose):
            contours += _contour(chain, layer)
    circles = [c for c in circles if c.diameter > 0 and math.isfinite(sum(c.at))]
    return DxfDrawing(circles, labels, contours)


def _scale(drawing: Drawing, units: str) -> float:
    """Millimetres in a unit of the drawing."""
    from legend.description.values.lengths import MILLIMETRES

    code = drawing.header.get("$INSUNITS", 0)
    return _TO_MM.get(code) or MILLIMETRES[_UNITS.get(code, units)]


def _label(shape: Any, scale: float) -> Label | None:
    """A text, and about its middle."""
    text = " ".join(shape.plain_text().split())
    if not text:
        return None
    if shape.dxftype() == "MTEXT":
        (x, y, _), height = shape.dxf.insert, shape.dxf.char_height
        row, column = divmod(shape.dxf.attachment_point - 1, 3)
        up = (-0.5, 0.0, 0.5)[min(row, 2)]
    else:
        (x, y, _), height = shape.dxf.insert, shape.dxf.height
        column, up = 0, 0.5
        if shape.dxf.halign or shape.dxf.valign:
            (x, y, _) = shape.dxf.get("align_point", shape.dxf.insert)
            column = {1: 1, 2: 2, 4: 1}.get(shape.dxf.halign, 0)
            up = {2: 0.0, 3: -0.5}.get(shape.dxf.valign, 0.5)
    along = (0.5 - column / 2) * _LETTER_WIDTH * len(text)
    return Label(text, Vector(x + along * height, y + up * height) * scale)


# --- Closed outlines ---

_SIDES = frozenset({"LINE", "ARC", "LWPOLYLINE", "POLYLINE", "ELLIPSE", "SPLINE"})


def _sides_of(shape: Any, scale: float) -> list[Line | Arc]:
    """The lines and arcs that a shape is made of, in their order; none of one that is at fault."""

    try:
        return list(_sides(shape, scale))
    except Exception:  # as above: a shape that ezdxf cannot take apart is no outline
        return []


def _sides(shape: Any, scale: float) -> Iterator[Line | Arc]:
    kind = shape.dxftype()
    if kind == "LINE":
        yield Line(*_flat([shape.dxf.start, shape.dxf.end], scale))
    elif kind == "ARC":
        yield _through(*_flat(shape.vertices(list(shape.angles(3))), scale))
    elif kind in ("ELLIPSE", "SPLINE"):
        points = _flat(islice(shape.flattening(_FLAT / scale), MOST_SIDES), scale)
        for begin, end in pairwise(points):
            yield Line(begin, end)
    elif kind == "LWPOLYLINE":
        yield from _polyline(shape, shape.get_points("xyb"), scale)
    elif shape.is_2d_polyline:
        vertices = [(*vertex.dxf.location.vec2, vertex.dxf.bulge) for vertex in shape.vertices]
        yield from _polyline(shape, vertices, scale)


def _flat(points: Iterable[Any], scale: float) -> list[Vector]:
    return [Vector(point[0], point[1]) * scale for point in points]


def _polyline(
    shape: Any, vertices: Sequence[tuple[float, float, float]], scale: float
) -> Iterator[Line | Arc]:
    """The sides of a polyline: from a vertex with a bulge, an arc.

    A bulge is the tangent of a quarter of the angle that the arc turns by, more than 0 where it
    runs anticlockwise. DXF reference, LWPOLYLINE.
    """
    around = [*vertices, vertices[0]] if shape.is_closed and vertices else vertices
    for (x0, y0, bulge), (x1, y1, _) in islice(pairwise(around), MOST_SIDES):
        middle = ((x0 + x1 + bulge * (y1 - y0)) / 2, (y0 + y1 - bulge * (x1 - x0)) / 2)
        drawn = [(x0, y0, 0), (*middle, 0), (x1, y1, 0)]
        first, through, last = _flat(shape.ocs().points_to_wcs(drawn), scale)
        yield _through(first, through, last) if bulge else Line(first, last)


def _through(first: Vector, middle: Vector, last: Vector) -> Line | Arc:
    """The arc from one point through another to a third; a line where they are in one."""
    # 1. The middle of the circle stands as far from each: two equations, from the first point.
    b, c = middle - first, last - first
    cross = 2 * b.cross(c)
    if abs(cross) < SAME:
        return Line(first, last)
    centre = first + (c * b.dot(b) - b * c.dot(c)).right / cross
    # 2. It runs the way that passes the point in the middle.
    begin, through, end = ((point - centre).degrees for point in (first, middle, last))
    clockwise = (through - begin) % 360 < (end - begin) % 360
    sweep = (end - begin) % 360 if clockwise else -((begin - end) % 360)
    return Arc(centre, centre.distance(first), begin, begin + sweep)


def _chains(sides: Sequence[Line | Arc]) -> Iterator[list[Line | Arc]]:
    """The closed chains of sides that meet end to end, two and two.

    Where more than two meet, as in a grid, nothing tells which belong together.
    """
    sides = [side for side in sides if _is_finite(side)]
    ends = _numbered([end for side in sides for end in (side.first, side.last)])
    at: dict[int, list[int]] = {}
    for k, end in enumerate(ends):
        at.setdefault(end, []).append(k // 2)
    left = set(range(len(sides)))
    for start in range(len(sides)):
        chain: list[Line | Arc] = []
        side, end = start, ends[2 * start]
        while side in left:
            left.remove(side)
            forwards = ends[2 * side] == end
            chain.append(sides[side] if forwards else _reversed(sides[side]))
            end = ends[2 * side + forwards]
            if len(at[end]) != 2:
                break
            side = at[end][0] if at[end][1] == side else at[end][1]
        if chain and end == ends[2 * start] and len(at[end]) == 2:
            yield chain


def _is_finite(side: Line | Arc) -> bool:
    return math.isfinite(sum(side.first) + sum(side.last))


def _reversed(side: Line | Arc) -> Line | Arc:
    if isinstance(side, Line):
        return Line(side.last, side.first)
    return replace(side, begin=side.end, end=side.begin)


def _numbered(points: Sequence[Vector]) -> list[int]:
    """For each point the number of the place it is in: those that meet are in one."""
    places: dict[tuple[int, int], list[tuple[Vector, int]]] = {}
    numbers: list[int] = []
    count = 0
    for point in points:
        x, y = (math.floor(v / _MEETING) for v in point)
        near = (
            number
            for i in (0, -1, 1)
            for j in (0, -1, 1)
            for other, number in places.get((x + i, y + j), ())
            if math.dist(point, other) <= _MEETING
        )
        number = next(near, count)
        if number == count:
            places.setdefault((x, y), []).append((point, number))
            count += 1
        numbers.append(number)
    return numbers


def _contour(chain: Sequence[Line | Arc], layer: str) -> Iterator[Contour]:
    """A closed chain as an outline, anticlockwise; none where it crosses itself."""
    import shapely

    chain = [side for side in chain if _is_finite(side) and math.dist(side.first, side.last) > SAME]
    if not 2 <= len(chain) <= MOST_SIDES:
        return
    arcs: list[Arc] = []
    for before, side in zip((*chain[-1:], *chain), chain, strict=False):
        if isinstance(side, Arc):
            arcs.append(side)
        elif isinstance(before, Line):
            arcs.append(Arc(side.first))
    edge = Edge(tuple(arcs))
    points = edge.points(PARTS_OF_AN_ARC) if arcs else []
    ring = shapely.LinearRing(points) if len(points) > 2 else None
    if ring is None or not ring.is_simple:
        return
    if not ring.is_ccw:
        edge = Edge(
            tuple(replace(arc, begin=arc.end, end=arc.begin) for arc in reversed(edge.arcs))
        )
    yield Contour(edge, layer)
