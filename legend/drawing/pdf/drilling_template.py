"""Write a true-scale PDF template for drilling the same panel again.

It is stuck on the metal: punch through the points, then drill. The sizes and the distances
from the datum stand beside each hole. Where the description tells both how the holes were to
be and how they came out, it is the design that is drilled again.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from legend.drawing.length_words import panel_size
from legend.drawing.pdf.ground import in_the_way, taken_from_bars
from legend.drawing.pdf.panel_drawing import draw_template, extents_of
from legend.drawing.pdf.paper import Paper, of_fewest_sheets
from legend.drawing.pdf.sheets import Drawing, printed
from legend.layout.artwork import Artwork
from legend.layout.openings import lay_openings
from legend.writing import write_whole


def write_drilling_template(
    artwork: Artwork,
    path: Path,
    paper: Paper = "A4",
    correction: tuple[float, float] = (0.0, 0.0),
    mirrored: bool = False,
) -> None:
    """Write the template: the panel's edge, its holes with points to punch, sizes, distances.

    `paper`, `correction` and `mirrored` are those of `write_overlay`, and so are the errors; a
    mirrored template is for drilling from behind.
    """
    write_whole(path, drilling_template_pdf(artwork, paper, correction, mirrored))


def drilling_template_pdf(
    artwork: Artwork,
    paper: Paper = "A4",
    correction: tuple[float, float] = (0.0, 0.0),
    mirrored: bool = False,
) -> bytes:
    """The bytes of the file, as `write_drilling_template` describes it. Error: PaperError."""
    description = artwork.description
    panel = _as_designed(artwork)
    tiling = of_fewest_sheets(extents_of(panel), paper, correction, lambda: in_the_way(panel))
    drawing = Drawing(
        description.called,
        f"Drilling template, {panel_size(description)}; distances from the datum",
        artwork.styles["name"].face,
        panel.panel.bounds,
        lambda: taken_from_bars(panel, ()),
        lambda pen, extent, reserved: draw_template(pen, panel, extent, reserved),
    )
    return printed(drawing, tiling, correction, mirrored)


def _as_designed(artwork: Artwork) -> Artwork:
    """The panel without its legends, and with its holes where they were to be."""
    description = artwork.description
    openings = artwork.openings
    if description.drilling:
        designed = description.model_copy(update={"holes": description.drilling.design})
        openings = lay_openings(designed)
    return replace(artwork, marks=(), bare_discs=(), openings=openings)
