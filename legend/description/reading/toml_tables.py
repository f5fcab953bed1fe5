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

    From `begin` to `key_end` stands the key, from `value` to `end` the value. `pairs` are those
    in it where it is an inline table.
    """

    keys: tuple[str, ...]
    begin: int
    key_end: int
    value: int
    end: int
    lines: tuple[int, int]
    is_table: bool
    pairs: tuple[WrittenPair, ...]


@dataclass(frozen=True, slots=True)
class WrittenTable:
    """A table from its header, of which `end` is where its last pair ends, or else the header.

    `header_end` is where the header ends. The pairs before any header are a table without a path,
    whose header is empty.
    """

    path: Path
    begin: int
    header_end: int
    end: int
    lines: tuple[int, int]
    pairs: tuple[WrittenPair, ...]

    def pair(self, key: str) -> WrittenPair | None:
        """The pair with this key, undotted, if there is one."""
        return next((pair for pair in self.pairs if pair.keys == (key,)), None)


def written_tables(text: str) -> list[WrittenTable]:
    """Every table of a text, in order, that without a header first."""
    data = text.encode(errors="surrogatepass")
    at = _characters(text)
    root = toml_parser().parse(data).root_node
    own = _pairs(root, at)
    last = own[-1].lines[1] if own else 1
    tables = [WrittenTable((), 0, 0, own[-1].end if own else 0, (1, last), own)]
    counts: dict[Path, int] = {}
    for node in _tables(root):
        header = node.named_children[0]
        path = _path(keys_of_node(header), node.type == "table_array_element", counts)
        pairs = _pairs(node, at)
        line = node.start_point[0] + 1
        bracket = header.next_sibling
        while bracket and bracket.type in ("]", "]]"):
            header, bracket = bracket, bracket.next_sibling
        end = at(header.end_byte)
        tables.append(
            WrittenTable(
                path,
                at(node.start_byte),
                end,
                pairs[-1].end if pairs else end,
                (line, pairs[-1].lines[1] if pairs else line),
                pairs,
            )
        )
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


def _path(keys: Iterator[str], many: bool, counts: dict[Path, int]) -> Path:
    """The path of a header; that of a list of tables ends with the index of its item."""
    path: Path = ()
    names = list(keys)
    for number, key in enumerate(names):
        path = (*path, key)
        if many and number == len(names) - 1:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path


def _pairs(node: Node, at: Callable[[int], int]) -> tuple[WrittenPair, ...]:
    return tuple(
        _pair(child, at)
        for child in node.named_children
        if child.type == "pair" and len(child.named_children) > 1
    )


def _pair(node: Node, at: Callable[[int], int]) -> WrittenPair:
    key = node.named_children[0]
    value = next(child for child in reversed(node.named_children) if child.type != "comment")
    is_table = value.type == "inline_table"
    return WrittenPair(
        tuple(keys_of_node(key)),
        at(key.start_byte),
        at(key.end_byte),
        at(value.start_byte),
        at(value.end_byte),
        (node.start_point[0] + 1, value.end_point[0] + 1),
        is_table,
        _pairs(value, at) if is_table else (),
    )
