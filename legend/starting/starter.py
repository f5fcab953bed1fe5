"""Write the text of a description to begin with, from a hole list or from nothing.

What it says makes a sensible panel as it stands. Its comments teach what else there is.
"""

from __future__ import annotations

import math
import os
import re
import statistics
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from pydantic import ValidationError

from legend.description.faults import DescriptionError
from legend.description.reading.description_file import parse
from legend.description.reading.explaining.missing_files import not_there
from legend.description.source import Source
from legend.description.tables.description import Datum, Hole, Panel
from legend.failures import PlainError
from legend.standards import INCH
from legend.starting.answers import Answers, holes_written, number_written, spread
from legend.starting.guessing import Guess, guesses_for
from legend.starting.rough_layout import Arrangement, Part, arranged, part_of, reach_of
from legend.starting.templates import (
    ABOUT_A_LIST,
    ABOUT_ANSWERS,
    AS_DRILLED,
    FIRST,
    FROM_HOLES,
    quoted,
)

#: Diameters between which the holes of a panel mostly are, mm. Common practice, no source.
_USUAL_DRILLS = (1.0, 60.0)
#: Left between two parts that are taken to be slimmer than usual, mm.
_BETWEEN_PARTS = 0.5
_SAID = {"mm": "mm", "in": "inches"}


def starter(holes: Mapping[str, Hole] | None = None, hole_list: str = "", units: str = "mm") -> str:
    """The text of a description, with comments that teach.

    With `holes`, for the panel that has these, listed in the file `hole_list`; else for a
    small panel of its own. `units` is "mm" or "in". Error: TooLargeError.
    """
    if not holes:
        return FIRST
    guesses = guesses_for(holes, units)
    centred = any(hole.at[0] < 0 or hole.at[1] < 0 for hole in holes.values())
    unit, step = (INCH, INCH / 4) if units == "in" else (1.0, 5.0)
    parts = [
        part_of(guess.id, guess.kind, guess.name, holes[guess.id], holes[guess.id].at)
        for guess in guesses
    ]
    width, height = (_extent(parts, axis, step, centred) for axis in (0, 1))
    datum: Datum = "centre" if centred else "lower left"
    try:
        panel = Panel(size=(width, height), datum=datum)
    except ValidationError:
        raise TooLargeError(
            f"The panel of the holes in {hole_list} would be {width / unit:.6g} × "
            f"{height / unit:.6g} {units}, and none is so large. The units look wrong, but neither "
            "mm nor inches would make one: give each heading its own unit, as in x (cm)."
        ) from None
    parts = [replace(part, at=panel.from_datum(part.at)) for part in parts]
    ways = arranged(parts, panel.size)
    return FROM_HOLES.format(
        about=ABOUT_A_LIST,
        units=units,
        title="MY PANEL",
        hole_list=f"hole_list = {quoted(hole_list)}\n{AS_DRILLED}",
        size=f"[{width / unit:.10g}, {height / unit:.10g}]  # a guess from the holes: measure it",
        datum=datum,
        holes="",
        controls="\n".join(
            _control(
                guess,
                ways[guess.id],
                [*_of_mains(guess, holes[guess.id]), *_slimmer(guess.id, parts, holes, units)],
            )
            for guess in guesses
        ),
    )


def starter_from(answers: Answers) -> str:
    """The text of a description by what was answered to a few questions."""
    holes, panel = spread(answers), Panel(size=answers.size)
    parts = [
        part_of(part.id, part.kind, part.name, holes[part.id], holes[part.id].at)
        for part in answers.parts
    ]
    ways = arranged(parts, panel.size)
    return FROM_HOLES.format(
        about=ABOUT_ANSWERS,
        units=answers.units,
        title=quoted(answers.title)[1:-1],
        hole_list="",
        size=f"[{', '.join(number_written(side, answers.units) for side in answers.size)}]",
        datum="lower left",
        holes=holes_written(holes, answers.units) + "\n\n",
        controls="\n".join(_control(part, ways[part.id]) for part in answers.parts),
    )


class TooLargeError(PlainError):
    """Holes so far apart that no panel has room for them."""


@dataclass(frozen=True, slots=True)
class Start:
    """The text of a description, and what there is to doubt of it; "" where there is nothing."""

    text: str
    doubt: str = ""


def starter_for(hole_list: Path, out: Path, units: str) -> Start:
    """The text of a description of the panel with these holes, to be written to `out`.

    Errors: PlainError, where there is no such list, or it makes no panel in these units;
    DescriptionError, where it cannot be read.
    """
    if hole_list.is_dir():
        raise PlainError(f"{hole_list} is a folder; name the hole list itself.")
    if not hole_list.is_file():
        raise PlainError(not_there(hole_list, Source("")))
    named = os.path.relpath(hole_list, out.parent)
    other = "mm" if units == "in" else "in"
    try:
        holes = _holes_in(hole_list, units)
        text = starter(holes, named, units)
    except (DescriptionError, TooLargeError) as error:
        try:
            starter(_holes_in(hole_list, other), named, other)
        except TooLargeError as too_large:
            raise too_large from None
        except PlainError:
            raise error from None
        raise PlainError(
            f"The units look wrong: with its bare numbers read in {_SAID[units]}, {hole_list} "
            f"makes no panel; read in {_SAID[other]}, it makes one. Give --units {other}."
        ) from None
    return Start(text, _doubt(hole_list, holes, units, other))


