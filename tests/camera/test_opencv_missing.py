"""Without the library that pictures are measured with, it is told how to get it."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from legend.commands.cli import legend


def test_how_to_get_it_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "cv2", None)
    out = tmp_path / "target.pdf"
    result = CliRunner().invoke(legend, ["target", "--size", "70x50", "--out", str(out)])
    assert result.exit_code == 2
    assert "pip install '.[camera]'" in result.stderr
    assert not out.exists()
