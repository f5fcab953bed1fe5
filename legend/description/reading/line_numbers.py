"""Find the line number of every table, key and list item of a TOML text.

tomllib tells what a file says but not where; a syntax tree tells where. This, with
`toml_tables` beside it, is where tree-sitter is touched. Where the tree is not sure, a place is
that of the table or list round it: a line may be less exact, but nothing fails.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import islice
from typing import TYPE_CHECKING

from legend.description.source import Source
from legend.limits import MOST_ITEMS

if TYPE_CHECKING:
    from tree_sitter import Node, Parser


@dataclass(slots=True)
class Place:
    """Where a value stands, and where what is in it stands, by key or by index.

    Plain items of a list on the line where the list begins have no place of their own.
    """

    source: Source
    below: dict[str | int, Place] = field(default_factory=dict)

    def inside(self, step: str | int) -> Place:
        """The place of what stands under a key or index, or this one's where it is not known."""
        return self.below.get(step) or Place(self.source)

    def at(self, path: Iterable[str | int]) -> Source:
        """The source of the value on this path, or of the nearest known one round it."""
        place = self
        for step in path:
            if step not in place.below:
                break
            place = place.below[step]
        return place.source


def find_places(text: str, file: str) -> Place:
    """The places of everything in a TOML text."""
    root = Place(Source(file, 1))
    tree = toml_parser().parse(text.encode())
    _table(tree.root_node, root, root, file)
    return root


@lru_cache(maxsize=1)
def toml_parser() -> Parser:
    """The parser of TOML, made once."""
    import tree_sitter_toml
    from tree_sitter import Language, Parser

    return Parser(Language(tree_sitter_toml.language()))


def _table(node: Node, here: Place, root: Place, file: str) -> None:
    """Note the pairs among the children of a node, and the tables, which begin at the root."""
    for child in node.named_children:
        if child.type == "pair":
            _pair(child, here, file)
        elif child.type in ("table", "table_array_element") and child.named_children:
            path = list(keys_of_node(child.named_children[0]))
            if path:
                many = child.type == "table_array_element"
                _table(child, _header(path, root, _source(child, file), many), root, file)
        elif child.type == "ERROR":
            _table(child, here, root, file)


def _header(path: list[str], root: Place, source: Source, many: bool) -> Place:
    """The place of the table that a header opens; of a list of tables, its next item."""
    here = root
    for key in path[:-1]:
        here = _latest(here.below.setdefault(key, Place(source)))
    known = path[-1] in here.below
    last = here.below.setdefault(path[-1], Place(source))
    if many:
        item = Place(source)
        last.below[len(last.below)] = item
        return item
    if known:
        last.source = source
    return last


def _latest(place: Place) -> Place:
    """The last item of a list of tables, or the table itself."""
    last = len(place.below) - 1
    return place.below.get(last, place)


def _pair(node: Node, here: Place, file: str) -> None:
    if len(node.named_children) < 2:
        return
    key, value = node.named_children[0], node.named_children[-1]
    source = _source(key, file)
    for part in keys_of_node(key):
        here = here.below.setdefault(part, Place(source))
    _value(value, here, file)


def _value(node: Node, here: Place, file: str) -> None:
    if node.type == "inline_table":
        for child in node.named_children:
            if child.type == "pair":
                _pair(child, here, file)
    elif node.type == "array":
        items = (child for child in node.named_children if child.type not in ("comment", "ERROR"))
        for index, child in enumerate(islice(items, MOST_ITEMS)):
            source = _source(child, file)
            if source != here.source or child.type in ("array", "inline_table"):
                item = here.below[index] = Place(source)
                _value(child, item, file)


def keys_of_node(node: Node) -> Iterator[str]:
    """The parts of a key, dotted or not, unquoted."""
    waiting = [node]
    while waiting:
        each = waiting.pop()
        if each.type == "dotted_key":
            waiting.extend(reversed(each.named_children))
        elif each.type in ("bare_key", "quoted_key") and each.text:
            written = each.text.decode(errors="replace")
            yield _unquoted(written) if each.type == "quoted_key" else written


def _unquoted(written: str) -> str:
    try:
        (key,) = tomllib.loads(f"{written} = 0")
    except (tomllib.TOMLDecodeError, ValueError):
        return written[1:-1]
    return key


def _source(node: Node, file: str) -> Source:
    return Source(file, node.start_point[0] + 1)
