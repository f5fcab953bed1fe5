"""A file is saved whole or not at all, and all else about it stays."""

import errno
import os
import stat
from pathlib import Path

import pytest

from legend.page.text import saving
from legend.page.text.saving import save_whole

needs_no_root = pytest.mark.skipif(
    hasattr(os, "geteuid") and os.geteuid() == 0, reason="the superuser may write anywhere"
)


def _alone(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_it_keeps_the_mode(tmp_path: Path) -> None:
    file = tmp_path / "panel.toml"
    file.write_bytes(b"before")
    file.chmod(0o640)
    save_whole(file, b"after")
    assert file.read_bytes() == b"after"
    assert stat.S_IMODE(file.stat().st_mode) == 0o640
    assert _alone(tmp_path) == ["panel.toml"]


def test_a_new_file_has_the_mode_of_any_new_file(tmp_path: Path) -> None:
    (tmp_path / "other").touch()
    save_whole(tmp_path / "panel.toml", b"new")
    assert (tmp_path / "panel.toml").stat().st_mode == (tmp_path / "other").stat().st_mode


def test_through_a_link_the_file_that_it_leads_to_is_written(tmp_path: Path) -> None:
    there, link = tmp_path / "there", tmp_path / "panel.toml"
    there.mkdir()
    (there / "real.toml").write_bytes(b"before")
    link.symlink_to(Path("there") / "real.toml")
    save_whole(link, b"after")
    assert link.is_symlink()
    assert (there / "real.toml").read_bytes() == b"after"


def test_a_link_to_nothing_makes_what_it_leads_to(tmp_path: Path) -> None:
    link = tmp_path / "panel.toml"
    link.symlink_to("real.toml")
    save_whole(link, b"new")
    assert link.is_symlink()
    assert (tmp_path / "real.toml").read_bytes() == b"new"


def test_a_file_of_two_names_keeps_both(tmp_path: Path) -> None:
    file, other = tmp_path / "panel.toml", tmp_path / "other.toml"
    file.write_bytes(b"before, and longer")
    os.link(file, other)
    save_whole(file, b"after")
    assert other.read_bytes() == b"after"
    assert file.samefile(other)


def _full(*_what: object) -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


@pytest.mark.parametrize("names", [1, 2])
def test_on_a_full_disk_it_is_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, names: int
) -> None:
    file = tmp_path / "panel.toml"
    file.write_bytes(b"before")
    if names == 2:
        os.link(file, tmp_path / "same.toml")
    there = _alone(tmp_path)
    attempts = []

    def full_once(handle: int) -> None:
        attempts.append(handle)
        if len(attempts) == 1:
            _full()

    monkeypatch.setattr(saving.os, "fsync", full_once)
    with pytest.raises(OSError, match="No space left") as told:
        save_whole(file, b"after")
    assert told.value.filename == str(file)
    assert file.read_bytes() == b"before"
    assert _alone(tmp_path) == there


@needs_no_root
def test_what_may_not_be_written_is_not(tmp_path: Path) -> None:
    file = tmp_path / "panel.toml"
    file.write_bytes(b"before")
    file.chmod(0o444)
    with pytest.raises(PermissionError):
        save_whole(file, b"after")
    assert file.read_bytes() == b"before"


def test_a_folder_in_its_place_is_left(tmp_path: Path) -> None:
    (tmp_path / "panel.toml").mkdir()
    with pytest.raises(OSError):
        save_whole(tmp_path / "panel.toml", b"new")
    assert _alone(tmp_path) == ["panel.toml"]
