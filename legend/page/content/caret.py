"""Find out what is being written at a place of a TOML text, however much of it is not there yet.

A syntax tree is of little help where a line is half typed; here the text is read up to the place,
and a line that looks like a heading begins anew, whatever was left open before it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import Literal

#: A line that opens a table, whatever stands before it.
_HEADING = re.compile(r"[ \t]*\[\[?[ \t]*(?P<name>[A-Za-z_][^\]\[\n=,]*)\]\]?[ \t]*(?:#.*)?$", re.M)
#: A line that gives a key its value.
_PAIR = re.compile(r"^[ \t]*([A-Za-z_][\w-]*)[ \t]*=", re.M)
#: A key in an inline table.
_KEY = re.compile(r"([A-Za-z_][\w-]*)[ \t]*=")
#: The parts of a key, quoted or not.
_PART = re.compile(r"\"([^\"\n]*)\"|'([^'\n]*)'|([\w-]+)")

Steps = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Caret:
    """What is being written: a `heading`, a `key`, a `value`, or `nothing` that can be told.

    `table` are the keys that lead to the table it is in, those of inline tables among them, and
    `key` the one whose value it is. `begin` is where the word begins that is being written, and
    `quote` what it is quoted with, if it is. `given` are the keys that the table has already, and
    the texts that stand in the list already. `in_list` tells that it is an item of a list, `inline`
    that it is in an inline table.
    """

    writing: Literal["heading", "key", "value", "nothing"]
    begin: int
    table: Steps = ()
    key: str = ""
    quote: str = ""
    given: frozenset[str] = frozenset()
    in_list: bool = False
    inline: bool = False


@dataclass(slots=True)
class _Open:
    """A table or a list that is still open: the keys to it, and what it has so far."""

    steps: Steps
    is_list: bool = False
    given: set[str] = field(default_factory=set)
    key: str = ""
    in_value: bool = False
    begin: int = 0


def caret_at(text: str, at: int) -> Caret:
    """What is being written at a place of a text."""
    start, steps = _table_round(text, at)
    line = text.rfind("\n", 0, at) + 1
    written = text[line:at].lstrip()
    if written.startswith("[") and line >= start and _is_at_the_top(text, start, line, at):
        return Caret("heading", at - len(written))
    caret = _read(text, start, at, steps)
    inline = caret.table != steps
    if caret.writing == "key":
        is_new = caret.begin == at  # else the key that stands here is the one being written
        caret = replace(caret, given=caret.given | _given_after(text, at, inline, is_new))
    return replace(caret, inline=inline)


def _table_round(text: str, at: int) -> tuple[int, Steps]:
    """Where the table begins, after its heading, that a place is in; and the keys to it."""
    begin = 0
    steps: Steps = ()
    for heading in _HEADING.finditer(text, 0, at):
        if heading.end() < at and (text[heading.end()] == "\n" or heading.end() == at):
            begin, steps = heading.end(), _steps(heading["name"])
    return begin, steps


def _steps(name: str) -> Steps:
    return tuple(next(filter(None, part.groups()), "") for part in _PART.finditer(name))


def _is_at_the_top(text: str, start: int, line: int, at: int) -> bool:
    """Whether nothing is open where a line begins, so that a bracket there opens a heading."""
    before = _read(text, start, line, ())
    return before.writing in ("key", "nothing") and not before.table and not before.in_list


def _given_after(text: str, at: int, inline: bool, is_new: bool) -> frozenset[str]:
    """The keys that the table gets after a place, up to its brace or the next heading."""
    if inline:
        inside = re.match(r"[^{}\n]*", text[at:])
        rest, keys, end = inside[0] if inside else "", _KEY, ","
    else:
        heading = _HEADING.search(text, at)
        rest, keys, end = text[at : heading.start() if heading else len(text)], _PAIR, "\n"
    return frozenset(keys.findall(rest if is_new else rest.partition(end)[2]))


def _read(text: str, start: int, at: int, steps: Steps) -> Caret:
    """What is being written at a place, read from the beginning of its table on."""
    stack = [_Open(steps, begin=start)]
    place = start
    while place < at:
        now, character = stack[-1], text[place]
        if character == "#":
            place = text.find("\n", place, at)
            if place < 0:
                return Caret("nothing", at)
            continue
        if character in "\"'" and (now.in_value or now.is_list):
            end = _end_of_string(text, place)
            quote = (
                text[place : place + 3] if text[place : place + 3] == character * 3 else character
            )
            if end is None or end > at or (end == at and text[at - 1 : at] != character):
                begin = place + len(quote)
                return _caret(now, begin, quote)
            if now.is_list:
                now.given.add(text[place + len(quote) : end - len(quote)])
            place = end
            continue
        if character == "=" and not now.is_list and not now.in_value:
            now.key = ".".join(_steps(text[now.begin : place]))
            now.in_value, now.begin = True, place + 1
        elif character in "[{" and (now.in_value or now.is_list):
            inside = now.steps if now.is_list else (*now.steps, *now.key.split("."))
            stack.append(_Open(inside, character == "[", key=now.key, begin=place + 1))
        elif character in "]}" and len(stack) > 1:
            stack.pop()
        elif character == "," or (character == "\n" and len(stack) == 1):
            _ended(now)
            now.begin = place + 1
        place += 1
    return _caret(stack[-1], None, "", text, at)


def _ended(now: _Open) -> None:
    """A pair, or an item of a list, is done with."""
    if not now.is_list and now.key and now.in_value:
        now.given.add(now.key.partition(".")[0])
        now.key, now.in_value = "", False


def _end_of_string(text: str, begin: int) -> int | None:
    """Where a quoted text ends, after its quotation mark; None where it is not closed.

    One that is not closed on its line ends with the line.
    """
    quote = text[begin]
    if text.startswith(quote * 3, begin):
        end = text.find(quote * 3, begin + 3)
        return None if end < 0 else end + 3
    place = begin + 1
    while place < len(text) and text[place] != "\n":
        if text[place] == "\\" and quote == '"':
            place += 1
        elif text[place] == quote:
            return place + 1
        place += 1
    return None if place >= len(text) else place


def _caret(now: _Open, begin: int | None, quote: str, text: str = "", at: int = 0) -> Caret:
    """What is being written in what is open, its word beginning there."""
    if begin is None:
        written = text[now.begin : at]
        begin = at - len(written.lstrip())
    given = frozenset(now.given)
    if now.is_list:
        return Caret("value", begin, now.steps[:-1], now.steps[-1], quote, given, True)
    if now.in_value:
        return Caret("value", begin, now.steps, now.key, quote, given)
    return Caret("key", begin, now.steps, "", quote, given)
