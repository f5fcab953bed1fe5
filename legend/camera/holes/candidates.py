"""Find where in a picture there may be holes: closed outlines on the panel with a step all round.

No tone is taken for that of a hole. At one level of light after the other, what is darker and what
is lighter falls into parts; a part is a candidate where the light steps all along its outline, and
of all levels at a place that one counts at which the weakest stretch of outline steps the most.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.camera.holes.light import Floats, Light
from legend.camera.opencv import outlines_of, without_lines, without_specks
from legend.camera.view import Points, View

#: So finely holes are looked for, pixels to the mm, and the most pixels for it.
_FINENESS, _MOST = 6.0, 4e6
#: At so many levels of light.
_LEVELS = 32
#: The least diameter of a hole that is looked for, mm; the least part of the box round it that a
#: hole fills (a slot that lies askew fills little); the most of the panel that one hole takes.
LEAST_HOLE = 1.2
_LEAST_FILLED, _MOST_OF_PANEL = 0.12, 0.6
#: The least step along the weaker part of an outline, in root light, and in those of the face.
_LEAST_STEP, _OVER_FACE = 0.025, 2.2
#: The weaker part of an outline is this part of it.
_WEAK = 0.2
#: Scribed lines and scratches, which run into holes, are narrower than this, mm.
#: Common practice, no source.
_LINE = 0.8
#: Nothing within so much of the edge of the panel is a hole, mm.
_FROM_EDGE = 0.6


@dataclass(frozen=True, slots=True, eq=False)
class Candidate:
    """A closed outline on the panel: points along it, mm, and the step along its weaker part."""

    outline: Points
    step: float

    @property
    def middle(self) -> tuple[float, float]:
        """The middle of its area, mm."""
        x, y = _moments(self.outline)[1]
        return x, y

    @property
    def area(self) -> float:
        """Its area, mm²."""
        return _moments(self.outline)[0]


def candidates(light: Light, view: View, edge: Points) -> list[Candidate]:
    """What may be holes within the panel's `edge`, the surest first; none lies in another."""
    small = _small_copy(light, view, edge)
    steepness = _steepness(small.root)
    face = small.on_panel
    if not face.any():
        return []
    usual = float(np.median(steepness[face]))
    least = max(_LEAST_STEP, _OVER_FACE * usual)
    levelled = _levelled(small)
    found: list[Candidate] = []
    for threshold in np.linspace(4, 251, _LEVELS):
        for part in (levelled < threshold, levelled >= threshold):
            found += _parts(part & face, small, steepness, least, view)
    return _apart(found)


# --- A small copy ---


@dataclass(frozen=True, slots=True, eq=False)
class _Copy:
    """A small copy of the part of a picture that has the panel: its root light.

    Pixel (0, 0) of it is at `first` of the picture, the next ones `step` pixels on.
    """

    root: NDArray[np.float32]
    on_panel: NDArray[np.bool_]
    first: tuple[float, float]
    step: int
    fineness: float


