"""Write a true-scale PDF overlay for placing the stencils."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from legend.drawing.length_words import panel_size
from legend.drawing.pdf.ground import in_the_way, taken_from_bars
from legend.drawing.pdf.panel_drawing import draw_overlay, extents_of
from legend.drawing.pdf.paper import Paper, of_fewest_sheets
from legend.drawing.pdf.sheets import Drawing, printed
from legend.layout.artwork import Artwork
from legend.stencil.sheet import Sheet, pieces_of
from legend.writing import write_whole


def write_overlay(
    artwork: Artwork,
    sheets: Sequence[Sheet] | None,
    path: Path,
    paper: Paper = "A4",
    correction: tuple[float, float] = (0.0, 0.0),
    mirrored: bool = False,
    outlines: bool = False,
) -> None:
    """Write the overlay of a panel: its holes and legends, and the pieces on its sheets.

    `paper` is the name of a size, or a width and a height in mm. `correction` is what is to
    be added across and up, per cent: a bar that came out 99.5 mm long needs 0.5. `mirrored`
    is for film that is printed on its underside. `outlines` leaves the legends unfilled.
    Errors: PaperError for a paper that will not do; as `write_whole`.
    """
    write_whole(path, overlay_pdf(artwork, sheets, paper, correction, mirrored, outlines))


def overlay_pdf(
    artwork: Artwork,
    sheets: Sequence[Sheet] | None,
    paper: Paper = "A4",
    correction: tuple[float, float] = (0.0, 0.0),
    mirrored: bool = False,
    outlines: bool = False,
) -> bytes:
    """The bytes of the file, as `write_overlay` describes it. Error: PaperError."""
    pieces = pieces_of(sheets or ())
    description = artwork.description
    tiling = of_fewest_sheets(
        extents_of(artwork, pieces), paper, correction, lambda: in_the_way(artwork, pieces)
    )
    drawing = Drawing(
        description.called,
        f"Overlay, {panel_size(description)}, {description.stencil.method}",
        artwork.styles["name"].face,
        artwork.panel.bounds,
        lambda: taken_from_bars(artwork, pieces),
        lambda pen, extent, reserved: draw_overlay(
            pen, artwork, pieces, extent, reserved, outlines
        ),
    )
    return printed(drawing, tiling, correction, mirrored)
