"""Define the tables that the page can put into a description, ready to be filled in.

In the text of a table, `{hole}` stands for the hole it is about, `{holes}` for several, `{at}` and
`{to}` for places, `{name}` for the name of a new hole, `{size:6.4}` for a length of 6.4 mm, and
`{beyond}` for one beyond the hole, all in the units of the panel. What stands between ‹ and › is
selected when it is put in, since it is what is changed first.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from legend.lettering.outlines.outline import Box


@dataclass(frozen=True, slots=True)
class Wanted:
    """The holes that a table wants: so many in which nothing is fitted yet.

    `suits` are the least, the best and the most diameter of a drilled one, mm; of another `shape`
    any size does. Where there are too few, others are added as a `placeholder`, `called` so and
    numbered, `pitch` mm apart.
    """

    shape: Literal["drill", "cutout", "slot"]
    placeholder: str
    called: str
    suits: tuple[float, float, float] = (0.0, 0.0, 0.0)
    count: int = 1
    pitch: float = 0.0


@dataclass(frozen=True, slots=True)
class ReadyTable:
    """One table, or what goes together: what it is called in the list, and its text.

    It `wanted` holes to be fitted, or is about so many parts that are `fitted` already, or stands
    by itself. `room` is what it takes about its place, where one is looked for, mm.
    """

    title: str
    text: str
    wanted: Wanted | None = None
    fitted: int = 0
    room: Box = (0.0, 0.0, 0.0, 0.0)


def _round(called: str, drill: float, least: float, most: float) -> Wanted:
    return Wanted("drill", f"drill = {{size:{drill}}}", called, (least, drill, most))


def _part(kind: str, name: str, *lines: str) -> str:
    rows = ["[[control]]", "hole = {hole}", f'kind = "{kind}"', f'name = "‹{name}›"', *lines]
    return "\n".join(rows)


#: What can be put in, by the name that the page knows it by, in the order of the list.
READY: Mapping[str, ReadyTable] = {
    "knob": ReadyTable(
        "A knob with a scale",
        _part(
            "knob",
            "LEVEL",
            'side = "below"',
            "covers = {size:20}",
            'scale = {{ law = "linear", from = 0, to = 10, sweep = 300 }}',
        ),
        _round("KNOB", 9.5, 5.5, 13),
        room=(-18, -23, 18, 19),
    ),
    "selector": ReadyTable(
        "A selector",
        _part(
            "selector",
            "RANGE",
            'side = "below"',
            "covers = {size:20}",
            'positions = ["1", "2", "3", "4"]',
        ),
        _round("SELECTOR", 9.5, 5.5, 13),
        room=(-14, -18, 14, 18),
    ),
    "toggle": ReadyTable(
        "A toggle",
        _part("toggle", "POWER", 'positions = {{ up = "ON", down = "OFF" }}'),
        _round("TOGGLE", 12, 4.5, 13),
        room=(-9, -15, 9, 20),
    ),
    "button": ReadyTable(
        "A push button",
        _part("button", "START"),
        _round("BUTTON", 16, 6.5, 31),
        room=(-12, -12, 12, 18),
    ),
    "slide": ReadyTable(
        "A slide with a scale",
        _part("slide", "BALANCE", "scale = {{ from = 0, to = 10 }}"),
        Wanted("slot", "slot = [{size:40}, {size:3}], angle = 90", "SLIDE"),
        room=(-12, -26, 12, 32),
    ),
    "window": ReadyTable(
        "A window with a frame",
        _part("window", "SECONDS", "frame = {size:0.8}"),
        Wanted("cutout", "cutout = [{size:40}, {size:16}]", "WINDOW"),
        room=(-24, -12, 24, 18),
    ),
    "meter": ReadyTable(
        "A meter with a scale over it",
        _part("meter", "CURRENT", 'scale = {{ from = 0, to = 10, unit = "mA" }}'),
        Wanted("cutout", "cutout = [{size:28}, {size:12}]", "METER"),
        room=(-25, -10, 25, 29),
    ),
    "lamp": ReadyTable(
        "A lamp", _part("lamp", "READY"), _round("LAMP", 8, 2.5, 22.5), room=(-9, -7, 9, 13)
    ),
    "jack": ReadyTable(
        "A jack", _part("jack", "INPUT"), _round("JACK", 9.5, 3, 16), room=(-9, -9, 9, 14)
    ),
    "fuse": ReadyTable(
        "A fuse",
        _part(
            "fuse",
            "FUSE",
            'note = "T 1 A 250 V"    # what the fuse bears',
            "mains = true            # false where no mains is behind the panel",
        ),
        _round("FUSE", 12.7, 9, 16.5),
        room=(-12, -16, 12, 16),
    ),
    "earth": ReadyTable(
        "An earth stud on bare metal",
        '[[control]]\nhole = {hole}\nkind = "stud"\nname = "‹symbol:protective-earth›"\n\n'
        "[[bare]]\nhole = {hole}\ndiameter = {size:12}",
        _round("EARTH", 4.2, 3, 8.5),
        room=(-8, -8, 8, 13),
    ),
    "screw": ReadyTable(
        "A screw",
        '[[control]]\nhole = {hole}\nkind = "‹screw›"',
        _round("SCREW", 3.2, 2, 6.5),
        room=(-5, -5, 5, 5),
    ),
    "bank": ReadyTable(
        "A row of parts that are alike",
        '[[bank]]\nholes = {holes}\nkind = "‹jack›"\nnames = ["1", "2", "3"]',
        Wanted("drill", "drill = {size:6.4}", "B", (3, 6.4, 16), 3, 18.0),
        room=(-26, -8, 26, 13),
    ),
    "group": ReadyTable(
        "A group of parts in a frame", '[[group]]\nname = "‹GROUP›"\nholes = {holes}', fitted=2
    ),
    "bare": ReadyTable(
        "Bare metal round a hole",
        "[[bare]]\nhole = {hole}\ndiameter = ‹{beyond}›",
        fitted=1,
    ),
    "hole": ReadyTable(
        "A drilled hole", "[holes.{name}]\nat = ‹{at}›\ndrill = {size:9.5}", room=(-7, -7, 7, 7)
    ),
    "title": ReadyTable(
        "A title",
        '[[text]]\nat = {at}\ntext = "‹TITLE›"\nrole = "title"',
        room=(-18, -3, 18, 8),
    ),
    "text": ReadyTable(
        "Words anywhere", '[[text]]\nat = {at}\ntext = "‹WORDS›"', room=(-10, -3, 10, 6)
    ),
    "rule": ReadyTable("A rule", "[[rule]]\nfrom = ‹{at}›\nto = {to}", room=(-15, -2, 15, 2)),
}
