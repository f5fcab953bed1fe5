"""Define the options that say as which files the cutter is given what it cuts.

What is not asked for on the command line is as the description has it, under [stencil].
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, Any, TypeVar, get_args

import click

from legend.sentences import listed, printable

if TYPE_CHECKING:
    from legend.description.tables.description import Stencil
    from legend.stencil.sheet import Sheet

_Command = TypeVar("_Command", bound=Callable[..., Any])


class _Formats(click.ParamType[Any]):
    """Kinds of file, one or several with commas between them."""

    name = "kinds"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[str, ...]:
        """The kinds. Error: BadParameter for a word that is none of them."""
        from legend.description.tables.stencil import CutFormat

        kinds = get_args(CutFormat)
        words = tuple(word.strip().lower().removeprefix(".") for word in str(value).split(","))
        for word in words:
            if word not in kinds:
                what = f"{printable(word[:60])!r} is no kind of file for a cutter; "
                self.fail(f"{what}say {listed(kinds, 'or')}.", param, ctx)
        return words


_OPTIONS = (
    click.option(
        "--as",
        "formats",
        type=_Formats(),
        multiple=True,
        metavar="KIND",
        help="The kind of file: svg, dxf, pdf or plt (HP-GL); several with commas between them, "
        "or by giving it again.  [default: as PANEL says, or svg]",
    ),
    click.option(
        "--separate",
        is_flag=True,
        help="Write a file for each class of lines, as letters and weeding boxes are.",
    ),
    click.option(
        "--dxf",
        "dxf_version",
        type=click.Choice(["R2000", "R12"], case_sensitive=False),
        help="The release of DXF.  [default: as PANEL says, or R2000]",
    ),
    click.option(
        "--plt-origin",
        type=click.Choice(["lower left", "upper left", "lower right", "upper right", "centre"]),
        help="Where HP-GL counts from.  [default: as PANEL says, or lower left]",
    ),
    click.option(
        "--plt-turn",
        type=click.Choice(["0", "90", "180", "270"]),
        help="By how many degrees HP-GL is turned clockwise.  [default: as PANEL says, or 0]",
    ),
)


def cut_file_options(command: _Command) -> _Command:
    """All options for files for the cutter; a command hands them to `as_asked`."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def as_asked(stencil: Stencil, asked: dict[str, Any]) -> Stencil:
    """The table of a description with what was asked for on the command line in its place."""
    changed: dict[str, Any] = {}
    if formats := [each for several in asked["formats"] for each in several]:
        changed["cut_as"] = tuple(dict.fromkeys(formats))
    if asked["separate"]:
        changed["separate"] = True
    if asked["dxf_version"]:
        changed["dxf_version"] = asked["dxf_version"].upper()
    if asked["plt_origin"]:
        changed["plt_origin"] = asked["plt_origin"]
    if asked["plt_turn"]:
        changed["plt_turn"] = int(asked["plt_turn"])
    return stencil.model_copy(update=changed)


def tell_units(stencil: Stencil, sheets: Sequence[Sheet], units: str) -> None:
    """Say on the standard error what the files themselves cannot say of their lengths."""
    for line in _units_told(stencil, sheets, units):
        click.echo(line, err=True)


def _units_told(stencil: Stencil, sheets: Sequence[Sheet], units: str) -> Iterator[str]:
    from legend.length_words import Lengths

    if "dxf" in stencil.cut_as and stencil.dxf_version == "R12":
        yield (
            "DXF of the release R12 cannot say its unit: these files are in mm. Set that in the "
            "program that opens them, and measure what it shows."
        )
    elif "dxf" in stencil.cut_as and units == "in":
        yield "DXF files are in mm, also of a panel in inches, and say so themselves."
    if "plt" in stencil.cut_as:
        from legend.drawing.cut_files.cut_sheet import cut_sheet
        from legend.drawing.cut_files.plt_format import FARTHEST, STEPS, reaches

        far = max(
            (reaches(cut_sheet(sheet), stencil.plt_origin, stencil.plt_turn) for sheet in sheets),
            default=0,
        )
        if far > FARTHEST:
            farthest = Lengths(units).short_said(FARTHEST / STEPS)
            yield (
                f"HP-GL files go further than {farthest} from their origin, which a cutter that "
                "takes HP-GL/2 can count, but no older one; for such a one give a shorter "
                "stencil.stock_size."
            )
