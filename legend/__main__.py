"""Run the `legend` command, also as `python -m legend`."""

from __future__ import annotations

import contextlib
import gc
import os
import signal
import sys
import warnings
from types import FrameType
from typing import NoReturn

from legend.failures import INTERRUPTED, NOT_DONE


def main() -> NoReturn:
    """Run the command line. Exit status 0, 1 or 2; 130 or 143 where it is interrupted."""
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, _stop)
    # A third of the time of a short command would else go into what is of no use to it:
    # looking for cycles among values that have none, threads for matrices that are all small,
    # plugins of other people for the schema, and taking everything apart again at the end.
    gc.set_threshold(100_000, 20, 20)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    if not sys.warnoptions:  # what libraries warn each other of is nothing to the user
        warnings.simplefilter("ignore")
    from legend.commands.cli import legend

    try:
        legend(prog_name="legend")
    except SystemExit as left:
        _end(left.code)
    except OSError:  # there is no telling anyone: what it would be told on takes nothing
        _end(NOT_DONE)
    _end(0)


def _end(code: str | int | None) -> NoReturn:
    """Leave at once with all that was said: every file is written by now, and closed."""
    status = code if isinstance(code, int) else int(code is not None)
    try:
        sys.stdout.flush()
    except (OSError, AttributeError):  # whoever reads has gone, or there never was anyone
        status = NOT_DONE
    with contextlib.suppress(OSError, AttributeError):
        sys.stderr.flush()
    os._exit(status)


def _stop(number: int, _frame: FrameType | None) -> None:
    """Leave at once: an exception might be taken for something else where it is raised."""
    with contextlib.suppress(Exception):
        sys.stdout.flush()
        sys.stderr.write(f"{INTERRUPTED}\n")
        sys.stderr.flush()
    os._exit(128 + number)


if __name__ == "__main__":
    main()
