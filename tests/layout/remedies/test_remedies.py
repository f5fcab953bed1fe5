"""What a remedy says to write is written into the description's text, and cures the finding.

This is tried on a panel with each fault, as a builder would do it: each offer by itself, in
millimetres and in inches.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from faulty_panels import FAULTS, SOUND, control, hole, seeded
from font_files import SANS
from remedy_text import as_toml, offered, with_remedy

from legend.description.reading.description_file import read
from legend.layout import inspect, lay_out
from legend.layout.artwork import Finding

SHEET = {"method": "paint-through", "stock": "sheet"}
TWO = SOUND["holes"]


def knob(**scale: Any) -> dict[str, Any]:
    return seeded(control=[{"hole": "A", "kind": "knob", "scale": scale}, control("B", "PUMP")])


#: More of the kind, by the code and what is otherwise with them; a remedy is wanted for each.
MORE: dict[str, tuple[str, dict[str, Any]]] = {
    "parts of one letter": (
        "narrow-gap",
        seeded(lettering={"note": {"height": 0.9}}, text=[{"at": [90, 20], "text": "É"}]),
    ),
    "a height of its own": (
        "thin-stroke",
        seeded(text=[{"at": [90, 20], "text": "HEAT", "height": 1.8}]),
    ),
    "a text below its datum": (
        "off-panel",
        seeded(
            panel={"size": [200, 100], "datum": "upper left"},
            text=[{"at": [196, 20], "text": "OVEN"}],
        ),
    ),
    "a name off the panel": (
        "off-panel",
        seeded(holes=TWO | {"B": hole(120, 94)}),
    ),
    "a font file": (
        "thin-stroke",
        seeded(lettering={"face": str(SANS), "name": {"height": 2.0}}),
    ),
    "tight tracking of the whole panel": (
        "narrow-gap",
        seeded(lettering={"tracking": -0.19, "height": 3.5}, text=[{"at": [90, 20], "text": "HI"}]),
    ),
    "zero aside": ("zero-aside", knob(**{"from": -3, "to": 8})),
    "numbers off the step": ("off-step", knob(**{"from": 0, "to": 6, "step": 2, "numbered": [3]})),
    "two heights of one level": (
        "level-heights",
        seeded(
            lettering={"position": {"height": 3.0}, "numeral": {"height": 3.5}},
            control=[
                {"hole": "A", "kind": "knob", "scale": {"from": 0, "to": 10}},
                control("B", "PUMP", positions={"up": "ON", "down": "OFF"}),
            ],
        ),
    ),
    "a fuse in another form": (
        "fuse-form",
        seeded(
            control=[
                {"hole": "A", "kind": "fuse", "name": "FUSE", "note": "1 A T 250 V"},
                control("B", "PUMP"),
            ]
        ),
    ),
    "names that crowd on sheet": (
        "small-counter",
        seeded(stencil=SHEET, lettering={"name": {"height": 3.0}}, control=[control("A", "BAR 4"),
               control("B", "PUMP")]),
    ),
}  # fmt: skip
CASES = {code: (code, tables) for code, tables in FAULTS.items()} | MORE
#: Faults that no value cures: what helps is done to the metal, to the words or to the paint.
WITHOUT_VALUE = {
    "run-together", "hole-unused", "hole-shared", "hole-off-panel", "hole-near-edge", "holes-close",
    "parts-collide", "same-name", "not-shared", "many-positions", "close-positions", "drilled-off",
    "drilled-slip", "drilled-mirrored", "low-contrast", "not-drawn",
}  # fmt: skip


def found(path: Path, tables_or_text: dict[str, Any] | str) -> list[Finding]:
    text = tables_or_text if isinstance(tables_or_text, str) else as_toml(tables_or_text)
    path.write_text(text, encoding="utf-8")
    return list(inspect(lay_out(read(path))))


def in_inches(tables: dict[str, Any]) -> dict[str, Any]:
    """The same panel with its lengths in inches."""
    lengths = {"at", "drill", "size", "height", "slot", "covers", "least_bridge"}

    def inches(key: str, value: Any) -> Any:
        if isinstance(value, dict):
            return {k: inches(k, v) for k, v in value.items()}
        if isinstance(value, list) and key in lengths:
            return [each / 25.4 for each in value]
        if isinstance(value, list):
            return [inches(key, each) for each in value]
        return value / 25.4 if key in lengths and isinstance(value, int | float) else value

    return {"units": "in"} | {k: inches(k, v) for k, v in tables.items()}


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("case", CASES)
def test_what_is_offered_cures_what_was_found(case: str, units: str, tmp_path: Path) -> None:
    code, tables = CASES[case]
    tables = {"panel": {"size": [200, 100]}} | tables
    text = as_toml(in_inches(tables) if units == "in" else tables)
    before = found(tmp_path / "panel.toml", text)
    told = [each for each in before if each.code == code]
    assert told
    count = 0
    for each in told:
        for changes in offered(each.remedy):
            count += 1
            after = found(tmp_path / "cured.toml", with_remedy(text, each.source.line, changes))
            assert not [
                f.message for f in after if f.code == code and f.severity == each.severity
            ] or len([f for f in after if f.code == code]) < len(told), (each.remedy, changes)
            errors = {(f.code, f.message) for f in before if f.severity == "error"}
            assert not [
                f.message
                for f in after
                if f.severity == "error" and f.code not in {code for code, _ in errors}
            ], (each.remedy, changes)
    assert bool(count) == (case not in WITHOUT_VALUE), [each.remedy for each in told]


def test_tracking_is_not_offered_for_the_parts_of_one_letter(tmp_path: Path) -> None:
    _, tables = MORE["parts of one letter"]
    told = [
        each
        for each in found(tmp_path / "panel.toml", {"panel": {"size": [200, 100]}} | tables)
        if each.code == "narrow-gap"
    ]
    assert told
    assert all("tracking" not in each.remedy and "height" in each.remedy for each in told)


def test_the_height_that_is_offered_is_the_least_round_one_that_helps(tmp_path: Path) -> None:
    tables = {"panel": {"size": [200, 100]}} | FAULTS["heavy-bridge"]
    (told,) = [f for f in found(tmp_path / "p.toml", tables) if f.code == "heavy-bridge"]
    ((_, tall),) = next(offered(told.remedy))
    less = tables | {"lettering": {"note": {"height": round(tall - 0.1, 1)}}}
    assert tall == round(tall, 1)
    assert [f for f in found(tmp_path / "p.toml", less) if f.code == "heavy-bridge"]


def test_where_no_other_side_is_free_that_is_said(tmp_path: Path) -> None:
    holes = {"A": hole(20, 20), "B": hole(11, 20), "C": hole(29, 20), "D": hole(20, 29),
             "E": hole(20, 11)}  # fmt: skip
    tables = {
        "panel": {"size": [40, 40]},
        "holes": holes,
        "control": [control(id, "VENTILATION" if id == "A" else "", covers=7) for id in holes],
    }
    told = [f for f in found(tmp_path / "p.toml", tables) if f.code in ("no-room", "hidden")]
    assert told
    assert all("No other side is free" in f.remedy for f in told)
    assert all(not list(offered(f.remedy)) for f in told)


def test_nothing_is_tried_where_nothing_is_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from legend.layout.remedies import tried

    laid = []
    monkeypatch.setattr(tried, "lay", lambda *given: laid.append(given))
    found(tmp_path / "p.toml", {"panel": {"size": [200, 100]}} | SOUND)
    assert not laid
