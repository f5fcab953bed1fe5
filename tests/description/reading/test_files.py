"""The files that a description is read from."""

import os
from pathlib import Path

import pytest

from legend.description.faults import DescriptionError
from legend.description.reading.description_file import read
from legend.description.reading.files import content_of, files_of
from legend.limits import LONGEST_DRAWING, LONGEST_FILE


def _names(panel: Path) -> set[str]:
    return {str(path.relative_to(panel.parent)) for path in files_of(panel)}


def test_styles_hole_lists_and_fonts(tmp_path: Path) -> None:
    panel = tmp_path / "panel.toml"
    panel.write_text(
        'style = "house/style.toml"\nhole_list = "holes.csv"\n'
        '[as_drilled]\nhole_list = "measured.csv"\n[lettering.title]\nface = "big.ttf"\n'
    )
    (tmp_path / "house").mkdir()
    (tmp_path / "house" / "style.toml").write_text(
        'style = "base.toml"\nlettering = { face = "a.otf" }\n'
    )
    assert _names(panel) == {
        "panel.toml", "holes.csv", "measured.csv", "big.ttf",
        "house/style.toml", "house/base.toml", "house/a.otf",
    }  # fmt: skip


def test_the_name_of_a_list_of_drilled_holes_alone(tmp_path: Path) -> None:
    panel = tmp_path / "panel.toml"
    panel.write_text('as_drilled = "measured.csv"\n')
    assert _names(panel) == {"panel.toml", "measured.csv"}


def test_what_cannot_be_read_names_nothing(tmp_path: Path) -> None:
    panel = tmp_path / "panel.toml"
    assert _names(panel) == {"panel.toml"}
    for content in (b"hole_list = ", b"\xff\xfe", b"hole_list = 3\nstyle = [1]\n", b"[" * 5000):
        panel.write_bytes(content)
        assert _names(panel) == {"panel.toml"}


def test_styles_that_go_round_in_a_circle(tmp_path: Path) -> None:
    panel = tmp_path / "panel.toml"
    panel.write_text('style = "other.toml"\n')
    (tmp_path / "other.toml").write_text('style = "panel.toml"\n')
    assert _names(panel) == {"panel.toml", "other.toml"}


def test_styles_that_name_themselves_by_a_longer_way(tmp_path: Path) -> None:
    (tmp_path / "house").mkdir()
    panel = tmp_path / "house" / "panel.toml"
    panel.write_text('style = "../house/panel.toml"\n')
    assert files_of(panel) == {panel}


def test_names_that_are_none_are_not_followed(tmp_path: Path) -> None:
    panel = tmp_path / "panel.toml"
    panel.write_text('style = "a\\u0000b"\nhole_list = " "\n[lettering]\nface = 3\n')
    assert _names(panel) == {"panel.toml"}


# --- What no file is to be read from ---

#: What would never end, or never begin, to be read.
_ENDLESS = ["pipe", "/dev/zero", "/dev/random", "/dev/stdin"]


@pytest.mark.parametrize("name", _ENDLESS)
@pytest.mark.parametrize("key", ["style", "hole_list", "as_drilled", ""])
def test_pipes_and_devices_are_not_waited_for(tmp_path: Path, name: str, key: str) -> None:
    os.mkfifo(tmp_path / "pipe")
    panel = tmp_path / "panel.toml"
    panel.write_text(f"[panel]\nsize = [9, 9]\n{'' if key else 'title = 1'}")
    if key:
        panel.write_text(f'{key} = "{name}"\n[panel]\nsize = [9, 9]\n')
    else:
        panel = tmp_path / name
    with pytest.raises(DescriptionError) as caught:
        read(panel)
    (fault,) = caught.value.faults
    assert fault.message.endswith("cannot be read: it is a pipe or a device, and no plain file.")
    assert fault.source.line == (1 if key else 0)
    assert panel in files_of(panel)


@pytest.mark.parametrize(("name", "longest"), [("a.csv", LONGEST_FILE), ("a.DXF", LONGEST_DRAWING)])
def test_of_a_file_that_is_too_long_no_more_is_read(
    tmp_path: Path, name: str, longest: int
) -> None:
    with (tmp_path / name).open("wb") as file:
        file.truncate(10**12)
    assert len(content_of(tmp_path / name)) == longest + 1
    panel = tmp_path / "panel.toml"
    panel.write_text(f'hole_list = "{name}"\n[panel]\nsize = [9, 9]\n')
    with pytest.raises(DescriptionError, match=rf":1: .* longer than {longest // 10**6} MB"):
        read(panel)
