"""Register the kinds of control that a panel may carry, for the schema and the layout.

To add a kind, add one `Kind` here. `lays` names the way its legends stand, which
`legend.layout.controls` knows how to do.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

#: How the legends of a kind stand: round the axis of a turned control, on the sides to which
#: a lever moves, round the frame of an opening, or as a name alone.
Lays = Literal["round", "sides", "framed", "name"]


@dataclass(frozen=True, slots=True)
class Kind:
    """What a kind of control is, and what its description may hold.

    `covers_factor` and `covers_extra` give the diameter, in mm, that the fitted part hides
    when `covers` is left out: factor times the drilled diameter, plus extra. Common
    practice, no source.
    """

    name: str
    lays: Lays
    what: str
    takes_scale: bool = False
    takes_frame: bool = False
    named: bool = True
    covers_factor: float = 1.0
    covers_extra: float = 0.0


_ALL = (
    Kind("knob", "round", "a turned control", takes_scale=True, covers_factor=1.4, covers_extra=10),
    Kind("selector", "round", "a turned control with detents", covers_factor=1.4, covers_extra=10),
    Kind("toggle", "sides", "a lever switch", covers_factor=1.25, covers_extra=3),
    Kind("slide", "sides", "a control moved along a slot", takes_scale=True, covers_extra=4),
    Kind("button", "name", "a push button", covers_factor=1.2, covers_extra=2),
    Kind("jack", "name", "a socket for a plug", covers_factor=1.25, covers_extra=3),
    Kind("lamp", "name", "an indicator lamp", covers_factor=1.2, covers_extra=2),
    Kind("window", "framed", "an opening to read a display through", takes_frame=True),
    Kind(
        "meter",
        "framed",
        "a pointer instrument",
        takes_scale=True,
        takes_frame=True,
        covers_extra=6,
    ),
    Kind("fuse", "name", "a fuse holder", covers_factor=1.25, covers_extra=3),
    Kind("connector", "name", "a connector", covers_factor=1.2, covers_extra=4),
    Kind("stud", "name", "a threaded stud with its nut", covers_factor=2.2),
    Kind("screw", "name", "a screw", named=False, covers_factor=2.0),
    Kind("blank", "name", "a hole that is plugged", named=False, covers_factor=1.2, covers_extra=2),
)

#: Every kind by its name.
KINDS: Mapping[str, Kind] = {kind.name: kind for kind in _ALL}
