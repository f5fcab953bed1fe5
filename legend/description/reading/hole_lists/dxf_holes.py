"""Read the holes of a panel from a DXF drawing, as a hole list would give them.

Every circle is a drilled hole, and so is every closed outline a hole of its shape that lies
within the panel's own, and round nothing else; in the drawing's own units, its place counted
from the drawing's origin, which is to be the datum. It is named by the text that stands
nearest to it; else by its layer, where that is not the common one; else it is numbered. Of
what is drawn about one centre the smallest is the hole: the rest shows what is fitted.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from legend.description.reading.hole_lists.dxf_drawing import (
    PARTS_OF_AN_ARC,
    Circle,
    Contour,
    DxfError,
    Label,
    read_dxf,
)
from legend.description.reading.hole_lists.hole_list import HoleList, refused
from legend.description.reading.line_numbers import Place
from legend.description.shapes.recognising import Drawn, recognised
from legend.description.source import Source
from legend.limits import LONGEST_ID, MOST_HOLES
from legend.vector import Vector

#: Layers that say nothing of what is on them.
_COMMON_LAYER = re.compile(
    r"0|defpoints|holes?|drill(s|ing)?|circles?|layer[ _-]?\d*", re.IGNORECASE
)
#: A text names a hole whose edge is no further off than this, mm.
_TEXT_REACH = 12.0
#: Texts that give a size, and no name.
_SIZE = re.compile(
    r".*[Øø⌀∅].*|.*%%c.*|r?\d*[.,]\d+\s*(mm|in|\")?|\d+\s*(mm|in|\")|m\d.*", re.IGNORECASE
)
#: Texts that are sizes of threads, or the numbers of holes.
_COUNTED = re.compile(r"m\d{1,2}", re.IGNORECASE)
#: What holes without a name are called, with their number.
_UNNAMED = "H"
#: Centres nearer to each other than this, mm, are one.
_ONE_CENTRE = 0.05


@dataclass(frozen=True, slots=True, eq=False)
class _Hole:
    """A hole of the drawing, and what is drawn round it: half its width, mm."""

    drawn: Drawn
    layer: str
    half: float
    around: float = 0.0

    @property
    def at(self) -> Vector:
        return self.drawn.at

    @property
    def reach(self) -> float:
        """Half of all that is drawn about its centre."""
        return max(self.half, self.around)


def read_dxf_holes(content: bytes, file: str, datum: object, units: str) -> HoleList:
    """Read the holes of a drawing.

    `datum` is where distances are counted from into the panel, as in [panel]; `units` are
    those of a drawing that does not say its own.
    """
    try:
        drawing = read_dxf(content, units)
    except DxfError as error:
        return refused(file, str(error))
    holes = _holes([*map(_drilled, drawing.circles), *_cut_out(drawing.contours, drawing.circles)])
    if not holes:
        none = (
            "The drawing has no circles, and no closed outlines that could be holes; these are "
            "looked for in model space."
        )
        return refused(file, none)
    if len(holes) > MOST_HOLES:
        most = f"The drawing has more than {MOST_HOLES} holes; no panel has so many."
        return refused(file, most)
    return _as_list(holes, list(_names_among(drawing.labels)), file, datum)


def _as_list(holes: Sequence[_Hole], labels: Sequence[Label], file: str, datum: object) -> HoleList:
    """The holes as a hole list gives them, each under its name."""
    found = HoleList(whole=True)
    to_right = -1.0 if "right" in str(datum) else 1.0
    upwards = -1.0 if "upper" in str(datum) else 1.0
    for id, each in zip(_names(holes, labels), holes, strict=True):
        (x, y), angle, shape = each.drawn.at, each.drawn.angle, each.drawn.shape
        hole: dict[str, Any] = {"at": [_mm(to_right * x), _mm(upwards * y)]}
        hole |= {key: _in_mm(value) for key, value in shape.items()}
        if angle:
            hole["angle"] = angle
        if each.around:
            hole["note"] = f"Ø {2 * each.around:.4g} mm drawn round it"
        found.holes[id] = hole
        found.places[id] = Place(Source(file))
        found.named.add(id)
    return found


def _in_mm(value: Any) -> Any:
    return [_in_mm(each) for each in value] if isinstance(value, (list, tuple)) else _mm(value)


def _mm(length: float) -> str:
    return f"{round(length, 6) + 0:.10g} mm"


def _names_among(labels: Sequence[Label]) -> Iterator[Label]:
    """The texts that may be names. M1, M2, M3 are, as no panel has threads so small as M1; M3
    by itself is a size."""
    texts = {label.text.upper() for label in labels}
    for label in labels:
        text = label.text
        counted = "M1" in texts and _COUNTED.fullmatch(text)
        may_be = text.isprintable() and len(text) <= LONGEST_ID
        if may_be and (counted or not _SIZE.fullmatch(text)):
            yield label


# --- Which of what is drawn are holes ---


def _drilled(circle: Circle) -> _Hole:
    drawn = Drawn(circle.at, 0.0, {"drill": circle.diameter})
    return _Hole(drawn, circle.layer, circle.diameter / 2)


def _cut_out(contours: Sequence[Contour], circles: Sequence[Circle]) -> Iterator[_Hole]:
    """The outlines that are holes: with nothing in them, and within the panel if that is drawn."""
    import shapely

    if not contours:
        return
    shapes = [shapely.Polygon(contour.edge.points(PARTS_OF_AN_ARC)) for contour in contours]
    discs = [shapely.Point(circle.at).buffer(circle.diameter / 2) for circle in circles]
    outer, inner = shapely.STRtree([*discs, *shapes]).query(shapes, "contains_properly")
    within: dict[int, set[int]] = {}
    for k, thing in zip(outer.tolist(), inner.tolist(), strict=True):
        within.setdefault(k, set()).add(thing)
    empty = {len(circles) + k for k in range(len(contours)) if k not in within}
    holes = set(range(len(circles))) or empty
    # The panel's own outline is the smallest that lies round most of the holes.
    around = [k for k, things in within.items() if 2 * len(things & holes) > len(holes)]
    panel = min(around, key=lambda k: shapes[k].area, default=None)
    for k, contour in enumerate(contours):
        if k in within or (panel is not None and len(circles) + k not in within[panel]):
            continue
        drawn = recognised(contour.edge)
        if drawn:
            points = contour.edge.points(PARTS_OF_AN_ARC)
            half = max(math.dist(drawn.at, point) for point in points)
            yield _Hole(drawn, contour.layer, half)


def _holes(drawn: Iterable[_Hole]) -> list[_Hole]:
    """The smallest of what is drawn about each centre, as one reads: from the top, row by row."""
    about: dict[tuple[int, int], list[_Hole]] = {}
    for each in drawn:
        x, y = (round(v / _ONE_CENTRE) for v in each.at)
        near = ((x + i, y + j) for i in (0, -1, 1) for j in (0, -1, 1))
        key = next((key for key in near if key in about), (x, y))
        about.setdefault(key, []).append(each)
    holes = []
    for same in about.values():
        hole = min(same, key=lambda each: each.half)
        largest = max(each.half for each in same)
        holes.append(replace(hole, around=largest if largest > hole.half else 0.0))
    return sorted(holes, key=lambda hole: (-round(hole.at[1]), hole.at[0]))


# --- What they are called ---


def _names(holes: Sequence[_Hole], labels: Sequence[Label]) -> Iterator[str]:
    """A name for each hole, no two alike."""
    texts = _nearest_texts(holes, labels)
    wanted = []
    for hole in holes:
        layer = hole.layer.strip()
        named = layer and layer.isprintable() and not _COMMON_LAYER.fullmatch(layer)
        wanted.append(texts.get(hole, layer[: LONGEST_ID - 8] if named else _UNNAMED))
    counts = Counter(wanted)
    taken: Counter[str] = Counter()
    given: set[str] = set()
    for name in wanted:
        id = name
        while id in given or (id == name and (counts[name] > 1 or name == _UNNAMED)):
            taken[name] += 1
            id = f"{name}{taken[name]}" if name == _UNNAMED else f"{name} {taken[name]}"
        given.add(id)
        yield id


def _nearest_texts(holes: Sequence[_Hole], labels: Sequence[Label]) -> Mapping[_Hole, str]:
    """The text of each hole that has one: nearest pairs first, each text for one hole."""
    import numpy as np
    import shapely

    if not labels:
        return {}
    reach = np.array([hole.reach for hole in holes])
    centres = shapely.points([hole.at for hole in holes])
    texts = shapely.points([label.at for label in labels])
    pairs = shapely.STRtree(texts).query(centres, predicate="dwithin", distance=reach + _TEXT_REACH)
    apart = shapely.distance(centres[pairs[0]], texts[pairs[1]]) - reach[pairs[0]]
    found: dict[_Hole, str] = {}
    used: set[int] = set()
    for k in np.argsort(apart, kind="stable").tolist():
        hole, label = holes[pairs[0][k]], int(pairs[1][k])
        if hole not in found and label not in used:
            found[hole] = labels[label].text
            used.add(label)
    return found
