"""Write the text of a description to begin with, from a hole list or from nothing.

What it says makes a sensible panel as it stands. Its comments teach what else there is.
"""

from __future__ import annotations

import json
import math
import os
import re
import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from pydantic import ValidationError

from legend.description.faults import DescriptionError
from legend.description.kinds import KINDS
from legend.description.reading.description_file import parse
from legend.description.reading.missing_files import not_there
from legend.description.source import Source
from legend.description.tables.description import Datum, Hole, Panel
from legend.failures import PlainError
from legend.standards import INCH
from legend.starting.rough_layout import Arrangement, Part, arranged, part_of, reach_of

#: Words in the name or note of a hole that tell what is fitted in it.
_TELLING = (
    (r"knob|pot|control|volume|level|dial|tuning|exposure|speed", "knob"),
    (r"selector|rotary|range|positions?|steps?|program", "selector"),
    (r"key ?switch|key ?lock", "keyswitch"),
    (r"key ?pad|keyboard", "keypad"),
    (r"thumb ?wheels?", "thumbwheel"),
    (r"bar ?graph", "bargraph"),
    (r"binding posts?|posts?|terminals?", "binding post"),
    (r"jack|socket|phono|banana|bnc|pedal", "jack"),
    (r"rocker", "rocker"),
    (r"toggle|switch|lever", "toggle"),
    (r"button|push|key|start|stop|reset", "button"),
    (r"lamp|led|light|neon|indicator|pilot|fault|ready|alarm", "lamp"),
    (r"display|digits|lcd", "display"),
    (r"window|glass", "window"),
    (r"meter|gauge", "meter"),
    (r"fuse", "fuse"),
    (r"inlet", "inlet"),
    (r"connector|plug|d-?sub|usb|din", "connector"),
    (r"earth|ground|stud|gnd", "stud"),
    (r"screw|mount|fix|m[2-6]", "screw"),
)
#: What is most often fitted in a drilled hole up to this diameter, mm. Common practice, no source.
_BY_DIAMETER = (
    (4.6, "screw"),
    (5.6, "lamp"),
    (6.9, "jack"),
    (7.7, "knob"),
    (8.8, "lamp"),
    (10.5, "knob"),
    (13.0, "toggle"),
)
#: What a hole larger than all those most often takes. Common practice, no source.
_LARGEST = "button"
#: Diameters between which the holes of a panel mostly are, mm. Common practice, no source.
_USUAL_DRILLS = (1.0, 60.0)
_SAID = {"mm": "mm", "in": "inches"}


@dataclass(frozen=True, slots=True)
class _Guess:
    """What a hole seems to be for, and what that is taken from."""

    id: str
    kind: str
    why: str

    @property
    def name(self) -> str:
        """What it is called on the panel; "" where it is not."""
        if not KINDS[self.kind].named:
            return ""
        return "symbol:earth" if self.kind == "stud" else self.id.replace("_", " ").upper()


def starter(holes: Mapping[str, Hole] | None = None, hole_list: str = "", units: str = "mm") -> str:
    """The text of a description, with comments that teach.

    With `holes`, for the panel that has these, listed in the file `hole_list`; else for a
    small panel of its own. `units` is "mm" or "in". Error: TooLargeError.
    """
    if not holes:
        return _FIRST
    guesses = [_guess(id, hole) for id, hole in holes.items()]
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
    return _FROM_LIST.format(
        units=units,
        hole_list=_quoted(hole_list),
        size=f"[{width / unit:.10g}, {height / unit:.10g}]",
        datum=datum,
        controls="\n".join(_control(guess, ways[guess.id]) for guess in guesses),
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
        f'units = "{units}"\nhole_list = {_quoted(hole_list.name)}\npanel.size = ["1 cm", "1 cm"]\n'
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


def _guess(id: str, hole: Hole) -> _Guess:
    for words in (hole.note, id):
        for telling, kind in _TELLING:
            found = re.search(rf"\b(?:{telling})\b", words, re.IGNORECASE)
            if found:
                return _Guess(id, kind, f"its {'note' if words == hole.note else 'name'} says so")
    shape = hole.shape
    if shape.diameter is None:
        return _Guess(id, shape.usual, "it has that shape")
    kind = next((kind for most, kind in _BY_DIAMETER if shape.diameter <= most), _LARGEST)
    return _Guess(id, kind, f"{shape.diameter:.4g} mm would suit one")


def _extent(parts: Sequence[Part], axis: int, step: float, centred: bool) -> float:
    """How large the panel is along one axis, mm, in whole steps.

    There is room for the legends, and as much beyond the last hole as before the first.
    """
    along = [part.at[axis] for part in parts]
    reach = [reach_of(part) for part in parts]
    low, high = min(box[axis] for box in reach), max(box[axis + 2] for box in reach)
    size = 2 * max(-low, high) if centred else max(high, max(along) + min(along))
    return max(1, math.ceil(round(size / step, 3))) * step


def _control(guess: _Guess, way: Arrangement) -> str:
    """The table of one control."""
    lines = [
        "[[control]]",
        f"hole = {_quoted(guess.id)}",
        f'kind = "{guess.kind}"  # a guess: {guess.why}',
    ]
    if guess.name:
        lines.append(f"name = {_quoted(guess.name)}")
        if way.side != "above":
            lines.append(f'side = "{way.side}"')
    if guess.kind in _LETTERED:
        lines.append(("" if way.lettered else "# ") + _LETTERED[guess.kind])
    return "\n".join([*lines, *_SAYS.get(guess.kind, ()), ""])


def _quoted(text: str) -> str:
    """The text as TOML writes it."""
    return json.dumps(text, ensure_ascii=False)


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
    "window": ("frame = 0.8  # the width of a line round it",),
    "display": ("frame = 0.8  # the width of a line round it",),
    "meter": ("frame = 0.8  # the width of a line round it",),
    "inlet": ("mains = true  # false where no mains is behind the panel",),
    "fuse": ('note = "T 1 A"', "mains = true  # false where no mains is behind the panel"),
}

