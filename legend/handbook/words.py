"""Look up what the tables of the schema are called and what each of their keys means.

What a key means stands under it in the source, where a program that only reads descriptions
does not pay for it; it is taken from there when it is asked for.
"""

from __future__ import annotations

import ast
import inspect
from collections.abc import Iterator, Mapping
from functools import cache
from itertools import pairwise
from typing import Any, get_args, get_origin

from pydantic_core import PydanticUndefined

from legend.description.table import Table
from legend.description.tables.description import Description
from legend.description.tables.keys import field_of, is_table, keys_of, table_in


@cache
def meanings(table: type[Table]) -> Mapping[str, str]:
    """What each key of a table means, as TOML writes the key: one or two sentences."""
    found: dict[str, str] = {}
    for cls in reversed(table.__mro__):
        if issubclass(cls, Table) and cls is not Table:
            for source in cls.__dict__.get("made_of", (cls,)):
                found = _under_the_fields(source) | found
    return {
        info.alias or name: found[name]
        for name, info in table.model_fields.items()
        if name in found
    }


def _under_the_fields(table: type) -> dict[str, str]:
    """The texts that stand under the fields of a class in its source."""
    (tree,) = ast.parse(inspect.getsource(table)).body
    assert isinstance(tree, ast.ClassDef)
    found = {}
    for field, text in pairwise(tree.body):
        if (
            isinstance(field, ast.AnnAssign)
            and isinstance(field.target, ast.Name)
            and isinstance(text, ast.Expr)
            and isinstance(text.value, ast.Constant)
        ):
            found[field.target.id] = " ".join(str(text.value.value).split())
    return found


def first_paragraph(documented: Any) -> str:
    """The first paragraph of a docstring, as one line."""
    return " ".join((documented.__doc__ or "").split("\n\n")[0].split())


@cache
def headings() -> Mapping[type[Table], str]:
    """Each table of the schema by the heading under which TOML has it, in the order of the schema.

    Of the several that a table may have, the first; in place of a name of the user's choice
    stands NAME.
    """
    found: dict[type[Table], str] = {}
    waiting: list[tuple[type[Table], str, bool]] = [(Description, "", False)]
    while waiting:
        table, path, listed = waiting.pop(0)
        if table in found:
            continue
        found[table] = f"[[{path}]]" if listed else f"[{path}]" if path else ""
        waiting[:0] = [
            (below, f"{path}.{steps}" if path else steps, several)
            for key, held in keys_of(table).items()
            for below, steps, several in _tables(held.bare, key)
        ]
    return found


@cache
def tables_told() -> Mapping[type[Table], str]:
    """The tables whose keys are told, by their headings: of alike ones the first alone.

    The keys of a role are those of [lettering], and so on.
    """
    told: dict[type[Table], str] = {}
    for table, heading in headings().items():
        if not any(issubclass(other, table) or issubclass(table, other) for other in told):
            told[table] = heading
    return told


def _tables(kind: Any, key: str) -> Iterator[tuple[type[Table], str, bool]]:
    """The tables under a key: each with the way to it, and whether it is one of a list."""
    if table := table_in(kind):
        yield table, key, False
        return
    for inside in get_args(kind):
        if is_table(inside):
            by_name = get_origin(kind) is dict
            yield inside, f"{key}.NAME" if by_name else key, get_origin(kind) is tuple


def default_of(table: type[Table], key: str) -> Any:
    """What holds where a key is left out, as TOML may have it; None where nothing is set by that.

    Lengths and times bear their unit, since bare numbers may be in any.
    """
    value = field_of(table, key).default
    if value is PydanticUndefined or isinstance(value, Table) or value in (None, "", ()):
        return None
    form = keys_of(table)[key].form
    unit = form.unit if form else ""
    if isinstance(value, tuple):
        return [_with_unit(each, unit) for each in value]
    return _with_unit(value, unit)


def _with_unit(value: Any, unit: str) -> Any:
    if unit == "mm":
        return f"{value:g} mm"
    if unit == "min":
        if value < 1:
            return f"{60 * value:g} s"
        return f"{value:g} min" if value < 60 else f"{value / 60:g} h"
    return value
