"""Run `legend new`: write a description to begin with, from a hole list or from nothing."""

from __future__ import annotations

from pathlib import Path

import click

from legend.failures import PlainError


@click.command()
@click.option(
    "--from",
    "hole_list",
    type=click.Path(path_type=Path),
    help="A hole list to make it from: CSV with the columns id, x, y, drill, or a DXF drawing.",
)
@click.option(
    "--units",
    type=click.Choice(["mm", "in"]),
    default="mm",
    show_default=True,
    help="Of the bare numbers in the hole list.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default="panel.toml",
    show_default=True,
    help="The file to write; it must not exist yet.",
)
def new(hole_list: Path | None, units: str, out: Path) -> None:
    """Write a description to begin with.

    Its comments tell what else there is.

    With --from it is made for the holes of a list, guessing from names, notes and diameters
    what is fitted in each.
    """
    from legend.starting.starter import Start, starter, starter_for
    from legend.writing import write_new

    start = starter_for(hole_list, out, units) if hole_list else Start(starter())
    try:
        write_new(out, start.text.encode())
    except FileExistsError:
        raise PlainError(
            f"{out} is there already and is left as it is; name another file with --out."
        ) from None
    if start.doubt:
        click.echo(start.doubt, err=True)
    click.echo(f"{out} is written; next: legend make {out}")
