"""Real pictures are seen: holes that can be taken over, and letters that lie off."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from camera.synthetic.letter_cases import with_letters
from camera.synthetic.letters import LaidPiece
from camera.synthetic.plates import Hand, made
from camera.synthetic.shots import BLACK_PAPER, scan

import legend
from legend.failures import PlainError
from legend.page.pictures.picture_messages import SeenThing
from legend.page.pictures.seer import Seer

pytest.importorskip("cv2", reason="measuring takes the extra 'camera'")

_TEXT = """\
[panel]
size = [70, 45]

[holes]
RANGE = { at = [20, 18], drill = 9 }
LAMP = { at = [50, 18], drill = 7 }
M1 = { at = [5, 40], drill = 3.2 }
M2 = { at = [65, 5], drill = 3.2 }

[[control]]
hole = "RANGE"
kind = "knob"
name = "RANGE"
covers = 14

[[control]]
hole = "LAMP"
kind = "lamp"
name = "ON"
"""


@pytest.fixture
def seer(tmp_path: Path) -> Seer:
    (tmp_path / "panel.toml").write_text(_TEXT)
    seer = Seer(tmp_path / "panel.toml")
    seer.told = []  # type: ignore[attr-defined]
    seer.tell = seer.told.append  # type: ignore[attr-defined]
    return seer


def _named(things: tuple[SeenThing, ...]) -> dict[str, SeenThing]:
    return {each.name: each for each in things}


def test_holes_are_seen_where_they_are_and_taken_over(seer: Seer, tmp_path: Path) -> None:
    holes = {id: hole for id, hole in legend.parse(_TEXT).holes.items() if id != "M2"}
    plate = made(
        (70.0, 45.0), holes, np.random.default_rng(4), Hand(chamfered=0, filed=0, burred=0)
    )
    shot = scan(plate, 4, dpi=200, backing=BLACK_PAPER)
    path = shot.written(tmp_path)
    sight = seer.holes(7, 3, _TEXT, [("scan.jpg", path)])
    assert seer.told[:2] == ["Reading scan.jpg.", "Measuring in scan.jpg."]  # type: ignore[attr-defined]
    assert sight.png.startswith(b"\x89PNG")
    seen = sight.seen
    assert (seen.ask, seen.picture, seen.top) == (7, "picture-3.png", 45.0)
    assert seen.words.startswith("3 holes of 4 found, 3 of them surely.")
    assert seen.take_over == "Take 3 holes over as drilled, M2 as designed"
    things = _named(seen.things)
    assert seen.things[0] is things["M2"]  # the worst first
    assert things["M2"].standing == "missing" and things["M2"].words.startswith("missing: ")
    for true in shot.truth.holes:
        assert things[true.id].at == pytest.approx(true.at, abs=0.2)
        assert things[true.id].standing == "true"
        x, y = map(float, things[true.id].seen[1:].split(" ")[0].split(","))
        assert np.hypot(x - true.at[0], 45 - y - true.at[1]) == pytest.approx(
            true.size[0] / 2, abs=0.3
        )
    assert sight.takeable
    change = seer.take_over(8, 2, _TEXT, sight.takeable)
    after = _TEXT[: change.begin] + change.text + _TEXT[change.end :]
    drilled = legend.parse(after, str(tmp_path / "panel.toml")).holes
    assert drilled["RANGE"].at == pytest.approx(things["RANGE"].at, abs=0.006)
    assert drilled["M2"].at == (65.0, 5.0)


def test_letters_that_lie_off_come_first(seer: Seer, tmp_path: Path) -> None:
    description = legend.parse(_TEXT)
    laid = {1: LaidPiece(1), 2: LaidPiece(2, -0.6, 0.0)}
    case = with_letters(description, 3, (700, 1000), laid)
    path = case.shot.written(tmp_path)
    sight = seer.letters(1, 1, _TEXT, [("laid.jpg", path)])
    first, other = sight.seen.things
    assert (first.name, first.standing, first.hole) == ("2 ON", "off", "LAMP")
    assert first.words.startswith("0.6 mm to the left of its hole LAMP")
    assert first.short == "0.6 mm left"
    assert first.wanted and first.seen and first.wanted != first.seen
    assert other.standing == "true" and not other.words and not other.wanted
    assert sight.seen.words.startswith("1 piece of 2 to lay again.")
    assert sight.takeable is None
    with pytest.raises(PlainError, match="one photograph at a time"):
        seer.letters(1, 2, _TEXT, [("laid.jpg", path)] * 2)


def test_what_cannot_be_seen_is_refused_in_words(
    seer: Seer, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "1"
    path.write_bytes(b"no picture")
    with pytest.raises(PlainError, match=r"^holiday.jpg is no picture"):
        seer.holes(1, 1, _TEXT, [("holiday.jpg", path)])
    with pytest.raises(PlainError, match="mend that first"):
        seer.holes(1, 1, "[panel", [("holiday.jpg", path)])
    monkeypatch.setitem(__import__("sys").modules, "cv2", None)
    for see in (seer.holes, seer.letters):
        with pytest.raises(PlainError, match=r"pip install '\.\[camera\]'"):
            see(1, 1, _TEXT, [("holiday.jpg", path)])
