from __future__ import annotations

from typing import Any

import pytest

from legend.layout import inspect, lay_out
from legend.layout.cautions import cautions, has_mains

_MAINS = "mains or high voltage behind it"


def _panel(describe: Any, text: str, kind: str = "lamp", **more: Any) -> Any:
    control = {"hole": "A", "kind": kind, "name": text, **more}
    return describe(holes={"A": {"at": [60, 50], "drill": 10}}, control=[control])


@pytest.mark.parametrize(
    "text", ["symbol:dangerous-voltage", "symbol:hv 2", "⚡ OUT", "OUT 230 V", "EHT 1.2 kV", "110V"]
)
def test_what_is_lettered_of_danger_brings_its_caution(describe: Any, text: str) -> None:
    assert any(_MAINS in each for each in cautions(_panel(describe, text)))


@pytest.mark.parametrize(
    "text", ["OUT 12 V", "symbol:caution HOT", "230 VARIANTS", "48 V", "12 V, T 2 A 250 V"]
)
def test_what_is_of_low_voltage_brings_none(describe: Any, text: str) -> None:
    assert not has_mains(_panel(describe, text))


def test_a_fuse_and_what_says_so_have_mains(describe: Any) -> None:
    assert has_mains(_panel(describe, "F1", "fuse"))
    assert has_mains(_panel(describe, "LAMP", mains=True))


@pytest.mark.parametrize(
    ("name", "is_said"), [("MAINS", True), ("OUT 230 V", True), ("PUMP", False)]
)
def test_a_name_says_of_itself_that_it_is_of_mains(describe: Any, name: str, is_said: bool) -> None:
    findings = inspect(lay_out(_panel(describe, name, mains=True)))
    assert ("mains-unmarked" not in {each.code for each in findings}) is is_said


@pytest.mark.parametrize(
    ("text", "is_said"), [("DANGER 400 V", True), ("PUMP HOUSE", False), ("24 V", False)]
)
def test_a_text_by_itself_says_of_all_the_panel_that_it_is_of_mains(
    describe: Any, text: str, is_said: bool
) -> None:
    control = [{"hole": hole, "kind": "lamp", "mains": True} for hole in "ABC"]
    holes = {hole: {"at": [20 + 30 * i, 50], "drill": 10} for i, hole in enumerate("ABC")}
    panel = describe(holes=holes, control=control, text=[{"at": [50, 20], "text": text}])
    found = [each for each in inspect(lay_out(panel)) if each.code == "mains-unmarked"]
    once = (
        "The lamp on A is at mains voltage, and nothing on the panel says so; so it is with those "
        "on B and C."
    )
    assert [each.message for each in found] == ([] if is_said else [once])
