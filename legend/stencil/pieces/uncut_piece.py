"""Define a piece of tape before it is cut: the marks that travel together."""

from __future__ import annotations

from dataclasses import dataclass

from legend.layout.artwork import Mark
from legend.lettering.outlines.outline import Box, Outline


@dataclass(frozen=True, slots=True, eq=False)
class UncutPiece:
    """Marks that will travel together.

    `owners` are the holes they belong to; `registration` are the marks on these, and on other
    holes that lie within its weeding box, the `edge`; where there is no hole, `corner_marks` are
    what it is laid by instead. A piece of bare metal has its disc in `bare` and no marks. `part`
    tells which part it is of how many, where it had to be split to fit the stock, `whole` what it
    is a part of, and `join_marks` are brought to those of the parts beside it.
    """

    name: str
    owners: tuple[str, ...]
    marks: tuple[Mark, ...]
    registration: tuple[Outline, ...]
    edge: Outline
    bare: Outline | None = None
    part: tuple[int, int] = (1, 1)
    whole: str = ""
    join_marks: tuple[Outline, ...] = ()
    corner_marks: tuple[Outline, ...] = ()

    @property
    def box(self) -> Box:
        """The rectangle round its weeding box: left, bottom, right, top."""
        return self.edge.bounds
