"""Heights that are left out: the stock carries what is said in them."""

from __future__ import annotations

from typing import Any

import pytest

from legend.layout import inspect, lay_out
from legend.layout.artwork import Role

_SHEET = {"method": "paint-through", "stock": "sheet"}


def _panel(name: str, positions: dict[str, str], **more: Any) -> dict[str, Any]:
    control = {"hole": "A", "kind": "toggle", "name": name, "positions": positions}
    return {"holes": {"A": {"at": [100, 50], "drill": 6}}, "control": [control], **more}


@pytest.mark.parametrize(
    ("name", "up", "stencil"),
    [
        ("BATH 4", "ON", {}),
        ("BATH 4", "ON", _SHEET),
        ("Heater", "400", _SHEET),
        ("PUMP", "A", _SHEET),
        ("FUSE", "ÅR", {}),
        ("RANGE", "¼", {}),
    ],
)
def test_the_stock_carries_what_is_set_as_tall_as_is_chosen(
    describe, name: str, up: str, stencil: dict[str, Any]
) -> None:
    artwork = lay_out(describe(**_panel(name, {"up": up, "down": "NO"}, stencil=stencil)))
    found = [f for f in inspect(artwork) if f.code == "small-counter"]
    assert [f.message for f in found] == []


def test_letters_without_small_counters_stay_as_they_are_on_sheet(describe) -> None:
    def height(stencil: dict[str, Any]) -> float:
        artwork = lay_out(describe(**_panel("PUMP", {"up": "UP", "down": "NO"}, stencil=stencil)))
        (name,) = (mark for mark in artwork.marks if mark.role is Role.NAME)
        return name.height

    assert height(_SHEET) == height({}) == 3.5


def test_a_height_that_is_given_is_kept_and_told(describe) -> None:
    asked = _panel("BATH 4", {"up": "ON", "down": "NO"}, lettering={"height": 3.5})
    artwork = lay_out(describe(**asked, stencil=_SHEET))
    (name,) = (mark for mark in artwork.marks if mark.role is Role.NAME)
    assert name.height == 3.5
    assert [f for f in inspect(artwork) if f.code == "small-counter"]
