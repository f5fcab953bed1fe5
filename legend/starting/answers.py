"""Make the text of a description from answers to a few questions.

Each question has a function that reads its answer, and says what is wrong with one that will
not do. Where the holes are is not asked, since they are measured one by one: they are spread
evenly, to be put right in the file.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from legend.description.kinds import KINDS
from legend.description.other_words import OTHER_WORDS
from legend.description.tables.description import Hole, Panel
from legend.description.values.lengths import Unit, parse_length
from legend.length_words import Lengths
from legend.lettering.capitals import in_capitals
from legend.sentences import listed
from legend.standards import INCH
from legend.starting.guessing import Guess, kind_told
from legend.starting.rough_layout import Box, part_of, reach_of

#: More holes than anybody wants to be asked about one by one.
MOST_ASKED = 40
#: As many words as a part is called by.
_MOST_WORDS = 3
#: What is drilled or cut for a kind, mm. Common practice, no source.
_USUAL: Mapping[str, tuple[str, float | tuple[float, float]]] = {
    "selector": ("drill", 9.5),
    "toggle": ("drill", 12.0),
    "button": ("drill", 16.0),
    "jack": ("drill", 6.5),
    "lamp": ("drill", 8.0),
    "fuse": ("drill", 12.7),
    "stud": ("drill", 5.0),
    "screw": ("drill", 3.4),
    "slide": ("slot", (40.0, 3.0)),
    "window": ("cutout", (40.0, 16.0)),
    "display": ("cutout", (46.0, 18.0)),
    "meter": ("cutout", (45.0, 38.0)),
    "edge meter": ("cutout", (14.0, 54.0)),
    "bargraph": ("cutout", (50.0, 8.0)),
    "thumbwheel": ("cutout", (24.0, 24.0)),
    "keypad": ("cutout", (50.0, 50.0)),
    "rocker": ("cutout", (19.0, 13.0)),
    "keyswitch": ("drill", 12.0),
    "inlet": ("cutout", (27.5, 20.0)),
    "binding post": ("drill", 7.5),
    "connector": ("drill", 16.0),
}
_OTHERWISE = ("drill", 7.0)
#: What sizes, and places that are not measured, are rounded to, mm.
_SIZES = {"mm": 0.1, "in": INCH / 64}
_PLACES = {"mm": 0.5, "in": INCH / 16}


@dataclass(frozen=True, slots=True)
class Answers:
    """What was answered: the unit, the title, the size in mm, and the part in each hole."""

    units: Unit
    title: str
    size: tuple[float, float]
    parts: tuple[Guess, ...]


# --- Reading answers; a ValueError says what will not do ---


def units_answered(text: str) -> Unit:
    """The unit of an answer such as mm, in, or inches."""
    low = text.strip().lower().rstrip(".")
    if low in ("mm", "millimetres", "millimeters", "metric"):
        return "mm"
    if low in ("in", "inch", "inches", '"'):
        return "in"
    raise ValueError("Write mm or in.")


def size_answered(text: str, units: Unit) -> tuple[float, float]:
    """The width and height of a panel, mm, from an answer such as 220 x 90.

    >>> size_answered("8 1/2 x 3", "in")
    (215.9, 76.2)
    """
    sides = [side for side in re.split(r"\s*(?:[x×*]|\bby\b|,\s)\s*", text.strip()) if side]
    such = "8 1/2 x 3" if units == "in" else "220 x 90"
    if len(sides) != 2:
        raise ValueError(f"Write its width and its height with an x between them, as {such}.")
    try:
        size = (parse_length(sides[0], units), parse_length(sides[1], units))
        Panel(size=size)
    except ValidationError as error:
        what = str(error.errors()[0]["msg"])
        raise ValueError(f"No panel is of that size ({what}); write it as {such}.") from None
    except ValueError as error:
        raise ValueError(f"One of these {error}; write them as {such}.") from None
    return size


def count_answered(text: str) -> int:
    """How many holes there are, from 0 to `MOST_ASKED`."""
    if not text.strip().isdecimal() or int(text) > MOST_ASKED:
        raise ValueError(
            f"Write a whole number from 0 to {MOST_ASKED}; of more, make a hole list, and give it "
            "with --from."
        )
    return int(text)


def part_answered(text: str, taken: Sequence[str]) -> Guess:
    """What is in a hole, from an answer such as: knob EXPOSURE.

    `taken` are the names that other holes have already.
    """
    said = " ".join(text.split())
    if not said:
        raise ValueError("Write what is fitted there, and its name, such as: knob EXPOSURE.")
    kind, name = _kind_and_name(said)
    if not kind:
        raise ValueError(f"Begin with what it is: {listed(KINDS, 'or')}.")
    return Guess(_free_id(name or kind, taken), kind, "", in_capitals(name))


def _kind_and_name(said: str) -> tuple[str, str]:
    """A kind, by its own name or by another that means it alone, and the other words.

    It stands at the beginning or at the end; else what the words tell of is guessed, and all of
    them are the name. No kind, where they tell of none.
    """
    words = said.replace(",", " ").split()
    for count in range(min(len(words), _MOST_WORDS), 0, -1):
        ways = ((words[:count], words[count:]), (words[-count:], words[:-count]))
        for alone in (_kind_called, _kind_meant):
            for called, rest in ways:
                kind = alone(" ".join(called).casefold().rstrip(":"))
                if kind and (rest or alone is _kind_called):
                    return kind, " ".join(rest)
    return kind_told(said) or _kind_meant(said.casefold()), said


def _kind_called(words: str) -> str:
    return words if words in KINDS else ""


def _kind_meant(words: str) -> str:
    """The kind that is alone meant by some words; "" for none, or for several."""
    meant = OTHER_WORDS.get(words.replace("-", " "), ())
    return meant[0] if len(meant) == 1 else ""


def _free_id(name: str, taken: Sequence[str]) -> str:
    """A name for a hole that is not taken yet, of characters that need no quotation marks."""
    id = re.sub(r"[^A-Za-z0-9]+", "_", name).strip("_").upper()[:30] or "HOLE"
    if id not in taken:
        return id
    return next(f"{id}_{n}" for n in range(2, len(taken) + 3) if f"{id}_{n}" not in taken)


# --- Holes ---


def spread(answers: Answers) -> dict[str, Hole]:
    """The holes of the parts, of usual sizes, spread over the panel in rows.

    Each has the room that it takes with its legends, and an even share of what is left over.
    """
    width, height = answers.size
    sizes = {part.id: _sizes(part, answers.units) for part in answers.parts}
    reach = {
        part.id: reach_of(
            part_of(part.id, part.kind, part.name, Hole(at=(0, 0), **sizes[part.id]), (0, 0))
        )
        for part in answers.parts
    }
    rows = _rows([part.id for part in answers.parts], reach, width)
    holes = {}
    for number, row in enumerate(rows):
        up = height - (number + 0.5) * height / len(rows)
        spare = (width - sum(reach[id][2] - reach[id][0] for id in row)) / len(row)
        left = 0.0
        for id in row:
            x0, _, x1, _ = reach[id]
            at = (left + spare / 2 - x0, up)
            left += spare + x1 - x0
            holes[id] = Hole(at=_rounded_to(at, _PLACES[answers.units]), **sizes[id])
    return holes


def _rows(ids: Sequence[str], reach: Mapping[str, Box], width: float) -> list[list[str]]:
    """The parts in as few rows as take them, as many in each as there is room for."""
    rows: list[list[str]] = []
    room = 0.0
    for id in ids:
        across = reach[id][2] - reach[id][0]
        if not rows or across > room:
            rows.append([])
            room = width
        rows[-1].append(id)
        room -= across
    return rows


def _sizes(part: Guess, units: Unit) -> dict[str, Any]:
    """The key of a usual hole for a part, and its size."""
    (key, size), step = _USUAL.get(part.kind, _OTHERWISE), _SIZES[units]
    return {key: _rounded_to(size, step) if isinstance(size, tuple) else _rounded(size, step)}


def _rounded_to(pair: tuple[float, float], step: float) -> tuple[float, float]:
    return _rounded(pair[0], step), _rounded(pair[1], step)


def _rounded(mm: float, step: float) -> float:
    return round(round(mm / step) * step, 6)


def holes_written(holes: Mapping[str, Hole], units: Unit) -> str:
    """The [holes] table of a description."""

    def number(mm: float) -> str:
        return number_written(mm, units)

    lines = ["[holes]"]
    for id, hole in holes.items():
        shape = next(key for key in ("drill", "slot", "cutout") if getattr(hole, key) is not None)
        value = getattr(hole, shape)
        size = f"[{', '.join(map(number, value))}]" if isinstance(value, tuple) else number(value)
        at = ", ".join(map(number, hole.at))
        lines.append(f"{id} = {{ at = [{at}], {shape} = {size} }}  # a guess: measure it")
    return "\n".join(lines)


def number_written(mm: float, units: Unit) -> str:
    """A length as the description has it: a number, or a fraction in quotation marks."""
    text = Lengths(units).exact(mm)
    return f'"{text}"' if "/" in text else text
