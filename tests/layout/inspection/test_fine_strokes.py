"""Small text on film: one note for the panel, above what the stock does not carry."""

from __future__ import annotations

import re
from typing import Any

import pytest
from faulty_panels import SOUND, control, seeded

from legend.layout import lay_out
from legend.layout.artwork import Finding, Severity
from legend.layout.inspection import inspect

SMALL = {"name": {"height": 2.5}, "position": {"height": 2.5}, "note": {"height": 3}}


def told(describe: Any, **tables: Any) -> list[Finding]:
    return [f for f in inspect(lay_out(describe(**tables))) if f.code == "fine-stroke"]


def test_one_note_names_what_is_small(describe: Any) -> None:
    controls = [
        control("A", "FAN", positions={"up": "ON", "down": "OFF"}, note="6 V"),
        control("B", "PUMP"),
    ]
    (note,) = told(describe, **seeded(control=controls, lettering=SMALL))
    assert note.severity is Severity.NOTE
    assert "names of 2.5 mm" in note.message
    assert "positions of 2.5 mm" in note.message
    assert "notes of 3 mm" in note.message
    assert "less than 0.50 mm" in note.message
    assert "new blade" in note.remedy and "tweezers" in note.remedy


@pytest.mark.parametrize(
    ("height", "count", "warned"), [(3.5, 0, False), (2.5, 1, False), (2.0, 0, True)]
)
def test_it_stands_between_the_warning_and_what_is_easy(
    describe: Any, height: float, count: int, warned: bool
) -> None:
    tables = seeded(lettering={"name": {"height": height, "stroke": 1 / 7}})
    assert len(told(describe, **tables)) == count
    codes = {f.code for f in inspect(lay_out(describe(**tables)))}
    assert ("thin-stroke" in codes) == warned


def test_it_is_for_film_alone(describe: Any) -> None:
    sheet = {"method": "paint-through", "stock": "sheet"}
    small = {"name": {"height": 3.0, "stroke": 0.14}}
    assert not told(describe, **SOUND, stencil=sheet, lettering=small)


def test_it_speaks_inches_on_an_inch_panel(describe: Any) -> None:
    in_mm = describe(**SOUND, lettering=SMALL)
    artwork = lay_out(in_mm.model_copy(update={"units": "in"}))
    (note,) = [f for f in inspect(artwork) if f.code == "fine-stroke"]
    assert not re.search(r"\d mm", note.message)
    assert "0.020 in" in note.message


def test_it_may_be_meant(describe: Any) -> None:
    panel = {"size": [200, 100], "meant": ["fine-stroke"]}
    assert not told(describe, **SOUND, panel=panel, lettering=SMALL)
