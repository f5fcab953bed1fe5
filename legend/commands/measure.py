"""Run `legend measure`: measure the holes of a drilled panel in scans and photographs of it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from legend.commands.exit_status import DONE, WITH_ERRORS, leave
from legend.commands.options import SIZE, GivenSize, panel_or_size, refuse_other_endings
from legend.failures import PlainError
from legend.sentences import printable

if TYPE_CHECKING:
    from legend.camera.measured.measured import Measured
    from legend.description.tables.description import Description
    from legend.description.tables.panel import Panel

#: How a description's name ends, and what is written where nothing else is asked for.
_DESCRIPTION, _MEASURED = ".toml", "measured.csv"


@click.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@SIZE
@click.option(
    "--holes",
    "count",
    type=click.IntRange(1, 2000),
    help="How many holes a panel without a description has.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    help="The hole list to write; it must not exist yet. The picture to check it by goes beside "
    "it.  [default: measured.csv beside PANEL]",
)
@click.option("--comma", is_flag=True, help="Write a decimal comma, columns parted by semicolons.")
def measure(
    files: tuple[Path, ...],
    size: GivenSize | None,
    count: int | None,
    out: Path | None,
    comma: bool,
) -> None:
    """Measure the holes of a drilled panel in pictures.

    FILES are scans or photographs of one panel, and its description; several pictures are
    averaged. It writes a hole list, ready to be the holes as drilled of the description, and a
    picture with all that was found drawn on it: green is sure, yellow doubtful, red missing or
    no hole.

    Exit status 1: a hole is missing or doubtful. 2: nothing could be measured, or written.
    """
    from legend.camera.measured.hole_list_csv import hole_list_csv
    from legend.camera.measured.measured_picture import measured_png
    from legend.camera.measuring import measured_from
    from legend.camera.opencv import opencv
    from legend.camera.picture import read_picture
    from legend.writing import write_new, write_whole

    opencv()  # which may be missing: that is told before anything is worked out
    pictures, path = _parted(files)
    panel_or_size(path, size)
    description, panel, units = _described(path) if path else _sized(size)
    target = out or (path.with_name(_MEASURED) if path else Path(_MEASURED))
    if target.is_dir():
        target /= _MEASURED
    refuse_other_endings(target, ".csv")
    there = PlainError(
        f"{printable(str(target))} is there already and is left as it is; name another file with "
        "--out."
    )
    if target.exists():  # before it takes its time in vain
        raise there
    measured = measured_from(
        [read_picture(each) for each in pictures], panel, units, description, count
    )
    drawn = write_whole(target.with_suffix(".png"), measured_png(measured))
    try:
        write_new(target, hole_list_csv(measured, comma))
    except FileExistsError:
        raise there from None
    click.echo(target)
    click.echo(drawn)
    _tell(measured, target, path)
    leave(DONE if measured.is_sure else WITH_ERRORS)


def _parted(files: Sequence[Path]) -> tuple[list[Path], Path | None]:
    """The pictures, and the description if there is one."""
    panels = [each for each in files if each.suffix.lower() == _DESCRIPTION]
    pictures = [each for each in files if each not in panels]
    if len(panels) > 1:
        raise click.UsageError("Give one description; its panel is measured in all the pictures.")
    if not pictures:
        raise click.UsageError("Give at least one picture, such as scan.png or photo.jpg.")
    return pictures, panels[0] if panels else None


def _described(path: Path) -> tuple[Description, Panel, str]:
    """The description, its panel, and its units."""
    from legend.description.reading.description_file import read

    description = read(path)
    return description, description.panel, description.units


def _sized(size: GivenSize | None) -> tuple[None, Panel, str]:
    """The same by a size."""
    from legend.description.tables.panel import Panel

    assert size is not None  # the call was looked through for it
    return None, Panel.model_validate({"size": (size.width, size.height)}), size.units


def _tell(measured: Measured, target: Path, path: Path | None) -> None:
    """What was measured and taken for granted, what is to be looked at, and what to do next."""
    from legend.camera.measured.sayings import about_holes, how_many

    click.echo(how_many(measured), err=True)
    for line in about_holes(measured):
        click.echo(f"  {line}", err=True)
    click.echo(f"Assumed: {' '.join(measured.assumed)}", err=True)
    if path:
        click.echo(
            f"Look at the picture; then write into {printable(path.name)}:\n\n[as_drilled]\n"
            f'hole_list = "{_name_from(target, path)}"\n'
        )
    else:
        click.echo(f"Look at the picture; next: legend new --from {printable(str(target))}")


def _name_from(target: Path, path: Path) -> str:
    """The hole list as its name stands in the description."""
    import os

    return Path(os.path.relpath(target, path.parent)).as_posix()
