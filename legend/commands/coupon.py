"""Run `legend coupon`: write a small test cut for a stock."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from legend.commands.cut_options import as_asked, cut_file_options, tell_units
from legend.commands.options import REPLACE, file_of, out_option
from legend.sentences import listed, printable

if TYPE_CHECKING:
    from legend.description.tables.description import Stencil
    from legend.stencil.coupon.coupon_sheet import Coupon

#: How long the lines of what is told are.
_WIDTH = 88


@click.command()
@click.argument("panel", type=click.Path(path_type=Path), required=False)
@click.option(
    "--stock",
    type=click.Choice(["film", "sheet"]),
    help="What it is to be cut from.  [default: as PANEL says, or film]",
)
@out_option("The file to write, by its ending the kind too; of several kinds, each gets its own "
            "ending.  [default: coupon.svg, in a folder named after PANEL]")  # fmt: skip
@cut_file_options
@REPLACE
def coupon(
    panel: Path | None, stock: str | None, out: Path | None, replace: bool, **asked: Any
) -> None:
    """Write a small test cut, to try the cutter and the paints.

    It has a test square to measure, ladders of sizes to choose from, and for lift-off a strip of
    letters to lift one each quarter hour. With a PANEL it is for the stock of that description,
    in its units, with letters in its face and as small as its smallest.
    """
    from legend.drawing.cut_files.cut_files import earlier_files
    from legend.drawing.stencil_files import coupon_files
    from legend.writing import write_all

    path = file_of(out, panel, "coupon.svg", ".dxf", ".pdf", ".plt")
    if path == out:
        asked = _with_ending(asked, path)
    units, stencil, made = _made(panel, stock)
    cut_as = as_asked(stencil, asked)
    files = coupon_files(made.sheet, path.stem, cut_as, units)
    earlier = earlier_files([path.stem], cut_as.cut_as)
    for each in write_all(path.parent, files, earlier, replace):
        click.echo(each)
    tell_units(cut_as, [made.sheet], units)
    for line in _told(made, stencil, units):
        click.echo(line, err=True)


def _with_ending(asked: dict[str, Any], path: Path) -> dict[str, Any]:
    """What was asked for, the kind of file by its name among it. Error: BadParameter."""
    ending = path.suffix.lower().removeprefix(".")
    formats = [each for several in asked["formats"] for each in several] or [ending]
    if ending not in formats:
        what = f"{printable(str(path))} ends in .{ending}, but asked for is {listed(formats)}."
        raise click.BadParameter(what, param_hint="--out")
    return asked | {"formats": (tuple(formats),)}


def _made(panel: Path | None, stock: str | None) -> tuple[str, Stencil, Coupon]:
    """The units, the stencil and the coupon for a panel, or for nothing but a stock."""
    from legend.description.tables.description import Stencil
    from legend.stencil.coupon.coupon_sheet import coupon as coupon_for
    from legend.stencil.coupon.paint_trial import lifts, trial_of, usual_trial

    units, stencil, trial = "mm", Stencil(), usual_trial()
    if panel:
        from legend.making.stages import laid_out

        description, artwork = laid_out(panel)
        units, stencil, trial = description.units, description.stencil, trial_of(artwork)
    if stock:
        method = "paint-through" if stock == "sheet" else stencil.method
        stencil = stencil.model_copy(update={"stock": stock, "method": method})
    return units, stencil, coupon_for(stencil, units, trial if lifts(stencil) else None)


def _told(made: Coupon, stencil: Stencil, units: str) -> list[str]:
    """What to do with the coupon, and what of it there was no room for."""
    from legend.length_words import Lengths
    from legend.standards import TRIAL_EVERY
    from legend.stencil.coupon.paint_trial import FRAMES
    from legend.stencil.test_square import side_in_words

    lengths = Lengths(units)
    paragraphs = [
        f"Measure the test square of {side_in_words(lengths)} both ways, and write what you find "
        "into the description, under [stencil]: measured = [across, along]. The finest steps that "
        "came out well are least_stroke, least_gap, least_bridge and least_counter.",
    ]
    if any(placed.piece.name == "paint trial" for placed in made.sheet.placed):
        first, second = FRAMES
        paragraphs.append(
            "Lay the strip of letters on a scrap with your base coat, spray your top coat over it, "
            f"and lift one letter each {TRIAL_EVERY:g} minutes, from {first[0]} to {second[-1]}; "
            "one frame with the first that comes away clean, the other half an hour later. From "
            "the first clean letter to the last is the time to lift: under [bench], lifting."
        )
    if made.left_out:
        paragraphs.append(
            f"The stock of {lengths.across(stencil.stock_size)} has no room for "
            f"{listed(made.left_out)}; give a larger stencil.stock_size."
        )
    return [click.wrap_text(each, _WIDTH) for each in paragraphs]
