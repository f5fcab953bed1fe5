"""Define the form that the value of a key must have: its checks, and the words of its faults."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, Literal

from annotated_types import GroupedMetadata

from legend.limits import LONGEST_TIME as LONGEST_TIME


@dataclass(frozen=True, slots=True, eq=False)
class Form(GroupedMetadata):
    """The form that a value must have.

    `words` say what it must be, going on from "it must be", and `choices` are the names that
    it may take. Where `each` is true and the value is a list or a table, each wrong item is
    told by itself; otherwise whatever is wrong inside is told of the value as a whole. `unit`
    is what the numbers of the checked value count, where the file may have it otherwise.
    `in_inches` are the words for a description in inches, where they differ. `hint` tells of a
    name that is none of the choices what was meant by it, in a clause; "" where it does not know.

    `rules` are the annotations of pydantic's that the form stands for.
    """

    words: str
    rules: tuple[Any, ...] = ()
    choices: tuple[str, ...] = ()
    each: bool = False
    unit: Literal["", "mm", "min"] = ""
    in_inches: str = ""
    hint: Callable[[str], str] | None = None

    def words_in(self, units: str) -> str:
        """What a value must be, in the words for a description in these units."""
        return self.in_inches if units == "in" and self.in_inches else self.words

    def __iter__(self) -> Iterator[Any]:
        return iter(self.rules)


#: What the tags of unions begin with, by which they are known in pydantic's locations.
TAG = "\0"
