"""Print a page and lay it under a plate: what ink is on it, out of true as printers are, curled."""

from __future__ import annotations

import ctypes
import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from legend.camera.target.target_page import target_page
from legend.camera.target.target_pdf import ForPanel, Under, target_pdf, target_sheets
from legend.description.shapes.edge import Edge
from legend.drawing.pdf.paper import Paper, Tile, Tiling
from legend.lettering.outlines.outline import Box

from .backings import Patch, Sheet
from .coverage import Points
from .marks import line
from .plates import Plate
from .rims import parted, turned

_POINT = 25.4 / 72

#: Closed outlines on a page, mm from its lower left, and how dark they are printed, 0 to 1.
Ink = tuple[tuple[Points, ...], float]


@dataclass(frozen=True, slots=True)
class Printing:
    """How a page comes out and lies: the printer's two scales, how far the panel is laid aside of
    its place on the page and turned (degrees clockwise), how high the paper's ends curl up, mm.

    Of several sheets each but the first lies off its place by `taped`, mm each way, and is turned
    by `taped_turn`, degrees: standard deviations, by chance of the seed `taping`.
    """

    scales: tuple[float, float] = (1.0, 1.0)
    aside: tuple[float, float] = (0.0, 0.0)
    turn: float = 0.0
    curl: float = 0.0
    wave: float = 0.0
    paper: float = 0.80
    toner: float = 0.035
    taped: float = 0.3
    taped_turn: float = 0.12
    taping: int = 0

    @classmethod
    def by_chance(cls, rng: np.random.Generator) -> Printing:
        """As home printers and careful hands have it."""
        a, b = rng.normal(0, 0.0025, 2)
        x, y = rng.normal(0, 0.5, 2)
        return cls(
            (1 + float(a), 1 + float(b)),
            (float(np.clip(x, -1.2, 1.2)), float(np.clip(y, -1.2, 1.2))),
            float(rng.normal(0, 0.25)),
            float(abs(rng.normal(0, 0.5))),
            float(abs(rng.normal(0, 0.04))),
            float(rng.uniform(0.7, 0.85)),
            float(rng.uniform(0.02, 0.07)),
        )


def target_sheet(
    plate: Plate,
    edge: Edge,
    printing: Printing,
    under: Under = "light",
    paper: Paper = "A4",
) -> Sheet:
    """The target page for a panel of this edge, as it lies beneath the plate.

    Where it takes several sheets of the paper, they are cut along their lanes and taped together,
    each as far out of true as `printing` has it.
    """
    page = target_page(*plate.size)
    panel = ForPanel(edge, "Panel", "", under)
    _, tiling = target_sheets(page, panel, paper)
    data = target_pdf(page, panel, paper)
    rng = np.random.default_rng(printing.taping)
    patches: list[Patch] = []
    ends: list[Points] = []
    for number, tile in enumerate(tiling.tiles):
        lies = _lying(tile, number > 0, plate, printing, rng)
        origin = np.array(tile.at) - tile.view[:2]
        cell = _cell(tile, tiling) if len(tiling.tiles) > 1 else None
        for outlines, dark in printed_on(data, number):
            ink = [clipped(each - origin, cell) for each in outlines]
            if kept := tuple(lies(parted(each, 4.0)) for each in ink if len(each) > 2):
                patches.append((kept, _tone(dark, printing)))
        ends.append(lies(np.array([(0, 0), (1, 0), (1, 1), (0, 1)]) * tiling.size - origin))
    whole = ends[0]
    if len(ends) > 1:  # white all round: what is not printed on is not looked at
        (x0, y0), (x1, y1) = np.concatenate(ends).min(axis=0), np.concatenate(ends).max(axis=0)
        whole = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
    return Sheet(parted(whole, 4.0), tuple(patches), printing.paper, _lift(plate, printing))


def _lying(
    tile: Tile, is_taped: bool, plate: Plate, printing: Printing, rng: np.random.Generator
) -> Callable[[Points], Points]:
    """Where a sheet's part of the drawing lies beneath the plate."""
    about = np.array([tile.view[:2], tile.view[2:]]).mean(axis=0)
    middle = np.array(plate.size) / 2
    aside = rng.normal(0, printing.taped, 2) * is_taped
    turn = float(rng.normal(0, printing.taped_turn)) * is_taped

    def lies(points: Points) -> Points:
        taped = turned(points - about, turn) + about + aside
        printed = (taped - middle) * printing.scales
        out: Points = turned(printed, printing.turn) + middle + np.array(printing.aside)
        return out

    return lies


def _cell(tile: Tile, tiling: Tiling) -> Box:
    """The part of a drawing that is seen on a sheet when all are cut along their lanes."""
    across, up = sorted(tiling.lanes[0]), sorted(tiling.lanes[1], reverse=True)
    far = 1e4
    x = (-far, *across, far)
    y = (far, *up, -far)
    return x[tile.column], y[tile.row + 1], x[tile.column + 1], y[tile.row]


