"""The circles of a DXF drawing in; holes as a hole list would give them, out.

Every circle is a drilled hole, in the drawing's own units, its place counted from the
drawing's origin, which is to be the datum. It is named by the text that stands nearest to
it; else by its layer, where that is not the common one; else it is numbered. Of circles
about one centre the smallest is the hole: the others show what is fitted.

The one module that touches ezdxf, an optional extra.
"""

from __future__ import annotations

import io
import math
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from typing import TYPE_CHECKING, Any

from legend.description.hole_list import HoleList, refused
from legend.description.places import Place
from legend.description.source import Source
from legend.description.values import LONGEST_ID, MOST_HOLES

if TYPE_CHECKING:
    from ezdxf.document import Drawing

#: What a drawing's units are called here, by the code $INSUNITS; others have no such name.
#: Autodesk DXF reference, header section.
_UNITS = {1: "in", 4: "mm", 5: "cm"}
#: Metres and the like, as factors to mm. Autodesk DXF reference, header section.
_TO_MM = {2: 304.8, 6: 1000.0, 14: 100.0}
#: Layers that say nothing of what is on them.
_COMMON_LAYER = re.compile(
    r"0|defpoints|holes?|drill(s|ing)?|circles?|layer[ _-]?\d*", re.IGNORECASE
)
#: A text names a circle whose edge is no further off than this, mm.
_TEXT_REACH = 12.0
#: Texts that give a size, and no name.
_SIZE = re.compile(
    r".*[Øø⌀∅].*|.*%%c.*|r?\d*[.,]\d+\s*(mm|in|\")?|\d+\s*(mm|in|\")|m\d.*", re.IGNORECASE
)
#: Width of a letter of a drawing over its height, about.
_LETTER_WIDTH = 0.7
#: What holes without a name are called, with their number.
_UNNAMED = "H"
#: Centres nearer to each other than this, mm, are one.
_ONE_CENTRE = 0.05
#: No drawing of a panel has so many shapes, and nothing is read past them.
_MOST_SHAPES = 50_000
#: How each shape of a drawing begins.
_SHAPE = re.compile(rb"^[ \t]*0[ \t]*\r?\n[ \t]*[A-Z]", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class _Circle:
    """A circle of the drawing, in mm, and the largest that is drawn round it."""

    at: tuple[float, float]
    diameter: float
    layer: str
    around: float = 0.0

    @property
    def reach(self) -> float:
        """Half of all that is drawn about its centre."""
        return max(self.diameter, self.around) / 2


@dataclass(frozen=True, slots=True)
class _Label:
    """A text of the drawing, and about its middle, in mm."""

    text: str
    at: tuple[float, float]


def read_dxf_holes(content: bytes, file: str, datum: object, units: str) -> HoleList:
    """Read the circles of a drawing as holes.

    `datum` is where distances are counted from into the panel, as in [panel]; `units` are
    those of a drawing that does not say its own.
    """
    if sum(1 for _ in _SHAPE.finditer(content)) > _MOST_SHAPES:
        most = f"The drawing has more than {_MOST_SHAPES} shapes, which no panel needs."
        return refused(file, most)
    try:
        drawn, labels = _shapes(_drawing(content), units)
    except ImportError:
        lacks = "Reading a DXF drawing takes the library ezdxf; install it with pip install ezdxf."
        return refused(file, lacks)
    except Exception:  # ezdxf lets errors of every kind through, assertions too
        return refused(file, "This is no DXF drawing that can be read; save it again as ASCII DXF.")
    circles = _holes(drawn)
    if not circles:
        none = "The drawing has no circles; a drilled hole is drawn as a circle, in model space."
        return refused(file, none)
    if len(circles) > MOST_HOLES:
        most = f"The drawing has more than {MOST_HOLES} circles; no panel has so many holes."
        return refused(file, most)
    return _as_list(circles, labels, file, datum)


def _as_list(
    circles: Sequence[_Circle], labels: Sequence[_Label], file: str, datum: object
) -> HoleList:
    """The circles as a hole list gives holes, each under its name."""
    found = HoleList(whole=True)
    to_right = -1.0 if "right" in str(datum) else 1.0
    upwards = -1.0 if "upper" in str(datum) else 1.0
    for id, circle in zip(_names(circles, labels), circles, strict=True):
        x, y = circle.at
        hole: dict[str, Any] = {
            "at": [_mm(to_right * x), _mm(upwards * y)],
            "drill": _mm(circle.diameter),
        }
        if circle.around:
            hole["note"] = f"Ø {circle.around:.4g} mm drawn round it"
        found.holes[id] = hole
        found.places[id] = Place(Source(file))
        found.named.add(id)
    return found


def _mm(length: float) -> str:
    return f"{round(length, 6) + 0:.10g} mm"


def _drawing(content: bytes) -> Drawing:
    """The drawing. Errors: ImportError, without ezdxf; of every kind, where it is none."""
    import logging

    from ezdxf import recover

    logging.getLogger("ezdxf").setLevel(logging.CRITICAL)  # what it passes over is no fault
    if b"SECTION" not in content:
        raise ValueError("no DXF at all")
    drawing, _ = recover.read(io.BytesIO(content))
    return drawing


# --- What is drawn ---


def _shapes(drawing: Drawing, units: str) -> tuple[list[_Circle], list[_Label]]:
    """The circles and the texts of model space, those of inserted blocks too."""
    from ezdxf.disassemble import recursive_decompose

    scale = _scale(drawing, units)
    circles, labels = [], []
    shapes: Iterable[Any] = recursive_decompose(drawing.modelspace())
    for shape in islice(shapes, _MOST_SHAPES):
        kind = shape.dxftype()
        if kind == "CIRCLE":
            x, y, _ = shape.ocs().to_wcs(shape.dxf.center) * scale
            circles.append(_Circle((x, y), 2 * abs(shape.dxf.radius) * scale, shape.dxf.layer))
        elif kind in ("TEXT", "MTEXT"):
            label = _label(shape, scale)
            if label:
                labels.append(label)
    return [c for c in circles if c.diameter > 0 and math.isfinite(sum(c.at))], labels


def _scale(drawing: Drawing, units: str) -> float:
    """Millimetres in a unit of the drawing."""
    from legend.description.lengths import MILLIMETRES

    code = drawing.header.get("$INSUNITS", 0)
    return _TO_MM.get(code) or MILLIMETRES[_UNITS.get(code, units)]


def _label(shape: Any, scale: float) -> _Label | None:
    """A text that may be a name, and about its middle."""
    text = " ".join(shape.plain_text().split())
    if not text or not text.isprintable() or len(text) > LONGEST_ID or _SIZE.fullmatch(text):
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
    return _Label(text, ((x + along * height) * scale, (y + up * height) * scale))


# --- Which circles are holes, and what they are called ---


def _holes(circles: Iterable[_Circle]) -> list[_Circle]:
    """The smallest circle about each centre, as one reads: from the top, row by row."""
    about: dict[tuple[int, int], list[_Circle]] = {}
    for circle in circles:
        x, y = (round(v / _ONE_CENTRE) for v in circle.at)
        near = ((x + i, y + j) for i in (0, -1, 1) for j in (0, -1, 1))
        key = next((key for key in near if key in about), (x, y))
        about.setdefault(key, []).append(circle)
    holes = []
    for same in about.values():
        hole = min(same, key=lambda circle: circle.diameter)
        largest = max(circle.diameter for circle in same)
        holes.append(replace(hole, around=largest if largest > hole.diameter else 0.0))
    return sorted(holes, key=lambda hole: (-round(hole.at[1]), hole.at[0]))


def _names(circles: Sequence[_Circle], labels: Sequence[_Label]) -> Iterator[str]:
    """A name for each circle, no two alike."""
    texts = _nearest_texts(circles, labels)
    wanted = []
    for circle in circles:
        layer = circle.layer.strip()
        named = layer and layer.isprintable() and not _COMMON_LAYER.fullmatch(layer)
        wanted.append(texts.get(circle, layer[: LONGEST_ID - 8] if named else _UNNAMED))
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


def _nearest_texts(circles: Sequence[_Circle], labels: Sequence[_Label]) -> Mapping[_Circle, str]:
    """The text of each circle that has one: nearest pairs first, each text for one circle."""
    import numpy as np
    import shapely

    if not labels:
        return {}
    reach = np.array([circle.reach for circle in circles])
    centres = shapely.points([circle.at for circle in circles])
    texts = shapely.points([label.at for label in labels])
    pairs = shapely.STRtree(texts).query(centres, predicate="dwithin", distance=reach + _TEXT_REACH)
    apart = shapely.distance(centres[pairs[0]], texts[pairs[1]]) - reach[pairs[0]]
    found: dict[_Circle, str] = {}
    used: set[int] = set()
    for k in np.argsort(apart, kind="stable").tolist():
        circle, label = circles[pairs[0][k]], int(pairs[1][k])
        if circle not in found and label not in used:
            found[circle] = labels[label].text
            used.add(label)
    return found
