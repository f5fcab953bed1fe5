"""Panels made in the test itself, laid out for real."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from legend.description.tables.description import Description, Stencil
from legend.layout import lay_out
from legend.layout.artwork import Artwork

LayOut = Callable[..., Artwork]

HOLES: dict[str, Any] = {
    "A": {"at": [35, 40], "drill": 9.5},
    "B": {"at": [90, 40.4], "drill": 6.35},
    "W": {"at": [145, 45], "cutout": [40, 18], "corner_radius": 2},
    "S": {"at": [180, 45], "slot": [14, 4], "angle": 90},
    "E": {"at": [112, 72], "drill": 5},
    "X": {"at": [6, 84], "drill": 4},
}
CONTROLS: list[dict[str, Any]] = [
    {
        "hole": "A",
        "kind": "knob",
        "name": "EXPOSURE",
        "covers": 20,
        "scale": {"law": "log", "from": 0.5, "to": 60},
    },
    {"hole": "B", "kind": "toggle", "name": "LAMP", "positions": {"up": "ON", "down": "OFF"}},
    {"hole": "W", "kind": "window", "name": "SECONDS", "frame": 0.8},
    {"hole": "S", "kind": "slide", "name": "DAMPER"},
    {"hole": "E", "kind": "stud", "name": "EARTH"},
    {"hole": "X", "kind": "screw"},
]


@pytest.fixture
def panel() -> LayOut:
    """The artwork of a panel of 200 x 90 mm, with these tables over its own.

    Keys of `stencil` may be given by themselves.
    """

    def make(**tables: Any) -> Artwork:
        stencil = {key: tables.pop(key) for key in Stencil.model_fields if key in tables}
        raw: dict[str, Any] = {
            "title": "ENLARGER - TIMER",
            "panel": {"size": [200, 90]},
            "holes": HOLES,
            "control": CONTROLS,
            "bare": [{"hole": "E", "diameter": 12}],
            "text": [{"at": [52, 78], "text": "ENLARGER TIMER", "role": "title"}],
            "stencil": stencil,
        } | tables
        return lay_out(Description.model_validate(raw, context={"units": raw.get("units", "mm")}))

    return make
