"""Read a hole list from a CSV file, as a spreadsheet writes it.

The first line names the columns: id, x, y, and drill, or width and height, or another shape of a
hole; and, where wanted, corner_radius, angle and note. How surely a hole was measured may stand
beside it, as u and doubt, and is not read. Columns are parted by commas, semicolons or
tabs, decimals may have a comma, and a heading may give a unit, as in `x (in)`. Headings in other
words and languages are known as well.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from legend.description.faults import Fault, meant
from legend.description.reading.explaining.table_names import shown
from legend.description.reading.hole_lists.column_heads import column_of
from legend.description.reading.hole_lists.hole_columns import (
    shape_columns,
    shape_columns_in_lengths,
    with_unit,
)
from legend.description.reading.line_numbers import Place
from legend.description.shapes.hole_shapes import SHAPES
from legend.description.source import Source
from legend.limits import LONGEST_CELL, MOST_FAULTS, MOST_HOLES
from legend.sentences import listed

#: The width and the height of a cut-out, which have a column each.
_PAIRED = (("width", "height"), ("height", "width"))
_SIDES = ("width", "height")
#: What tells how surely a hole was measured: how far off it may be, and why it is doubted.
_HOW_SURE = ("u", "doubt")
#: The columns whose cells are lengths.
LENGTHS = ("x", "y", *_SIDES, *shape_columns_in_lengths(), "u")
#: Every column, in the order in which they are best written.
COLUMNS = tuple(
    dict.fromkeys(
        ("id", *LENGTHS[:2], "drill", *_SIDES, *shape_columns(), "angle", *_HOW_SURE, "note")
    )
)


_HEADING = re.compile(
    r"(?P<name>[^(\[]*?)(?:(?:\s+|\s*[(\[]\s*)(?P<unit>mm|cm|in|inch|inches)\s*[)\]]?)?",
    re.IGNORECASE,
)


@dataclass(slots=True)
class HoleList:
    """What a hole list gives: the holes as raw tables, where each stands, and the faults.

    `named` are the holes of all rows, those that are at fault too; `whole` tells that no row
    may name another.
    """

    holes: dict[str, dict[str, Any]] = field(default_factory=dict)
    places: dict[str, Place] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    named: set[str] = field(default_factory=set)
    whole: bool = False


def refused(file: str, why: str) -> HoleList:
    """A hole list of which nothing can be used."""
    return HoleList(faults=[Fault(Source(file), why)])


@dataclass(frozen=True, slots=True)
class _Column:
    name: str
    unit: str


def read_hole_list(content: bytes, file: str, sizes: bool = True) -> HoleList:
    """Read a hole list; without `sizes`, it may do without columns for them.

    A length under a heading with a unit is given that unit where it has none of its own;
    one under a heading without stays bare, to be taken in the units of the description.
    """
    text = _decoded(content)
    if text is None:
        return refused(file, "The hole list is not text; save it as CSV UTF-8.")
    found = HoleList()
    rows = _rows(text, file, found)
    heading = next(rows, None)
    if heading is None:
        if found.faults:
            return found
        return refused(file, "The hole list is empty; its first line names the columns.")
    columns = _columns(*heading, found.faults, sizes)
    found.whole = bool(columns)
    for source, cells in rows if columns else ():
        _hole(source, columns, cells, found)
        if len(found.holes) > MOST_HOLES:
            what = f"The list has more than {MOST_HOLES} holes; no panel does."
            found.faults.append(Fault(source, what))
        if len(found.holes) > MOST_HOLES or len(found.faults) == MOST_FAULTS:
            found.whole = False
            break
    return found


def _decoded(content: bytes) -> str | None:
    """The text, in the encodings in which spreadsheets save it; None where it is none."""
    wide = content[:2] in (b"\xff\xfe", b"\xfe\xff")
    for encoding in ("utf-16",) if wide else ("utf-8-sig", "cp1252"):
        try:
            text = content.decode(encoding)
        except UnicodeDecodeError:
            continue
        return None if "\0" in text else text
    return None


def _rows(text: str, file: str, found: HoleList) -> Iterator[tuple[Source, list[str]]]:
    """Each row that is not blank, its cells without the space round them."""
    first, _, rest = text.lstrip().partition("\n")
    before = text[: len(text) - len(text.lstrip())].count("\n")
    told = re.fullmatch(r"sep=(.)\s*", first)  # a line by which a spreadsheet tells the comma
    if told:
        text, before = rest, before + 1
    else:
        text = text.lstrip()
    parter = told[1] if told else next((p for p in ";\t" if p in first), ",")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=parter, strict=True)
    while True:
        source = Source(file, before + reader.line_num + 1)
        try:
            cells = [cell.strip() for cell in next(reader)]
        except StopIteration:
            return
        except csv.Error:
            found.whole = False
            found.faults.append(
                Fault(
                    source,
                    "From here on the list cannot be read: a quotation mark that opens a cell "
                    "must close it again.",
                )
            )
            return
        if any(cells):
            yield source, cells


def _columns(source: Source, cells: list[str], faults: list[Fault], sizes: bool) -> list[_Column]:
    """The columns by their headings; none where the list cannot be read by them."""
    columns: list[_Column] = []
    sound = True
    for cell in cells:
        found = _HEADING.fullmatch(cell) if len(cell) <= LONGEST_CELL else None
        name = column_of(found["name"], COLUMNS, cells) if found else cell
        unit = (found["unit"] or "").lower()[:2] if found else ""
        wrong = ""
        if name and name not in COLUMNS:
            wrong = (
                f"{shown(cell)} is not a column of a hole list"
                f"{meant(name, COLUMNS, f'its columns are {listed(COLUMNS)}')}."
            )
        elif name and name in (column.name for column in columns):
            wrong = f'The column "{name}" stands in the hole list twice; leave one of them out.'
        elif unit and name not in LENGTHS:
            wrong = f'The column "{name}" holds no lengths, so it takes no unit.'
        if wrong:
            sound = False
            faults.append(Fault(source, wrong))
        columns.append(_Column(name, unit))
    names = {column.name for column in columns}
    lacks = [name for name in ("id", "x", "y") if name not in names]
    if sizes and not names & SHAPES.keys() and not names.issuperset(_SIDES):
        lacks.append("drill (or width and height, or another shape of a hole)")
    if lacks and sound:
        sound = False
        faults.append(
            Fault(
                source,
                f"The hole list lacks the column {listed(lacks)}; "
                "its first line names the columns, such as id,x,y,drill,note.",
            )
        )
    return columns if sound else []


def _hole(source: Source, columns: list[_Column], cells: list[str], found: HoleList) -> None:
    """Make one row a hole."""
    at = [column.name for column in columns].index("id")
    id = cells[at] if at < len(cells) else ""
    found.named.add(id)
    if any(cells[len(columns) :]) or any(
        cell and not column.name for column, cell in zip(columns, cells, strict=False)
    ):
        found.faults.append(
            Fault(
                source,
                "This row has more cells than the list has columns; a decimal comma in a list "
                "that is parted by commas needs the cell in quotation marks.",
            )
        )
        return
    row = {
        column.name: shape_columns().get(column.name, with_unit)(cell, column.unit)
        for column, cell in zip(columns, cells, strict=False)
        if cell and column.name != "id" and column.name not in _HOW_SURE
    }
    if not id:
        found.whole = False
        found.faults.append(Fault(source, "This row names no hole in the column id."))
    elif id in found.holes:
        first = found.places[id].source.line
        found.faults.append(
            Fault(source, f"Hole {shown(id)} is given twice, here and in line {first}; rename one.")
        )
    else:
        lacks = [key for key in ("x", "y") if key not in row]
        lacks += [b for a, b in _PAIRED if a in row and b not in row]
        if lacks:
            found.faults.append(Fault(source, f"Hole {shown(id)} lacks its {listed(lacks)}."))
            return
        found.holes[id] = _table(row)
        found.places[id] = Place(source)


def _table(row: Mapping[str, Any]) -> dict[str, Any]:
    """The hole's table as TOML would have given it."""
    hole: dict[str, Any] = {"at": [row["x"], row["y"]]}
    hole |= {
        key: row[key]
        for key in (*shape_columns(), "note")
        if key in row and row[key] is not False  # as where it is left out
    }
    if "width" in row:
        hole["cutout"] = [row["width"], row["height"]]
    if "angle" in row:
        hole["angle"] = _number(row["angle"])
    return hole


def _number(cell: str) -> float | str:
    try:
        return float(cell.rstrip("° ").replace(",", ".").replace("−", "-"))
    except ValueError:
        return cell
