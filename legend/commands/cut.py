"""`legend cut`: a description in, the stencils out."""

from __future__ import annotations

from pathlib import Path

import click

from legend.commands.leaving import leave, tell
from legend.commands.options import PANEL, VERBOSE, folder_of, out_option


@click.command()
@PANEL
@out_option("The folder to write to.  [default: one named after PANEL]")
@VERBOSE
def cut(panel: Path, out: Path | None, verbose: bool) -> None:
    """Write the stencils, an SVG file for each length of stock."""
    from legend.drawing.stencil_svg import write_stencils
    from legend.preparing import cut_from, laid_out

    _, artwork = laid_out(panel)
    sheets, findings = cut_from(artwork)
    for path in write_stencils(sheets, artwork, out or folder_of(panel)):
        click.echo(path)
    leave(tell(findings, verbose))
