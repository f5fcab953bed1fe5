"""`legend proof`: a description in, a picture or a drawing of the panel out."""

from __future__ import annotations

from pathlib import Path

import click

from legend.commands.leaving import leave, status_of
from legend.commands.options import DPI, PANEL, VERBOSE
from legend.commands.options import out as out_option
from legend.failures import in_plain_words

#: What the panel may be shown as; those of `legend.drawing.layers`, which is heavy to import.
STAGES = ("base", "masked", "top", "finished", "fitted", "all")


@click.command()
@PANEL
@out_option("The file to write, .png or .svg.  [default: proof.png in a folder named after PANEL]")
@click.option(
    "--stage",
    type=click.Choice(STAGES),
    default="finished",
    show_default=True,
    help="How far the work has come, or all stages below each other (.png only).",
)
@DPI
@click.option("--watch", is_flag=True, help="Draw it again whenever the description changes.")
@VERBOSE
def proof(
    panel: Path, out: Path | None, stage: str, dpi: float, watch: bool, verbose: bool
) -> None:
    """Write a picture of the panel as it will be, or a drawing of it to zoom into."""
    from legend.work import file_of

    path = file_of(out, panel, "proof.png")
    if not watch:
        leave(_draw(panel, path, stage, dpi, verbose))
    from legend.watching import changes_of

    for _ in changes_of(panel):
        try:
            _draw(panel, path, stage, dpi, verbose)
        except Exception as error:  # whatever is wrong now may be put right
            click.echo(in_plain_words(error), err=True)
        click.echo("Watching for changes; Ctrl-C ends it.", err=True)


def _draw(panel: Path, path: Path, stage: str, dpi: float, verbose: bool) -> int:
    """Write the picture, tell what was found, and give the exit status for it."""
    from legend import account
    from legend.work import cut_from, found_in, laid_out

    _, artwork = laid_out(panel)
    if path.suffix.lower() == ".svg":
        from legend.drawing.proof_svg import write_proof_svg

        findings = found_in(artwork)
        write_proof_svg(artwork, path)
    else:
        from legend.drawing.proof import write_proof

        sheets, findings = cut_from(artwork)
        write_proof(artwork, sheets, path, stage, dpi)  # type: ignore[arg-type]
    click.echo(path)
    for line in account.of_findings(findings, verbose):
        click.echo(line, err=True)
    return status_of(findings)
