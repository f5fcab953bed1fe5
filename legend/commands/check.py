"""Run `legend check`: print what would spoil the panel of a description."""

from __future__ import annotations

from pathlib import Path

import click

from legend.commands.exit_status import leave, status_of
from legend.commands.options import DRILLED, PANEL, VERBOSE


@click.command()
@PANEL
@DRILLED
@click.option("--json", "as_json", is_flag=True, help="Print the findings as JSON.")
@click.option("--strict", is_flag=True, help="Exit with status 1 for warnings too.")
@VERBOSE
def check(
    panel: Path, drilled: tuple[Path, ...], as_json: bool, strict: bool, verbose: bool
) -> None:
    """Lay the legends out, and tell what would spoil the panel.

    Nothing is written.
    """
    from legend.layout.cautions import cautions
    from legend.making import summary as account
    from legend.making.stages import found_in, laid_out

    description, artwork = laid_out(panel, drilled)
    findings = found_in(artwork)
    if as_json:
        from legend.drawing.findings_json import findings_text

        click.echo(findings_text(findings), nl=False)
    else:
        for line in account.of_findings(findings, verbose):
            click.echo(line)
        click.echo("\nCautions:")
        for caution in cautions(description):
            click.echo(f"  {caution}")
    leave(status_of(findings, strict))
