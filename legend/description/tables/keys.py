"""Look up the keys of a schema table, and what type each of them holds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from types import NoneType
from typing import Annotated, Any, get_args, get_origin

from pydantic.fields import FieldInfo

from legend.description.table import Table
from legend.description.values.form import Form


@dataclass(frozen=True, slots=True)
class Held:
    """What a key holds, its type taken apart: the bare type, and the form that it must have."""

    bare: Any
    form: Form | None


@lru_cache(maxsize=64)
def keys_of(table: type[Table]) -> Mapping[str, Held]:
    """The keys of a table as TOML writes them, each with what may stand under it."""
    return {
        info.alias or name: taken_apart(info.annotation, info.metadata)
        for name, info in table.model_fields.items()
        if name != "sources"
    }


def field_of(table: type[Table], key: str) -> FieldInfo:
    """The field of a table behind a key as TOML writes it. Error: StopIteration for none."""
    return next(info for name, info in table.model_fields.items() if (info.alias or name) == key)


def is_table(kind: Any) -> bool:
    """Whether a type is a table of the schema."""
    return isinstance(kind, type) and issubclass(kind, Table)


def table_in(kind: Any) -> type[Table] | None:
    """The table that a type is, or that may stand under it in place of something else."""
    if is_table(kind):
        return kind  # type: ignore[no-any-return]
    if get_origin(kind) in (dict, tuple):
        return None
    inside = (taken_apart(each).bare for each in get_args(kind))
    return next((each for each in inside if is_table(each)), None)


def taken_apart(annotation: Any, around: Sequence[Any] = ()) -> Held:
    """The type inside of Annotated and Optional, with what is noted about it."""
    notes: list[Any] = list(around)
    while True:
        inside = [each for each in get_args(annotation) if each is not NoneType]
        if get_origin(annotation) is Annotated:
            annotation, *more = inside
            notes += more
        elif len(inside) < len(get_args(annotation)) and len(inside) == 1:
            (annotation,) = inside
        else:
            break
    return Held(annotation, next((note for note in notes if isinstance(note, Form)), None))