_FROM_LIST = """\
# The legends of a panel, from its hole list. Everything marked "a guess" is to be checked.
# See what comes of it with: legend make, and the name of this file.

units = "{units}"  # of bare numbers, here and in the hole list; or write "3/8 in", "9.5 mm"
title = "MY PANEL"
hole_list = {hole_list}
# as_drilled = "measured.csv"  # the same holes measured after drilling: legends follow these

[panel]
size = {size}  # a guess from the holes: measure the panel
datum = "{datum}"  # where the holes are measured from, as you face the panel
viewing_distance = "600 mm"  # how far off it is read; the letters are sized by it

[finish]
base = "white"  # lift-off: the colour of the letters; or "#f2efe4", or "RAL 9010"
top = "#5b6160"  # lift-off: the colour round them, sprayed last

[stencil]
method = "lift-off"  # or "paint-through": openings, through which the letters are painted
stock = "film"  # or "sheet": rigid and used again, for paint-through only
stock_size = ["300 mm", "200 mm"]  # what fits the cutter

# A name stands above its control, or where side = "below", "left" or "right" puts it.
# Where covers = 24 gives the diameter of the knob or nut, no legend is hidden by it.

{controls}
# Controls that belong together may have a frame round them:
# [[group]]
# name = "LAMP"
# holes = ["A", "B"]
"""

_FIRST = """\
# The legends of a panel. Change this one into yours; see what comes of it with
# legend make, and the name of this file.

units = "mm"  # of bare numbers, or "in"; a text has its own: "9.5 mm", "3/8 in", "1 3/8 in"
title = "GLUE POT"

[panel]
size = [140, 74]  # width and height
corner_radius = 2
datum = "lower left"  # where holes are measured from, as you face the panel
viewing_distance = 600  # how far off it is read; the letters are sized by it

[finish]
base = "#f2efe4"  # lift-off: the colour of the letters; or by name, "ivory", or "RAL 1013"
top = "#3d4a47"  # lift-off: the colour round them, sprayed last

[stencil]
method = "lift-off"  # or "paint-through": openings, through which the letters are painted
stock = "film"  # or "sheet": rigid and used again, for paint-through only
stock_size = [300, 200]  # what fits the cutter

# [lettering]
# face = "plain"  # or the name of a font file
# height = 3.5  # of capitals; left out, it is chosen from the viewing distance

# Each hole has a name of your choice. Measure to its middle, after drilling.
# A list from a spreadsheet, or a DXF drawing, does as well: hole_list = "holes.csv"
[holes]
HEAT = { at = [36, 32], drill = 7 }
POWER = { at = [80.5, 32], drill = "1/2 in" }
READY = { at = [114, 32], drill = 8 }
M1 = { at = [6, 68], drill = 3.4 }
M2 = { at = [134, 6], drill = 3.4 }

# What is fitted in each hole, and what its legends say.
[[control]]
hole = "HEAT"
kind = "knob"
name = "HEAT"
covers = 20  # the diameter of the knob; nothing is lettered where it hides it
scale = { law = "linear", from = 0, to = 10, sweep = 300 }

[[control]]
hole = "POWER"
kind = "toggle"
name = "POWER"
positions = { up = "ON", down = "OFF" }

[[control]]
hole = "READY"
kind = "lamp"
name = "READY"
side = "below"  # or "above", "left", "right"

[[control]]
hole = "M1"
kind = "screw"

[[control]]
hole = "M2"
kind = "screw"

# The times on the job card are common practice; a maker's own go here, in hours.
# [bench]
# base_drying = 24
# lifting = [1, 2]  # between these after the top coat, the letters are lifted

# Words and lines may stand anywhere.
[[text]]
at = [70, 60]
text = "GLUE POT"
role = "title"

# Controls that belong together may have a frame round them, with its name set into the line.
# [[group]]
# name = "HEATER"
# holes = ["POWER", "READY"]
"""
