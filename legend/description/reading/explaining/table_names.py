"""Name tables and values of a raw description as sentences call them."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any

from legend.sentences import printable

#: The keys and indices that lead from the whole description to a value.
Path = tuple[str | int, ...]

#: What stands where a path goes further than the raw values do.
NOTHING = object()

#: What tables are called that stand under a key of a control.
_PARTS_OF_A_CONTROL = {"scale": "scale", "fixings": "pattern of fixings"}


def below(value: Any, step: str | int) -> Any:
    """What stands in a table or list under a key or index, or `NOTHING`."""
    try:
        return value[step]
    except (KeyError, IndexError, TypeError):
        return NOTHING


def shown(value: Any) -> str:
    """A raw value as TOML writes it, cut short where it is long."""
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        plain = printable(value.replace("\n", "\\n"))
        return f'"{plain[:40]}…"' if len(plain) > 40 else f'"{plain}"'
    if isinstance(value, (list, tuple)):
        if any(isinstance(each, Mapping) for each in value):
            return "a list of tables"
        return f"[{', '.join(shown(each) for each in value[:4])}{', …' * (len(value) > 4)}]"
    if isinstance(value, (datetime.date, datetime.time)):
        return f"the date or time {value}"
    if isinstance(value, int):
        return str(value) if abs(value) < 10**15 else "a number of many digits"
    return f"{value:g}"


def name_of(path: Path, raw: Mapping[str, Any]) -> str:
    """What a table of the description is called in a sentence."""
    table: Any = raw
    for step in path:
        table = below(table, step)
    if not path:
        return "the description"
    if path[0] == "holes" and len(path) == 2:
        return f"hole {shown(path[1])}"
    if path[:2] == ("as_drilled", "holes") and len(path) == 3:
        return f"hole {shown(path[2])} as drilled"
    if path[-1] in _PARTS_OF_A_CONTROL and len(path) > 1:
        return f"the {_PARTS_OF_A_CONTROL[str(path[-1])]} of {name_of(path[:-1], raw)}"
    if path[-1] == "inner" and len(path) > 1:
        return f"the inner knob of {name_of(path[:-1], raw)}"
    if path[-1] == "covers" and len(path) > 1:
        return f"what {name_of(path[:-1], raw)} covers"
    if path[-1] == "groups" and len(path) > 1:
        return f"the groups of {name_of(path[:-1], raw)}"
    if isinstance(path[-1], int):
        return _one_of_several(str(path[0]), path[-1], table)
    return f"[{shown('.'.join(str(step) for step in path))[1:-1]}]"


def _one_of_several(list_name: str, index: int, table: Any) -> str:
    """A control, bank, group, text, rule or bare disc, by what tells it from the others."""
    word = {"bare": "bare disc", "text": "text", "rule": "rule"}.get(list_name, list_name)
    for key, way in (("hole", "in hole"), ("name", ""), ("holes", "of"), ("text", "")):
        told = table.get(key) if isinstance(table, Mapping) else None
        if isinstance(told, str) and told and len(told) <= 40 and told.isprintable():
            return f'the {word} {way} "{told}"'.replace("  ", " ")
    return f"{word} {index + 1}"
