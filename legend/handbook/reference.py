"""Write the tables of the handbook from the schema, the registries and the rules, as Markdown.

Each part stands in its page, or in the README, between two markers, and is made anew there by
`python -m legend.handbook`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any

from legend.description.kinds import KINDS, Kind
from legend.description.laws import LAWS, TAPERS, track
from legend.description.reading.explaining.fault_sentences import allowed_words
from legend.description.table import Table
from legend.description.tables.keys import Held, field_of, is_table, keys_of
from legend.description.tables.lettering import LETTERED_ROLES, Lettering
from legend.description.values.length_values import SUCH_AS
from legend.description.values.number_values import SUCH_TIMES
from legend.handbook.both_units import in_both, lengths_in_both, values_in_both
from legend.handbook.words import default_of, first_paragraph, headings, meanings, tables_told
from legend.lettering.symbols.registry import GROUPS
from legend.lettering.symbols.symbol import Symbol
from legend.rules import RULES_ABOUT
from legend.standards import FILM_LIMITS, SHEET_LIMITS

#: More choices than this are listed in a table of their own.
_MOST_CHOICES = 8


def brought_up_to_date(page: str) -> str:
    """A page with its made parts made anew. Error: ValueError where its markers are not whole."""
    names = re.findall(r"<!-- made from the program: (.+?) -->", page)
    if not names:
        raise ValueError("no part of it is made from the program")
    for name in names:
        begin, end = f"<!-- made from the program: {name} -->", f"<!-- end of {name} -->"
        before, _, rest = page.partition(begin)
        _, ended, after = rest.partition(end)
        if not ended or name not in PARTS:
            raise ValueError(f"no part ends after the marker {begin}, or none is called so")
        page = "\n\n".join((before + begin, *PARTS[name](), end + after))
    return page


# --- The description, table by table ---


def description_reference() -> Iterator[str]:
    """Every table of a description with its keys; then the registries that these name."""
    for table, heading in tables_told().items():
        yield f"### `{heading}`" if heading else "### Before the first table"
        yield first_paragraph(table)
        yield _keys(table, heading.strip("[]"))
    yield "### Roles of lettering"
    yield _table(
        ("role", "what is set in it"),
        ((f"`{role}`", meanings(Lettering)[role]) for role in LETTERED_ROLES),
    )
    yield "### Kinds of control"
    yield (
        "What a kind covers where `covers` is left out is reckoned from the diameter of its hole; "
        "of one with sides it is the size of that and so much more, and of a D-connector its "
        "flange. Common practice, no source."
    )
    yield _table(
        ("kind", "what it is", "takes, besides a name and a note", "covers"),
        (
            (f"`{kind.name}`", kind.what, _taken_by(kind), _covered_by(kind))
            for kind in KINDS.values()
        ),
    )
    yield "### Laws of scales"
    yield _table(
        ("law", "how values stand"),
        ((f"`{name}`", first_paragraph(law)) for name, law in LAWS.items()),
    )
    yield _table(
        ("taper", "resistance at half of its track", "track, of the sweep, where it is not given"),
        (
            (f"`{name}`", f"{track(name)(50):g} %", f"{each.track:g}")
            for name, each in TAPERS.items()
        ),
    )
    yield "### Symbols"
    yield (
        "All are drawn for this program, after the names in the standards; the numbers, to look "
        "them up by, were found in makers' lists, except where they are from memory. Those that "
        "say so are our own drawings, and go by no standard. Other names will do, and the "
        "characters that stand for them; of several that a name may mean, such as `symbol:power`, "
        "it is asked which. `legend faces symbols --out symbols.svg` draws a sheet of them all. "
        "Film carries them all from a height of 2.5 mm, a rigid sheet from 5 mm. No symbol makes "
        "a switch an emergency stop, or anything safe."
    )
    for group in GROUPS:
        yield f"#### {group.heading}"
        yield _table(
            ("write", "for", "standard", "or"),
            (
                (f"`symbol:{name}`", each.title, each.number, _also(each))
                for name, each in group.symbols.items()
            ),
        )
    yield "### What a stock carries"
    yield "Where the description does not say it. Common practice, no source."
    yield _table(
        ("`[stencil]`", "film", "sheet"),
        (
            (f"`{key}`", in_both(FILM_LIMITS[limit]), in_both(SHEET_LIMITS[limit]))
            for key, limit in _LIMITS.items()
        ),
    )


_LIMITS = {f"least_{what}": what for what in ("stroke", "counter", "gap", "bridge")} | {
    "margin": "margin"
}


def _keys(table: type[Table], path: str) -> str:
    """The keys of a table that stands on this path."""
    return _table(
        ("key", "what it holds", "left out", "what it means"),
        (
            (f"`{key}`", holds(held, f"{path}.{key}" if path else key), *left_out(table, key))
            for key, held in keys_of(table).items()
        ),
    )


#: The keys that every description has or wants, in the order in which they are met.
_DAILY: Mapping[str, Sequence[str]] = {
    "": ("units",),
    "[panel]": ("size", "datum"),
    "[finish]": ("base", "top"),
    "[stencil]": ("method", "stock", "stock_size"),
    "[holes.NAME]": ("at", "drill"),
    "[[control]]": ("kind", "name", "covers", "scale", "positions"),
    "[[bank]]": ("holes", "names", "groups"),
}


def daily_keys() -> Iterator[str]:
    """The keys that are used daily, each with what it means."""
    tables = {heading: table for table, heading in headings().items()}
    yield _table(
        ("where", "key", "what it means"),
        (
            (f"`{heading}`" if heading else "first", f"`{key}`", meanings(tables[heading])[key])
            for heading, keys in _DAILY.items()
            for key in keys
        ),
    )


def holds(held: Held, path: str) -> str:
    """What may stand on a path, as faults tell it, but more briefly."""
    if is_table(held.bare):
        return "a table"
    if held.form and len(held.form.choices) > _MOST_CHOICES:
        return held.form.words
    words = allowed_words(held, path)
    for told_elsewhere in (SUCH_AS, SUCH_TIMES, " in quotation marks"):
        words = words.replace(told_elsewhere, "")
    return values_in_both(words)


def left_out(table: type[Table], key: str) -> tuple[str, str]:
    """What holds where a key is left out, and what it means, without saying the first again."""
    meaning, _, instead = meanings(table)[key].partition(" Left out, ")
    if field_of(table, key).is_required():
        return "must be given", meaning
    return instead.removesuffix(".") or _as_toml(default_of(table, key)), meaning


def _as_toml(value: Any) -> str:
    """A value as TOML writes it, set as code; nothing for none."""
    if value is None:
        return ""
    return f"`{_written(value)}`"


def _written(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return f"[{', '.join(map(_written, value))}]"
    return f'"{value}"' if isinstance(value, str) else f"{value:g}"


def _also(symbol: Symbol) -> str:
    """The characters that stand for a symbol, and its other names."""
    names = (f"`{name}`" for name in symbol.also.split() if name.isascii())
    return ", ".join([*symbol.characters, *names])


def _taken_by(kind: Kind) -> str:
    """The keys of a control that not every kind takes."""
    positions = {
        "round": "`positions` in clockwise order, `detent`, `start`",
        "sides": "`positions` by side",
        "framed": "`positions` by side",
        "name": "",
    }[kind.lays]
    scale = "`scale`" if kind.takes_scale else ""
    frame = "`frame`" if kind.takes_frame else ""
    return ", ".join(filter(None, (scale, positions, frame)))


def _covered_by(kind: Kind) -> str:
    factor = f"{kind.covers_factor:g} × the hole" if kind.covers_factor != 1 else "the hole"
    return factor + (f" + {in_both(kind.covers_extra)}" if kind.covers_extra else "")


# --- The checks ---


def checks_reference() -> Iterator[str]:
    """Every check by its code: what it finds, how much that matters, and by what rule."""
    for about, rules in RULES_ABOUT.items():
        yield f"## {about}"
        yield _table(
            ("code", "what it finds", "severity", "source of the rule"),
            (
                (
                    f"`{code}`",
                    lengths_in_both(rule.finds),
                    " or ".join(rule.severities),
                    rule.source,
                )
                for code, rule in rules.items()
            ),
        )


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table of Markdown."""
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


#: The parts of pages that are made from the program, by the names in their markers.
PARTS: Mapping[str, Callable[[], Iterator[str]]] = {
    "description": description_reference,
    "checks": checks_reference,
    "daily keys": daily_keys,
}