def _small_copy(light: Light, view: View, edge: Points) -> _Copy:
    seen = view.to_picture(edge)
    height, width = light.picture.rgb.shape[:2]
    x0, y0 = np.clip(np.floor(seen.min(axis=0)).astype(int), 0, (width - 1, height - 1))
    x1, y1 = np.clip(np.ceil(seen.max(axis=0)).astype(int) + 1, 1, (width, height))
    x, y = edge.mean(axis=0).tolist()
    fineness = view.pixels_per_mm((x, y))
    most = math.sqrt((x1 - x0) * (y1 - y0) / _MOST)
    step = max(1, round(fineness / _FINENESS), math.ceil(most))
    rows, columns = (y1 - y0) // step, (x1 - x0) // step
    root = np.empty((rows, columns), np.float32)
    # Band by band, since linear light takes twelve times the memory of the picture.
    band = max(1, 2_000_000 // (columns * step * step))
    for top in range(0, rows, band):
        end = min(top + band, rows)
        part = light.picture.rgb[y0 + top * step : y0 + end * step, x0 : x0 + columns * step]
        root[top:end] = light.root_of(part, step)
    first = (x0 + (step - 1) / 2, y0 + (step - 1) / 2)
    return _Copy(root, _inside(root.shape, view, edge, first, step), first, step, fineness / step)


def _inside(
    shape: tuple[int, int], view: View, edge: Points, first: tuple[float, float], step: int
) -> NDArray[np.bool_]:
    """Which pixels of the copy lie on the panel, clear of its edge."""
    import shapely

    clear = shapely.Polygon(edge).buffer(-_FROM_EDGE)
    points = shapely.segmentize(clear, 2.0)
    if clear.is_empty or clear.geom_type != "Polygon":
        return np.zeros(shape, bool)
    ring = np.array(points.exterior.coords)
    seen = (view.to_picture(ring) - first) / step
    return _filled(seen, shape)


def _filled(ring: Points, shape: tuple[int, int]) -> NDArray[np.bool_]:
    """The pixels whose middles lie within a ring: by the sides that each row crosses."""
    begin, end = ring, np.roll(ring, -1, axis=0)
    out = np.zeros(shape, bool)
    columns = np.arange(shape[1])
    for row in range(shape[0]):
        crosses = (begin[:, 1] > row) != (end[:, 1] > row)
        a, b = begin[crosses], end[crosses]
        at = np.sort(a[:, 0] + (row - a[:, 1]) / (b[:, 1] - a[:, 1]) * (b[:, 0] - a[:, 0]))
        if len(at):
            out[row] = np.searchsorted(at, columns) % 2 == 1
    return out


def _levelled(small: _Copy) -> NDArray[np.uint8]:
    """The light of the copy as 0 to 255, from the darkest on the panel to the lightest."""
    values = small.root[small.on_panel]
    low, high = np.quantile(values, (0.0003, 0.9997)).tolist()
    scaled = (small.root - low) / max(high - low, 1e-6) * 255
    size = 3 if small.fineness < 8 else 5
    return without_specks(np.clip(scaled, 0, 255).astype(np.uint8), size)


def _steepness(root: NDArray[np.float32]) -> NDArray[np.float32]:
    """By how much root light changes over three pixels or so, the most near each pixel."""
    soft = (root[:-1] + root[1:]) / 2
    soft = np.pad((soft[:, :-1] + soft[:, 1:]) / 2, 1, mode="edge")
    soft = soft[: root.shape[0] + 1, : root.shape[1] + 1]
    across = np.pad(np.abs(root[:, 3:] - root[:, :-3]), ((0, 0), (1, 2)))
    down = np.pad(np.abs(root[3:] - root[:-3]), ((1, 2), (0, 0)))
    steep = np.hypot(across, down)
    out: NDArray[np.float32] = steep.copy()
    for axis in (0, 1):
        for shift in (-1, 1):
            np.maximum(out, np.roll(steep, shift, axis), out=out)
    return out


# --- Parts ---


def _parts(
    mask: NDArray[np.bool_],
    small: _Copy,
    steepness: NDArray[np.float32],
    least: float,
    view: View,
) -> Iterator[Candidate]:
    """The candidates among the parts of a mask, each without the lines that run into it."""
    line = max(2, round(_LINE * small.fineness))
    side = LEAST_HOLE * small.fineness * 0.8
    largest = _MOST_OF_PANEL * small.on_panel.sum()
    for ring in outlines_of(without_lines(mask.astype(np.uint8), line), side):
        # Pixels along the outline are half within it. G. Pick, "Geometrisches zur Zahlenlehre",
        # Sitzungsberichte Lotos (Prag) 19, 1899.
        area = _moments(ring)[0] + len(ring) / 2 + 1
        boxed = float(np.prod(np.ptp(ring, axis=0) + 1))
        if not max(0.6 * side * side, _LEAST_FILLED * boxed) <= area <= largest:
            continue
        column, row = ring.astype(int).T
        if not _clear(small.on_panel, column, row):
            continue
        step = float(np.quantile(steepness[row, column], _WEAK))
        if step < least:
            continue
        outline = view.to_panel(_smoothed(_grown(ring)) * small.step + small.first)
        yield Candidate(outline, step)


def _clear(on_panel: NDArray[np.bool_], column: NDArray[np.intp], row: NDArray[np.intp]) -> bool:
    """Whether an outline touches no border of what is looked at."""
    height, width = on_panel.shape
    if row.min() < 1 or column.min() < 1 or row.max() > height - 2 or column.max() > width - 2:
        return False
    return all(
        bool(on_panel[row + dy, column + dx].all()) for dy, dx in ((0, 1), (0, -1), (1, 0), (-1, 0))
    )


def _grown(ring: Points) -> Points:
    """A ring of pixels' middles moved out to where their sides are, about."""
    middle = ring.mean(axis=0)
    way = ring - middle
    out: Points = ring + 0.5 * way / np.maximum(np.hypot(*way.T)[:, None], 1e-9)
    return out


def _smoothed(ring: Points) -> Points:
    """A closed ring without its steps from pixel to pixel."""
    out: Points = (np.roll(ring, 1, axis=0) + 2 * ring + np.roll(ring, -1, axis=0)) / 4
    return out


def _moments(outline: Points) -> tuple[float, tuple[float, float]]:
    """The area of a ring, and its middle."""
    x, y = outline.T
    x1, y1 = np.roll(outline, -1, axis=0).T
    cross = x * y1 - x1 * y
    area = float(cross.sum()) / 2
    if abs(area) < 1e-9:
        return 0.0, (float(x.mean()), float(y.mean()))
    middle = ((x + x1) @ cross / (6 * area), (y + y1) @ cross / (6 * area))
    return abs(area), (float(middle[0]), float(middle[1]))


# --- One for each place ---


def _apart(found: list[Candidate]) -> list[Candidate]:
    """The best of all that lie on each other: the stronger, and the larger, since what is seen
    through a hole may have outlines of its own."""
    kept: list[tuple[Candidate, Floats]] = []
    boxed = [(each, _box(each.outline)) for each in found]
    for each, box in sorted(boxed, key=lambda one: -one[0].step * math.sqrt(_across(one[1]))):
        if all(not _overlap(each, box, other, other_box) for other, other_box in kept):
            kept.append((each, box))
    return [each for each, _ in kept]


def _across(box: Floats) -> float:
    """The shorter side of a box."""
    return float((box[2:] - box[:2]).min())


def _box(outline: Points) -> Floats:
    return np.concatenate([outline.min(axis=0), outline.max(axis=0)])


def _overlap(one: Candidate, box: Floats, other: Candidate, other_box: Floats) -> bool:
    """Whether two outlines take the same place, by the boxes round them."""
    low, high = np.maximum(box[:2], other_box[:2]), np.minimum(box[2:], other_box[2:])
    if (low >= high).any():
        return False
    shared = float(np.prod(high - low))
    least = min(float(np.prod(each[2:] - each[:2])) for each in (box, other_box))
    return shared > 0.3 * least
