"""Read a description from a TOML file.

What the file names is read with it: the style it inherits from, and the hole list. All
that is wrong with any of them is told at once, each fault with its file and line.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_args, get_origin

from pydantic import ValidationError

from legend.description.faults import DescriptionError, Fault
from legend.description.other_words import value_meant
from legend.description.reading.explaining.table_names import shown
from legend.description.reading.explaining.unknown_holes import (
    holes_misspelt,
    unknown_holes,
    unmatched_holes,
)
from legend.description.reading.files import DRAWING, content_of, longest_of, names_a_file
from legend.description.reading.hole_lists.hole_datums import OwnDatums, taken_out
from legend.description.reading.line_numbers import Place, find_places
from legend.description.reading.toml_text import parse_toml
from legend.description.reading.written_out import written_out
from legend.description.source import Source
from legend.description.table import SOURCES, Table
from legend.description.tables.description import Description
from legend.description.tables.keys import is_table, keys_of, table_in
from legend.description.values.lengths import MILLIMETRES
from legend.limits import LONGEST_FILE, MOST_FAULTS, MOST_GROUPS, MOST_HOLES

if TYPE_CHECKING:
    from legend.description.reading.hole_lists.hole_list import HoleList

#: What stands for the place where the hole list of another unit is asked for.
DRILLED = "--drilled"


def read(path: Path | str, drilled: Path | str | None = None) -> Description:
    """Read a description and the files it names.

    `drilled` is the hole list of another unit, which is taken in the place of what the
    description says of its holes as drilled. Error: DescriptionError, with every fault that
    was found.
    """
    file = str(path)
    reading = _Reading()
    content = reading.content(Path(path), Source(file))
    if content is None:
        raise DescriptionError(reading.faults)
    return _read(content, file, reading, drilled)


def parse(text: str, file: str = "panel.toml") -> Description:
    """Read a description from its text; `file` is what faults call it, and where it would stand.

    Error: DescriptionError, with every fault that was found.
    """
    return _read(text.encode(errors="surrogatepass"), file, _Reading())


def _read(
    content: bytes, file: str, reading: _Reading, drilled: Path | str | None = None
) -> Description:
    try:
        raw, place = _with_styles(content, file, reading)
        if raw is None:
            raise DescriptionError(reading.faults)
        if drilled is not None:
            _take_unit(raw, place, reading, str(drilled))
        reading.datums = taken_out(raw, place)
        reading.faults += reading.datums.faults
        _add_outline(raw, place, reading)
        _add_hole_lists(raw, place, reading)
        description = _described(raw, place, reading)
        return description if drilled is None else description.of_unit(Path(drilled).name)
    except RecursionError:
        what = "Lists or tables stand too deep inside one another to be read."
        raise DescriptionError([*reading.faults, Fault(Source(file), what)]) from None


@dataclass(slots=True)
class _Reading:
    """What is gathered on the way: the faults, and the unit of each file.

    `struck` is text that could not be read. Where a style or the hole list is not known,
    nothing is said about what may stand in it.
    """

    faults: list[Fault] = field(default_factory=list)
    struck: str = ""
    units: dict[str, str] = field(default_factory=dict)
    styles_known: bool = True
    holes_known: bool = True
    listed: set[str] = field(default_factory=set)
    written: set[str] = field(default_factory=set)
    datums: OwnDatums = field(default_factory=OwnDatums)

    def content(self, path: Path, asked_for: Source) -> bytes | None:
        """The bytes of a file; None, and a fault where it is asked for, if there are none."""
        longest = longest_of(path)
        try:
            content = content_of(path)
        except (FileNotFoundError, NotADirectoryError):
            from legend.description.reading.explaining.missing_files import not_there

            what = not_there(path, asked_for)
        except IsADirectoryError:
            from legend.description.reading.explaining.missing_files import a_folder

            what = a_folder(path, asked_for)
        except PermissionError:
            what = f"{path} may not be read; ask its owner for leave, or copy it."
        except (OSError, ValueError) as error:
            what = f"{shown(str(path))} cannot be read: {getattr(error, 'strerror', error)}."
        else:
            if len(content) <= longest:
                return content
            what = f"{path} is longer than {longest // 10**6} MB, which no panel needs."
        self.faults.append(Fault(asked_for, what))
        return None


# --- Files: the description, and the styles it inherits from ---


def _with_styles(
    content: bytes | None, file: str, reading: _Reading
) -> tuple[dict[str, Any] | None, Place]:
    """The raw tables of the file, with those of its style, and of that style's, under them."""
    chain: list[tuple[dict[str, Any], Place, str]] = []
    seen: dict[Path, str] = {}
    length = 0
    while content is not None:
        seen[_real(file)] = file
        length += len(content)
        raw, place = _raw(content, file, reading, empty_is_fault=not chain)
        if raw is None:
            reading.styles_known = False
            break
        chain.append((raw, place, file))
        content, asked_for = None, place.at(["style"])
        style = raw.get("style")
        if names_a_file(style):
            file = str(Path(file).parent / style)
            if _real(file) in seen:
                reading.faults.append(
                    Fault(asked_for, f"The styles go round in a circle: {style} is read already.")
                )
            else:
                content = reading.content(Path(file), asked_for)
                if content is not None and length + len(content) > LONGEST_FILE:
                    what = (
                        f"{file} and what inherits it are together longer than "
                        f"{LONGEST_FILE // 10**6} MB, which no panel needs."
                    )
                    reading.faults.append(Fault(asked_for, what))
                    content = None
                reading.styles_known = content is not None
    if not chain:
        return None, Place(Source(file))
    raw, place, file = chain.pop()
    _note_unit(raw, file, reading)
    while chain:
        own, own_place, own_file = chain.pop()
        _restate_faces(raw, file, own_file)
        _inherit(own, own_place, raw, place)
        raw, place, file = own, own_place, own_file
        _note_unit(raw, file, reading)
    return raw, place


