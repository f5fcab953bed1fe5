"""Run `legend cut`: write the stencils of a description for the cutter."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from legend.commands.cut_options import as_asked, cut_file_options, tell_units
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
    help="Cut this piece alone, once, into cut-again-1 and so on; may be given several times.",
)
@cut_file_options
@REPLACE
@VERBOSE
def cut(
    panel: Path,
    drilled: tuple[Path, ...],
    out: Path | None,
    piece: tuple[int, ...],
    replace: bool,
    verbose: bool,
    **asked: Any,
) -> None:
    """Write the stencils, a file for each length of stock.

    Of PDF there is one file, with a page for each. With --piece, only the pieces that were
    spoiled, under the same numbers and with the same registration; the files of the whole stencil
    stay as they are.
    """
    from legend.drawing.cut_files.cut_files import earlier_files
    from legend.drawing.stencil_files import RECUT_STENCIL, STENCIL, stencil_files
    from legend.making.stages import cut_from, laid_out
    from legend.stencil.cutting import NoSuchPieceError
    from legend.writing import write_all

    description, artwork = laid_out(panel, drilled)
    stencil = as_asked(description.stencil, asked)
    try:
        sheets, findings = cut_from(artwork, piece)
    except NoSuchPieceError as error:
        raise click.BadParameter(str(error), param_hint="--piece") from None
    stem = RECUT_STENCIL if piece else STENCIL
    files = stencil_files(sheets, artwork, stem, stencil)
    of_its_kind = earlier_files([stem], stencil.cut_as)
    for path in write_all(out or folder_of(panel, drilled), files, of_its_kind, replace):
        click.echo(path)
    tell_units(stencil, sheets, description.units)
    leave(tell(findings, verbose))
