"""Run `legend card`: write the job card of a description."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from legend.commands.exit_status import leave, tell
from legend.commands.options import DRILLED, PANEL, REPLACE, START, VERBOSE, file_of, out_option

if TYPE_CHECKING:
    from datetime import datetime


@click.command()
@PANEL
@DRILLED
@out_option("The file to write.  [default: job-card.html in a folder named after PANEL]")
@START
@REPLACE
@VERBOSE
def card(
    panel: Path,
    drilled: tuple[Path, ...],
    out: Path | None,
    start: datetime | None,
    replace: bool,
    verbose: bool,
) -> None:
    """Write the job card: the work in order, to print.

    With it come the pieces and their places, what to weed and to lift, and the cautions.
    """
    from legend.drawing.job_card.job_card import card_html
    from legend.making.stages import cut_from, laid_out
    from legend.writing import write_whole

    path = file_of(out, panel, "job-card.html", ".htm", drilled=drilled)
    _, artwork = laid_out(panel, drilled)
    sheets, findings = cut_from(artwork)
    click.echo(write_whole(path, card_html(artwork, sheets, findings, start), replace))
    leave(tell(findings, verbose))