def _real(file: str) -> Path:
    try:
        return Path(file).resolve()
    except (OSError, ValueError, RuntimeError):  # a loop of links, or no name of a file at all
        return Path(file)


def _raw(
    content: bytes, file: str, reading: _Reading, empty_is_fault: bool
) -> tuple[dict[str, Any] | None, Place]:
    """What one file says, and where; None where nothing of it can be read."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        what = "From here on this is not UTF-8 text; save the file as UTF-8 and plain text."
        reading.faults.append(Fault(Source(file, line), what))
        return None, Place(Source(file))
    if empty_is_fault and not text.strip():
        what = "The description is empty; legend new writes one to begin with."
        reading.faults.append(Fault(Source(file), what))
        return None, Place(Source(file))
    parsed = parse_toml(text, file)
    reading.faults += parsed.faults
    reading.struck += parsed.struck
    place = find_places(parsed.text, file)
    if isinstance(parsed.data.get("as_drilled"), str):  # the name of a list alone
        parsed.data["as_drilled"] = {"hole_list": parsed.data["as_drilled"]}
        source = place.at(["as_drilled"])
        place.below["as_drilled"] = Place(source, {"hole_list": Place(source)})
    return parsed.data, place


def _note_unit(raw: Mapping[str, Any], file: str, reading: _Reading) -> None:
    """Remember in which unit the bare numbers of a file are, its own or its style's."""
    units = raw.get("units", "mm")
    if isinstance(units, str):  # another word for it is told, and no length besides
        units = value_meant(units, MILLIMETRES)
    reading.units[file] = units if isinstance(units, str) and units in MILLIMETRES else "mm"


def _restate_faces(raw: Mapping[str, Any], file: str, heir: str) -> None:
    """Name the font files of a style as from the folder of the description that inherits it."""
    here, there = Path(file).parent, Path(heir).parent
    lettering = raw.get("lettering")
    if here == there or not isinstance(lettering, dict):
        return
    for table in (lettering, *lettering.values()):
        face = table.get("face") if isinstance(table, dict) else None
        if isinstance(face, str) and (here / face).is_file():
            table["face"] = os.path.relpath(here / face, there)


