"""Measured holes are written beside the description, and named in its text by the least change."""

from dataclasses import replace
from pathlib import Path

import pytest

import legend
from legend.failures import PlainError
from legend.page.pictures.taking_over import Takeable, taken_over

_LIST = b"id,x (mm),y (mm),drill (mm),u (mm)\nA,20.1,30,5,0.05\nB,40,30.2,6.1,0.05\n"
_PANEL = '[panel]\nsize = [80, 60]\ndatum = "upper left"\n\n'
_HOLES = "[holes]\nA = { at = [20, 30], drill = 5 } # first\nB = { at = [40, 30], drill = 6 }\n"
_PARTS = '\n[[control]]\nhole = "A"\nkind = "knob"\nname = "PUMP"\n'
_ALL = Takeable(_LIST, (80.0, 60.0), "upper left", (), True)
_TABLE = '[as_drilled]\nhole_list = "measured.csv"\ndatum = "upper left"\n'


def _after(folder: Path, text: str, takeable: Takeable = _ALL) -> str:
    return taken_over(folder / "panel.toml", text, takeable).done_to(text)


def test_the_table_stands_after_the_holes_and_nothing_else_changes(tmp_path: Path) -> None:
    text = _PANEL + _HOLES + _PARTS
    edit = taken_over(tmp_path / "panel.toml", text, _ALL)
    after = edit.done_to(text)
    assert after == f"{_PANEL}{_HOLES}\n{_TABLE}{_PARTS}"
    assert after[slice(*edit.select)] == _TABLE.rstrip()
    assert (tmp_path / "measured.csv").read_bytes() == _LIST
    drilled = legend.parse(after, str(tmp_path / "panel.toml"))
    assert {id: hole.at for id, hole in drilled.holes.items()} == {
        "A": (20.1, 30.0),
        "B": (40.0, 30.2),
    }


_BEFORE = {
    "a name": 'as_drilled = "old.csv"\n' + _PANEL + _HOLES,
    "inline": "as_drilled = { holes = { A = { at = [1, 1] }, B = { at = [9, 9] } } }\n"
    + _PANEL
    + _HOLES,
    "dotted": 'as_drilled.hole_list = "old.csv"\nas_drilled.datum = "best fit"\n' + _PANEL + _HOLES,
    "tables": f'{_PANEL}[as_drilled]\ndatum = "best fit" # by hand\n\n[as_drilled.holes]\n'
    f"A = {{ at = [1, 1] }}\nB = {{ at = [9, 9] }}\n\n{_HOLES}",
    "parted": f"{_PANEL}[as_drilled.holes.A]\nat = [1, 1]\n\n{_HOLES}\n"
    "[as_drilled.holes.B]\nat = [9, 9]\n",
}


@pytest.mark.parametrize("text", _BEFORE.values(), ids=_BEFORE)
def test_what_was_said_of_the_drilling_gives_way(tmp_path: Path, text: str) -> None:
    (tmp_path / "old.csv").write_text("id,x,y\nA,1,1\nB,9,9\n")
    after = _after(tmp_path, text + _PARTS)
    assert after.count("as_drilled") == 1
    assert _TABLE in after
    assert "old.csv" not in after and "best fit" not in after and "\n\n\n" not in after
    for kept in (_PANEL.strip(), _HOLES.strip(), _PARTS.strip()):
        assert kept in after
    drilled = legend.parse(after, str(tmp_path / "panel.toml"))
    assert drilled.holes["B"].drill == 6.1


def test_what_was_not_found_is_said_to_be_as_designed(tmp_path: Path) -> None:
    text = _PANEL + _HOLES + "'C 1' = { at = [60, 12.5], drill = 3 }\n"
    after = _after(tmp_path, text, replace(_ALL, missing=(("C 1", (60.0, 12.5)),)))
    assert "[as_drilled.holes]\n# Not found in the picture" in after
    assert '"C 1" = { at = [60, 12.5] }' in after
    assert legend.parse(after, str(tmp_path / "panel.toml")).holes["C 1"].at == (60.0, 12.5)


def test_places_as_designed_are_in_the_units_of_the_text(tmp_path: Path) -> None:
    text = 'units = "in"\n[panel]\nsize = ["80 mm", "60 mm"]\ndatum = "upper left"\n[holes]\n'
    text += 'A = { at = [1, 1], drill = "5 mm" }\nB = { at = [2, 1], drill = "6 mm" }\n'
    text += 'C = { at = [2.5, 0.75], drill = "3 mm" }\n'
    after = _after(tmp_path, text, replace(_ALL, missing=(("C", (63.5, 19.05)),)))
    assert "C = { at = [2.5, 0.75] }" in after


def test_a_panel_without_holes_has_them_from_the_list(tmp_path: Path) -> None:
    found = replace(_ALL, is_designed=False)
    for text in (_PANEL, f"title = 'OVEN'\n{_PANEL}", f"# mine\n{_PANEL}"):
        after = _after(tmp_path, text, found)
        assert set(legend.parse(after, str(tmp_path / "panel.toml")).holes) == {"A", "B"}
        kept = [line for line in after.splitlines() if line and "hole_list" not in line]
        assert kept == [line for line in text.splitlines() if line]


def test_no_list_is_written_over_and_none_twice(tmp_path: Path) -> None:
    (tmp_path / "measured.csv").write_text("mine")
    (tmp_path / "measured-2.csv").symlink_to(tmp_path / "nowhere")
    text = _PANEL + _HOLES
    for _ in range(2):
        assert 'hole_list = "measured-3.csv"' in _after(tmp_path, text)
    assert (tmp_path / "measured.csv").read_text() == "mine"
    assert not (tmp_path / "nowhere").exists()
    assert len(list(tmp_path.iterdir())) == 3


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (_PANEL.replace("80", "90") + _HOLES, "were changed since"),
        (_PANEL.replace("upper", "lower") + _HOLES, "were changed since"),
        (_PANEL, "were changed since"),
        (_PANEL + _HOLES + "[[contr", "cannot be read"),
        (_PANEL + _HOLES + "C = { at = [60, 30], drill = 3 }\n", "cannot be taken over: .*C"),
    ],
)
def test_another_panel_is_refused_and_nothing_written(
    tmp_path: Path, text: str, words: str
) -> None:
    with pytest.raises(PlainError, match=words):
        _after(tmp_path, text)
    assert list(tmp_path.iterdir()) == []
