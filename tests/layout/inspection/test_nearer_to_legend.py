"""A name that stands nearer to a legend of another control than to its own is noted."""

from __future__ import annotations

from typing import Any

import pytest

from legend.description.tables.description import Description
from legend.layout import inspect, lay_out


def _found(up: float) -> dict[str, list[str]]:
    """What is told, by its code, where a lamp stands so high under another."""
    places = {"A": (40, 71.5), "B": (40, up), "C": (90, 71.5)}
    names = {"A": ("FAN", 8, "below"), "B": ("PUMP", 8, "above"), "C": ("LIFT", 14, "below")}
    raw: dict[str, Any] = {
        "panel": {"size": [200, 100]},
        "holes": {id: {"at": at, "drill": 6} for id, at in places.items()},
        "control": [
            {"hole": id, "kind": "lamp", "name": name, "covers": covers, "side": side}
            for id, (name, covers, side) in names.items()
        ],
    }
    artwork = lay_out(Description.model_validate(raw, context={"units": "mm"}))
    found: dict[str, list[str]] = {}
    for each in inspect(artwork):
        found.setdefault(each.code, []).append(each.message)
    return found


@pytest.mark.parametrize(("up", "is_told"), [(46, True), (40, False)])
def test_a_name_that_its_row_brings_near_to_a_stranger(up: float, is_told: bool) -> None:
    said = _found(up).get("nearer-to-legend", [])
    assert bool(said) is is_told
    if is_told:
        assert said[0].startswith("The legend 'FAN' of A stands 2.6 mm from the legend 'PUMP' of B")


def test_names_that_touch_are_not_also_said_to_stand_near() -> None:
    """That they stand 0.0 mm apart tells nothing beside the error."""
    found = _found(54)
    assert found["touching"] == ["The legend 'FAN' of A touches the legend 'PUMP' of B."]
    assert "nearer-to-legend" not in found
