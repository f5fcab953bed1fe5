"""Artwork in, a true-scale template for drilling the same panel again out, as a PDF file.

It is stuck on the metal: punch through the points, then drill. The sizes and the distances
from the datum stand beside each hole.
"""

from __future__ import annotations

from pathlib import Path

from legend.drawing.panel_drawing import draw_template, extent_of, panel_size
from legend.drawing.paper import Paper
from legend.drawing.printed import Drawing, write_drawing
from legend.layout.artwork import Artwork


def write_drilling_template(
    artwork: Artwork,
    path: Path,
    paper: Paper = "A4",
    correction: tuple[float, float] = (0.0, 0.0),
) -> None:
    """Write the template: the panel's edge, its holes with points to punch, sizes, distances.

    `paper` and `correction` are those of `write_overlay`, and so are the errors.
    """
    description = artwork.description
    drawing = Drawing(
        description.title or "Panel",
        f"Drilling template, {panel_size(artwork)}; distances from the datum",
        extent_of(artwork),
        lambda pen: draw_template(pen, artwork),
    )
    write_drawing(drawing, path, paper, correction)
