"""Define the [[bare]] table: what keeps paint off the metal round a hole."""

from collections.abc import Iterator, Mapping
from typing import Any

from legend.description.table import Clash, Table
from legend.description.values.length_values import (
    Length,
    Width,
)
from legend.description.values.text_values import HoleId


class Bare(Table):
    """What keeps paint off the metal round a hole: a disc, as for an earth stud, or a plug."""

    hole: HoleId
    """The hole that it lies on."""
    diameter: Length | None = None
    """The diameter of a disc."""
    margin: Width | None = None
    """Or how far a plug, which has the shape of its hole, covers the metal all round it: for a
    thread or a window that must stay free of paint."""

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """Neither a disc nor a plug, or both."""
        if "diameter" in given and "margin" in given:
            yield "margin", "has both diameter and margin; give one of them"
        elif "diameter" not in given and "margin" not in given:
            yield "", "has no size; give the diameter of a disc, or the margin of a plug"