def clipped(outline: Points, box: Box | None) -> Points:
    """What of an outline lies in a box; all of it without one.

    I. E. Sutherland and G. W. Hodgman, "Reentrant polygon clipping", Communications of the ACM 17
    (1), 1974.
    """
    if box is None:
        return outline
    for axis, level, sign in (
        (0, box[0], 1),
        (0, box[2], -1),
        (1, box[1], 1),
        (1, box[3], -1),
    ):
        inside = sign * (outline[:, axis] - level)
        after = np.roll(outline, -1, axis=0), np.roll(inside, -1)
        out: list[Points] = []
        for here, there, a, b in zip(outline, after[0], inside, after[1], strict=True):
            if a >= 0:
                out.append(here)
            if (a >= 0) != (b >= 0):
                out.append(here + (there - here) * a / (a - b))
        outline = np.array(out).reshape(-1, 2)
    return outline


def _tone(dark: float, printing: Printing) -> float:
    return printing.paper + dark * (printing.toner - printing.paper)


def _lift(plate: Plate, printing: Printing) -> Callable[[Points], Points] | None:
    """The plate holds the paper down; from there it rises to its left and right ends."""
    if not (printing.curl or printing.wave):
        return None
    width, _ = plate.size

    def lift(points: Points) -> Points:
        off = np.maximum(np.maximum(-points[:, 0], points[:, 0] - width), 0)
        wave = np.sin(points[:, 1] / 21 + points[:, 0] / 37) + 1
        out: Points = printing.curl * (off / 50) ** 2 + printing.wave * wave * np.clip(
            off / 5, 0, 1
        )
        return out

    return lift


def printed_on(pdf: bytes, number: int = 0) -> Iterator[Ink]:
    """What is filled and drawn on a page of a PDF file, one thing after the other; no words."""
    import pypdfium2
    import pypdfium2.raw as raw

    page = pypdfium2.PdfDocument(pdf)[number]
    things = (
        raw.FPDFPage_GetObject(page.raw, k) for k in range(raw.FPDFPage_CountObjects(page.raw))
    )
    for thing, matrix in _flat(things, np.eye(3), raw):
        fill, stroke = ctypes.c_int(), ctypes.c_int()
        raw.FPDFPath_GetDrawMode(thing, fill, stroke)
        paths = _paths(thing, matrix, raw)
        if fill.value and paths:
            yield tuple(paths), _dark(raw.FPDFPageObj_GetFillColor, thing)
        if stroke.value:
            width = ctypes.c_float()
            raw.FPDFPageObj_GetStrokeWidth(thing, width)
            wide = width.value * _POINT * math.sqrt(abs(np.linalg.det(matrix)))
            dark = _dark(raw.FPDFPageObj_GetStrokeColor, thing)
            for path in paths:
                closed = parted(path, 1.0)
                yield (line(np.concatenate([closed, closed[:1]]), wide),), dark


def _flat(things: Iterable[Any], matrix: Points, raw: Any) -> Iterator[tuple[Any, Points]]:
    """Every path among things on a page, also within others, with where it is drawn."""
    for thing in things:
        own = raw.FS_MATRIX()
        raw.FPDFPageObj_GetMatrix(thing, own)
        whole = matrix @ np.array([[own.a, own.c, own.e], [own.b, own.d, own.f], [0, 0, 1]])
        kind = raw.FPDFPageObj_GetType(thing)
        if kind == raw.FPDF_PAGEOBJ_PATH:
            yield thing, whole
        elif kind == raw.FPDF_PAGEOBJ_FORM:
            count = raw.FPDFFormObj_CountObjects(thing)
            inner = (raw.FPDFFormObj_GetObject(thing, k) for k in range(count))
            yield from _flat(inner, whole, raw)


def _dark(colour: Callable[..., int], thing: Any) -> float:
    parts = [ctypes.c_uint() for _ in range(4)]
    colour(thing, *parts)
    return 1 - sum(part.value for part in parts[:3]) / 765


def _paths(thing: Any, matrix: Points, raw: Any) -> list[Points]:
    """The paths of a thing on a page, mm; curves in eight parts."""
    paths: list[list[tuple[float, float]]] = []
    held: list[tuple[float, float]] = []
    for k in range(raw.FPDFPath_CountSegments(thing)):
        part = raw.FPDFPath_GetPathSegment(thing, k)
        x, y = ctypes.c_float(), ctypes.c_float()
        raw.FPDFPathSegment_GetPoint(part, x, y)
        kind = raw.FPDFPathSegment_GetType(part)
        if kind == raw.FPDF_SEGMENT_MOVETO:
            paths.append([])
        if kind == raw.FPDF_SEGMENT_BEZIERTO:
            held.append((x.value, y.value))
            if len(held) == 3:
                a, (b, c, d) = np.array(paths[-1][-1]), np.array(held)
                for t in np.arange(1, 9) / 8:
                    s = 1 - t
                    at = s**3 * a + 3 * s * s * t * b + 3 * s * t * t * c + t**3 * d
                    paths[-1].append((at[0], at[1]))
                held = []
        else:
            paths[-1].append((x.value, y.value))
    return [
        (np.array(path) @ matrix[:2, :2].T + matrix[:2, 2]) * _POINT
        for path in paths
        if len(path) > 1
    ]
