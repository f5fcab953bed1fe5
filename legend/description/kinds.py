"""Register the kinds of control that a panel may carry, for the schema and the layout.

To add a kind, add one `Kind` here. `lays` names the way its legends stand, which
`legend.layout.controls.controls` knows how to do.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from legend.standards import KEY_TURN, SCREW_HEAD, SELECTOR_STEP

#: How the legends of a kind stand: round the axis of a turned control, on the sides to which
#: a lever moves, round the frame of an opening, or as a name alone.
Lays = Literal["round", "sides", "framed", "name"]

#: How what a scale is read by moves: it is turned, as a knob is, swings over the scale, as the
#: pointer of a meter does, or goes straight along it.
Travel = Literal["turned", "swinging", "straight"]


@dataclass(frozen=True, slots=True)
class Kind:
    """What a kind of control is, and what its description may hold.

    `scale` is how it moves along the scale that it may have, None where it takes none. `detent`
    is how many degrees it turns from one position to the next, where nobody says it.
    `covers_factor` and `covers_extra` give the diameter, in mm, that the fitted part hides
    when `covers` is left out: factor times the drilled diameter, plus extra. Common
    practice, no source.
    """

    name: str
    lays: Lays
    what: str
    scale: Travel | None = None
    takes_frame: bool = False
    named: bool = True
    detent: float = SELECTOR_STEP
    covers_factor: float = 1.0
    covers_extra: float = 0.0

    @property
    def takes_scale(self) -> bool:
        """Whether it may have a scale."""
        return self.scale is not None

    @property
    def with_article(self) -> str:
        """Its name with the article, to stand in a sentence."""
        return with_article(self.name)


def with_article(word: str) -> str:
    """A word with its article: an inlet.

    >>> with_article("inlet"), with_article("rocker")
    ('an inlet', 'a rocker')
    """
    return f"{'an' if word[0] in 'aeiou' else 'a'} {word}"


_ALL = (
    Kind("knob", "round", "a turned control", "turned", covers_factor=1.4, covers_extra=10),
    Kind("selector", "round", "a turned control with detents", covers_factor=1.4, covers_extra=10),
    Kind(
        "keyswitch",
        "round",
        "a switch that is turned with a key",
        detent=KEY_TURN,
        covers_factor=1.15,
        covers_extra=3,
    ),
    Kind(
        "multi-turn dial",
        "name",
        "a knob of several turns, which shows them in a window of its own",
        covers_factor=1.4,
        covers_extra=12,
    ),
    Kind("toggle", "sides", "a lever switch", covers_factor=1.25, covers_extra=3),
    Kind("rocker", "sides", "a switch that is rocked from side to side", covers_extra=3),
    Kind("slide", "sides", "a control moved along a slot", "straight", covers_extra=4),
    Kind("button", "name", "a push button", covers_factor=1.2, covers_extra=2),
    Kind("jack", "name", "a socket for a plug", covers_factor=1.25, covers_extra=3),
    Kind("lamp", "name", "an indicator lamp", covers_factor=1.2, covers_extra=2),
    Kind("window", "framed", "an opening to read a display through", takes_frame=True),
    Kind(
        "display",
        "framed",
        "a display that is fitted in its cut-out with a bezel",
        takes_frame=True,
        covers_extra=4,
    ),
    Kind("meter", "framed", "a pointer instrument", "swinging", takes_frame=True, covers_extra=6),
    Kind(
        "edge meter",
        "framed",
        "a pointer instrument whose pointer goes straight along a slot",
        "straight",
        takes_frame=True,
        covers_extra=6,
    ),
    Kind(
        "bargraph",
        "framed",
        "a column or a row of lights that shows a value",
        "straight",
        takes_frame=True,
        covers_extra=2,
    ),
    Kind(
        "thumbwheel",
        "framed",
        "a wheel, or a row of them, that sets digits",
        takes_frame=True,
        covers_extra=3,
    ),
    Kind("keypad", "framed", "a field of keys in one part", takes_frame=True, covers_extra=6),
    Kind("fuse", "name", "a fuse holder", covers_factor=1.25, covers_extra=3),
    Kind("connector", "name", "a connector", covers_factor=1.2, covers_extra=4),
    Kind("inlet", "name", "a connector that mains comes in by", covers_extra=4),
    Kind(
        "binding post",
        "name",
        "a terminal with a nut that is screwed down by hand",
        covers_factor=1.25,
        covers_extra=5,
    ),
    Kind("stud", "name", "a threaded stud with its nut", covers_factor=2.2),
    Kind("screw", "name", "a screw", named=False, covers_factor=SCREW_HEAD),
    Kind("blank", "name", "a hole that is plugged", named=False, covers_factor=1.2, covers_extra=2),
)

#: Every kind by its name.
KINDS: Mapping[str, Kind] = {kind.name: kind for kind in _ALL}
