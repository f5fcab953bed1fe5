"""Letters and curves that are not as they were asked for are told of, whatever they belong to."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pathops
import pytest
from font_files import BOLD

from legend.description.reading.description_file import read
from legend.layout import inspect, lay_out
from legend.layout.artwork import Finding, Severity
from legend.lettering import on_arc
from legend.lettering.outlines import boolean as curves

PANEL: dict[str, Any] = {
    "holes": {"A": {"at": [60, 50], "drill": 6}, "B": {"at": [120, 50], "drill": 6}},
    "control": [
        {"hole": "A", "kind": "knob", "name": "FAN", "scale": {"from": 0, "to": 10, "arc": True}},
        {"hole": "B", "kind": "toggle", "name": "PUMP", "positions": {"up": "ON"}},
    ],
    "group": [{"name": "AIR", "holes": ["A", "B"]}],
}


def told(describe: Any, code: str, **tables: Any) -> list[Finding]:
    found = inspect(lay_out(describe(**PANEL | tables)))
    return [finding for finding in found if finding.code == code]


def test_nothing_is_told_where_all_is_as_asked(describe: Any) -> None:
    assert told(describe, "lettering") == told(describe, "curves-flattened") == []


def test_letters_from_another_face_are_told_of_legends_of_every_role(tmp_path: Path) -> None:
    """The bold face lacks an A with a diaeresis and a macron; each line is told once."""
    file = tmp_path / "panel.toml"
    file.write_text(
        f"""panel = {{ size = [200, 100] }}
holes = {{ A = {{ at = [60, 50], drill = 6 }}, B = {{ at = [120, 50], drill = 6 }} }}
lettering = {{ face = "{BOLD.as_posix()}" }}
[[control]]
hole = "A"
kind = "selector"
positions = ["\\u01de", "\\u01de\\u01de"]
[[control]]
hole = "B"
kind = "toggle"
note = "\\u01de"
[[text]]
at = [100, 80]
text = "\\u01de"
""",
        encoding="utf-8",
    )
    found = [each for each in inspect(lay_out(read(file))) if each.code == "lettering"]
    assert [each.source.line for each in found] == [7, 11, 12]
    for each in found:
        assert each.severity == Severity.NOTE
        assert each.message.endswith(
            "Manrope-Bold.ttf' has no \u01de; it is taken from the built-in face plain."
        )
        assert each.place


@pytest.fixture
def engine_gives_up(monkeypatch: pytest.MonkeyPatch) -> None:
    def drawn(_: object) -> pathops.Path:
        raise pathops.PathOpsError("no result")

    monkeypatch.setattr(curves, "_drawn", drawn)


@pytest.mark.usefixtures("engine_gives_up")
def test_frames_and_scales_made_of_straight_lines_are_told(describe: Any) -> None:
    knob, toggle = PANEL["control"]
    # A scale that was laid before is kept as it is, so this one is another.
    knob = knob | {"scale": knob["scale"] | {"to": 11}}
    found = told(describe, "curves-flattened", control=[knob, toggle])
    assert {finding.message.split(" could ")[0] for finding in found} == {
        "Some curves of the frame of the group 'AIR'",
        "Some curves of the graduation of A",
    }
    for finding in found:
        assert finding.severity == Severity.NOTE
        assert finding.place


def test_letters_joined_by_straight_lines_on_an_arc_are_told(
    describe: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = [{"text": "SLOW", "around": "B", "radius": 14}]
    assert told(describe, "lettering", text=text) == []
    monkeypatch.setattr(on_arc, "joined", lambda letters: curves.Combined(letters[0], True))
    (found,) = told(describe, "lettering", text=text)
    assert found.message.startswith("Some curves of 'SLOW' could not be joined")
