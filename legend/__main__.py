"""The `legend` command, and `python -m legend`."""

from __future__ import annotations

import contextlib
import os
import signal
import sys
from types import FrameType


def main() -> None:
    """Run the command line. Exit status 0, 1 or 2; 130 where it is interrupted."""
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, _stop)
    from legend.cli import legend

    legend(prog_name="legend")


def _stop(number: int, _frame: FrameType | None) -> None:
    """Leave at once: an exception might be taken for something else where it is raised."""
    with contextlib.suppress(Exception):
        sys.stdout.flush()
        sys.stderr.write("Interrupted; no file is left half-written.\n")
        sys.stderr.flush()
    os._exit(128 + number)


if __name__ == "__main__":
    main()
