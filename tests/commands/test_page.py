"""`legend page` opens a description, and ends as it should."""

import os
import signal
import socket
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from legend.commands import page as command
from legend.commands.cli import legend

_ROOT = Path(__file__).parents[2]
_HAS_EXTRA = command.missing() == []
needs_extra = pytest.mark.skipif(not _HAS_EXTRA, reason="the page takes the extra 'page'")


def _run(*words: str | Path) -> Result:
    return CliRunner().invoke(legend, ["page", *map(str, words)])


def test_without_the_extra_it_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(command, "_TAKEN", ("starlette", "no_such_library"))
    result = _run("panel.toml")
    assert result.exit_code == 2
    assert "pip install '.[page]'" in result.output
    assert result.output.count("\n") == 1


@needs_extra
def test_what_cannot_be_opened_is_told(tmp_path: Path) -> None:
    for path, words in (
        (tmp_path, "is a folder"),
        (tmp_path / "none" / "panel.toml", "There is no folder"),
        (tmp_path / "bad.toml", "not UTF-8"),
    ):
        (tmp_path / "bad.toml").write_bytes(b"\xff")
        result = _run(path)
        assert result.exit_code == 2
        assert words in result.output
    assert _run("panel.toml", "--port", "80").exit_code == 2


@needs_extra
def test_a_new_one_has_a_name_that_nothing_has(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = []
    monkeypatch.setattr(
        "legend.page.server.serve", lambda panel, text, *_more: opened.append((panel, text))
    )
    monkeypatch.chdir(tmp_path)
    for taken in ("panel.toml", "panel-2.toml"):
        assert _run().exit_code == 0
        Path(taken).symlink_to("nowhere")
    assert _run().exit_code == 0
    assert [str(panel) for panel, _ in opened] == ["panel.toml", "panel-2.toml", "panel-3.toml"]
    assert all("[panel]" in text for _, text in opened)


@needs_extra
@pytest.mark.skipif(os.name == "nt", reason="signals are sent otherwise there")
def test_it_is_found_at_the_same_place_and_ends_at_once(tmp_path: Path) -> None:
    panel = tmp_path / "panel.toml"
    panel.write_text("[panel]\nsize = [80, 60]\n")
    ports = []
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    for number, status in ((signal.SIGINT, 130), (signal.SIGTERM, 143)):
        process = subprocess.Popen(
            [sys.executable, "-m", "legend", "page", panel, "--address-only", f"--port={port}"],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            cwd=_ROOT,
        )
        assert process.stdout
        said = process.stdout.readline()
        assert str(panel) in said
        ports.append(int(said.split(":")[2].partition("/")[0]))
        if len(ports) == 1:
            assert "is taken by another program" in _run(panel, "--port", port).output
        process.send_signal(number)
        _, told = process.communicate(timeout=60)
        assert process.returncode == status
        assert "Traceback" not in told
    assert ports == [port, port]
    assert {path.name for path in tmp_path.iterdir()} == {"panel.toml"}
