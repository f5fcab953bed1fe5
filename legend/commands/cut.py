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
@click.option(
    "--piece",
    type=click.IntRange(1),
    multiple=True,
    metavar="NUMBER",
    help="Cut this piece alone, once, into cut-again-1.svg; may be given several times.",
)
@REPLACE
@VERBOSE
def cut(
    panel: Path,
    drilled: tuple[Path, ...],
    out: Path | None,
    piece: tuple[int, ...],
    replace: bool,
    verbose: bool,
) -> None:
    """Write the stencils, an SVG file for each length of stock.

    With --piece, only the pieces that were spoiled, under the same numbers and with the same
    registration; the files of the whole stencil stay as they are.
    """
    from legend.drawing.stencil_svg import RECUT_STENCILS, STENCILS, stencil_files
    from legend.making.stages import cut_from, laid_out
    from legend.stencil.cutting import NoSuchPieceError
    from legend.writing import write_all

    _, artwork = laid_out(panel, drilled)
    try:
        sheets, findings = cut_from(artwork, piece)
    except NoSuchPieceError as error:
        raise click.BadParameter(str(error), param_hint="--piece") from None
    files = stencil_files(sheets, artwork, "cut-again" if piece else "stencil")
    of_its_kind = RECUT_STENCILS if piece else STENCILS
    for path in write_all(out or folder_of(panel, drilled), files, of_its_kind, replace):
        click.echo(path)
    leave(tell(findings, verbose))
