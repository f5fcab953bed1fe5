import doctest
import subprocess
import sys
from pathlib import Path

import pytest

import legend

_ROOT = Path(__file__).parents[1]


def test_every_public_name_is_there_and_documented() -> None:
    for name in legend.__all__:
        assert getattr(legend, name).__doc__, name
    assert set(legend.__all__) <= set(dir(legend))
    with pytest.raises(AttributeError, match="attribute nonsense"):
        legend.nonsense  # noqa: B018


def test_the_worked_example_works(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "samples").symlink_to(_ROOT / "samples")
    monkeypatch.chdir(tmp_path)
    assert doctest.testmod(legend).failed == 0
    assert len(list((tmp_path / "build" / "enlarger-timer").iterdir())) >= 7


def test_importing_the_package_costs_next_to_nothing() -> None:
    code = "import sys, legend; print(len([m for m in sys.modules if m.startswith('legend')]))"
    ended = subprocess.run(
        [sys.executable, "-c", code], cwd=_ROOT, capture_output=True, text=True, check=True
    )
    assert ended.stdout == "1\n"
