"""Define the [[rule]] table: lines on the panel."""

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import ClassVar

from pydantic import Field

from legend.description.shapes.polygon import Bends
from legend.description.table import Clash, Table, words_for
from legend.description.values.check_codes import Codes
from legend.description.values.length_values import (
    Length,
    Point,
)


class Rule(Table):
    """A line on the panel, straight or with corners; it stops before what it runs into."""

    also_called: ClassVar[Mapping[str, str]] = words_for(
        {
            "from": "start begin x1 at",
            "to": "end x2",
            "width": "thickness stroke",
        }
    )

    from_: Point = Field(alias="from")
    """Where it begins."""
    to: Point
    """Where it ends."""
    through: Bends = ()
    """Where it turns on its way there, with a corner at each. Rules of one width that end at one
    point are joined by a corner as well."""
    width: Length | None = None
    """How broad it is. Left out, as broad as the strokes of the names."""
    meant: Codes = ()
    """What the checks find about it and is meant to be so: their codes."""

    def unsound(self) -> Iterator[Clash]:
        """A line without length, or a part of it without any."""
        corners = (self.from_, *self.through, self.to)
        if len(set(corners)) == 1:
            yield "to", "begins and ends at the same point; give two different points"
        elif any(one == other for one, other in pairwise(corners)):
            yield "through", "has one point twice on end; leave one of them out"
