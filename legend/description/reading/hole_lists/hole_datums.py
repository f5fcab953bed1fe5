"""Take out of the raw tables where the holes are measured from, if not from the panel's datum.

That stands as `datum` among the holes of [holes], and in the table that names a hole list and
its datum; what is left is a table of holes, and the name of a list.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, get_args

from legend.description.faults import Fault, meant
from legend.description.reading.explaining.table_names import shown
from legend.description.reading.line_numbers import Place
from legend.description.values.length_values import Datum
from legend.sentences import listed

_DATUMS: tuple[str, ...] = get_args(Datum)


@dataclass(frozen=True, slots=True)
class OwnDatums:
    """Where holes are measured from: those of [holes], and those of the list; None where it is
    the panel's datum."""

    written: Datum | None = None
    listed: Datum | None = None
    faults: tuple[Fault, ...] = ()

    def of(self, written: set[str], listed: set[str]) -> dict[str, Datum]:
        """The datum of each hole that has one of its own, by the names of both."""
        datums = dict.fromkeys(listed, self.listed) | dict.fromkeys(written, self.written)
        return {id: datum for id, datum in datums.items() if datum}


def taken_out(raw: dict[str, Any], place: Place) -> OwnDatums:
    """The datums of the holes, which are taken out of the raw tables."""
    faults: list[Fault] = []
    written = listed = None
    holes, of_list = raw.get("holes"), raw.get("hole_list")
    if isinstance(holes, dict) and isinstance(holes.get("datum"), str):
        written = _datum(holes.pop("datum"), "[holes]", place.inside("holes"), faults)
    if isinstance(of_list, Mapping) and isinstance(of_list.get("file"), str):
        raw["hole_list"] = of_list["file"]
        inside = place.inside("hole_list")
        faults += _strange(of_list, inside)
        if "datum" in of_list:
            listed = _datum(of_list["datum"], "hole_list", inside, faults)
    return OwnDatums(written, listed, tuple(faults))


def _datum(value: Any, where: str, place: Place, faults: list[Fault]) -> Datum | None:
    for datum in _DATUMS:
        if value == datum:
            return datum  # type: ignore[return-value]
    quoted = listed((f'"{datum}"' for datum in _DATUMS), "or")
    end = meant(value if isinstance(value, str) else "", _DATUMS, f"it must be {quoted}")
    faults.append(Fault(place.at(["datum"]), f"{where} has datum = {shown(value)}{end}."))
    return None


def _strange(of_list: Mapping[str, Any], place: Place) -> Iterator[Fault]:
    for key in of_list:
        if key not in ("file", "datum"):
            what = f"{shown(key)} is not a key of hole_list; its keys are file and datum."
            yield Fault(place.at([key]), what)
