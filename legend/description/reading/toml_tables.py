"""Find where each table and each pair of a TOML text begins and ends, for whoever edits the text.

Places are counted in characters from 0, lines from 1. What stands in a text that cannot be parsed
is found as far as the syntax tree is sure of it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import accumulate
from typing import TYPE_CHECKING

from legend.description.reading.line_numbers import keys_of_node, toml_parser

if TYPE_CHECKING:
    from tree_sitter import Node

#: Keys and, in lists of tables, indices, from the outermost on.
Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class WrittenPair:
    """A key with its value: `keys` has several where the key is dotted.

    From `begin` to `key_end` stands the key, from `value` to `end` the value.
    """

    keys: tuple[str, ...]
    begin: int
    key_end: int
    value: int
    end: int
    lines: tuple[int, int]


@dataclass(frozen=True, slots=True)
class WrittenTable:
    """A table from its header, of which `end` is where its last pair ends, or else the header.

    `header_end` is where the header ends. The pairs before any header are a table without a path,
    whose header is empty. `within` are the inline tables among its values, and in lists of such:
    of these the header is the brace, and `end` where the other brace stands.
    """

    path: Path
    begin: int
    header_end: int
    end: int
    lines: tuple[int, int]
    pairs: tuple[WrittenPair, ...]
    within: tuple[WrittenTable, ...] = ()
    inline: bool = False

    def pair(self, *keys: str) -> WrittenPair | None:
        """The pair with this key, of which there are several where it is dotted, if it is there."""
        return next((pair for pair in self.pairs if pair.keys == keys), None)

    def everything(self) -> Iterator[WrittenTable]:
        """The table, and all inline tables in it."""
        yield self
        for table in self.within:
            yield from table.everything()


def written_tables(text: str) -> list[WrittenTable]:
    """Every table of a text that is not inline, in order, that without a header first."""
    at = _characters(text)
    root = toml_parser().parse(text.encode(errors="surrogatepass")).root_node
    tables = [_table(root, None, (), at)]
    counts: dict[Path, int] = {}
    for node in _tables(root):
        header = node.named_children[0]
        path = _path(list(keys_of_node(header)), node.type == "table_array_element", counts)
        tables.append(_table(node, header, path, at))
    return tables


def _characters(text: str) -> Callable[[int], int]:
    """How many characters so many bytes of a text in UTF-8 are."""
    if text.isascii():
        return lambda place: place
    ends = list(accumulate((len(c.encode(errors="surrogatepass")) for c in text), initial=0))
    return lambda place: bisect_right(ends, place) - 1


def _tables(node: Node) -> Iterator[Node]:
    for child in node.named_children:
        if child.type in ("table", "table_array_element") and child.named_children:
            yield child
        elif child.type == "ERROR":
            yield from _tables(child)


def _path(names: list[str], many: bool, counts: dict[Path, int]) -> Path:
    """The path of a header; that of a list of tables ends with the index of its item."""
    path: Path = ()
    for number, key in enumerate(names):
        path = (*path, key)
        if many and number == len(names) - 1:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path


def _table(node: Node, header: Node | None, path: Path, at: Callable[[int], int]) -> WrittenTable:
    end = begin = 0
    line = last = 1
    if header:
        begin, line = at(node.start_byte), node.start_point[0] + 1
        bracket = header.next_sibling
        while bracket and bracket.type in ("]", "]]"):
            header, bracket = bracket, bracket.next_sibling
        end, last = at(header.end_byte), line
    header_end = end
    pairs, within = _contents(node, path, at)
    if pairs:
        end, last = pairs[-1].end, pairs[-1].lines[1]
    return WrittenTable(path, begin, header_end, end, (line, last), pairs, within)


def _contents(
    node: Node, path: Path, at: Callable[[int], int]
) -> tuple[tuple[WrittenPair, ...], tuple[WrittenTable, ...]]:
    """The pairs of a table, and the inline tables in it."""
    pairs: list[WrittenPair] = []
    within: list[WrittenTable] = []
    for child in node.named_children:
        if child.type != "pair" or len(child.named_children) < len(("key", "value")):
            continue
        key = child.named_children[0]
        value = next(each for each in reversed(child.named_children) if each.type != "comment")
        keys = tuple(keys_of_node(key))
        lines = (child.start_point[0] + 1, value.end_point[0] + 1)
        begin, key_end = at(key.start_byte), at(key.end_byte)
        said, end = at(value.start_byte), at(value.end_byte)
        pairs.append(WrittenPair(keys, begin, key_end, said, end, lines))
        within += _inline(value, (*path, *keys), at)
    return tuple(pairs), tuple(within)


def _inline(value: Node, path: Path, at: Callable[[int], int]) -> Iterator[WrittenTable]:
    """A value that is an inline table, or the inline tables in a list of them."""
    if value.type == "inline_table":
        begin, end = at(value.start_byte), at(value.end_byte)
        lines = (value.start_point[0] + 1, value.end_point[0] + 1)
        pairs, within = _contents(value, path, at)
        yield WrittenTable(path, begin, begin + 1, end - 1, lines, pairs, within, inline=True)
    elif value.type == "array":
        items = (each for each in value.named_children if each.type not in ("comment", "ERROR"))
        for index, item in enumerate(items):
            if item.type == "inline_table":
                yield from _inline(item, (*path, index), at)
