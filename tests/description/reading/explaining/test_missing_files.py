"""A file that is not there, or is a folder: it is told once, with what may have been meant."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from legend.description.faults import DescriptionError
from legend.description.reading.description_file import read
from legend.failures import PlainError
from legend.starting.starter import starter_for

_PANEL = "panel = { size = [100, 50] }\n"


def told(path: Path | str) -> str:
    with pytest.raises(DescriptionError) as caught:
        read(path)
    (fault,) = caught.value.faults
    assert str(fault) == f"{fault.source}: {fault.message}"
    return fault.message


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder that one stands in."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def write(folder: Path, *names: str) -> None:
    for name in names:
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text(_PANEL)


def test_a_folder_with_one_description_offers_it(folder: Path) -> None:
    write(folder, "kiln/panel.toml", "kiln/holes.csv")
    said = "This is a folder; name the description in it, "
    assert told("kiln") == f"{said}{Path('kiln/panel.toml')}."
    os.chdir("kiln")
    assert told(".") == f"{said}panel.toml."


def test_a_folder_with_several_descriptions_lists_some(folder: Path) -> None:
    write(folder, "b.toml", "a.toml")
    assert told(".") == "This is a folder; name a description in it: a.toml or b.toml."
    write(folder, "c.toml", "d.toml", "e.toml")
    assert told(".").endswith("in it: a.toml, b.toml, c.toml, d.toml or another.")


def test_a_folder_without_a_description_says_how_to_begin(folder: Path) -> None:
    (folder / "not-a-file.toml").mkdir()
    write(folder, "holes.csv")
    assert told(".") == (
        "This is a folder without a description; legend new writes one to begin with."
    )


@pytest.mark.parametrize("slip", ["pannel.toml", "panel.tml", "panel", "PANEL.TOML.", "Panel.tom"])
def test_a_missing_description_of_a_near_name_is_offered(folder: Path, slip: str) -> None:
    write(folder, "kiln/panel.toml", "kiln/panel.csv")
    near = Path("kiln/panel.toml")
    assert told(f"kiln/{slip}") == f"There is no such file; did you mean {near}?"


@pytest.mark.parametrize("name", ["dome.toml", "nowhere/panel.toml", "panel.toml/panel.toml"])
def test_nothing_is_offered_where_no_name_is_near(folder: Path, name: str) -> None:
    write(folder, "panel.toml", "lid.toml")
    assert told(name) == "There is no such file; legend new writes one to begin with."


def test_a_file_that_is_named_in_a_description_is_told_there(folder: Path) -> None:
    write(folder, "holes.csv", "hole.toml")
    (folder / "panel.toml").write_text(f'hole_list = "hols.csv"\n{_PANEL}')
    assert told("panel.toml") == "There is no file hols.csv; did you mean holes.csv?"
    (folder / "panel.toml").write_text(f'style = "panel2.toml"\n{_PANEL}')
    assert told("panel.toml") == "There is no file panel2.toml."


@pytest.mark.parametrize(
    "name, says",
    [
        ("hols.csv", "There is no file hols.csv; did you mean holes.csv?"),
        ("drawing.dxf", "There is no file drawing.dxf."),
        ("kiln", "kiln is a folder; name the hole list itself."),
    ],
)
def test_a_hole_list_to_begin_from_is_told_alike(folder: Path, name: str, says: str) -> None:
    write(folder, "holes.csv", "kiln/holes.csv")
    with pytest.raises(PlainError) as caught:
        starter_for(Path(name), Path("panel.toml"), "mm")
    assert str(caught.value) == says
