"""Run `legend` in a process that begins with all that the tests' own process has imported.

To begin Python anew for each, and to import everything, would take most of the time.
"""

from __future__ import annotations

import os
import sys
import tempfile
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import IO, NoReturn


@dataclass(frozen=True)
class Ended:
    """The exit status, and what was written."""

    status: int
    stdout: str
    stderr: str


@dataclass(frozen=True)
class Forked:
    """The command line at work, as `python -m legend` runs it."""

    pid: int
    _stdout: IO[bytes]
    _stderr: IO[bytes]

    def ended(self) -> Ended:
        """What it came to, once it has ended."""
        _, status = os.waitpid(self.pid, 0)
        written = []
        for stream in (self._stdout, self._stderr):
            stream.seek(0)
            written.append(stream.read().decode())
            stream.close()
        return Ended(os.waitstatus_to_exitcode(status), *written)


def begun(*words: str | Path, first: Callable[[], object] = lambda: None) -> Forked:
    """Begin it with these words, once something was done in its process `first`."""
    streams = [tempfile.TemporaryFile() for _ in range(2)]  # noqa: SIM115  # closed in the end
    pid = os.fork()
    if not pid:
        _child([str(word) for word in words], [stream.fileno() for stream in streams], first)
    return Forked(pid, *streams)


def _child(words: list[str], files: list[int], first: Callable[[], object]) -> NoReturn:
    """Never comes back."""
    try:
        for number, file in enumerate(files, start=1):
            os.dup2(file, number)
        sys.stdout, sys.stderr = (
            os.fdopen(number, "w", encoding="utf-8", closefd=False) for number in (1, 2)
        )
        first()
        from legend.__main__ import main

        sys.argv = ["legend", *words]
        main()
    except BaseException:
        traceback.print_exc(file=sys.stderr)
        sys.stderr.flush()
    finally:
        os._exit(70)  # where it was not left by its own way out