def _holes_in(hole_list: Path, units: str) -> Mapping[str, Hole]:
    """The holes of a list. Errors: DescriptionError; PlainError where there are none."""
    least = (
        f'units = "{units}"\nhole_list = {quoted(hole_list.name)}\npanel.size = ["1 cm", "1 cm"]\n'
    )
    holes = parse(least, str(hole_list)).holes
    if not holes:
        raise PlainError(f"{hole_list} lists no holes.")
    return holes


def _doubt(hole_list: Path, holes: Mapping[str, Hole], units: str, other: str) -> str:
    """What to say of a list whose holes would be of usual sizes in the other units alone."""
    usual, size = _is_usual(holes)
    if usual or not _is_usual(_holes_in(hole_list, other))[0]:
        return ""
    shown = f"{size / INCH if units == 'in' else size:.3g} {units}"
    return (
        f"Most drilled holes would be about {shown} across, as hardly any are: if the list is in "
        f"{_SAID[other]}, begin again with --units {other}."
    )


def _is_usual(holes: Mapping[str, Hole]) -> tuple[bool, float]:
    """Whether drilled holes are of sizes as panels have them, by the middle one; its size, mm."""
    across = (hole.shape.diameter for hole in holes.values())
    drills = [diameter for diameter in across if diameter is not None]
    middle = statistics.median_low(drills) if drills else _USUAL_DRILLS[0]
    return _USUAL_DRILLS[0] <= middle <= _USUAL_DRILLS[1], middle


def _extent(parts: Sequence[Part], axis: int, step: float, centred: bool) -> float:
    """How large the panel is along one axis, mm, in whole steps.

    There is room for the legends, and as much beyond the last hole as before the first.
    """
    along = [part.at[axis] for part in parts]
    reach = [reach_of(part) if part.name else part.cover for part in parts]
    low, high = min(box[axis] for box in reach), max(box[axis + 2] for box in reach)
    needed = 2 * max(-low, high) if centred else high
    even = 0.0 if centred else max(along) + min(along)  # holes are off by some tenths
    return max(1, math.ceil(round(needed / step, 3)), round(even / step)) * step


def _of_mains(guess: Guess, hole: Hole) -> Iterator[str]:
    """What is said of mains where the name or the note of a hole tells of it."""
    told = re.search(r"\bmains\b", f"{guess.name} {hole.note}", re.IGNORECASE)
    if told and guess.kind not in _SAYS:
        yield "mains = true  # false where no mains is behind the panel"


def _slimmer(
    id: str, parts: Sequence[Part], holes: Mapping[str, Hole], units: str
) -> Iterator[str]:
    """What a round part covers where it would cover a neighbour if it were as large as usual."""
    own = next(part for part in parts if part.id == id)
    if not (drill := holes[id].shape.diameter):
        return
    room = (
        math.dist(own.at, other.at) * own.half[0] / (own.half[0] + other.half[0])
        for other in parts
        if other.id != id and holes[other.id].shape.diameter
    )
    most = 2 * min(room, default=math.inf) - _BETWEEN_PARTS
    if drill < most < 2 * own.half[0]:
        unit, least = (INCH, INCH / 64) if units == "in" else (1.0, 0.1)
        across = math.floor(most / least) * least
        yield f"covers = {across / unit:.6g}  # a guess from what is beside it: measure it"


def _control(guess: Guess, way: Arrangement, more: Sequence[str] = ()) -> str:
    """The table of one control, with so many lines more."""
    lines = [
        "[[control]]",
        f"hole = {quoted(guess.id)}",
        f'kind = "{guess.kind}"' + (f"  # a guess: {guess.why}" if guess.why else ""),
    ]
    if guess.name:
        lines.append(f"name = {quoted(guess.name)}")
        if way.side != "above":
            lines.append(f'side = "{way.side}"')
    if guess.fixings:
        lines.append(
            f"fixings = [{', '.join(map(quoted, guess.fixings))}]  # the holes of its screws"
        )
    if guess.kind in _LETTERED:
        lines.append(("" if way.lettered else "# ") + _LETTERED[guess.kind])
    return "\n".join([*lines, *_SAYS.get(guess.kind, ()), *more, ""])


#: What more the control of a kind says to begin with, where there is room for it.
_LETTERED = {
    "knob": 'scale = { law = "linear", from = 0, to = 10 }  # or law = "log", from = 0.5, to = 60',
    "selector": 'positions = ["1", "2", "3", "4"]  # in clockwise order',
    "keyswitch": 'positions = ["OFF", "ON"]  # in clockwise order',
    "toggle": 'positions = { up = "ON", down = "OFF" }',
    "rocker": 'positions = { up = "I", down = "O" }',
}
#: What it says besides.
_SAYS = {
    "window": ('frame = "0.8 mm"  # the width of a line round it',),
    "display": ('frame = "0.8 mm"  # the width of a line round it',),
    "meter": ('frame = "0.8 mm"  # the width of a line round it',),
    "inlet": ("mains = true  # false where no mains is behind the panel",),
    "fuse": (
        'note = "T 1 A 250 V"  # what the fuse bears',
        "mains = true  # false where no mains is behind the panel",
    ),
}
