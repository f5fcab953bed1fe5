"""Run `legend cut`: write the stencils of a description as SVG files."""

from __future__ import annotations

from pathlib import Path

import click

from legend.commands.exit_status import leave, tell
from legend.commands.options import DRILLED, PANEL, REPLACE, VERBOSE, folder_of, out_option


@click.command()
@PANEL
@DRILLED
@out_option("The folder to write to.  [default: one named after PANEL]")
@REPLACE
@VERBOSE
def cut(
    panel: Path, drilled: tuple[Path, ...], out: Path | None, replace: bool, verbose: bool
) -> None:
    """Write the stencils, an SVG file for each length of stock."""
    from legend.drawing.stencil_svg import STENCILS, stencil_files
    from legend.making.stages import cut_from, laid_out
    from legend.writing import write_all

    _, artwork = laid_out(panel, drilled)
    sheets, findings = cut_from(artwork)
    files = stencil_files(sheets, artwork)
    for path in write_all(out or folder_of(panel, drilled), files, STENCILS, replace):
        click.echo(path)
    leave(tell(findings, verbose))
