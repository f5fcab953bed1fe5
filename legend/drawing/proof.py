"""Artwork and stencil in, a picture of the painted panel out, as a PNG file.

The picture is painted as the panel is: see `legend.drawing.layers`. It is made in bands
of rows, so that its size is bounded by the disk and not by memory.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from legend.drawing.coverage import Edges, Grid, Runs
from legend.drawing.layers import Layer, Stage, layers_of
from legend.drawing.png import PngWriter
from legend.drawing.writing import MARK, write_whole
from legend.layout.artwork import Artwork
from legend.standards import INCH
from legend.stencil.sheet import Sheet

#: Ground shown round the panel, mm.
MARGIN = 5.0
#: About how many pixels are held at once.
_BAND_PIXELS = 1_000_000


def write_proof(
    artwork: Artwork,
    sheets: Sequence[Sheet] | None,
    path: Path,
    stage: Stage = "finished",
    dpi: float = 300,
) -> None:
    """Write the panel as it looks at a stage of the painting, at true scale for `dpi`.

    Where `sheets` are given, the letters are those that were cut, bridges and all; else
    those that the artwork asks for. Errors: OSError where the file cannot be written.
    """
    write_whole(path, painted(layers_of(artwork, sheets, stage), artwork, dpi))


def painted(layers: Sequence[Layer], artwork: Artwork, dpi: float) -> bytes:
    """The layers over the whole panel and a margin, as the bytes of a PNG file."""
    x0, y0, x1, y1 = artwork.panel.bounds
    scale = dpi / INCH
    width = math.ceil((x1 - x0 + 2 * MARGIN) * scale - 1e-6)
    height = math.ceil((y1 - y0 + 2 * MARGIN) * scale - 1e-6)
    grid = Grid(width, height, scale, x0 - MARGIN, y1 + MARGIN)
    edges = Edges([shape for layer in layers for shape in layer.shapes], grid)
    title = artwork.description.title
    png = PngWriter(width, height, dpi, {"Software": MARK, **({"Title": title} if title else {})})
    band = max(1, _BAND_PIXELS // width)
    for top in range(0, height, band):
        bottom = min(top + band, height)
        runs = edges.runs(top, bottom)
        pixels = _colours(layers, runs)
        lengths = np.diff(runs.starts, append=(bottom - top) * runs.stride)
        rows = np.repeat(pixels.view(np.uint32).ravel(), lengths)
        png.add(rows.view(np.uint8).reshape(bottom - top, runs.stride, 4)[:, :-1, :3])
    return png.finish()


def _colours(layers: Sequence[Layer], runs: Runs) -> NDArray[np.uint8]:
    """The colour of every run, shape (n, 4); the last of the four is not used."""
    image = np.zeros((3, len(runs.starts)))
    coat = np.zeros((3, 1))
    covers = iter(runs.cover)
    for layer in layers:
        cover = 1.0 if layer.within is None else np.minimum(next(covers), 1)
        if layer.off:
            cover = np.maximum(cover - next(covers), 0)
        colour = np.array(layer.colour, dtype=float)[:, None]
        # A coat shares its edges with the coat beneath: each pixel changes by its own share
        # of the two colours, or the lower coat would shine through along those edges.
        image += cover * (colour - (coat if layer.coat else image))
        if layer.coat:
            coat = colour
    pixels = np.empty((len(runs.starts), 4), dtype=np.uint8)
    pixels[:, :3] = np.clip(image + 0.5, 0, 255).T
    return pixels
