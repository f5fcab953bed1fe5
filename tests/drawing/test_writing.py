import os
import re
from pathlib import Path

import pytest

from legend.drawing.writing import MARK, ForeignFileError, is_ours, remove_stale, write_whole

_OURS = f"<!-- {MARK} -->".encode()


def test_writes_and_replaces_a_file_of_ours(tmp_path: Path) -> None:
    path = tmp_path / "deep" / "proof.svg"
    assert write_whole(path, _OURS) == path
    write_whole(path, _OURS + b" again")
    assert path.read_bytes() == _OURS + b" again"
    assert [each.name for each in path.parent.iterdir()] == ["proof.svg"]


def test_an_empty_file_has_nothing_to_lose(tmp_path: Path) -> None:
    path = tmp_path / "proof.svg"
    path.touch()
    write_whole(path, _OURS)
    assert is_ours(path)


@pytest.mark.parametrize("kind", ["file", "folder", "link"])
def test_leaves_alone_what_is_not_ours(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "proof.svg"
    if kind == "file":
        path.write_text("mine")
    elif kind == "folder":
        path.mkdir()
    else:
        path.symlink_to(tmp_path / "nowhere")
    with pytest.raises(ForeignFileError, match="was not written by this program"):
        write_whole(path, _OURS)
    assert os.path.lexists(path)
    assert len(list(tmp_path.iterdir())) == 1


def test_refuses_data_that_could_not_be_known_again(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="mark of this program"):
        write_whole(tmp_path / "proof.svg", b"<svg/>")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("stop", [KeyboardInterrupt, OSError(28, "No space left on device")])
@pytest.mark.parametrize("step", ["write_bytes", "replace"])
def test_what_is_interrupted_leaves_nothing_half_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stop: BaseException, step: str
) -> None:
    path = tmp_path / "proof.svg"
    write_whole(path, _OURS)

    def broken(self: Path, what: object) -> None:
        if step == "write_bytes":
            with self.open("wb") as file:
                file.write(b"half")
        raise stop

    with monkeypatch.context() as patched:
        patched.setattr(Path, step, broken)
        with pytest.raises((KeyboardInterrupt, OSError)):
            write_whole(path, _OURS + b"new")
    assert path.read_bytes() == _OURS
    assert [each.name for each in tmp_path.iterdir()] == ["proof.svg"]


def test_removes_what_an_earlier_run_left_and_nothing_else(tmp_path: Path) -> None:
    for number in (1, 2, 3):
        write_whole(tmp_path / f"stencil-{number}.svg", _OURS)
    (tmp_path / "stencil-4.svg").write_text("mine")
    (tmp_path / "other.svg").write_bytes(_OURS)
    remove_stale(tmp_path, re.compile(r"stencil-\d+\.svg"), [tmp_path / "stencil-1.svg"])
    left = sorted(each.name for each in tmp_path.iterdir())
    assert left == ["other.svg", "stencil-1.svg", "stencil-4.svg"]
