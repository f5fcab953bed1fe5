"""Define the arguments and options that several commands share.

Where nothing else is asked for, what is made of a panel goes into a folder named after it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from legend.sentences import listed, printable

if TYPE_CHECKING:
    from datetime import datetime

    from legend.drawing.pdf.paper import Paper

#: The work must be done before the calendar of the standard library ends.
_LAST_YEAR = 9000
#: So much of what was written is repeated.
_LONGEST_SAID = 60

_Command = TypeVar("_Command", bound=Callable[..., Any])


class _Within(click.FloatRange):
    """A number between two bounds."""

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """The number. Error: BadParameter for what is none, or is out of bounds."""
        try:
            number = float(super().convert(value, param, ctx))
        except click.BadParameter:
            number = math.nan
        if not math.isfinite(number):  # and so within no bounds, though it is beyond none
            what = f"{_said(value)} is not a number from {self.min:g} to {self.max:g}."
            self.fail(what, param, ctx)
        return number


class _When(click.DateTime):
    """A date with a time of day."""

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> datetime:
        """The date and time. Error: BadParameter for what is none."""
        try:
            when: datetime = super().convert(value, param, ctx)
        except click.BadParameter:
            what = f"{_said(value)} is not a date and time, such as 2031-05-01 09:00."
            self.fail(what, param, ctx)
        if when.year > _LAST_YEAR:
            what = f"{_said(value)} is too far off: say a year up to {_LAST_YEAR}."
            self.fail(what, param, ctx)
        return when


def _said(value: object) -> str:
    """What was written on the command line, as a message can repeat it."""
    return printable(str(value)[:_LONGEST_SAID])


PANEL = click.argument("panel", type=click.Path(path_type=Path))
DRILLED = click.option(
    "--drilled",
    type=click.Path(path_type=Path),
    multiple=True,
    metavar="LIST",
    help="The holes of another unit, as drilled: its legends follow these. Of several units, the "
    "sizes suit all.",
)
VERBOSE = click.option("-v", "--verbose", is_flag=True, help="Show the notes as well.")
DPI = click.option(
    "--dpi",
    type=_Within(10, 2400),
    help="Dots to the inch (.png only).  [default: 300; of a very large panel fewer]",
)
CORRECTION = click.option(
    "--correction",
    type=(_Within(-20, 20), _Within(-20, 20)),
    default=(0.0, 0.0),
    metavar="ACROSS UP",
    help="Per cent to add to the overlay: 0.5 where a bar of 100 mm is printed 99.5 mm long, or "
    "one of 4 in 3.98 in.",
)
OUTLINES = click.option(
    "--outlines",
    is_flag=True,
    help="Print the legends of the overlay as fine outlines only, with the paper within.",
)
START = click.option(
    "--start",
    type=_When(["%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M"]),
    metavar="WHEN",
    help='When the work begins, as "2031-05-01 09:00"; left out, hours are counted from 0.',
)


# --- Where to write to ---

REPLACE = click.option(
    "--replace",
    is_flag=True,
    help="Write over what this program made even where it was edited since.",
)


def out_option(what: str) -> Callable[[_Command], _Command]:
    """The option that says where to write to."""
    return click.option("--out", type=click.Path(path_type=Path), help=what)


def folder_of(panel: Path, drilled: Sequence[Path] = ()) -> Path:
    """The folder beside a description that takes what is made of it, or of the first unit drilled.

    It is named after both.
    """
    if drilled:
        return panel.with_name(f"{panel.stem}-{drilled[0].stem}")
    from legend.making.panel_files import usual_folder

    return usual_folder(panel)


def file_of(
    out: Path | None, panel: Path | None, name: str, *more: str, drilled: Sequence[Path] = ()
) -> Path:
    """The file to write: as asked for, in the folder that was asked for, or in the usual one.

    It ends as `name` does, or in one of `more` endings. Error: BadParameter.
    """
    path = out or (folder_of(panel, drilled) / name if panel else Path(name))
    if path.is_dir():
        path /= name
    refuse_other_endings(path, Path(name).suffix, *more)
    return path


def refuse_other_endings(path: Path, *endings: str) -> None:
    """Refuse to write a file under a name that other programs would take for another kind."""
    if path.suffix.lower() not in endings:
        what = f"{printable(str(path))} does not end in {listed(endings, 'or')}."
        raise click.BadParameter(what, param_hint="--out")


# --- Paper ---


def paper_option(what: str) -> Callable[[_Command], _Command]:
    """The option for the size of paper."""
    return click.option("--paper", default="A4", show_default=True, callback=_size, help=what)


def _size(_context: click.Context, _option: click.Parameter, written: str) -> Paper:
    """A paper by its name, or by its width and height in mm or in inches."""
    from legend.drawing.pdf.paper import PAPER

    if given := _width_and_height(written):
        return given.width, given.height
    by_low = {name.lower(): name for name in PAPER}
    if written.lower() not in by_low:
        what = f"{_said(written)} is no paper; say {', '.join(PAPER)}, 297x420, or 11x17in."
        raise click.BadParameter(what)
    return by_low[written.lower()]


@contextmanager
def paper_in_question(panel: Path) -> Iterator[None]:
    """Tell of a paper that will not do as of a wrong call, in the units of a description."""
    from legend.drawing.pdf.paper import PaperError

    try:
        yield
    except PaperError as error:
        with paper_told_in(_units_of(panel)):
            raise error from None


@contextmanager
def paper_told_in(units: str) -> Iterator[None]:
    """Tell of a paper that will not do as of a wrong call, in these units."""
    from legend.drawing.pdf.paper import PaperError
    from legend.length_words import Lengths, said_by

    try:
        yield
    except PaperError as error:
        what = said_by(error, Lengths(units))
        raise click.BadParameter(what, param_hint="--paper") from None


def _units_of(panel: Path) -> str:
    """The units of a description; mm where it cannot be read."""
    from legend.description.reading.description_file import read
    from legend.failures import PlainError

    try:
        return read(panel).units
    except (PlainError, OSError):
        return "mm"


# --- A panel without a description ---


@dataclass(frozen=True, slots=True)
class GivenSize:
    """A width and a height as they were given, mm, and the units that they were given in."""

    width: float
    height: float
    units: str

    @property
    def words(self) -> str:
        """The size with its unit."""
        from legend.length_words import Lengths

        lengths = Lengths(self.units)
        return f"{lengths.exact(self.width)} × {lengths.exact(self.height)} {lengths.unit}"


def _width_and_height(written: str) -> GivenSize | None:
    """Such as 220x120 or 9x5in; None for anything else."""
    from legend.standards import INCH

    number = r"(\d{1,5}(?:\.\d+)?)"
    found = re.fullmatch(rf"{number}\s*[x×]\s*{number}\s*(mm|in)?", written)
    if not found:
        return None
    units = found[3] or "mm"
    unit = INCH if units == "in" else 1.0
    return GivenSize(float(found[1]) * unit, float(found[2]) * unit, units)


def _panel_size(
    _context: click.Context, _option: click.Parameter, written: str | None
) -> GivenSize | None:
    """The size of a panel. Error: BadParameter for what is none, or no panel has."""
    from legend.limits import LARGEST_PANEL, LONGEST_LENGTH

    if written is None:
        return None
    given = _width_and_height(written)
    if given is None:
        raise click.BadParameter(f"{_said(written)} is no size; say 220x120, or 9x5in.")
    sides = given.width, given.height
    if (
        not 1 <= min(sides) <= max(sides) <= LONGEST_LENGTH
        or math.prod(sides) > LARGEST_PANEL * 1e6
    ):
        raise click.BadParameter(f"No panel is {given.words}.")
    return given


SIZE = click.option(
    "--size",
    callback=_panel_size,
    metavar="WxH",
    help="The width and height of the panel, such as 220x120 or 9x5in, in place of PANEL.",
)


def panel_or_size(panel: Path | None, size: GivenSize | None) -> None:
    """Refuse a call that says neither, or both. Error: UsageError."""
    if panel is None and size is None:
        raise click.UsageError(
            "Name the description of the panel, or give its size: --size 220x120."
        )
    if panel is not None and size is not None:
        raise click.UsageError("Name the description of the panel, or give its size, not both.")
