"""A panel that nothing is wrong with, in mm and in inches, and what is done to its text."""

from __future__ import annotations

from legend.page.messages import Change, Refused

MM = """\
# A small panel.
units = "mm"
title = "SMALL <b>"

[panel]
size = [200, 120]
corner_radius = 3
datum = "upper left"
viewing_distance = 500

[finish]
base = "white"
top = "#304050"

[stencil]
method = "lift-off"
stock_size = [300, 200]

[holes]
A = { at = [40, 60], drill = 9.5 }    # turned
B = { at = [90, 60], drill = 12 }
"C D" = { at = [140, 60], cutout = [30, 16] }

[[control]]
hole = "A"
kind = "knob"
name = "GAIN"
side = "below"
covers = 20
scale = { from = 0, to = 10 }

[[control]]
hole = "B"
kind = "toggle"
name = "POWER"    # its name
[control.positions]
up = "ON"
down = "OFF"

[[control]]
hole = "C D"
kind = "window"
name = "TIME"

[[group]]
holes = ["A", "B"]
style = "frame"
"""

IN = (
    MM.replace('"mm"', '"in"')
    .replace("[200, 120]", "[8, 4.75]")
    .replace("radius = 3", "radius = 0.125")
    .replace("= 500", "= 20")
    .replace("[300, 200]", "[12, 8]")
    .replace("at = [40, 60]", 'at = ["1 9/16", 2.375]')
    .replace("at = [90, 60]", "at = [3.5, 2.375]")
    .replace("at = [140, 60]", "at = [5.5, 2.375]")
    .replace("9.5", '"3/8"')
    .replace("drill = 12", "drill = 0.5")
    .replace("[30, 16]", '["1 1/4", "5/8"]')
    .replace("covers = 20", 'covers = "3/4"')
)


def changed(text: str, change: Change | Refused) -> str:
    """The text after a change, of which the place selected is in it."""
    assert isinstance(change, Change), change
    after = text[: change.begin] + change.text + text[change.end :]
    begin, end = change.select
    assert 0 <= begin <= end <= len(after)
    return after


def selected(text: str, change: Change | Refused) -> str:
    """What is selected after a change."""
    assert isinstance(change, Change), change
    return changed(text, change)[slice(*change.select)]


def line_of(text: str, begin: str, nth: int = 1) -> int:
    """The number of the nth line that begins so."""
    numbers = [n for n, line in enumerate(text.split("\n"), 1) if line.startswith(begin)]
    return numbers[nth - 1]
