"""Merge two texts that grew out of one: changes to different places are both taken.

It is done by lines, and where changed lines touch, by words: a word is the least that one changes,
so that of two numbers written into one place no third one comes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from itertools import chain

#: A word, a number with its sign and its point, or any other character by itself.
_WORD = re.compile(r"[\w.+-]+|.", re.DOTALL)
#: Texts that differ in more pairs of lines than this are compared as wholes: it would take long.
_MOST_PAIRS = 4_000_000


@dataclass(frozen=True, slots=True)
class _Change:
    """Units `begin` to `end` of the text before give way to others."""

    begin: int
    end: int
    units: tuple[str, ...]


def merged(base: str, ours: str, theirs: str) -> str | None:
    """The text with what both changed in `base`; None where only the user can settle it.

    >>> merged("at = [30, 45]", "at = [31, 45]", "at = [30, 46]")
    'at = [31, 46]'
    >>> merged("covers = 22", "covers = 24", "covers = 32")
    """
    if ours in (base, theirs):
        return theirs
    if theirs == base:
        return ours
    before = lines_of(base)
    ways = (changes(before, lines_of(ours)), changes(before, lines_of(theirs)))
    said: list[str] = []
    done = 0
    for begin, end in _touching(chain(*ways)):
        said += before[done:begin]
        done = end
        sides = [_changed(before, begin, end, way) for way in ways]
        part = _merged_words("".join(before[begin:end]), *sides)
        if part is None:
            return None
        said.append(part)
    return "".join([*said, *before[done:]])


def lines_of(text: str) -> list[str]:
    """The lines of a text, each with the line feed that ends it."""
    return re.findall(r"[^\n]*\n|[^\n]+", text)


def changes(before: Sequence[str], after: Sequence[str]) -> list[_Change]:
    """What has to be changed in some lines, or words, to make others of them, in order."""
    most = min(len(before), len(after))
    head = next((k for k in range(most) if before[k] != after[k]), most)
    most -= head
    tail = next((k for k in range(most) if before[-1 - k] != after[-1 - k]), most)
    a, b = before[head : len(before) - tail], after[head : len(after) - tail]
    if not a and not b:
        return []
    if len(a) * len(b) > _MOST_PAIRS:
        return [_Change(head, head + len(a), tuple(b))]
    found = SequenceMatcher(None, a, b, autojunk=False).get_opcodes()
    return [
        _Change(head + i0, head + i1, tuple(b[j0:j1]))
        for tag, i0, i1, j0, j1 in found
        if tag != "equal"
    ]


def _touching(found: Iterator[_Change]) -> Iterator[tuple[int, int]]:
    """The places of changes, those that touch each other together."""
    places = sorted((change.begin, change.end) for change in found)
    begin, end = places[0]
    for b, e in places[1:]:
        if b > end:
            yield begin, end
            begin, end = b, e
        end = max(end, e)
    yield begin, end


def _changed(before: Sequence[str], begin: int, end: int, way: Sequence[_Change]) -> str:
    """A part of a text after the changes of one side that lie in it."""
    said: list[str] = []
    for change in way:
        if begin <= change.begin and change.end <= end:
            said += [*before[begin : change.begin], *change.units]
            begin = change.end
    return "".join([*said, *before[begin:end]])


def _merged_words(base: str, ours: str, theirs: str) -> str | None:
    """As `merged`, of a part, by words."""
    if ours in (base, theirs):
        return theirs
    if theirs == base:
        return ours
    before = _WORD.findall(base)
    settled = _settled(
        before, changes(before, _WORD.findall(ours)), changes(before, _WORD.findall(theirs))
    )
    if settled is None:
        return None
    return _changed(before, 0, len(before), settled)


def _settled(
    before: Sequence[str], ours: Sequence[_Change], theirs: Sequence[_Change]
) -> list[_Change] | None:
    """The changes of both in order; None where two of them are about the same place."""
    done: list[_Change] = []
    for change in sorted([*ours, *theirs], key=lambda change: (change.begin, change.end)):
        if not done or change.begin > done[-1].end:
            done.append(change)
        elif _meet(done[-1], change):
            both = _as_one(done[-1], change)
            if both is None:
                return None
            done[-1] = both
        elif _line_ends_between(before, done[-1], change):
            done.append(change)
        else:  # what was written side by side would run together
            return None
    return done


def _meet(one: _Change, next_: _Change) -> bool:
    """Whether two changes, in order, are about the same place, and not only side by side."""
    same_point = one.begin == one.end == next_.begin == next_.end
    return same_point or next_.begin < one.end


def _line_ends_between(before: Sequence[str], one: _Change, next_: _Change) -> bool:
    """Whether two changes side by side are in lines of their own, before and after."""

    def begins_line(at: int) -> bool:
        return at == 0 or before[at - 1] == "\n"

    ends = one.units[-1] == "\n" if one.units else begins_line(one.begin)
    return begins_line(next_.begin) and ends


def _as_one(one: _Change, other: _Change) -> _Change | None:
    """One change for two in the same place: where they agree, or both only take away.

    Of two that only add, one may say all that the other does and more: it was typed later.
    """
    if one == other:
        return one
    if not one.units and not other.units:
        return _Change(one.begin, max(one.end, other.end), ())
    if one.begin == one.end == other.begin == other.end:
        short, long = sorted(("".join(one.units), "".join(other.units)), key=len)
        return _Change(one.begin, one.end, (long,)) if long.startswith(short) else None
    return None