def _inherit(own: dict[str, Any], place: Place, base: dict[str, Any], base_place: Place) -> None:
    """Add to `own` what it does not say itself; tables are taken over key by key."""
    for key, value in base.items():
        if key not in own:
            own[key] = value
            if key in base_place.below:
                place.below[key] = base_place.below[key]
        elif isinstance(own[key], dict) and isinstance(value, dict):
            _inherit(own[key], place.inside(key), value, base_place.inside(key))


# --- The outline of the panel ---


def _add_outline(raw: Mapping[str, Any], place: Place, reading: _Reading) -> None:
    """Put the outline that a drawing holds in the place of the drawing's name."""
    panel = raw.get("panel")
    outline = panel.get("outline") if isinstance(panel, dict) else None
    if not isinstance(outline, dict) or not names_a_file(outline.get("drawing")):
        return
    asked_for = place.at(["panel", "outline", "drawing"])
    file = str(Path(asked_for.file).parent / outline["drawing"])
    content = reading.content(Path(file), asked_for)
    if content is None:
        return
    from legend.description.reading.hole_lists.dxf_drawing import DxfError, read_dxf_outline

    layer = outline.get("layer", "")
    try:
        outline["drawing"] = read_dxf_outline(
            content, layer if isinstance(layer, str) else "", reading.units[asked_for.file]
        )
    except DxfError as error:
        reading.faults.append(Fault(asked_for, f"{file}: {error}"))


# --- The hole lists ---


def _take_unit(raw: dict[str, Any], place: Place, reading: _Reading, list_: str) -> None:
    """Put the hole list of another unit in the place of [as_drilled], measured as that was."""
    before = raw.get("as_drilled")
    kept = {"datum": before["datum"]} if isinstance(before, dict) and "datum" in before else {}
    raw["as_drilled"] = {**kept, "hole_list": list_}
    asked_for = Source(DRILLED)
    at = place.below.get("as_drilled")
    below: dict[str | int, Place] = {"hole_list": Place(asked_for)}
    if kept and at:
        below["datum"] = at.below["datum"]
    place.below["as_drilled"] = Place(asked_for, below)
    reading.units[DRILLED] = reading.units[place.source.file]


def _add_hole_lists(raw: dict[str, Any], place: Place, reading: _Reading) -> None:
    """Put the holes of the lists, if there are any, behind those of the tables that name them."""
    panel = raw.get("panel")
    datum = panel.get("datum") if isinstance(panel, dict) else None
    holes = raw.get("holes")
    reading.written = {str(id) for id in holes} if isinstance(holes, dict) else set()
    origin = reading.datums.listed or datum
    reading.listed, reading.holes_known = _add_hole_list(raw, place, reading, origin)
    drilled = raw.get("as_drilled")
    if isinstance(drilled, dict):
        own = drilled.get("datum", datum)
        _, whole = _add_hole_list(drilled, place.inside("as_drilled"), reading, own, sizes=False)
        if whole and reading.holes_known:
            reading.faults += unmatched_holes(raw, place, reading.struck)


def _add_hole_list(
    table: dict[str, Any], place: Place, reading: _Reading, datum: object, sizes: bool = True
) -> tuple[set[str], bool]:
    """Put the holes of a table's list behind its own; the names of all, and whether these are all.

    `datum` is where the holes are measured from, if that is known.
    """
    name = table.get("hole_list")
    holes = table.setdefault("holes", {})
    if not names_a_file(name):
        return set(), name is None and isinstance(holes, dict)
    asked_for = place.at(["hole_list"])
    file = str(Path(asked_for.file).parent / name)
    content = reading.content(Path(file), asked_for)
    reading.units[file] = reading.units[asked_for.file]
    found = _listed(content, file, datum, sizes, reading.units[file])
    reading.faults += found.faults
    if not isinstance(holes, dict):
        return found.named, found.whole
    at = place.below.setdefault("holes", Place(asked_for))
    for id, hole in found.holes.items():
        if id in holes:
            twice = f"Hole {shown(id)} is given twice, here and in {at.at([id])}"
            what = f"{twice}; leave one of them out."
            reading.faults.append(Fault(found.places[id].source, what))
        else:
            holes[id] = hole
            at.below[id] = found.places[id]
    return found.named, found.whole


