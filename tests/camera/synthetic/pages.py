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
from legend.drawing.pdf.paper import Paper

from .backings import Sheet
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
    its place on the page and turned (degrees clockwise), how high the paper's ends curl up, mm."""

    scales: tuple[float, float] = (1.0, 1.0)
    aside: tuple[float, float] = (0.0, 0.0)
    turn: float = 0.0
    curl: float = 0.0
    wave: float = 0.0
    paper: float = 0.80
    toner: float = 0.035

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

    Error: ValueError where one sheet of the paper does not hold it.
    """
    page = target_page(*plate.size)
    panel = ForPanel(edge, "Panel", "", under)
    _, tiling = target_sheets(page, panel, paper)
    if len(tiling.tiles) != 1:
        raise ValueError("the page is on several sheets")
    (tile,) = tiling.tiles
    origin = np.array(tile.at) - tile.view[:2]
    middle = np.array(plate.size) / 2

    def laid(points: Points) -> Points:
        printed = (points - origin - middle) * printing.scales
        out: Points = turned(printed, printing.turn) + middle + np.array(printing.aside)
        return out

    whole = np.array([(0, 0), (1, 0), (1, 1), (0, 1)]) * tiling.size
    patches = tuple(
        (tuple(laid(parted(each, 4.0)) for each in outlines), _tone(dark, printing))
        for outlines, dark in printed_on(target_pdf(page, panel, paper))
    )
    return Sheet(laid(parted(whole, 4.0)), patches, printing.paper, _lift(plate, printing))


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
