"""Work done beside other work: whether both are done, and what fails is told.

Each in a process of its own, because one with threads, as a test's may be, is not copied.
"""

import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

_BEGIN = """
import os, signal, sys
from pathlib import Path
from legend.beside import beside

def write(name):
    Path(name).write_text(str(os.getpid()))

def fail():
    raise OSError(28, "No space left on device", "overlay.pdf")
"""


def _run(script: str, folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", _BEGIN + script],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
    )


def test_both_are_done_before_it_goes_on(tmp_path: Path) -> None:
    script = "with beside(lambda: write('a')):\n    write('b')\nprint(Path('a').read_text())"
    ended = _run(script, tmp_path)
    assert ended.returncode == 0, ended.stderr
    assert ended.stdout.strip() == (tmp_path / "a").read_text()
    if sys.platform == "linux":
        assert (tmp_path / "a").read_text() != (tmp_path / "b").read_text()


def test_with_threads_it_is_done_first(tmp_path: Path) -> None:
    script = (
        "import threading\n"
        "threading.Thread(target=threading.Event().wait, daemon=True).start()\n"
        "with beside(lambda: write('a')):\n    print(Path('a').exists())\n"
        "assert Path('a').read_text() == str(os.getpid())"
    )
    ended = _run(script, tmp_path)
    assert (ended.returncode, ended.stdout.strip()) == (0, "True"), ended.stderr


@pytest.mark.parametrize(
    ("work", "raised"),
    [
        ("fail", "OSError: [Errno 28] No space left on device: 'overlay.pdf'"),
        ("lambda: os.kill(os.getpid(), signal.SIGKILL)", "MemoryError"),
        ("lambda: sys.exit('never leaves by itself')", "never leaves by itself"),
    ],
)
def test_what_fails_is_raised_where_it_was_asked_for(
    work: str, raised: str, tmp_path: Path
) -> None:
    if sys.platform != "linux" and "SIGKILL" in work:
        pytest.skip("the work is not done in a process of its own here")
    ended = _run(f"with beside({work}):\n    write('b')", tmp_path)
    assert ended.returncode == 1
    assert ended.stderr.strip().endswith(raised)
    assert (tmp_path / "b").exists()


def test_a_failure_of_the_block_waits_for_the_work(tmp_path: Path) -> None:
    script = (
        "import time\n"
        "def slowly():\n    time.sleep(0.2); write('a')\n"
        "try:\n    with beside(slowly):\n        fail()\n"
        "except OSError:\n    print(Path('a').exists())"
    )
    assert _run(script, tmp_path).stdout.strip() == "True"


@pytest.mark.skipif(sys.platform != "linux", reason="the work has no process of its own here")
def test_the_work_ends_with_the_one_who_asked_for_it(tmp_path: Path) -> None:
    script = (
        "import time\n"
        "def slowly():\n    write('a'); time.sleep(60)\n"
        "with beside(slowly):\n"
        "    while not (Path('a').exists() and Path('a').read_text()): time.sleep(0.01)\n"
        "    os.kill(os.getpid(), signal.SIGKILL)"
    )
    assert _run(script, tmp_path).returncode == -signal.SIGKILL
    child = Path("/proc", (tmp_path / "a").read_text())
    deadline = time.monotonic() + 10
    while _runs(child) and time.monotonic() < deadline:
        time.sleep(0.01)
    assert not _runs(child)


def _runs(process: Path) -> bool:
    """Whether a process is there, and not merely waiting to be buried."""
    try:
        return ") Z " not in (process / "stat").read_text()
    except OSError:
        return False
