"""Find every mention of a hole that does not exist."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from contextlib import suppress
from typing import Any

from legend.description.faults import Fault, likeliest, meant
from legend.description.reading.explaining.table_names import name_of, shown
from legend.description.reading.line_numbers import Place
from legend.description.tables.description import Description
from legend.description.tables.keys import keys_of
from legend.description.values.ranges import spelt_out
from legend.limits import MOST_FAULTS
from legend.sentences import capitalised, listed, sentence

#: Where a hole is mentioned, its name, and who wants it, as a sentence begins.
Mention = tuple[list[str | int], str, str]

#: The lists of tables that name a hole, the key under which they do, and what that is for.
_MENTIONS = (
    ("control", "hole", "A control stands in"),
    ("bare", "hole", "A bare disc lies round"),
    ("text", "around", "A text stands around"),
)

#: What a table says by a list of holes.
_NAMES = {"fixings": "is held by a screw in"}


def unknown_holes(
    raw: Mapping[str, Any], place: Place, listed_too: Collection[str], struck: str
) -> Iterator[Fault]:
    """A fault for each hole that is named and does not exist.

    `listed_too` are holes that exist besides those of the raw tables; `struck` is text that
    could not be read, in which others may stand.
    """
    if not isinstance(raw.get("holes"), dict):
        return
    holes = {**raw["holes"], **dict.fromkeys(listed_too)}
    likely = holes if len(holes) <= 500 else ()  # looking for the likeliest takes time
    known = f"the holes are {listed(_some(list(holes)))}" if holes else "no holes are given at all"
    for path, id, who in _named_holes(raw):
        if id not in holes and id not in struck:
            what = f"{who} hole {shown(id)}, which does not exist{meant(id, likely, known)}"
            yield Fault(place.at(path), sentence(what))
    for path, ids, who in _named_by_ranges(raw):
        missing = [id for id in ids if id not in holes and id not in struck]
        if len(missing) == 1:
            end = meant(missing[0], likely, known)
            what = f"{who} hole {shown(missing[0])}, which does not exist{end}"
            yield Fault(place.at(path), sentence(what))
        elif missing:
            which = listed(_some([shown(id) for id in missing], 5))
            what = f"{who} holes {which}, which do not exist; {known}"
            yield Fault(place.at(path), sentence(what))
    fitted = _fitted_holes(raw)
    for path, id, who in _neighbours(raw):
        if id in holes and id not in fitted and id not in struck:
            what = f"{who} hole {shown(id)}, in which nothing is fitted; give it a control"
            yield Fault(place.at(path), sentence(what))


def unmatched_holes(raw: Mapping[str, Any], place: Place, struck: str) -> Iterator[Fault]:
    """A fault for each hole that is designed and was not measured, and for the reverse.

    `struck` is text that could not be read, in which others may stand.
    """
    design, drilled = raw.get("holes"), raw["as_drilled"].get("holes")
    if not isinstance(design, dict) or not isinstance(drilled, dict):
        return
    if not drilled and not struck:
        what = "The holes as drilled are none; name their hole_list, or give [as_drilled.holes]."
        yield Fault(place.at(["as_drilled"]), what)
        return
    for path, those, others, said, cure in (
        (["holes"], design, drilled, "is not among those as drilled", "measure it"),
        (["as_drilled", "holes"], drilled, design, "was drilled, but never designed", "design it"),
    ):
        missing = [id for id in those if id not in others and id not in struck]
        spare = [id for id in others if id not in those][:500]
        for id in missing[:MOST_FAULTS]:
            near = likeliest(id, spare)
            end = f'; is it "{near}" there?' if near else f"; {cure}, or leave it out of both."
            yield Fault(place.at([*path, id]), f"Hole {shown(id)} {said}{end}")


def holes_misspelt(raw: Mapping[str, Any]) -> bool:
    """Whether there seem to be holes under a key that is misspelt."""
    strange = [key for key in raw if key not in keys_of(Description)][:20]
    return any(likeliest(key, ["holes", "hole_list"]) for key in strange)


def _fitted_holes(raw: Mapping[str, Any]) -> set[str]:
    """The holes in which something is fitted."""
    fitted = {table["hole"] for _, table in _tables(raw, "control") if _is_text(table, "hole")}
    fitted |= {id for _, id, _ in _several_holes(raw, "bank", "holes")}
    return fitted.union(*(ids for _, ids, _ in _named_by_ranges(raw)))


def _is_text(table: Mapping[str, Any], key: str) -> bool:
    return isinstance(table.get(key), str)


def _named_holes(raw: Mapping[str, Any]) -> Iterator[Mention]:
    """Every mention of a hole: where it is, the hole's name, and who wants it."""
    for key, under, who in _MENTIONS:
        for i, table in _tables(raw, key):
            if _is_text(table, under):
                yield [key, i, under], table[under], who
    for key in ("group", "control", "bank"):
        yield from _several_holes(raw, key, "holes")
    yield from _several_holes(raw, "control", "fixings")
    yield from _several_holes(raw, "bank", "fixings")
    yield from _neighbours(raw)


def _several_holes(raw: Mapping[str, Any], key: str, under: str) -> Iterator[Mention]:
    """Every hole in the lists that stand under this key of these tables."""
    for i, table in _tables(raw, key):
        holes = table.get(under)
        for j, id in enumerate(holes if isinstance(holes, list) else ()):
            if isinstance(id, str):
                who = f"{capitalised(name_of((key, i), raw))} {_NAMES.get(under, 'names')}"
                yield [key, i, under, j], id, who


def _neighbours(raw: Mapping[str, Any]) -> Iterator[Mention]:
    """Every mention of a hole whose control has a name or a scale in common with another."""
    yield from _several_holes(raw, "control", "name_for")
    for i, table in _tables(raw, "control"):
        scale = table.get("scale")
        if isinstance(scale, dict) and isinstance(scale.get("shared_with"), str):
            who = f"{capitalised(name_of(('control', i, 'scale'), raw))} is shared with"
            yield ["control", i, "scale", "shared_with"], scale["shared_with"], who


def _named_by_ranges(
    raw: Mapping[str, Any],
) -> Iterator[tuple[list[str | int], tuple[str, ...], str]]:
    """Every range of holes: where it is, the holes in it, and who wants them."""
    for i, table in _tables(raw, "bank"):
        if _is_text(table, "holes"):
            with suppress(ValueError):  # what is no range is told by itself
                ids = spelt_out(table["holes"])
                yield ["bank", i, "holes"], ids, f"{capitalised(name_of(('bank', i), raw))} names"


def _tables(raw: Mapping[str, Any], key: str) -> Iterator[tuple[int, dict[str, Any]]]:
    tables = raw.get(key)
    for i, table in enumerate(tables if isinstance(tables, list) else ()):
        if isinstance(table, dict):
            yield i, table


def _some(names: list[str], most: int = 20) -> list[str]:
    """Not more names than a sentence can hold."""
    return names if len(names) <= most else [*names[:most], f"{len(names) - most} more"]