def _listed(content: bytes | None, file: str, datum: object, sizes: bool, units: str) -> HoleList:
    """The holes of a list, which is a table or a drawing by the ending of its name."""
    from legend.description.reading.hole_lists.hole_list import HoleList, read_hole_list

    if content is None:
        return HoleList()
    if Path(file).suffix.lower() != DRAWING:
        return read_hole_list(content, file, sizes)
    from legend.description.reading.hole_lists.dxf_holes import read_dxf_holes

    return read_dxf_holes(content, file, datum, units)


# --- Checking ---


def _described(raw: dict[str, Any], place: Place, reading: _Reading) -> Description:
    """The description, if nothing was or is found at fault."""
    faults = reading.faults
    too_many = list(_too_many(raw, place))
    if too_many:
        raise DescriptionError([*faults, *too_many])
    if reading.styles_known and reading.holes_known and not holes_misspelt(raw):
        faults += islice(unknown_holes(raw, place, reading.listed, reading.struck), MOST_FAULTS)
    faults += _hand_sources(Description, raw, place)
    try:
        description = Description.model_validate(raw, context={"units": reading.units})
    except ValidationError as error:
        from legend.description.reading.explaining.fault_sentences import faults_in

        struck = reading.struck if reading.styles_known else None
        faults += faults_in(error, raw, place, struck, reading.units)
    if faults:
        raise DescriptionError(faults)
    datums = reading.datums.of(reading.written, reading.listed)
    return written_out(description.with_holes_from(datums), place)


def _too_many(raw: Mapping[str, Any], place: Place) -> Iterator[Fault]:
    for key in ("holes", "control", "bank", "group", "text", "rule", "bare"):
        count = len(raw[key]) if isinstance(raw.get(key), (dict, list)) else 0
        most = MOST_GROUPS if key in ("bank", "group") else MOST_HOLES
        if count > most:
            what = f"There are {count} under {key}; no panel takes more than {most}."
            yield Fault(place.at([key]), what)


def _hand_sources(kind: Any, value: Any, place: Place) -> Iterator[Fault]:
    """Give each raw table the sources of its keys, under `SOURCES`, as the schema expects."""
    if isinstance(value, list) and get_origin(kind) is tuple:
        for i, each in enumerate(value):
            yield from _hand_sources(get_args(kind)[0], each, place.inside(i))
    elif isinstance(value, dict) and get_origin(kind) is dict:
        for key, each in value.items():
            yield from _hand_sources(get_args(kind)[1], each, place.inside(key))
    elif isinstance(value, dict) and (table := table_in(kind)):
        if SOURCES in value:
            what = f'"{SOURCES}" is a name kept for the program; leave it out.'
            yield Fault(place.at([SOURCES]), what)
        value[SOURCES] = dict(_sources_of(place))
        value[SOURCES][""] = place.source
        for key, below in _tables_under(table).items():
            if key in value:
                yield from _hand_sources(below, value[key], place.inside(key))


def _sources_of(place: Place) -> Iterator[tuple[str, Source]]:
    """Where the keys of a table are given, and the items of its lists: those by key and index."""
    for key, below in place.below.items():
        yield str(key), below.source
        for step, item in below.below.items():
            if isinstance(step, int):
                yield f"{key}.{step}", item.source


@lru_cache(maxsize=64)
def _tables_under(table: type[Table]) -> Mapping[str, Any]:
    """The keys of a table under which further tables stand, each with its type."""
    return {
        key: held.bare
        for key, held in keys_of(table).items()
        if table_in(held.bare) or any(is_table(each) for each in get_args(held.bare))
    }
