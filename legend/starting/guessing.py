"""Guess what is fitted in a hole: by its note, its name, its shape and size, and its neighbours."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass

from legend.description.kinds import KINDS
from legend.description.tables.description import Hole
from legend.length_words import Lengths

#: Words in the name or note of a hole that tell what is fitted in it.
_TELLING = (
    (
        r"view(?:ing)?[ -]?(?:port|window|glass)|sight[ -]?glass|peep[ -]?hole|spy[ -]?hole",
        "window",
    ),
    (r"edge(?:wise)?[ -]?meters?", "edge meter"),
    (r"(?:volt|am|milliam|microam|ohm|watt|thermo|tacho|field )?meter|gauge|movement", "meter"),
    (r"fuses?|fuse ?holder", "fuse"),
    (r"(?:10|ten|multi)[- ]?turns?(?: dial)?", "multi-turn dial"),
    (r"knob|pot|potentiometer|control|volume|level|dial|tuning|exposure|speed", "knob"),
    (r"selector|rotary|range|positions?|steps?|program", "selector"),
    (r"key ?switch|key ?lock", "keyswitch"),
    (r"key ?pad|keyboard", "keypad"),
    (r"thumb ?wheels?", "thumbwheel"),
    (r"bar ?graph", "bargraph"),
    (r"binding posts?|posts?|terminals?", "binding post"),
    (r"jacks?|socket|phono|banana|bnc|pedal", "jack"),
    (r"rocker", "rocker"),
    (r"toggle|switch|lever", "toggle"),
    (r"button|push|key|start|stop|reset", "button"),
    (r"lamp|led|light|neon|indicator|pilot|fault|ready|alarm", "lamp"),
    (r"display|digits|lcd", "display"),
    (r"window|glass", "window"),
    (r"inlet", "inlet"),
    (r"connector|plug|d-?sub|usb|din", "connector"),
    (r"earth|ground|stud|gnd", "stud"),
    (r"screw|mount|fix(?:ing)?|m[2-6]", "screw"),
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
#: A large hole with four small ones round it takes a meter: least and most of the large one, and
#: the most of the small ones, mm. Common practice, no source.
_METER_HOLES, _METER_SCREW = (24.0, 120.0), 6.0
#: How unlike the distances of the four from the middle of the large one may be, as a part of it.
_UNEVEN = 0.12


@dataclass(frozen=True, slots=True)
class Guess:
    """What a hole seems to be for, and what that is taken from.

    `named` is its name where that is known, and `fixings` are the holes of its screws.
    """

    id: str
    kind: str
    why: str
    named: str = ""
    fixings: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """What it is called on the panel; "" where it is not."""
        if not KINDS[self.kind].named:
            return ""
        if self.named:
            return self.named
        return "symbol:earth" if self.kind == "stud" else self.id.replace("_", " ").upper()


def guesses_for(holes: Mapping[str, Hole], units: str = "mm") -> list[Guess]:
    """What is fitted in each hole, but for those that are the fixings of another."""
    fixings = _meters_by_their_screws(holes)
    taken = {id for ids in fixings.values() for id in ids}
    found = []
    for id, hole in holes.items():
        if id in fixings:
            guess = _by_words(id, hole)
            if guess is None or guess.kind in ("meter", "window"):
                kind = guess.kind if guess else "meter"
                why = "it has four screws round it"
                found.append(Guess(id, kind, why, fixings=fixings[id]))
                continue
        if id not in taken:
            found.append(guess_of(id, hole, units))
    return found


def guess_of(id: str, hole: Hole, units: str = "mm") -> Guess:
    """What a hole by itself seems to be for."""
    if told := _by_words(id, hole):
        return told
    shape = hole.shape
    if shape.diameter is None:
        return Guess(id, shape.usual, "it has that shape")
    kind = next((kind for most, kind in _BY_DIAMETER if shape.diameter <= most), _LARGEST)
    return Guess(id, kind, f"{Lengths(units).given(shape.diameter)} would suit one")


def kind_told(words: str) -> str | None:
    """The kind that some words tell of, if they do."""
    for telling, kind in _TELLING:
        if re.search(rf"\b(?:{telling})\b", words, re.IGNORECASE):
            return kind
    return None


def _by_words(id: str, hole: Hole) -> Guess | None:
    for words, where in ((hole.note, "note"), (id, "name")):
        if kind := kind_told(words):
            return Guess(id, kind, f"its {where} says so")
    return None


def _meters_by_their_screws(holes: Mapping[str, Hole]) -> dict[str, tuple[str, ...]]:
    """Large round holes with four small ones evenly round them, and which those are."""
    across = {id: hole.shape.diameter or 0.0 for id, hole in holes.items()}
    small = [id for id in holes if 0 < across[id] <= _METER_SCREW]
    found: dict[str, tuple[str, ...]] = {}
    for id, hole in holes.items():
        if not _METER_HOLES[0] <= across[id] <= _METER_HOLES[1]:
            continue
        reach = {other: math.dist(hole.at, holes[other].at) for other in small}
        near = [other for other in small if reach[other] < across[id]]
        away = [reach[other] for other in near]
        if len(near) != 4 or max(away) - min(away) > _UNEVEN * max(away):
            continue
        middle = [sum(holes[other].at[axis] for other in near) / 4 for axis in (0, 1)]
        if math.dist(middle, hole.at) < _UNEVEN * max(away):
            found[id] = tuple(near)
    return found
