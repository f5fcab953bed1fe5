"""Run `legend overlay`: write a true-scale overlay, or a template to drill by, as PDF."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from legend.commands.exit_status import leave, tell
from legend.commands.options import (
    CORRECTION,
    DRILLED,
    OUTLINES,
    PANEL,
    REPLACE,
    VERBOSE,
    file_of,
    out_option,
    paper_in_question,
    paper_option,
)

if TYPE_CHECKING:
    from legend.drawing.pdf.paper import Paper


@click.command()
@PANEL
@DRILLED
@out_option("The file to write.  [default: overlay.pdf in a folder named after PANEL]")
@paper_option("A4, A3, letter, or width and height, such as 297x420 or 11x17in.")
@CORRECTION
@click.option("--mirrored", is_flag=True, help="For film that is printed on its underside.")
@OUTLINES
@click.option(
    "--drilling",
    is_flag=True,
    help="Write drilling-template.pdf instead: points to punch, to drill the same panel again.",
)
@REPLACE
@VERBOSE
def overlay(
    panel: Path,
    drilled: tuple[Path, ...],
    out: Path | None,
    paper: Paper,
    correction: tuple[float, float],
    mirrored: bool,
    outlines: bool,
    drilling: bool,
    replace: bool,
    verbose: bool,
) -> None:
    """Write the true-scale overlay: a PDF to place the pieces by."""
    from legend.drawing.pdf.drilling_template import drilling_template_pdf
    from legend.drawing.pdf.overlay_pdf import overlay_pdf
    from legend.making.stages import cut_from, found_in, laid_out
    from legend.writing import write_whole

    path = file_of(
        out, panel, "drilling-template.pdf" if drilling else "overlay.pdf", drilled=drilled
    )
    _, artwork = laid_out(panel, drilled)
    with paper_in_question(panel):
        if drilling:
            findings = found_in(artwork)
            data = drilling_template_pdf(artwork, paper, correction, mirrored)
        else:
            sheets, findings = cut_from(artwork)
            data = overlay_pdf(artwork, sheets, paper, correction, mirrored, outlines)
    click.echo(write_whole(path, data, replace))
    leave(tell(findings, verbose))
