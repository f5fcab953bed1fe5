"""Find the lines of the description that are about each hole."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence

from legend.description.reading.toml_tables import WrittenTable
from legend.description.table import Table
from legend.description.tables.description import Description

_Lines = tuple[int, int]


def lines_of_holes(
    description: Description, tables: Sequence[WrittenTable]
) -> dict[str, list[_Lines]]:
    """The first and the last line of each table of the text that is about a hole, by its name.

    These are its own table, or its line among [holes], and the tables of what is fitted in it, of
    the bank and the groups it is in, and of the metal round it that stays bare.
    """
    file = description.source.file
    found: dict[str, list[_Lines]] = {}
    stretches = list(_stretches(tables))
    begins = [first for first, _ in stretches]
    for hole, table in _about(description):
        for lines in _lines(table, file, stretches, begins):
            own = found.setdefault(hole, [])
            if lines not in own:
                own.append(lines)
    return found


def _about(description: Description) -> Iterator[tuple[str, Table]]:
    """Each hole with each table of the description that is about it."""
    yield from description.holes.items()
    for control in description.control:
        for hole in (control.hole, *control.fixing_holes):
            yield hole, control
    for group in description.group:
        for hole in group.holes:
            yield hole, group
    for bare in description.bare:
        yield bare.hole, bare


def _lines(
    table: Table, file: str, stretches: Sequence[_Lines], begins: Sequence[int]
) -> Iterator[_Lines]:
    """Those of the stretches of lines that a table was read from."""
    for source in table.sources.values():
        if source.file == file:
            number = bisect_right(begins, source.line) - 1
            if number >= 0 and source.line <= stretches[number][1]:
                yield stretches[number]


def _stretches(tables: Iterable[WrittenTable]) -> Iterator[_Lines]:
    """The lines of every table, and of [holes] those of every pair, in order."""
    for written in tables:
        if written.path == ("holes",):
            yield from (pair.lines for pair in written.pairs)
        elif written.path:
            yield written.lines
        else:
            yield from (table.lines for table in written.within)
