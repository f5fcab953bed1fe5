"""Write the proof of the painted panel as a PNG picture.

The picture is painted as the panel is: see `legend.drawing.proofs.layers`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from legend.drawing.colours import INSIDE
from legend.drawing.picture import check_size, drawn, png_file, usual_dpi
from legend.drawing.proofs.coverage import Edges, Floats, Grid, Runs
from legend.drawing.proofs.layers import STAGES, Layer, Stage, called, layers_of
from legend.layout.artwork import Artwork
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import BUILT_IN, load_face
from legend.lettering.typesetting import set_text
from legend.standards import INCH
from legend.stencil.sheet import Sheet
from legend.writing import write_whole

#: Height of the names of the stages, and the room for them, mm.
_CAPTION_HEIGHT, _CAPTION_ROOM = 2.5, 2.5

#: Ground shown round the panel, mm.
MARGIN = 5.0
#: How finely the share of a pixel is told: few enough shades for a palette, and more than an
#: eye can tell along an edge.
_SHADES = 32
_MOST_IN_PALETTE = 256


def write_proof(
    artwork: Artwork,
    sheets: Sequence[Sheet] | None,
    path: Path,
    stage: Stage | Literal["all"] = "finished",
    dpi: float | None = None,
) -> None:
    """Write the panel as it looks at a stage of the painting, at true scale for `dpi`.

    Where that is left out, it is the usual one, or as much less as a large panel must have.
    Where `sheets` are given, the letters are those that were cut, bridges and all; else
    those that the artwork asks for. "all" shows every stage, one below the other.
    Errors: PictureError where so many dots to the inch are too many; and as `write_whole`.
    """
    write_whole(path, proof_png(artwork, sheets, stage, dpi))


def proof_png(
    artwork: Artwork,
    sheets: Sequence[Sheet] | None,
    stage: Stage | Literal["all"] = "finished",
    dpi: float | None = None,
) -> bytes:
    """The bytes of the file, as `write_proof` describes it."""
    if stage == "all":
        panes = [[*layers_of(artwork, sheets, each), _caption(artwork, each)] for each in STAGES]
        above = _CAPTION_ROOM
    else:
        panes, above = [layers_of(artwork, sheets, stage)], 0.0
    width, height = _size(artwork, above)
    if dpi is None:
        dpi = usual_dpi(width, height * len(panes))
    check_size(width, height * len(panes), dpi)
    return painted(panes, artwork, dpi, above)


def _size(artwork: Artwork, above: float) -> tuple[float, float]:
    """Width and height of a picture with `above` mm more over it, mm."""
    x0, y0, x1, y1 = artwork.panel.bounds
    return x1 - x0 + 2 * MARGIN, y1 - y0 + 2 * MARGIN + above


def painted(
    panes: Sequence[Sequence[Layer]], artwork: Artwork, dpi: float, above: float = 0.0
) -> bytes:
    """Pictures of the panel below each other, as the bytes of a PNG file.

    Each is given by its layers, and shows the whole panel with a margin, and `above` mm more
    over it.
    """
    x0, _, _, y1 = artwork.panel.bounds
    scale = dpi / INCH
    width, height = (math.ceil(side * scale - 1e-6) for side in _size(artwork, above))
    grid = Grid(width, height, scale, x0 - MARGIN, y1 + MARGIN + above)
    bands = [band for layers in panes for band in _bands(layers, grid)]
    # With counts, or else numpy loads its masked arrays to look for one.
    each = [np.unique(own, return_counts=True)[0] for _, own in bands]
    colours, _ = np.unique(np.concatenate(each), return_counts=True)
    size = width, height * len(panes)
    if len(colours) > _MOST_IN_PALETTE:
        picture = drawn("RGB", size, (_parted(runs.drawn(own)) for runs, own in bands))
    else:
        numbers = ((runs, np.searchsorted(colours, own).astype(np.uint8)) for runs, own in bands)
        picture = drawn("P", size, (runs.drawn(own) for runs, own in numbers))
        picture.putpalette(_parted(colours).tobytes())
    return png_file(picture, dpi, artwork.description.called)


def _caption(artwork: Artwork, stage: Stage) -> Layer:
    """What a stage is called, over the upper left corner of the panel."""
    style = TextStyle(load_face(BUILT_IN, Path()), _CAPTION_HEIGHT)
    x0, _, _, y1 = artwork.panel.bounds
    return Layer(
        INSIDE,
        [set_text(called(artwork, stage).upper(), style).outline.moved(x0, y1 + _CAPTION_HEIGHT)],
    )


def _bands(layers: Sequence[Layer], grid: Grid) -> Iterator[tuple[Runs, NDArray[np.uint32]]]:
    """One picture, from the top, band by band: its runs, and their colours."""
    edges = Edges([shape for layer in layers for shape in layer.shapes], grid)
    for runs, cover in edges.bands():
        yield runs, _colours(layers, cover)


def _colours(layers: Sequence[Layer], cover: Floats) -> NDArray[np.uint32]:
    """The colour of every run, as one number: 0xRRGGBB."""
    image = np.zeros((3, cover.shape[1]))
    coat = np.zeros((3, 1))
    covers = iter(np.round(cover * _SHADES) / _SHADES)
    for layer in layers:
        share = 1.0 if layer.within is None else np.minimum(next(covers), 1)
        if layer.off:
            share = np.maximum(share - next(covers), 0)
        colour = np.array(layer.colour, dtype=float)[:, None]
        # A coat shares its edges with the coat beneath: each pixel changes by its own share
        # of the two colours, or the lower coat would shine through along those edges.
        image += share * (colour - (coat if layer.coat else image))
        if layer.coat:
            coat = colour
    red, green, blue = np.clip(image + 0.5, 0, 255).astype(np.uint32)
    joined: NDArray[np.uint32] = red << 16 | green << 8 | blue
    return joined


def _parted(colours: NDArray[np.uint32]) -> NDArray[np.uint8]:
    """Colours as red, green and blue along a further axis."""
    parts: NDArray[np.uint8] = colours[..., None].astype(">u4").view(np.uint8)
    return parts[..., 1:]
