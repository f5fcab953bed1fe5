"""Run `legend proof`: write a picture or a drawing of the finished panel."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from legend.commands.exit_status import leave, tell
from legend.commands.options import DPI, DRILLED, PANEL, REPLACE, VERBOSE, file_of, out_option
from legend.failures import in_plain_words

if TYPE_CHECKING:
    from legend.drawing.proofs.layers import Stage

#: What the panel may be shown as; those of `legend.drawing.proofs.layers`, heavy to import.
STAGES = ("base", "masked", "top", "finished", "fitted", "all")


@click.command()
@PANEL
@DRILLED
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
@REPLACE
@VERBOSE
def proof(
    panel: Path,
    drilled: tuple[Path, ...],
    out: Path | None,
    stage: Stage | Literal["all"],
    dpi: float | None,
    watch: bool,
    replace: bool,
    verbose: bool,
) -> None:
    """Write a picture of the panel as it will be.

    Or, as SVG, a drawing of it to zoom into.
    """
    path = file_of(out, panel, "proof.png", ".svg", drilled=drilled)
    if path.suffix.lower() == ".svg" and stage != "finished":
        raise click.BadParameter(
            "A drawing shows the finished panel; of other stages there are pictures, in .png.",
            param_hint="--stage",
        )
    if not watch:
        leave(_draw(panel, drilled, path, stage, dpi, replace, verbose))
    from legend.making.watching import changes_of

    for _ in changes_of(panel, drilled):
        try:
            _draw(panel, drilled, path, stage, dpi, replace, verbose)
        except Exception as error:  # whatever is wrong now may be put right
            click.echo(in_plain_words(error), err=True)
        click.echo("Watching for changes; Ctrl-C ends it.", err=True)


def _draw(
    panel: Path,
    drilled: Sequence[Path],
    path: Path,
    stage: Stage | Literal["all"],
    dpi: float | None,
    replace: bool,
    verbose: bool,
) -> int:
    """Write the picture, tell what was found, and give the exit status for it."""
    from legend.making.stages import cut_from, found_in, laid_out
    from legend.writing import write_whole

    _, artwork = laid_out(panel, drilled)
    if path.suffix.lower() == ".svg":
        from legend.drawing.proofs.proof_svg import proof_svg

        findings = found_in(artwork)
        data = proof_svg(artwork)
    else:
        from legend.drawing.proofs.proof_png import proof_png

        sheets, findings = cut_from(artwork)
        data = proof_png(artwork, sheets, stage, dpi)
    click.echo(write_whole(path, data, replace))
    return tell(findings, verbose)
