"""Write descriptions as text, and do to the text what a remedy says."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

#: What a remedy says to write: a key, dotted where it is in a table, and a value of TOML.
_WRITE = re.compile(
    r"(?P<key>[a-z_]+(?:\.[a-z_]+)*) = (?P<value>\"[^\"]*\"|\[[^\]]*\]|[-\w.]+\w|\d)"
)
_LEAVE_OUT = re.compile(r"leave (?P<key>[a-z_]+(?:\.[a-z_]+)*) out")
#: The tables at the top, whose keys are told with the name of the table.
_TOP = ("panel", "finish", "stencil", "lettering", "as_drilled", "bench")


def as_toml(tables: Mapping[str, Any]) -> str:
    """A description as text, a line for each key."""
    plain = {k: v for k, v in tables.items() if not isinstance(v, Mapping) and not _is_list(v)}
    lines = [f"{key} = {_value(value)}" for key, value in plain.items()]
    for key, value in tables.items():
        if isinstance(value, Mapping):
            lines += ["", f"[{key}]"] + [f"{k} = {_value(v)}" for k, v in value.items()]
        elif _is_list(value):
            for each in value:
                lines += ["", f"[[{key}]]"] + [f"{k} = {_value(v)}" for k, v in each.items()]
    return "\n".join(lines) + "\n"


def _is_list(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(v, Mapping) for v in value)


def _value(value: Any) -> str:
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{k} = {_value(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(_value, value)) + "]"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace("\n", "\\n") + '"'
    return repr(value)


def offered(remedy: str) -> Iterator[list[tuple[str, Any]]]:
    """What a remedy offers: each offer as the keys to write, with None for what is left out."""
    for clause in re.split(r"; or |, or |\. ", remedy):
        changes: list[tuple[str, Any]] = [
            (found["key"], tomllib.loads(f"x = {found['value']}")["x"])
            for found in _WRITE.finditer(clause)
        ]
        changes += [(found["key"], None) for found in _LEAVE_OUT.finditer(clause)]
        if changes:
            yield changes


def with_remedy(text: str, line: int, changes: list[tuple[str, Any]]) -> str:
    """The text of a description with the keys written that a remedy offers for a line of it."""
    tables = tomllib.loads(text)
    for dotted, value in changes:
        *names, key = dotted.split(".")
        node = tables if names and names[0] in _TOP else _table_at(tables, text, line)
        for name in names:
            node = node.setdefault(name, {})
        if value is None:
            node.pop(key)
        else:
            node[key] = value
    return as_toml(tables)


def _table_at(tables: dict[str, Any], text: str, line: int) -> dict[str, Any]:
    """The table of a list that a line is in."""
    before = re.findall(r"^\[\[(\w+)\]\]$", "\n".join(text.split("\n")[:line]), re.M)
    name = before[-1]
    found: dict[str, Any] = tables[name][before.count(name) - 1]
    return found
