"""Write keys and tables into the text of a description, as its own hand would."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from legend.description.reading.toml_tables import Path, WrittenPair, WrittenTable


def quoted(text: str) -> str:
    """A text as TOML writes it."""
    return json.dumps(text, ensure_ascii=False)


def as_key(name: str) -> str:
    """A name as a key of TOML."""
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else quoted(name)


#: The keys that others stand after, which say what a table is about.
_FIRST_KEYS = ("hole", "holes", "kind", "name", "names", "hole_list", "title", "units")

#: The lists of what is fitted in holes.
_FITTED = ("control", "bank")


@dataclass(frozen=True, slots=True)
class TextEdit:
    """Characters `begin` to `end` of a text give way to `text`; then `select` is selected."""

    begin: int
    end: int
    text: str
    select: tuple[int, int]

    def done_to(self, text: str) -> str:
        """The text after it."""
        return text[: self.begin] + self.text + text[self.end :]


def together(text: str, first: TextEdit, then: TextEdit) -> TextEdit:
    """Two edits of one text, which do not overlap, as one; what the second selects is selected."""
    one, other = sorted((first, then), key=lambda edit: edit.begin)
    between = text[one.end : other.begin]
    shift = 0 if then is one else len(one.text) - (one.end - one.begin)
    select = (then.select[0] + shift, then.select[1] + shift)
    return TextEdit(one.begin, other.end, one.text + between + other.text, select)


def with_key(text: str, table: WrittenTable, key: str, value: str) -> TextEdit:
    """A key of a table with this value of TOML: one that is there has its value replaced."""
    if there := table.pair(key):
        return _edit(there.value, there.end, "", value)
    if table.inline:
        return _in_braces(text, table, key, value)
    if after := _last_of_the_first(table):
        at, indent = _end_of_line(text, after.end), _indent(text, after.begin)
    else:
        at, indent = _end_of_line(text, table.header_end), _indent(text, table.begin)
    return _edit(at, at, f"{_newline(text)}{indent}{key} = ", value)


def with_key_in(
    text: str, tables: Sequence[WrittenTable], path: Path, key: str, value: str
) -> TextEdit:
    """The same in the table on a path, which is added where the text has none."""
    everything = [inner for table in tables for inner in table.everything()]
    for table in everything:
        if table.path == path:
            return with_key(text, table, key, value)
    *outer, last = path
    for table in everything:
        if table.path == tuple(outer):  # as in panel.size = [1, 2]
            dotted = [pair for pair in table.pairs if pair.keys[:1] == (last,)]
            if there := table.pair(str(last), key):
                return _edit(there.value, there.end, "", value)
            if dotted:
                at, indent = _end_of_line(text, dotted[-1].end), _indent(text, dotted[-1].begin)
                return _edit(at, at, f"{_newline(text)}{indent}{last}.{key} = ", value)
    header = ".".join(str(each) for each in path)
    edit = with_single_table(text, tables, f"[{header}]\n{key} = {value}")
    end = edit.begin + len(edit.text.rstrip())
    return replace(edit, select=(end - len(value), end))


def with_single_table(text: str, tables: Sequence[WrittenTable], table: str) -> TextEdit:
    """A table that is none of a list, put in after the last such."""
    at, newline = _before_the_lists(text, tables), _newline(text)
    lead = newline * 2 if text[:at].strip() else ""
    tail = "" if text[at : at + 1] in ("\n", "\r") else newline
    return _edit(at, at, lead, newline.join(table.split("\n")), tail)


def with_line(text: str, table: WrittenTable, key: str, value: str) -> TextEdit:
    """A key more as the last line of a table."""
    if not table.pairs:
        return with_key(text, table, key, value)
    last = table.pairs[-1]
    at, indent = _end_of_line(text, last.end), _indent(text, last.begin)
    return _edit(at, at, f"{_newline(text)}{indent}{key} = ", value)


def _is_within(path: Path, other: Path) -> bool:
    """Whether a table belongs to the same item of a list, or the same table, as another."""
    of = 2 if len(other) > 1 and isinstance(other[1], int) else 1
    return path[:of] == other[:of]


def with_table(text: str, tables: Sequence[WrittenTable], line: int, table: str) -> TextEdit:
    """Whole lines of tables, put in after the table that a line is in, with a line left free.

    That is, where it is one of a list; else after the last that is called as the first of them is.
    Where there is none, what is fitted stands after the tables that are in no list, as its holes
    do, and all else at the end.
    """
    newline = _newline(text)
    headed = [each for each in tables if each.path]
    count = sum(1 for each in headed if each.lines[0] <= line)
    if count and len(headed[count - 1].path) == 1:
        called = table.lstrip("[\n").partition("]")[0].partition(".")[0]
        alike = [number for number, each in enumerate(headed, 1) if each.path[0] == called]
        if not alike and called in _FITTED:
            alike = [number for number, each in enumerate(headed, 1) if len(each.path) == 1]
        count = alike[-1] if alike else len(headed)
    while 0 < count < len(headed) and _is_within(headed[count].path, headed[count - 1].path):
        count += 1
    at = _end_of_line(text, headed[count - 1].end) if count else _before_the_lists(text, tables)
    if 0 < count == len(headed):
        at = max(at, len(text.rstrip()))  # behind the comments at the end
    lead = newline * 2 if text[:at].strip() else ""
    body = newline.join(table.strip("\n").split("\n"))
    tail = "" if text[at : at + 1] in ("\n", "\r") else newline
    return _edit(at, at, lead, body, tail)


def _edit(begin: int, end: int, lead: str, value: str, tail: str = "") -> TextEdit:
    first = begin + len(lead)
    return TextEdit(begin, end, lead + value + tail, (first, first + len(value)))


def _in_braces(text: str, table: WrittenTable, key: str, value: str) -> TextEdit:
    """A key more in an inline table, after the last one."""
    if table.pairs:
        at = table.pairs[-1].end
        return _edit(at, at, f", {key} = ", value)
    return _edit(table.header_end, table.end, f" {key} = ", value, " ")


def _last_of_the_first(table: WrittenTable) -> WrittenPair | None:
    first = [pair for pair in table.pairs if pair.keys[0] in _FIRST_KEYS and len(pair.keys) == 1]
    return first[-1] if first else None


def _before_the_lists(text: str, tables: Sequence[WrittenTable]) -> int:
    """Where a table of its own kind is added: after the last of those that are in no list."""
    single = [table for table in tables if not any(isinstance(each, int) for each in table.path)]
    ends = [table.end for table in single if table.path or table.pairs]
    return _end_of_line(text, ends[-1]) if ends else len(text)


def _end_of_line(text: str, place: int) -> int:
    """Where the line ends that a place is on, before its line break."""
    end = text.find("\n", place)
    if end < 0:
        return len(text)
    return end - 1 if text[end - 1 : end] == "\r" else end


def _indent(text: str, place: int) -> str:
    """What the line begins with that a place is on."""
    line = text[text.rfind("\n", 0, place) + 1 : place]
    return line[: len(line) - len(line.lstrip())]


def _newline(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"
