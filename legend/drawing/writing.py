"""Bytes -> a file on disk, whole or not at all, and never over what the user made.

Every writer of this package goes through `write_whole`. A file of ours holds `MARK`
somewhere in its bytes (a comment, a metadata field, a tEXt chunk, a key), by which it is
known again when it is to be replaced.
"""

from __future__ import annotations

import contextlib
import glob
import mmap
import os
import re
import signal
import time
from collections.abc import Collection, Iterator
from pathlib import Path

from legend.failures import PlainError

#: The words in every file this program writes, as plain ASCII bytes.
MARK = "panel artwork by legend"

#: Nobody is any more about to finish a file that was begun so many seconds ago.
_LONG_AGO = 60.0


class ForeignFileError(PlainError):
    """Something that this program did not write stands where it would write."""


def is_ours(path: Path) -> bool:
    """Whether a file was written by this program, or is empty and so loses nothing."""
    if not path.is_file():
        return False
    if path.stat().st_size == 0:
        return True
    with path.open("rb") as file, mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as content:
        return content.find(MARK.encode()) >= 0


def refuse_foreign(path: Path) -> None:
    """Say no where something is in the way. Error: ForeignFileError."""
    if os.path.lexists(path) and not is_ours(path):
        raise ForeignFileError(
            f"{path} is there already and was not written by this program, so it is left as it "
            "is; move it away, or name another place."
        )


def write_whole(path: Path, data: bytes) -> Path:
    """Write a file of ours in one go, and give back its path.

    The bytes go to a hidden file in the same folder, which then takes the name; whatever
    interrupts that, a half-written file never bears the name. Missing folders are made.
    Errors: ForeignFileError; OSError as the system gives it; ValueError where the mark of
    this program is not in the data.
    """
    if MARK.encode() not in data:
        raise ValueError(f"the data for {path.name} does not hold the mark of this program")
    refuse_foreign(path)
    path.parent.mkdir(parents=True, exist_ok=True)
    hidden = path.with_name(f".{path.name}.{os.getpid()}~")
    with _undisturbed():
        try:
            hidden.write_bytes(data)
            hidden.replace(path)
            _clear_away(path)
        except BaseException as error:
            with contextlib.suppress(OSError):
                hidden.unlink()
            if isinstance(error, OSError):  # of the file that was asked for, not the hidden one
                error.filename, error.filename2 = str(path), None
            raise
    return path


def _clear_away(path: Path) -> None:
    """Remove hidden files that runs which were killed while they wrote `path` have left."""
    for left in path.parent.glob(f".{glob.escape(path.name)}.*~"):
        with contextlib.suppress(OSError):
            if time.time() - left.stat().st_mtime > _LONG_AGO:
                left.unlink()


@contextlib.contextmanager
def _undisturbed() -> Iterator[None]:
    """Let no signal end the process meanwhile: it waits, and ends it afterwards."""
    if not hasattr(signal, "pthread_sigmask"):  # on Windows
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT, signal.SIGTERM})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def remove_stale(folder: Path, name: re.Pattern[str], keep: Collection[Path]) -> None:
    """Remove files of ours in a folder that an earlier run left: all of that name but `keep`."""
    kept = {path.name for path in keep}
    for path in folder.iterdir():
        if name.fullmatch(path.name) and path.name not in kept and is_ours(path):
            path.unlink()
