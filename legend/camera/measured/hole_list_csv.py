"""Write what was measured as a hole list in CSV, as this program reads it."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import fields

from legend.camera.measured.measured import Measured, MeasuredHole
from legend.camera.measured.sayings import drill_words, out_of_round
from legend.description.reading.hole_lists.hole_list import COLUMNS, LENGTHS
from legend.description.shapes.hole_shapes import CutOut, Drilled
from legend.description.shapes.shape import Shape
from legend.length_words import Lengths
from legend.sentences import listed
from legend.standards import INCH

#: Decimals of a length, by the unit.
_DECIMALS = {"mm": 2, "in": 4}


def hole_list_csv(measured: Measured, comma: bool = False) -> bytes:
    """The bytes of the file: a line for each hole, in the units of the panel, from its datum.

    With a decimal `comma`, columns are parted by semicolons.
    """
    rows = [_row(hole, measured, comma) for hole in measured.holes]
    columns = [name for name in COLUMNS if any(name in row for row in rows)]
    file = io.StringIO(newline="")
    unit = measured.lengths.unit
    heads = {name: f"{name} ({unit})" for name in LENGTHS}
    writer = csv.writer(file, delimiter=";" if comma else ",", lineterminator="\n")
    writer.writerow([heads.get(name, name) for name in columns])
    for row in rows:
        writer.writerow([row.get(name, "") for name in columns])
    return file.getvalue().encode()


def _row(hole: MeasuredHole, measured: Measured, comma: bool) -> dict[str, str]:
    """The cells of a hole by their columns; none is empty."""
    lengths = measured.lengths

    def number(mm: float) -> str:
        return _number(mm, lengths, comma)

    found = hole.found
    x, y = measured.panel.measuring.measured(found.at)
    row = {"id": hole.id, "x": number(x), "y": number(y)}
    row |= dict(_sizes(found.shape, lengths, comma))
    if not isinstance(found.shape, Drilled):
        row["angle"] = _decimal(f"{found.angle:.2f}", comma)
    row["u"] = number(found.uncertainty)
    row["doubt"] = listed(found.doubts) if found.doubts else ""
    row["note"] = "; ".join(_notes(hole, lengths))
    return {name: cell for name, cell in row.items() if cell}


def _number(mm: float, lengths: Lengths, comma: bool) -> str:
    value = mm / INCH if lengths.unit == "in" else mm
    return _decimal(
        f"{round(value, _DECIMALS[lengths.unit]) + 0:.{_DECIMALS[lengths.unit]}f}", comma
    )


def _decimal(text: str, comma: bool) -> str:
    return text.replace(".", ",") if comma else text


def _sizes(shape: Shape, lengths: Lengths, comma: bool) -> Iterator[tuple[str, str]]:
    """The sizes of a shape, each in its column."""

    def cell(mm: float) -> str:
        return _number(mm, lengths, comma)

    if isinstance(shape, CutOut):
        yield from zip(("width", "height"), map(cell, shape.cutout), strict=True)
        if shape.corner_radius > _SHARP:
            yield "corner_radius", cell(shape.corner_radius)
        return
    for field in fields(shape):  # type: ignore[arg-type]
        value = getattr(shape, field.name)
        if isinstance(value, float):
            if value:
                yield field.name, cell(value)
        elif isinstance(value, tuple) and isinstance(value[0], tuple):
            yield field.name, "; ".join(" x ".join(map(cell, corner)) for corner in value)
        elif isinstance(value, tuple):
            yield field.name, " x ".join(map(cell, value))
        elif value is not False:
            yield field.name, str(value)


#: Corners of less are sharp, mm.
_SHARP = 0.15


def _notes(hole: MeasuredHole, lengths: Lengths) -> Iterator[str]:
    """What is to be known of a hole: its note in the design, its drill, its chamfer."""
    if hole.wanted and hole.wanted.note:
        yield hole.wanted.note
    if drill := drill_words(hole, lengths):
        yield f"near a drill of {drill}"
    if hole.found.chamfer:
        yield f"with chamfer, {lengths.as_decimal(hole.found.chamfer)} {lengths.unit} wide"
    if oval := out_of_round(hole.found, lengths):
        yield oval
