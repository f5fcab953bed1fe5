"""Run `legend target`: write the page that a panel is photographed on, as PDF."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from legend.commands.options import (
    REPLACE,
    SIZE,
    GivenSize,
    file_of,
    out_option,
    panel_or_size,
    paper_option,
    paper_told_in,
)

if TYPE_CHECKING:
    from legend.camera.target.target_pdf import ForPanel, Under
    from legend.drawing.pdf.paper import Paper


@click.command()
@click.argument("panel", type=click.Path(path_type=Path), required=False)
@SIZE
@out_option("The file to write.  [default: target.pdf in a folder named after PANEL]")
@paper_option("A4, A3, letter, or width and height, such as 297x420 or 11x17in.")
@click.option(
    "--under",
    type=click.Choice(["light", "dark"]),
    default="light",
    show_default=True,
    help="What the panel is like when it is photographed: light, as bare metal, primer and light "
    "paint are, on a black ground; dark, on a white one.",
)
@REPLACE
def target(
    panel: Path | None,
    size: GivenSize | None,
    out: Path | None,
    paper: Paper,
    under: Under,
    replace: bool,
) -> None:
    """Write the page on which a panel is photographed to measure it.

    Squares round the panel tell where the camera stood. The page needs to know no more of the panel
    than its size: give that with --size where there is no description yet.
    """
    from legend.camera.target.target_page import target_page
    from legend.camera.target.target_pdf import target_pdf
    from legend.writing import write_whole

    panel_or_size(panel, size)
    path = file_of(out, panel, "target.pdf")
    page_for, width, height, units = _described(panel, under) if panel else _sized(size, under)
    with paper_told_in(units):
        data = target_pdf(target_page(width, height), page_for, paper)
    click.echo(write_whole(path, data, replace))


def _described(panel: Path, under: Under) -> tuple[ForPanel, float, float, str]:
    """What the page is for, its width and height, mm, and its units, by a description."""
    from legend.camera.target.target_pdf import ForPanel
    from legend.description.reading.description_file import read
    from legend.drawing.length_words import panel_size

    description = read(panel)
    what = ForPanel(description.panel.edge, description.called, panel_size(description), under)
    return what, *description.panel.size, description.units


def _sized(size: GivenSize | None, under: Under) -> tuple[ForPanel, float, float, str]:
    """The same by a size."""
    from legend.camera.target.target_pdf import ForPanel
    from legend.description.shapes.edge import Edge

    assert size is not None  # the call was looked through for it
    edge = Edge.rectangle(size.width, size.height).moved(size.width / 2, size.height / 2)
    what = ForPanel(edge, "Panel", size.words, under)
    return what, size.width, size.height, size.units
