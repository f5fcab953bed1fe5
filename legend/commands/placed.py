"""Run `legend placed`: check in a photograph whether the letters lie true, before the top coat."""

from __future__ import annotations

from pathlib import Path

import click

from legend.commands.exit_status import DONE, WITH_ERRORS, leave
from legend.commands.options import DRILLED, PANEL, REPLACE, file_of, out_option


@click.command()
@click.argument("picture", type=click.Path(path_type=Path))
@PANEL
@DRILLED
@out_option("The picture to write, .png.  [default: placed.png in a folder named after PANEL]")
@click.option(
    "--within",
    metavar="LENGTH",
    help="How far a piece may be off and still lies true, as 0.2, in the units of PANEL, or "
    '"0.008 in".  [default: 0.2 mm, told on inch panels as 0.008 in]',
)
@click.option(
    "--turn",
    type=click.FloatRange(0.1, 5),
    default=0.5,
    show_default=True,
    metavar="DEGREES",
    help="How far a piece may be turned and still lies true.",
)
@REPLACE
def placed(
    picture: Path,
    panel: Path,
    drilled: tuple[Path, ...],
    out: Path | None,
    within: str | None,
    turn: float,
    replace: bool,
) -> None:
    """Tell which letters to lay again, by a photograph.

    PICTURE shows the panel with its film letters laid, before the top coat: square on, in even
    light, on paper unlike its base coat. The film must be coloured: of clear film only the shadow
    is seen. Written is the picture with the wanted place of every letter outlined. The exit status
    is 1 where a piece is to be laid again, or cannot be told.
    """
    from legend.camera.letters.placed import WITHIN, placed_in
    from legend.camera.letters.telling.placed_picture import placed_png
    from legend.camera.letters.telling.sayings import lines_of
    from legend.camera.opencv import opencv
    from legend.camera.picture import read_picture
    from legend.making.stages import laid_out
    from legend.stencil import cut
    from legend.writing import write_whole

    path = file_of(out, panel, "placed.png", drilled=drilled)
    opencv()  # which may be missing: that is told before anything is worked out
    description, artwork = laid_out(panel, drilled)
    limit = _length(within, description.units) if within else WITHIN
    seen = read_picture(picture)
    found = placed_in(seen, artwork, cut(artwork).sheets, limit, turn)
    write_whole(path, placed_png(found), replace)
    for line in lines_of(found):
        click.echo(line)
    click.echo(path)
    leave(DONE if found.is_true else WITH_ERRORS)


def _length(written: str, units: str) -> float:
    """A small length. Error: BadParameter for what is none, or would be no limit."""
    from legend.description.values.lengths import parse_length
    from legend.length_words import Lengths, said_by

    lengths = Lengths(units)
    try:
        mm = parse_length(written, units)
    except ValueError as error:
        what = f"{written[:60]!r} {said_by(error, lengths)}."
        raise click.BadParameter(what, param_hint="--within") from None
    if not 0.1 <= mm <= 2:
        low, high = lengths.as_decimal(0.1), lengths.as_decimal(2.0)
        what = f"{written[:60]!r} is not from {low} to {high} {lengths.unit}."
        raise click.BadParameter(what, param_hint="--within")
    return mm
