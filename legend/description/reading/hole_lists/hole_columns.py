"""Know the columns of a hole list that give shapes, and read what stands in their cells.

They are the keys of the shapes of holes, so that a new shape has its column. The text of a cell
goes in; out comes the value as TOML would have given it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any, get_args, get_origin, get_type_hints

from legend.description.shapes.hole_shapes import SHAPES
from legend.description.shapes.shape import keys_of_shape
from legend.description.tables.keys import Held, taken_apart
from legend.description.values.lengths import has_unit
from legend.limits import LONGEST_CELL

_LONGEST_POLYGON = 4_000

#: Between the sizes of one hole, as in 20 x 4; between the corners of a polygon.
_PARTED = re.compile(r"\s*[x×*]\s*", re.IGNORECASE)
_CORNERS = re.compile(r"\s*[;\n]\s*")
#: Between the numbers of a corner, the surest first.
_NUMBERS = (_PARTED, re.compile(r"\s*,\s+|\s+"), re.compile(r"\s*,\s*"))

#: What is written for true and for false.
_YES = {"yes": True, "y": True, "true": True, "1": True, "front": True}
_NO = {"no": False, "n": False, "false": False, "0": False, "behind": False}

#: The text of a cell, and the unit of its column, "" for none.
_Read = Callable[[str, str], Any]


@cache
def shape_columns() -> Mapping[str, _Read]:
    """The columns that give the shape of a hole, each with how its cells are read."""
    return {key: _reader(held) for key, held in _held().items()}


@cache
def shape_columns_in_lengths() -> tuple[str, ...]:
    """Those of them whose cells hold lengths, so that their heading may give a unit."""
    return tuple(
        key for key, held in _held().items() if held.form is not None and held.form.unit == "mm"
    )


@cache
def _held() -> Mapping[str, Held]:
    """The keys of all shapes, each with what it holds."""
    return {
        key: taken_apart(get_type_hints(cls, include_extras=True)[key])
        for cls in SHAPES.values()
        for key in keys_of_shape(cls)
    }


def _reader(held: Held) -> _Read:
    if held.bare is bool:
        return _flag
    if held.bare is int:
        return _whole
    if get_origin(held.bare) is tuple:
        return _corners if ... in get_args(held.bare) else _sizes
    return with_unit


def with_unit(cell: str, unit: str) -> str:
    """A length with the unit of its column, where it does not say its own."""
    return f"{cell} {unit}" if unit and not has_unit(cell) else cell


def _sizes(cell: str, unit: str) -> Any:
    """Sizes with an x between them: 20 x 4. A unit behind the last is that of all without one."""
    parts = _PARTED.split(cell[:LONGEST_CELL])
    if len(parts) < 2:
        return cell
    last = with_unit(parts[-1], unit)
    said = re.sub(r"^[0-9 ./,⁄½¼¾⅛⅜⅝⅞-]+", "", last) if has_unit(last) else ""
    return [*(with_unit(part, said) for part in parts[:-1]), last]


def _corners(cell: str, unit: str) -> Any:
    """Corners with semicolons or line breaks between them: -10 x -5; 10 x -5; 0 x 8 x 2."""
    corners = [corner for corner in _CORNERS.split(cell[:_LONGEST_POLYGON].strip()) if corner]
    return [[with_unit(number, unit) for number in _numbers(corner)] for corner in corners]


def _numbers(corner: str) -> list[str]:
    parts: list[str] = [corner]
    for parted in _NUMBERS:
        parts = parted.split(corner.strip(" ()[]"))
        if len(parts) > 1:
            break
    return parts


def _whole(cell: str, unit: str) -> Any:
    return int(cell) if re.fullmatch(r"[0-9]{1,6}", cell) else cell


def _flag(cell: str, unit: str) -> Any:
    return {**_YES, **_NO}.get(cell.casefold(), cell)
