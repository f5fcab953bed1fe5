"""Apply changes to a description, and write them as its file would have them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from legend.description.table import Table
from legend.description.tables.description import Description
from legend.layout.remedies.offers import Changes, Keys
from legend.length_words import Lengths
from legend.standards import INCH

#: The keys among those that are changed whose values are lengths.
_LENGTHS = frozenset(
    {"height", "viewing_distance", "least_bridge", "bridge", "at", "stock_size", "stock_margin"}
)


def applied(description: Description, changes: Changes) -> Description | None:
    """The description with the changes; None where what comes of it is not sound."""
    changed = description
    for change in changes:
        changed = _with(changed, change.keys, change.value)
    pairs = (
        pair
        for change in changes
        for pair in zip(_along(description, change.keys), _along(changed, change.keys), strict=True)
    )
    worse = any(len(list(new.unsound())) > len(list(old.unsound())) for old, new in pairs)
    return None if worse else changed


def _with(node: Any, keys: Keys, value: Any) -> Any:
    """A table, or a list of them, with the value set."""
    key, *rest = keys
    if isinstance(key, int):
        return (*node[:key], _with(node[key], tuple(rest), value), *node[key + 1 :])
    assert isinstance(node, Table)
    field = _field(node, key)
    new = _with(getattr(node, field), tuple(rest), value) if rest else _given(node, field, value)
    return node.model_copy(update={field: new})


def _along(node: Any, keys: Keys) -> Iterator[Table]:
    """The tables on the way to a key."""
    for key in keys:
        if isinstance(node, Table):
            yield node
        node = node[key] if isinstance(key, int) else getattr(node, _field(node, key))


def _given(table: Table, field: str, value: Any) -> Any:
    """A value for a key; what holds where it is left out, for None."""
    return value if value is not None else type(table).model_fields[field].get_default()


def _field(table: Table, key: str) -> str:
    """The field of a key, which is called otherwise where the word is taken."""
    fields = type(table).model_fields
    return next(name for name, field in fields.items() if key in (field.alias, name))


# --- As the file has it ---


def written(changes: Changes, units: str) -> str:
    """The changes as one would write them: `lettering.note.height = 3.4`.

    Keys of a table of a list, which the finding's line is about, are without its name.
    """
    said = []
    for change in changes:
        key = _name(change.keys)
        value = change.value
        if value is None:
            said.append(f"leave {key} out")
            continue
        is_length = change.keys[-1] in _LENGTHS
        said.append(f"{key} = {_toml(value, units if is_length else None)}")
    return " and ".join(said)


def _name(keys: Keys) -> str:
    numbers = [place for place, key in enumerate(keys) if isinstance(key, int)]
    return ".".join(map(str, keys[numbers[-1] + 1 if numbers else 0 :]))


def _toml(value: Any, units: str | None) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, Sequence):
        return f"[{', '.join(_toml(each, units) for each in value)}]"
    return _length(value, units) if units else f"{value:.10g}"


def _length(mm: float, units: str) -> str:
    """A length in the units of bare numbers; in inches a fraction, where it is one."""
    if units == "in":
        exact = Lengths("in").exact(mm)
        return f'"{exact} in"' if "/" in exact else f"{round(mm / INCH, 4):g}"
    return f"{round(mm / 10, 4):g}" if units == "cm" else f"{round(mm, 3):g}"
