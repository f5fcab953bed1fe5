"""Look up a name in the handbook: a key, a table, a kind, a law, a symbol or a check."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from legend.description.faults import likeliest
from legend.description.kinds import KINDS
from legend.description.laws import LAWS
from legend.description.other_words import kind_meant
from legend.description.tables.keys import keys_of
from legend.handbook.both_units import lengths_in_both
from legend.handbook.reference import holds, left_out
from legend.handbook.words import first_paragraph, tables_told
from legend.lettering.symbols.names import known_as
from legend.lettering.symbols.registry import SYMBOLS
from legend.rules import RULES
from legend.sentences import listed, sentence


@dataclass(frozen=True, slots=True)
class Entry:
    """What the handbook says of one name: what it is the name of, and sentences about it."""

    name: str
    what: str
    says: tuple[str, ...]


def entries(name: str) -> list[Entry]:
    """Every entry of a name, as a description or a finding writes it; else what kind it means.

    >>> [entry.what for entry in entries("knob")]
    ['a kind of control']
    """
    wanted = name.strip().strip("[]`").lower().removeprefix("symbol:")
    wanted_too = f"symbol:{known_as(wanted)}"
    found = [entry for entry in _all() if _bare(entry.name) == wanted or entry.name == wanted_too]
    if not found and (meant := kind_meant(name)):
        return [Entry(name.strip(), "another word for a kind of control", (sentence(meant),))]
    return found


def nearest(name: str) -> str | None:
    """The name in the handbook that is most like one that is not."""
    return likeliest(name, {_bare(entry.name) for entry in _all()})


def _bare(name: str) -> str:
    return name.strip("[]").lower().removeprefix("symbol:")


def _all() -> Iterator[Entry]:
    for table, heading in tables_told().items():
        where = heading or "the description, before its first table"
        if heading:
            keys = f"Its keys are {listed(keys_of(table))}."
            yield Entry(heading, "a table", (first_paragraph(table), keys))
        for key, held in keys_of(table).items():
            path = heading.strip("[]")
            otherwise, meaning = left_out(table, key)
            says = [meaning, sentence(f"it holds {holds(held, f'{path}.{key}' if path else key)}")]
            if otherwise:
                must = otherwise == "must be given"
                says.append(sentence(f"it {otherwise}" if must else f"left out: {otherwise}"))
            yield Entry(key, f"a key of {where}", tuple(says))
    for kind in KINDS.values():
        yield Entry(kind.name, "a kind of control", (sentence(kind.what),))
    for law_name, law in LAWS.items():
        yield Entry(law_name, "a law of scales", (first_paragraph(law),))
    for symbol, drawn in SYMBOLS.items():
        yield Entry(f"symbol:{symbol}", "a symbol", (sentence(drawn.title), sentence(drawn.number)))
    for code, rule in RULES.items():
        severity = sentence(f"it is {listed((_with_article(s) for s in rule.severities), 'or')}")
        source = f"Source of the rule: {rule.source}."
        yield Entry(code, "a check", (lengths_in_both(rule.finds), severity, source))


def _with_article(severity: str) -> str:
    return f"an {severity}" if severity[0] in "aeiou" else f"a {severity}"
