"""Run `legend coupon`: write a small test cut for a stock."""

from __future__ import annotations

from pathlib import Path

import click

from legend.commands.options import REPLACE, file_of, out_option


@click.command()
@click.argument("panel", type=click.Path(path_type=Path), required=False)
@click.option(
    "--stock",
    type=click.Choice(["film", "sheet"]),
    help="What it is to be cut from.  [default: as PANEL says, or film]",
)
@out_option("The file to write.  [default: coupon.svg, in a folder named after PANEL]")
@REPLACE
def coupon(panel: Path | None, stock: str | None, out: Path | None, replace: bool) -> None:
    """Write a small test cut, to find out what the cutter can do.

    It has a test square to measure, and ladders of sizes to choose from. With a PANEL it is for
    the stock of that description.
    """
    from legend.description.tables.description import Stencil
    from legend.drawing.stencil_svg import coupon_file
    from legend.stencil.coupon_sheet import coupon as coupon_for
    from legend.writing import write_whole

    path = file_of(out, panel, "coupon.svg")
    stencil = Stencil()
    if panel:
        from legend.description.reading.description_file import read

        stencil = read(panel).stencil
    if stock:
        method = "paint-through" if stock == "sheet" else stencil.method
        stencil = stencil.model_copy(update={"stock": stock, "method": method})
    click.echo(write_whole(path, coupon_file(coupon_for(stencil)), replace))
    click.echo(
        "Measure the test square both ways, and write what you find into the description, under\n"
        "[stencil]: measured = [across, along]. The finest steps that came out well are\n"
        "least_stroke, least_gap, least_bridge and least_counter.",
        err=True,
    )
