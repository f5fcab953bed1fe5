"""Define the [[group]] table: controls that belong together, and how that is shown."""

from collections.abc import Iterator, Mapping
from typing import Any, ClassVar, Literal

from legend.description.table import Clash, Table, words_for
from legend.description.values.check_codes import Codes
from legend.description.values.number_values import Flag
from legend.description.values.text_values import HoleIds, Words


class _Members(Table):
    """Which controls belong together."""

    name: Words = ""
    """What they are called together: it is let into the line."""
    holes: HoleIds
    """The holes of the controls that belong together."""


class GroupLine(Table):
    """How it is shown that controls belong together."""

    style: Literal["frame", "bracket", "rule", "heading"] = "frame"
    """What shows it: a line all round them, one along them with its ends turned to them, a plain
    one along them, or the name alone. The names within a frame line up with each other, and are not
    moved for one beyond it."""
    side: Literal["above", "below"] = "above"
    """Where the name stands, and the line that runs along them."""
    in_line: Flag | None = None
    """Whether its line ends where those of the groups beside it, or over and under it, do, however
    far these reach; false for never. Left out, where their outermost controls are in line."""


class Group(GroupLine, _Members):
    """Controls that belong together, and how that is shown."""

    meant: Codes = ()
    """What the checks find about it and is meant to be so: their codes."""

    also_called: ClassVar[Mapping[str, str]] = words_for(
        {
            "name": "title label text caption legend",
            "holes": "controls members",
            "style": "kind line",
        }
    )

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """A heading that says nothing."""
        yield from super().clashes(given)
        if given.get("style") == "heading" and not str(given.get("name", "")).strip():
            yield "", 'has style = "heading", and so it needs a name'
