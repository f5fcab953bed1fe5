"""Find the lines of the description that are about each hole."""

from __future__ import annotations

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
    for hole, table in _about(description):
        for lines in _lines(table, file, tables):
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


def _lines(table: Table, file: str, tables: Sequence[WrittenTable]) -> Iterator[_Lines]:
    """The lines of the written tables, or pairs of [holes], that a table was read from."""
    said = {source.line for source in table.sources.values() if source.file == file}
    for written in tables:
        if not written.path or not _holds(written.lines, said):
            continue
        if written.path != ("holes",):
            yield written.lines
            continue
        for pair in written.pairs:
            if pair.lines[0] in said:
                yield pair.lines


def _holds(lines: _Lines, said: Iterable[int]) -> bool:
    return any(lines[0] <= line <= lines[1] for line in said)
