"""Define what a check offers against a finding: keys of the description with values to try."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

#: The way to a key from the top of the description: tables by name, those of a list by number.
Keys = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """One key of the description, by the names that the file has, set to a value.

    Lengths are in mm. None leaves the key out.
    """

    keys: Keys
    value: Any


#: What is changed together.
Changes = tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class Offer:
    """One way to cure a finding, and what is tried for it, the mildest first.

    `how` says it in words that begin a clause, with a {} for the value of the first change, where
    that is to be said. `failed` is the clause that says that none of it helps.
    """

    how: str
    tries: tuple[Changes, ...]
    failed: str


def offer(how: str, keys: Keys, values: Iterable[Any], failed: str) -> Offer:
    """An offer that changes one key, to the first of these values that helps."""
    return Offer(how, tuple((Change(keys, value),) for value in values), failed)
