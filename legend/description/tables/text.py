"""Define the [[text]] table: words anywhere on the panel."""

from collections.abc import Iterator, Mapping
from typing import Any, ClassVar, Literal

from legend.description.table import Clash, Table, words_for
from legend.description.tables.lettering import (
    LetteredRole,
)
from legend.description.values.asked_heights import HeightOrFound
from legend.description.values.check_codes import Codes
from legend.description.values.length_values import (
    Length,
    Point,
)
from legend.description.values.number_values import Angle, Flag
from legend.description.values.text_values import HoleId, SomeWords


class Text(Table):
    """Words anywhere on the panel: in a level line, or round a hole."""

    also_called: ClassVar[Mapping[str, str]] = words_for(
        {
            "text": "name label legend caption words title",
            "at": "x y position place pos",
            "around": "hole",
            "role": "style size kind",
        }
    )

    text: SomeWords
    """What it says. A line break begins a second line, but not round a hole; a symbol is `symbol:`
    and its name."""
    at: Point | None = None
    """The middle of the baseline, or an end of it."""
    align: Literal["left", "centre", "right"] = "centre"
    """Which point of the words stands at `at`."""
    around: HoleId | None = None
    """The hole that the words stand round, instead of `at`."""
    radius: Length | None = None
    """The radius of the circle that they stand on."""
    angle: Angle = 0.0
    """Where on the circle their middle stands."""
    inside: Flag = False
    """Whether they hang inside the circle instead of standing on its outside."""
    role: LetteredRole = "note"
    """Whose lettering they have: see the roles."""
    height: HeightOrFound | None = None
    """The height of its capitals, where it is not that of its role; or "as large as fits", one for
    all texts of the role that ask for it on one baseline, or "as small as can be cut"."""
    meant: Codes = ()
    """What the checks find about it and is meant to be so: their codes."""

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """Words that stand both somewhere and around something, or neither."""
        if "at" in given and "around" in given:
            yield "around", "has both at and around; give one of them"
        elif "at" not in given and "around" not in given:
            yield "", "stands nowhere; give at = [x, y], or around = a hole and a radius"
        elif "around" in given and "radius" not in given:
            yield "around", "stands around a hole, and needs a radius"
        for key in ("radius", "angle", "inside"):
            if key in given and "around" not in given:
                yield key, f"has {key}, which only words around a hole take"
        if "align" in given and "around" in given:
            yield "align", "has align, which words around a hole do not take"
