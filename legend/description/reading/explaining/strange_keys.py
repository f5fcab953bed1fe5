"""Say what was meant by a key that its table does not have.

It may be an earlier name of a key, a common word for one, a slip of the pen, or the key of
another table; which of these it is, the tables of the schema tell.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache
from typing import Any, get_args

from legend.description.faults import likeliest, meant
from legend.description.other_words import kind_meant
from legend.description.table import Table
from legend.description.tables.description import Description
from legend.description.tables.keys import Held, is_table, keys_of
from legend.description.tables.lettering import RoleLettering
from legend.sentences import listed

#: A key that is so like one of its table is no key of another. Above 0.8 two words of six
#: letters differ in one.
_ALL_BUT = 0.8
#: A key that more tables have tells nothing of where it belongs.
_MOST_TABLES = 4


def key_meant(table: type[Table], strange: str) -> str | None:
    """The key of a table that is meant by one that it does not have, if it is likely enough."""
    low = strange.strip().lower().replace("-", "_").replace(" ", "_")
    if strange in table.renamed:
        return table.renamed[strange]
    return table.also_called.get(low) or likeliest(strange, keys_of(table))


def about(
    table: type[Table], strange: str, said: Mapping[str, Any], allowed: Callable[[str], str]
) -> str:
    """The end of a sentence about a key that a table does not have: what was meant by it.

    `said` is all that the table says, `allowed` tells what one of its own keys must be.
    """
    keys = keys_of(table)
    low = strange.strip().lower().replace("-", "_").replace(" ", "_")
    if now := table.renamed.get(strange):
        return f"; it is called {now} now"
    if right := table.meant_by(low, said):
        return f"; write {right} instead, which must be {allowed(right)}"
    its_keys = f"its keys are {listed(keys)}"
    if likeliest(strange, keys, _ALL_BUT):
        return meant(strange, keys, its_keys)
    if table is Description and (kind := kind_meant(strange)):
        return f"; what is fitted in a hole is a [[control]], and its kind says what it is: {kind}"
    if elsewhere := _homes(low, table):
        return f"; {elsewhere}"
    return meant(strange, keys, its_keys)


def belongs(key: str) -> str:
    """Where a key belongs, in words that go on from "it", or "" where no table has it."""
    return _homes(key, None)


def _homes(key: str, but: type[Table] | None) -> str:
    homes = [(where, table) for where, table in _tables() if key in keys_of(table)]
    homes = [home for home in homes if home[1] is not but]
    if not homes:
        others = [
            f"{table.also_called[key]} of {where}"
            for where, table in _tables()
            if key in table.also_called and where
        ]
        return f"it may be meant as {others[0]}" if len(others) == 1 else ""
    if len(homes) > _MOST_TABLES:
        return ""
    if homes[0][1] is Description:
        held = keys_of(Description)[key]
        if _is_heading(held):
            return f"it is a table of its own, {_heading(key, held)}"
        return "it belongs before the first table, at the top of the file"
    return f"it is a key of {listed((where for where, _ in homes), 'or')}"


@lru_cache(maxsize=1)
def _tables() -> tuple[tuple[str, type[Table]], ...]:
    """Every table of a description, with what it is called; of those that are alike, the first."""
    found: dict[type[Table], str] = {}
    for called, table in _below(Description, ""):
        if not any(issubclass(known, table) for known in found):
            found[table] = called
    return tuple((called, table) for table, called in found.items())


def _below(table: type[Table], called: str) -> Iterator[tuple[str, type[Table]]]:
    yield called, table
    for key, held in keys_of(table).items():
        for kind in (held.bare, *get_args(held.bare)):
            if is_table(kind) and not issubclass(kind, RoleLettering | Description):
                yield from _below(kind, _called(called, key, held))
            elif is_table(kind) and table is Description:
                yield _called(called, key, held), kind


def _called(called: str, key: str, held: Held) -> str:
    """What a table under a key is called: [panel], [[control]], a hole, a scale of [[control]]."""
    if not called:
        return "a hole" if key == "holes" else _heading(key, held)
    return f"the {key} of {called}"


def _heading(key: str, held: Held) -> str:
    return f"[{key}]" if is_table(held.bare) or key == "holes" else f"[[{key}]]"


def _is_heading(held: Held) -> bool:
    return any(is_table(kind) for kind in (held.bare, *get_args(held.bare)))
