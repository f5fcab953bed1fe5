"""Turn pydantic's validation errors into plain sentences with line numbers.

A finding's location is walked along the schema and the raw values together. That tells
whose key it is, what stands there, and what may stand there; of pydantic's own wording
nothing is used. All that is wrong with one value makes one fault.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Literal, get_args, get_origin

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from legend.description.faults import Fault, meant
from legend.description.other_words import value_meant
from legend.description.reading.explaining.strange_keys import about, belongs, key_meant
from legend.description.reading.explaining.table_names import NOTHING, Path, below, name_of, shown
from legend.description.reading.line_numbers import Place
from legend.description.source import Source
from legend.description.table import CLASH, Table
from legend.description.tables.description import Description
from legend.description.tables.keys import Held, is_table, keys_of, table_in, taken_apart
from legend.description.values.choices import Direction
from legend.description.values.form import TAG
from legend.length_words import Lengths, WithLengths
from legend.limits import LONGEST_ID, MOST_FAULTS
from legend.sentences import listed, sentence

SIDES: tuple[str, ...] = get_args(Direction)


@dataclass(frozen=True, slots=True)
class Spot:
    """A value that is wrong: the table whose key it stands under, and where both are.

    `held` is None where the table has no such key, or where `path` is the table's own.
    """

    table: type[Table]
    owner: Path
    path: Path
    value: Any
    held: Held | None


def faults_in(
    error: ValidationError,
    raw: Mapping[str, Any],
    place: Place,
    unread: str | None = "",
    units: Mapping[str, str] = MappingProxyType({}),
) -> Iterator[Fault]:
    """The faults of a description that pydantic would not take, each once.

    `unread` is text that could not be read, None where it is not known. A key that may stand
    in it is not told as missing; nor is one that is there, but misspelt. `units`
    are those of each file, in which its lengths are said.
    """
    told: set[Path] = set()
    told_as: dict[Path, list[str | None]] = {}
    clashing: set[Path] = set()
    findings = [(_path(each), each) for each in error.errors(include_url=False)]
    if len(findings) > MOST_FAULTS:
        untold = f"{len(findings) - MOST_FAULTS} further faults are not told; mend these first."
        yield Fault(Source(place.source.file), untold)
        del findings[MOST_FAULTS:]
    for path, each in findings:
        if each["type"] == CLASH:
            if path[-1] and _may_be_there(_walk(path, raw), raw, unread):
                continue
            clashing.add(path)
            owner = path[:-1]
            if not path[-1] and _stands_unread(owner, raw, unread):
                continue
            source = place.at(path if path[-1] else owner)
            what = _said(each["ctx"]["what"], units.get(source.file, "mm"))
            yield Fault(source, sentence(f"{name_of(owner, raw)} {what}"))
    for path, each in findings:
        # What a table cannot have at all is not told about twice.
        if each["type"] == CLASH or any(path[:n] in clashing for n in range(1, len(path) + 1)):
            continue
        is_key = path[-1] == "[key]"
        spot = _walk(path[:-1] if is_key else path, raw)
        if spot.path in told or (each["type"] == "missing" and _may_be_there(spot, raw, unread)):
            continue
        told.add(spot.path)
        source = place.at(spot.path)
        of_file = units.get(source.file, "mm")
        if is_key:
            said = _wrong_key(spot, raw)
        elif spot.held is None:
            right = key_meant(spot.table, str(spot.path[-1]))
            if right in told_as.setdefault(spot.owner, []):
                continue  # a panel's width was told of, and its height is the same slip
            told_as[spot.owner] += [right] * (right is not None)
            said = _strange_key(spot, raw, of_file)
        else:
            reason = each["ctx"]["error"].args[0] if each["type"] == "value_error" else ""
            said = _wrong_value(spot, spot.held, path, raw, _said(reason, of_file), of_file)
        yield Fault(source, sentence(said))


def _said(what: str | WithLengths, units: str) -> str:
    return what if isinstance(what, str) else what.said(Lengths(units))


def _may_be_there(spot: Spot, raw: Mapping[str, Any], unread: str | None) -> bool:
    """Whether a key that is missing is only misspelt, or stands where nothing could be read."""
    if spot.value is not NOTHING:
        return False
    table: Any = raw
    for step in spot.owner:
        table = below(table, step)
    strange = [key for key in table if key not in keys_of(spot.table)][:20]
    key = str(spot.path[-1])
    return (
        unread is None
        or key in unread
        or any(key_meant(spot.table, each) == key for each in strange)
    )


def _stands_unread(owner: Path, raw: Mapping[str, Any], unread: str | None) -> bool:
    """Whether what a table lacks may stand where nothing could be read."""
    spot = _walk(owner, raw)
    table = (spot.held and table_in(spot.held.bare)) or spot.table
    lacking = [key for key in keys_of(table) if key not in spot.value]
    return unread is None or any(key in unread for key in lacking)


def _path(finding: ErrorDetails) -> Path:
    """Where pydantic points, without its marks of the branches of unions."""
    return tuple(s for s in finding["loc"] if not (isinstance(s, str) and s.startswith(TAG)))


# --- Walking ---


def _walk(path: Path, raw: Mapping[str, Any]) -> Spot:
    """Follow a path down to the table it leads to, and on to the value that is told about."""
    table: type[Table] = Description
    owner: Path = ()
    value: Any = raw
    held: Held | None = None
    for i, step in enumerate(path):
        if held is None:
            held = keys_of(table).get(str(step))
            value = below(value, step)
            if held is None:
                return Spot(table, owner, path[: i + 1], value, None)
        else:
            inside = _inside(held, value)
            if inside is None:
                return Spot(table, owner, path[:i], value, held)
            held, value = inside, below(value, step)
        inner = table_in(held.bare)
        if inner and (is_table(held.bare) or isinstance(value, Mapping)):
            if i + 1 == len(path):
                break
            table, owner, held = inner, path[: i + 1], None
    return Spot(table, owner, path, value, held)


def _inside(held: Held, value: Any) -> Held | None:
    """The type of the items of a list or table; None where the value is told as a whole."""
    if held.form and not held.form.each:
        return None
    wanted = dict if isinstance(value, Mapping) else tuple
    for each in (held.bare, *get_args(held.bare)):
        bare = taken_apart(each).bare
        if get_origin(bare) is wanted:
            return taken_apart(get_args(bare)[1 if wanted is dict else 0])
    return None


# --- Saying ---


def _strange_key(spot: Spot, raw: Mapping[str, Any], units: str) -> str:
    """What is wrong with a key that its table does not have."""
    of = name_of(spot.owner, raw) if spot.owner else "a description"
    strange = str(spot.path[-1])

    def allowed(key: str) -> str:
        path = ".".join(str(step) for step in (*spot.owner, key))
        return allowed_words(keys_of(spot.table)[key], path, units)

    table: Any = raw
    for step in spot.owner:
        table = below(table, step)
    return f"{shown(strange)} is not a key of {of}{about(spot.table, strange, table, allowed)}"


def _wrong_value(
    spot: Spot, held: Held, path: Path, raw: Mapping[str, Any], reason: str, units: str
) -> str:
    """What is wrong with the value of a key, for which pydantic points to `path` in it."""
    owner = name_of(spot.owner, raw)
    key, *items = spot.path[len(spot.owner) :]
    allowed = allowed_words(held, ".".join(str(step) for step in spot.path), units)
    if spot.value is NOTHING:
        return f"{owner} lacks {key}, which must be {allowed}"
    said = f"{owner} has {key} = {shown(spot.value)}"
    for item in items:
        place = f"for {item}" if isinstance(item, str) else f"as item {item + 1}"
        said = f"{owner} has {shown(spot.value)} {place} of {key}"
    choices = _choices(held)
    if reason and not choices:
        inner = spot.value
        for step in path[len(spot.path) :]:
            inner = below(inner, step)
        said += (
            f", which {reason}" if inner is spot.value else f", in which {shown(inner)} {reason}"
        )
    written = spot.value if isinstance(spot.value, str) else ""
    if held.form and held.form.hint and (known := held.form.hint(written)):
        return f"{said}; {known}"
    near = value_meant(written, choices)
    return said + meant(near, choices, f"it must be {allowed}") + _hint(spot, held)


def _hint(spot: Spot, held: Held) -> str:
    """What a wrong value may have been meant as, as the end of a sentence, or ""."""
    value = spot.value
    of_lengths = held.form and held.form.unit == "mm" and isinstance(value, list)
    if of_lengths and 2 < len(value) <= 4 and all(isinstance(each, int) for each in value):
        return "; a decimal is written with a point, as in 2.5"
    if spot.path[0] == "holes" and len(spot.path) == 2 and not isinstance(value, Mapping):
        home = belongs(str(spot.path[-1]))
        return f"; if it is meant as a key of its own, {home}" if home else ""
    return ""


def _wrong_key(spot: Spot, raw: Mapping[str, Any]) -> str:
    """A name in a table of names that cannot be one: of a hole, of a side."""
    key = str(spot.path[-1])
    if "holes" in spot.path[:-1]:
        return f"{shown(key)} cannot be the name of a hole; write 1 to {LONGEST_ID} characters"
    end = meant(key, SIDES, f"positions stand {listed(SIDES, 'or')}")
    return f"{name_of(spot.owner, raw)} has a position {shown(key)}{end}"


def _choices(held: Held) -> tuple[str, ...]:
    if held.form and held.form.choices:
        return held.form.choices
    return get_args(held.bare) if get_origin(held.bare) is Literal else ()


def allowed_words(held: Held, path: str = "", units: str = "mm") -> str:
    """What may stand on this path, in words that go on from "it must be"."""
    if choices := _choices(held):
        quoted = listed((f'"{choice}"' for choice in choices), "or")
        return f"{held.form.words_in(units)}: {quoted}" if held.form else quoted
    if held.form:
        return held.form.words_in(units)
    bare = held.bare
    if is_table(bare):
        *above, own = path.split(".")
        in_a_list = any(step.isdecimal() for step in above)
        such = f"as {own} = {{ ... }}" if in_a_list else f"as [{path}]"
        return f"a table, {such}, with the keys {listed(keys_of(bare))}"
    if get_origin(bare) is dict:
        return f"a table of holes, such as [{path}] with A = {{ at = [30, 45], drill = 9.5 }} in it"
    inside = taken_apart(get_args(bare)[0])
    if is_table(inside.bare):
        return f"a list of tables, each begun with [[{path}]]"
    return f"a list, of which each item is {allowed_words(inside, units=units)}"
