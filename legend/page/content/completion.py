"""Say what may be written at a place of a description: keys and values, with what they mean.

What there is comes from the JSON Schema that any editor may use, and what it means from there and
from the registries behind it; the names of holes come from the panel as it was last drawn.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from typing import Any

from legend.description.kinds import KINDS, with_article
from legend.description.laws import LAWS
from legend.description.paint_colours import rgb
from legend.description.tables.description import LETTERED_ROLES, Description
from legend.description.tables.lettering import Lettering
from legend.drawing.colours import css
from legend.handbook.both_units import lengths_in_both
from legend.handbook.json_schema import Schema, json_schema
from legend.handbook.words import first_paragraph, headings, meanings
from legend.layout.artwork import Artwork
from legend.length_words import Lengths
from legend.lettering.faces.finding import BUILT_IN
from legend.lettering.symbols.registry import SYMBOLS
from legend.page.content.caret import Caret, Steps, caret_at
from legend.page.messages import Completion, Completions
from legend.rules import RULES
from legend.sentences import sentence

#: The keys whose values are names of holes.
_OF_HOLES = ("hole", "holes", "name_for", "shared_with", "fixings", "around")
#: The beginning of a symbol among words.
_SYMBOL = "symbol:"


def completions(ask: int, text: str, at: int, artwork: Artwork | None) -> Completions:
    """All that may be written at a place of a text; of a panel, if there is one, the holes."""
    caret = caret_at(text, at)
    words: Iterable[Completion] = ()
    if caret.writing == "heading":
        words = _headings(text, at)
    elif caret.writing == "key":
        words = _keys(caret, text, at)
        on_a_line = not text[text.rfind("\n", 0, at) + 1 : at].strip()
        if on_a_line and not caret.inline:  # where a key may stand, a heading may
            words = (*words, *_headings(text, at))
    elif caret.writing == "value":
        begun = re.split(r"\s|\\n", text[caret.begin : at])[-1]
        if _begins_a_symbol(begun):  # as one word of several
            caret = replace(caret, begin=at - len(begun))
        words = _once(_values(caret, text, at, artwork))
    return Completions(ask, caret.begin, tuple(words))


def _once(words: Iterable[Completion]) -> Iterable[Completion]:
    """Each word once, in its first place, with the first meaning that is told of it."""
    found: dict[str, Completion] = {}
    for each in words:
        if each.word not in found or not found[each.word].meaning:
            found[each.word] = each
    return found.values()


# --- Headings and keys ---


def _headings(text: str, at: int) -> Iterator[Completion]:
    """The headings of tables, but those of single ones that are there; the brackets closed once."""
    after = re.match(r"\]*", text[at:])
    closed = len(after[0]) if after else 0
    for heading, meaning in _all_headings().items():
        if heading.startswith("[[") or not _is_there(heading, text):
            word = heading[: len(heading) - min(closed, heading.count("]"))]
            yield Completion(word, _short(meaning), "table")


@cache
def _all_headings() -> Mapping[str, str]:
    """Every heading with what its table is; those of roles, of which the schema tells but one."""
    told = {heading: first_paragraph(table) for table, heading in headings().items() if heading}
    told["[holes]"] = meanings(Description)["holes"]
    for role in LETTERED_ROLES:
        told[f"[lettering.{role}]"] = meanings(Lettering)[role]
    return told


def _is_there(heading: str, text: str) -> bool:
    return re.search(rf"^[ \t]*{re.escape(heading)}", text, re.M) is not None


def _keys(caret: Caret, text: str, at: int) -> Iterator[Completion]:
    """The keys that a table may still have."""
    rest = text[at:].partition("\n")[0]
    lead = "" if re.match(r"[\w-]*\s*=", rest) else " = "
    kind = _kind_round(text, at) if caret.table[:1] in (("control",), ("bank",)) else ""
    for key, schema in _properties(caret.table).items():
        if key not in caret.given and not _is_idle(key, kind):
            is_table = caret.table == () and any("properties" in each for each in _ways(schema))
            if not (is_table or _is_list_of_tables(schema)) or caret.table:
                yield Completion(key + lead, _short(schema.get("description", "")), "key")


def _is_list_of_tables(schema: Schema) -> bool:
    return any(
        "properties" in way for each in _ways(schema) for way in _ways(each.get("items", {}))
    )


def _kind_round(text: str, at: int) -> str:
    """The kind of control that the table says that a place is in; "" where it says none."""
    begin = text.rfind("\n[", 0, at) + 1
    end = text.find("\n[", at)
    table = text[begin : end if end >= 0 else len(text)]
    said = re.search(r"^\s*kind\s*=\s*[\"']([^\"'\n]+)", table, re.M)
    return said[1] if said else ""


def _is_idle(key: str, kind: str) -> bool:
    """Whether a key is nothing for controls of a kind."""
    if kind not in KINDS:
        return False
    entry = KINDS[kind]
    return (
        (key == "scale" and not entry.takes_scale)
        or (key == "frame" and not entry.takes_frame)
        or (key in ("detent", "start", "inner") and entry.lays != "round")
        or (key == "positions" and entry.lays == "name")
    )


# --- Values ---


def _values(caret: Caret, text: str, at: int, artwork: Artwork | None) -> Iterator[Completion]:
    """The values that a key may have."""
    schema = _properties(caret.table).get(caret.key, {})
    if caret.key in _OF_HOLES and caret.table != ("panel",):
        yield from _quoted(_holes(caret, artwork), caret, text, at)
        return
    for way in _ways(schema):
        for inner in (way, *_ways(way.get("items", {}))):
            if way is not inner and not caret.in_list:
                continue
            if inner.get("type") == "boolean":
                yield from (Completion(word, "", "value") for word in ("true", "false"))
            named = _named(inner.get("enum", ()), caret, text[caret.begin : at])
            yield from _quoted(named, caret, text, at)
    if caret.key == "face":
        built_in = Completion(BUILT_IN, "The face that comes with the program.", "value")
        yield from _quoted([built_in], caret, text, at)
    default = schema.get("default")
    if default is not None and not caret.quote and not isinstance(default, bool):
        yield Completion(_as_toml(default), "What holds where it is left out.", "value")


def _as_toml(value: object) -> str:
    return json.dumps(value, ensure_ascii=False)


def _begins_a_symbol(begun: str) -> bool:
    return len(begun) > 1 and (begun.startswith(_SYMBOL) or _SYMBOL.startswith(begun))


def _named(names: Iterable[object], caret: Caret, begun: str) -> Iterator[Completion]:
    """Names that a key may have, with what each means; symbols once they are begun."""
    for name in map(str, names):
        if name.startswith(_SYMBOL):
            if _begins_a_symbol(begun):
                yield Completion(name, SYMBOLS[name.removeprefix(_SYMBOL)].title, "symbol")
        elif name not in caret.given:
            yield _meaning(name, caret.key)


def _meaning(name: str, key: str) -> Completion:
    """A name out of a registry with what it means there."""
    if key == "kind" and name in KINDS:
        return Completion(name, sentence(KINDS[name].what), "kind")
    if key == "law" and name in LAWS:
        return Completion(name, _short(first_paragraph(LAWS[name])), "law")
    if name in RULES and key == "meant":
        return Completion(name, lengths_in_both(RULES[name].finds), "check")
    if key in ("base", "top", "colour"):
        return Completion(name, css(rgb(name)), "colour")
    return Completion(name, "", "value")


def _holes(caret: Caret, artwork: Artwork | None) -> Iterator[Completion]:
    """The holes of the panel, those first in which nothing is fitted yet."""
    if artwork is None:
        return
    lengths = Lengths(artwork.description.units)
    held = {control.hole: control.kind for control in artwork.description.control}
    held |= dict.fromkeys(artwork.description.fixings, "screw")
    for opening in sorted(artwork.openings, key=lambda each: each.id in held):
        if opening.id not in caret.given:
            size = f"{opening.hole.shape.words(lengths.exact)} {lengths.unit}"
            kind = held.get(opening.id)
            what = f"with {with_article(kind)}" if kind else "nothing fitted yet"
            yield Completion(opening.id, f"{size}, {what}.", "hole")


def _quoted(words: Iterable[Completion], caret: Caret, text: str, at: int) -> Iterator[Completion]:
    """The words in quotation marks, but for those that stand there."""
    quote = caret.quote or '"'
    lead = "" if caret.quote else quote
    tail = "" if text.startswith(quote, at) and caret.quote else quote
    for each in words:
        word = json.dumps(each.word, ensure_ascii=False)[1:-1] if quote[0] == '"' else each.word
        yield Completion(lead + word + tail, each.meaning, each.sort)


# --- The schema ---


@cache
def _schema() -> Schema:
    return json_schema()


def _ways(schema: Schema) -> Iterator[Schema]:
    """A schema with what it refers to, and each of the ways in which it may be met."""
    if "$ref" in schema:
        yield from _ways(_schema()["$defs"][schema["$ref"].rpartition("/")[2]])
    yield schema
    for branch in (*schema.get("anyOf", ()), *schema.get("oneOf", ())):
        if "$ref" in branch or "type" in branch or "enum" in branch or "properties" in branch:
            yield from _ways(branch)


def _properties(steps: Steps) -> dict[str, Schema]:
    """The keys of the table that these keys lead to, with their schemas."""
    tables: list[Schema] = [_schema()]
    for step in steps:
        tables = [below for table in tables for below in _under(table, step)]
    found: dict[str, Schema] = {}
    for table in tables:
        for each in _ways(table):
            found |= {k: v for k, v in each.get("properties", {}).items() if k not in found}
            names = each.get("propertyNames", {}).get("enum", ())
            found |= {name: each.get("additionalProperties", {}) for name in names}
    return found


def _under(table: Schema, step: str) -> Iterator[Schema]:
    """What may stand under a key: of a list, what its items may be."""
    for each in _ways(table):
        below: Any = each.get("properties", {}).get(step, each.get("additionalProperties"))
        if isinstance(below, dict):
            for way in _ways(below):
                yield way.get("items", way)


def _short(meaning: str) -> str:
    """The first sentence of what something means."""
    return re.split(r"(?<=[.:]) (?=[A-Z])", meaning.strip(), maxsplit=1)[0]
